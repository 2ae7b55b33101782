"""Reading scenarios: files in, a shop out, or every fault at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from mouldwright.domain.consistency import faults_of
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.shape import Loop
from mouldwright.domain.shop import Shop
from mouldwright.scenario.assemble import assemble
from mouldwright.scenario.coordinates import Refused, loop_of, read_loop
from mouldwright.scenario.document import Document, shown_path, shown_value
from mouldwright.scenario.examine import Examined, examine
from mouldwright.scenario.lines import KeyPath
from mouldwright.wire.scenario import Scenario
from mouldwright.wire.shape import Coordinates

_LARGEST_BYTES = 20_000_000
_WHOLE_MINUTES = {"pot_life_min": "down", "wait_max_min": "down", "wait_min": "up"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ScenarioRead:
    """A shop as read.

    Attributes:
        warnings: What is unwise but not wrong.
        files: The files it was read from, in order.
    """

    shop: Shop
    warnings: tuple[Fault, ...] = ()
    files: tuple[Path, ...] = ()


def read_scenario(path: Path) -> ScenarioRead:
    """Read a scenario from one file, or from all ``*.toml`` files of a folder.

    Raises:
        InvalidInput: if anything in it is wrong; carries every fault found.
    """
    path = Path(path)
    files = scenario_files(path)
    document = Document()
    for file in files:
        document.add(_text(file), file.name)
    folder = path if path.is_dir() else path.parent
    return replace(read_document(document, folder), files=files)


def read_scenario_text(text: str, name: str = "scenario.toml") -> ScenarioRead:
    """Read a scenario from a text alone; it may name no files.

    Args:
        text: TOML.
        name: What messages call it.

    Raises:
        InvalidInput: if anything in it is wrong; carries every fault found.
    """
    document = Document()
    document.add(text, name)
    return read_document(document, None)


def scenario_files(path: Path) -> tuple[Path, ...]:
    """Return the files a scenario is read from, in order. Raises InvalidInput."""
    if path.is_file():
        return (path,)
    if not path.exists():
        raise _unreadable(path, "there is no such file or folder.", _near_name(path))
    files = tuple(sorted(p for p in path.glob("*.toml") if p.is_file()))
    if not files:
        raise _unreadable(path, "the folder holds no *.toml file.", "Put the scenario there.")
    return files


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > _LARGEST_BYTES:
            raise _unreadable(file, "the file is larger than 20 MB.", "Split or shorten it.")
        return file.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise _unreadable(
            file, f"the file cannot be read: {error.strerror}.", "Look at its rights."
        ) from None
    except UnicodeDecodeError:
        raise _unreadable(file, "the file is not UTF-8 text.", "Save it as UTF-8.") from None


def _near_name(path: Path) -> str:
    """Return a remedy that names what lies nearest, or where it was looked for."""
    folder = path.absolute().parent
    if not folder.is_dir():
        return f"The folder {folder} is not there either."
    names = [p.name for p in folder.iterdir() if p.is_dir() or p.suffix == ".toml"]
    close = get_close_matches(path.name, names, n=1)
    return (
        f"Did you mean {path.with_name(close[0])}?" if close else f"It was looked for in {folder}."
    )


def _unreadable(path: Path, problem: str, remedy: str) -> InvalidInput:
    fault = Fault(path="", value="", problem=problem, remedy=remedy, file=str(path))
    return InvalidInput([fault])


def read_document(document: Document, folder: Path | None) -> ScenarioRead:
    """Return the shop of a document.

    Args:
        document: All texts, merged.
        folder: Where files named in it lie, None where it may name none.

    Raises:
        InvalidInput: if anything in it is wrong; carries every fault found.
    """
    if document.faults and not document.root:
        raise InvalidInput(document.faults)
    examined = examine(document)
    faults = [*document.faults, *examined.faults]
    shop: Shop | None = None
    if examined.scenario is not None:
        loops, scenario = _coordinates(document, examined, examined.scenario, folder, faults)
        shop, dated = assemble(scenario, loops)
        crossed = [*dated, *faults_of(shop)]
        faults += [f for f in _placed(document, examined, crossed) if f is not None]
    faults += _rounded(document, document.root, ())
    faults.sort(key=lambda fault: fault.line)
    faults.sort(key=lambda fault: fault.file)
    if shop is None or any(not fault.is_warning for fault in faults):
        raise InvalidInput([*(f for f in faults if not f.is_warning)])
    return ScenarioRead(shop=shop, warnings=tuple(faults))


def _coordinates(
    document: Document,
    examined: Examined,
    scenario: Scenario,
    folder: Path | None,
    faults: list[Fault],
) -> tuple[dict[str, Loop], Scenario]:
    """Return the loop of every coordinate file, and the scenario without parts that lack one."""
    loops: dict[str, Loop] = {}
    parts = dict(scenario.parts)
    for key, part in scenario.parts.items():
        section = part.section
        if not isinstance(section, Coordinates):
            continue
        name = "file" if section.file else "points"
        try:
            if section.file:
                loops[section.file] = read_loop(folder, section.file)
            else:
                loop = loop_of(list(section.points or ()))
                made = section.model_copy(update={"points": loop})
                parts[key] = part.model_copy(update={"section": made})
        except Refused as refused:
            path: KeyPath = ("parts", key, "section", name)
            place = document.place(path)
            faults.append(
                Fault(
                    path=shown_path(document.root, path),
                    value=shown_value(section.file or list(section.points or ())),
                    problem=refused.problem,
                    remedy=refused.remedy,
                    file=place.file if place else "",
                    line=place.line if place else 0,
                    steps=path,
                )
            )
            del parts[key]
            examined.repaired.append(("parts", key))
    return loops, scenario.model_copy(update={"parts": parts})


def _placed(document: Document, examined: Examined, faults: list[Fault]) -> list[Fault | None]:
    """Return faults with file and line, those left out that only follow from what was repaired."""
    gone = {path[-1] for path in examined.repaired if path and isinstance(path[-1], str)}
    hours_touched = any(
        path[0] in {"people", "stations"} or path[:2] in {("shop", "hours"), ("shop", "time_zone")}
        for path in examined.repaired
        if path
    )
    found: list[Fault | None] = []
    for fault in faults:
        shown, path = examined.written(fault.path)
        follows = any(
            path == repaired[: len(path)] or repaired == path[: len(repaired)]
            for repaired in examined.repaired
        )
        if follows or fault.value.strip('"') in gone or (hours_touched and _is_of_hours(fault)):
            continue
        place = document.place(path)
        found.append(
            replace(
                fault,
                path=shown,
                file=place.file if place else "",
                line=place.line if place else 0,
                steps=path,
            )
        )
    return found


def _is_of_hours(fault: Fault) -> bool:
    """Return whether a fault hangs on who is there and when."""
    return fault.path.rsplit(".", 1)[-1] in {
        "skill",
        "people",
        "attended_min",
        "attended_each_min",
        "due",
        "hours",
    }


def _rounded(document: Document, node: Any, path: KeyPath) -> list[Fault]:
    """Return a warning for every limit whose parts of a minute were dropped."""
    found: list[Fault] = []
    items = (
        node.items()
        if isinstance(node, dict)
        else enumerate(node)
        if isinstance(node, list)
        else ()
    )
    for key, value in items:
        at = (*path, key)
        found += _rounded(document, value, at)
        way = _WHOLE_MINUTES.get(str(key))
        if way and isinstance(value, Decimal) and value.is_finite() and value % 1:
            place = document.place(at)
            found.append(
                Fault(
                    path=shown_path(document.root, at),
                    value=shown_value(value),
                    problem=f"limits are whole minutes; this one is rounded {way}, the safe side.",
                    remedy=f"Write {int(value) + (way == 'up')} to say so yourself.",
                    file=place.file if place else "",
                    line=place.line if place else 0,
                    is_warning=True,
                    steps=at,
                )
            )
    return found
