"""Pages that a reader walks through do what they say, from an empty folder to their last line."""

from __future__ import annotations

import json
import os
import re
from itertools import pairwise

import pytest
import shapely
from forked import run_forked
from house import ROOT
from walked_pages import PAGES, refreshed, walked

# Each command is a program of its own, and a page has up to a dozen.
FOURTH = ROOT / "docs" / "add-a-process.md"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_command_of_a_page_prints_what_it_shows(page, tmp_path):
    done = walked(page.read_text(encoding="utf-8"), tmp_path)
    assert len(done) >= 3
    for command, shown, printed in done:
        assert printed == shown, f"{page.name}: {command}; run service/tests/refresh.py"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_link_of_a_page_leads_to_a_file(page):
    links = re.findall(r"\]\((?!http)([^)#]+)", page.read_text(encoding="utf-8"))
    assert links
    assert [link for link in links if not (page.parent / link).exists()] == []


def test_a_fourth_process_stands_beside_the_others_in_a_comparison(tmp_path):
    walked(FOURTH.read_text(encoding="utf-8"), tmp_path)
    asked = ("--part", "stabiliser", "--quantity", "24")
    choices = {each["process"]: each for each in answer(tmp_path, "compare", *asked)["choices"]}
    assert set(choices) == {"pressed", "cast", "printed", "bagged"}
    assert choices["bagged"]["meets_requirement"]
    assert choices["bagged"]["mass_g"] < min(
        choices[key]["mass_g"] for key in ("pressed", "cast", "printed")
    )


def foil(chord: float, points: int = 400) -> shapely.Polygon:
    """The 12 % section with an open tail, by its published thickness (Abbott & von Doenhoff)."""
    along = [(i / points) ** 2 for i in range(points + 1)]
    half = [
        0.6 * (0.2969 * x**0.5 - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
        for x in along
    ]
    upper = [(x * chord, y * chord) for x, y in zip(along, half, strict=True)]
    return shapely.Polygon([*upper, *((x, -y) for x, y in reversed(upper[1:]))])


def second_moment(polygon: shapely.Polygon) -> float:
    """About the x axis: the polygon formula of any text on mechanics."""
    corners = list(shapely.get_coordinates(polygon.exterior))
    return abs(
        sum(
            (x1 * y2 - x2 * y1) * (y1 * y1 + y1 * y2 + y2 * y2)
            for (x1, y1), (x2, y2) in pairwise(corners)
        )
        / 12
    )


def test_its_mass_and_stiffness_are_those_of_an_outline_shrunk_by_another_library(tmp_path):
    # The core is the outline shrunk by the skin's 0.45 mm; skins 45 GPa, 0.9 of it along, 1.43
    # g/cm3; core 0.08 GPa, 0.08 g/cm3. The chord falls from 64 to 54 mm over 260 mm.
    walked(FOURTH.read_text(encoding="utf-8"), tmp_path)
    asked = ("--part", "stabiliser", "--process", "bagged")
    told = answer(tmp_path, "deflection", *asked)
    whole = foil(64)
    core = whole.buffer(-0.45, join_style="mitre")
    inner = second_moment(core)
    stiff = 45_000 * 0.9 * (second_moment(whole) - inner) + 80 * inner
    assert told["bending_stiffness_n_mm2"] == pytest.approx(stiff, rel=0.01)
    cuts, mass = 40, 0.0
    for cut in range(cuts):
        whole = foil(64 - 10 * (cut + 0.5) / cuts)
        core = whole.buffer(-0.45, join_style="mitre")
        mass += (0.00143 * (whole.area - core.area) + 0.00008 * core.area) * 260 / cuts
    assert told["mass_g"] == pytest.approx(mass, rel=0.01)


def answer(folder, command, *asked):
    code, printed = run_forked([command, "my-bench", *asked, "--json"], folder, os.environ)
    assert code == 0, printed
    return json.loads(printed)


# The walk itself must be able to fail.

STALE = "```console\n$ mouldwright demo --write a\nold\n```\n"


def test_a_block_that_is_out_of_date_is_found_and_written_anew(tmp_path):
    ((_, shown, printed),) = walked(STALE, tmp_path)
    assert shown != printed
    assert refreshed(STALE) == STALE.replace("old\n", printed)


def test_files_are_written_lengthened_and_changed_in_the_order_of_the_page(tmp_path):
    walked(
        "```toml a.toml\nx = 1\n```\n```toml a.toml\ny = 2\n```\n"
        "```diff a.toml\n- x = 1\n+ x = 3\n```\n```toml\nshown = true\n```\n",
        tmp_path,
    )
    assert (tmp_path / "a.toml").read_text() == "x = 3\n\ny = 2\n"


@pytest.mark.parametrize(
    "page",
    [
        "```toml ../a.toml\nx = 1\n```\n",
        "```diff a.toml\n- not there\n+ x\n```\n",
        "```console\n$ rm -r x\n```\n",
    ],
)
def test_what_cannot_be_done_as_written_is_refused(tmp_path, page):
    with pytest.raises(ValueError, match=r"outside|stands 0 times|mouldwright"):
        walked(page, tmp_path)
