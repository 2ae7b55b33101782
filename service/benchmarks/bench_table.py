"""Plan every instance of a folder and print the table of docs/benchmarks.md.

Usage: bench_table.py FOLDER --check CHECK.py --seconds S

CHECK.py judges INSTANCE.json and SCHEDULE.json and ends with 0 where the plan is feasible;
a plan it refuses is said so in the table.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent


def _order(path: Path) -> tuple[str, int]:
    kind, size, _ = path.stem.split("_")
    return kind, int(size)


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--check", type=Path, required=True)
    parser.add_argument("--seconds", type=float, default=5.0)
    asked = parser.parse_args()
    print("| instance | value | cannot be under | gap % | held by | late order-days over bound |")
    print("| --- | ---: | ---: | ---: | --- | ---: |")
    for path in sorted(asked.folder.glob("*.json"), key=_order):
        with tempfile.TemporaryDirectory() as folder:
            out = Path(folder) / "schedule.json"
            subprocess.run(
                [
                    sys.executable,
                    HERE / "bench.py",
                    path,
                    "--seconds",
                    str(asked.seconds),
                    "--out",
                    out,
                ],
                check=True,
                stdout=subprocess.DEVNULL,
            )
            judged = subprocess.run(
                [sys.executable, asked.check, path, out], check=False, stdout=subprocess.PIPE
            )
            answer = json.loads(out.read_text())
        instance = json.loads(path.read_text())
        tard = instance["obj"]["tard"]
        gap = (answer["value"] - answer["bound"]) / max(answer["value"], 1)
        days = (answer["value"] - answer["bound"]) / tard / 1440 if tard else None
        name = re.sub(r"_s\d+$", "", path.stem).replace("_", " ")
        verdict = "" if judged.returncode == 0 else " REFUSED"
        print(
            f"| {name}{verdict} | {answer['value']} | {answer['bound']} | {gap * 100:.3f} | "
            f"{answer['bound_name']} | {'' if days is None else f'{days:.2f}'} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
