"""What is asked while one waits, each beside something else in the same run.

Usage: small_things.py [--times N]

Commands stand beside an interpreter that starts and ends. What is worked out in process stands
beside one section by the finite elements of `sectionproperties` (extra `test`). What is counted is
processor time, of which a busy machine takes little more than a quiet one.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median

import shapely
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry

from mouldwright.cli.opening import finish_by
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.judgement import judge
from mouldwright.domain.part.section import outline_at
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import compare

MOULDWRIGHT = Path(sys.executable).parent / "mouldwright"
ASKED = ("foil-bench", "--part", "stabiliser", "--process", "cast")
COMMANDS = (
    ("--help",),
    ("deflection", *ASKED, "--json"),
    ("quote", *ASKED, "--quantity", "24", "--by-rate"),
    ("quote", *ASKED, "--quantity", "24", "--by-rate", "--pdf", "/dev/null"),
)


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=5)
    times = parser.parse_args().times
    bare = _median(times, lambda: _run([sys.executable, "-c", "pass"]))
    for command in COMMANDS:
        took = _median(times, lambda: _run([str(MOULDWRIGHT), *command]))  # noqa: B023  # at once
        named = " ".join(w for w in command if w not in ASKED)
        print(f"{named}: {took / bare:.0f} starts of python, within {_within(took)}")
    shop = read_scenario(demo_path("foil-bench")).shop
    now = minute_of(shop.start) if shop.start is not None else 0
    part, process = shop.part("stabiliser"), shop.process("pressed")
    finite = _median(times, lambda: _finite_elements(part.section))
    judged = _median(10 * times, lambda: judge(shop, part, process))
    print(
        f"a section with its beam: 1/{finite / judged:.0f} of finite elements of the section alone,"
    )
    print(f"  within {_within(judged)}")
    by_rate = finish_by(by_rate=True)
    compared = _median(
        times, lambda: compare(shop, "stabiliser", 24, now=now, finish=by_rate, swept=500)
    )
    print(
        f"{len(part.made_by)} processes at 500 quantities: {compared / judged:.0f} sections with "
        f"their beams, within {_within(compared)}"
    )


def _finite_elements(shape: object) -> None:
    geometry = Geometry(shapely.Polygon(outline_at(shape)[0]))  # type: ignore[arg-type]  # a foil
    geometry.create_mesh(mesh_sizes=[2.0])
    section = Section(geometry)
    section.calculate_geometric_properties()
    section.calculate_warping_properties()


def _run(command: list[str]) -> None:
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def _median(times: int, do: Callable[[], object]) -> float:
    took = []
    for _ in range(times):
        began = _spent()
        do()
        took.append(_spent() - began)
    return median(took)


def _spent() -> float:
    """Return the processor seconds taken so far, with those of commands that have ended."""
    uses = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in uses)


def _within(seconds: float) -> str:
    """Return the round time that it stayed under."""
    steps = (0.001, 0.002, 0.005, 0.01, 0.05, 0.1, 0.2, 0.3, 0.5, 1, 2, 5, 10)
    return next((f"{s:g} s" for s in steps if seconds <= s), "more")


if __name__ == "__main__":
    main()
