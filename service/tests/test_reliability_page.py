"""The page on reliability names tests; each of them is there."""

from __future__ import annotations

import re

from house import ROOT

PAGE = (ROOT / "docs" / "reliability.md").read_text(encoding="utf-8")

# Named in a row of both beside others that run on both; these need no second database.
OF_ONE_DATABASE_OR_NONE = {
    "test_every_constraint_has_a_name_by_which_a_later_step_can_change_it",
    "test_a_backup_that_fails_half_way_leaves_the_one_before",
    "test_a_backup_of_a_newer_version_is_refused_and_one_laid_out_otherwise",
}


def test_every_test_that_the_page_names_is_in_the_file_it_names():
    named = 0
    for row in re.findall(r"^\|.*\|$", PAGE, re.M):
        # A file, and the tests that follow it up to the next file.
        for path, tests in re.findall(r"\]\(\.\./([^)]+\.py)\)([^\[]*)", row):
            text = (ROOT / path).read_text(encoding="utf-8")
            for test in re.findall(r"`(test_\w+)`", tests):
                assert f"def {test}(" in text, (path, test)
                named += 1
    assert named > 40


def test_what_the_page_says_of_both_databases_is_so():
    seen = 0
    for row in re.findall(r"^\|.*\| both \|$", PAGE, re.M):
        for path, tests in re.findall(r"\]\(\.\./(service/tests/[^)]+\.py)\)([^\[]*)", row):
            text = (ROOT / path).read_text(encoding="utf-8")
            for test in re.findall(r"`(test_\w+)`", tests):
                (taken,) = re.findall(rf"def {test}\(([^)]*)\)", text)
                # In the worker's tests the bench itself is one on each database.
                each = (
                    "bench|either_bench"
                    if "/runs/" in path
                    else "either_bench|busy_bench|kind|into"
                )
                asks = re.search(rf"\b({each})\b", taken)
                assert asks or test in OF_ONE_DATABASE_OR_NONE, (path, test)
                seen += 1
    assert seen > 20
