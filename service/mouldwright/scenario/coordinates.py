"""Coordinate files named in a scenario: two columns of numbers, confined to its folder."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.coordinates import loop_from_columns
from mouldwright.domain.part.shape import Loop

_LARGEST_BYTES = 1_000_000


class Refused(Exception):
    """A coordinate file cannot be read; carries the problem and the remedy."""

    def __init__(self, problem: str, remedy: str) -> None:
        """Keep both sentences."""
        self.problem, self.remedy = problem, remedy
        super().__init__(f"{problem} {remedy}")


def confined(folder: Path | None, name: str) -> Path:
    """Return the file of that name in the folder.

    Raises:
        Refused: if there is no folder, or the name leads out of it or to no file.
    """
    if folder is None:
        raise Refused(
            "a text on its own has no folder to read files from.",
            "Write the points themselves: points = [[x, y], ...].",
        )
    inside = "Keep the file in the scenario's folder and write its name alone."
    pure = PurePosixPath(name.replace("\\", "/"))
    if pure.is_absolute() or PureWindowsPath(name).drive or PureWindowsPath(name).root:
        raise Refused("the path is absolute.", inside)
    if ".." in pure.parts or "\0" in name:
        raise Refused("the path leads out of the scenario's folder.", inside)
    home = folder.resolve()
    try:
        found = (home / Path(*pure.parts)).resolve(strict=True)
    except (OSError, RuntimeError):
        beside = ", ".join(sorted(p.name for p in home.glob("*.dat"))[:8])
        raise Refused(
            "there is no such file in the scenario's folder.",
            f"Files there: {beside}." if beside else inside,
        ) from None
    if not found.is_relative_to(home):
        raise Refused("the file is a link that leads out of the scenario's folder.", inside)
    if not found.is_file():
        raise Refused("this is not a file.", inside)
    return found


def read_loop(folder: Path | None, name: str) -> Loop:
    """Return the closed loop that a coordinate file describes.

    Raises:
        Refused: if the file cannot be read or is not two columns that make a section.
    """
    found = confined(folder, name)
    try:
        if found.stat().st_size > _LARGEST_BYTES:
            raise Refused("the file is larger than 1 MB.", "Thin out its points.")
        text = found.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise Refused(
            f"the file cannot be read: {error.strerror}.", "Look at its rights."
        ) from None
    return loop_of(columns(text))


def loop_of(rows: list[tuple[float, float]]) -> Loop:
    """Return the closed loop of rows in either common ordering.

    Raises:
        Refused: if they make no section.
    """
    try:
        return tuple((float(x), float(y)) for x, y in loop_from_columns(rows))
    except InvalidInput as error:
        fault: Fault = error.faults[0]
        raise Refused(fault.problem, fault.remedy) from None
    except ValueError as error:
        raise Refused(f"the points make no section: {error}.", "Look at their order.") from None


def columns(text: str) -> list[tuple[float, float]]:
    """Return the rows of two numbers; a title above them and notes below are left out.

    Raises:
        Refused: naming the first line among the rows that is not two numbers.
    """
    rows: list[tuple[float, float]] = []
    note = 0  # the first line of words below a row
    for number, line in enumerate(text.splitlines(), start=1):
        words = line.replace(",", " ").split()
        if not words or words[0].startswith("#"):
            continue
        numbers = _numbers(words)
        if len(numbers) == len(words) == 2:
            if note:
                raise _not_a_row(note)
            rows.append((numbers[0], numbers[1]))
        elif rows and len(numbers) == len(words):
            raise _not_a_row(number)
        elif rows:
            note = note or number
    return rows


def _numbers(words: list[str]) -> list[float]:
    found = []
    for word in words:
        try:
            found.append(float(word))
        except ValueError:
            continue
    return found


def _not_a_row(number: int) -> Refused:
    return Refused(f"line {number} of the file is not two numbers.", "Write x and y, with a space.")
