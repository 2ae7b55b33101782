"""The mark command: the shop's mark read, put into the scenario's file, taken away."""

from __future__ import annotations

from pathlib import Path

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, print_json
from mouldwright.cli.writing import write_out
from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError
from mouldwright.domain.mark import NoMark, mark_of
from mouldwright.scenario.put_mark import put_mark
from mouldwright.wire.answers.mark import ScenarioMarkAnswer


def mark(
    scenario: str, *, put: str | None, take_away: bool, out: str | None, as_json: bool
) -> None:
    """Print the mark, or write another into the scenario's file.

    Raises:
        InvalidInput: if what is asked or the drawing cannot be; nothing is written.
    """
    shop = open_shop(scenario)
    if put is not None and take_away:
        raise _fault("--take-away", "", "a mark is put or taken away.", "Ask for one of the two.")
    if put is None and not take_away:
        if out is not None:
            if not shop.mark:
                raise _fault("--out", out, "the shop has no mark.", "Put one with --put FILE.")
            write_out(shop.mark.encode(), out)
        if as_json:
            print_json(ScenarioMarkAnswer(svg=shop.mark or None, file=out))
        elif out is None:
            console().print(
                shop.mark or "The shop has no mark.", soft_wrap=True, markup=False, highlight=False
            )
        return
    path = Path(scenario)
    if not path.exists():
        problem, remedy = "a demo shop is read only.", "Write its files to a folder of yours."
        raise _fault("SCENARIO", scenario, problem, remedy)
    drawn = "" if put is None else _drawn(put)
    try:
        target = put_mark(path, drawn)
    except OSError as error:
        raise MouldwrightError(f"{path} cannot be written: {error.strerror}.") from None
    if as_json:
        print_json(ScenarioMarkAnswer(svg=drawn or None, file=str(target)))
        return
    said = f"The mark is kept in {target}" if drawn else f"The mark is taken out of {target}"
    console().print(f"{said}.", soft_wrap=True, markup=False, highlight=False)


def _drawn(file: str) -> str:
    try:
        return mark_of(Path(file).read_bytes())
    except OSError as error:
        problem = f"the file cannot be read: {error.strerror}."
        raise _fault("--put", file, problem, "Name an SVG or a PNG.") from None
    except NoMark as no:
        raise _fault("--put", file, no.problem, no.remedy) from None


def _fault(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value[:80], problem=problem, remedy=remedy)])
