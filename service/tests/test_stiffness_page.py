"""The page on stiffness: what it says is checked is checked, where it says so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

HERE = Path(__file__).parent
PAGE = (HERE.parents[1] / "docs" / "stiffness.md").read_text(encoding="utf-8")
ROWS = [
    line.strip("| ").split(" | ")
    for line in PAGE.split("## Checked against")[1].splitlines()
    if line.startswith("| ") and "---" not in line
][1:]
# The validation that is about stiffness, lift and tests of parts.
OF_STIFFNESS = {
    *("test_beam_formulas.py", "test_composite_rules.py", "test_finite_elements.py"),
    *("test_finite_spans.py", "test_forty_sections.py", "test_large_deflections.py"),
    *("test_printed_figures.py", "test_sample_plans.py", "test_section_numbers.py"),
    *("test_soft_frequencies.py", "test_tolerance_tables.py"),
}


def named(cell: str) -> list[str]:
    return re.findall(r"`(test_\w+\.py)`", cell)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0][:40])
def test_each_row_names_its_reference_its_error_and_a_test_that_is_there(row):
    what, reference, within, held_by = row
    assert what
    assert reference
    assert within
    assert named(held_by)
    for name in named(held_by):
        (file,) = HERE.rglob(name)
        assert "approx" in file.read_text(encoding="utf-8")


def test_every_validation_of_stiffness_has_a_row():
    cited = {name for row in ROWS for name in named(row[3])}
    assert sorted(OF_STIFFNESS - cited) == []
