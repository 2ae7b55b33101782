"""Every airfoil file of a folder, read as a scenario's would be, in each common ordering.

    .venv/bin/python service/benchmarks/airfoil_files.py FOLDER

Each file is read as it is, as two blocks from nose to tail with and without a row that counts
them, from below first, and with its tail closed. The section must be the same in every
ordering, to a part in a thousand million, and a closed tail may only add the sliver it closes.
What cannot be read is said with why.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from mouldwright.domain.part.integrals import loop_integrals
from mouldwright.scenario.coordinates import Refused, columns, loop_of

Rows = list[tuple[float, float]]
_SAME = 1e-9
# A closed tail adds a triangle of no length or takes the tail's face: never a tenth of the area.
_SLIVER = 0.1


def orderings(loop: Rows) -> Iterator[tuple[str, Rows]]:
    """Yield a loop's rows as other files would order them."""
    nose = min(range(len(loop)), key=lambda at: loop[at])
    over, under = loop[: nose + 1][::-1], loop[nose:]
    yield "from below first", loop[::-1]
    yield "two blocks from the nose", [*over, *under]
    yield "two counted blocks", [(float(len(over)), float(len(under))), *over, *under]


def closed(loop: Rows) -> Rows:
    """Return a loop that begins and ends at the middle of its tail."""
    (x1, y1), (x2, y2) = loop[0], loop[-1]
    tail = ((x1 + x2) / 2, (y1 + y2) / 2)
    return [tail, *loop, tail]


def area(rows: Rows) -> float:
    """Return the area that rows enclose, in shares of the chord squared."""
    return abs(float(loop_integrals(np.array(loop_of(rows))).area))


def main() -> None:
    """Read them all and print the count."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    files = sorted(asked.parse_args().folder.glob("*.dat"))
    refused, differ = [], []
    for file in files:
        try:
            loop = list(loop_of(columns(file.read_text(encoding="utf-8", errors="replace"))))
            whole = area(loop)
        except Refused as error:
            refused.append(f"{file.name}: {error}")
            continue
        for name, rows in orderings(loop):
            try:
                found = area(rows)
            except Refused as error:
                differ.append(f"{file.name}, {name}: {error}")
                continue
            if abs(found - whole) > _SAME * whole:
                differ.append(f"{file.name}, {name}: {found} for {whole}")
        try:
            if abs(area(closed(loop)) - whole) > _SLIVER * whole:
                differ.append(f"{file.name}, closed: {area(closed(loop))} for {whole}")
        except Refused as error:
            differ.append(f"{file.name}, closed: {error}")
    print(f"{len(files)} files, {len(files) - len(refused)} read, {len(refused)} refused")
    print(f"{len(differ)} that another ordering or a closed tail makes otherwise")
    for line in (*refused, *differ[:20]):
        print(f"  {line}")


if __name__ == "__main__":
    main()
