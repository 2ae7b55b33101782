"""The front page tells the truth: its commands do what it shows, and its walk-through works."""

from __future__ import annotations

import os
import re
import shutil

import pytest
import readme_blocks
from forked import run_forked
from house import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = readme_blocks.blocks(README)
WIDEST = 100


def section(title: str) -> str:
    found = re.search(rf"^## {re.escape(title)}\n(.*?)(?=^## |\Z)", README, re.S | re.M)
    assert found, f"README.md has no heading {title!r}"
    return found[1]


def fenced(text: str) -> list[str]:
    return re.findall(r"^```sh\n(.*?)^```$", text, re.S | re.M)


@pytest.mark.parametrize(
    ("command", "shown"), BLOCKS, ids=[command.split(" |")[0] for command, _ in BLOCKS]
)
def test_a_command_prints_what_the_page_shows(command, shown):
    assert readme_blocks.run(command) == readme_blocks.tidy(shown)


def test_every_command_but_the_demo_is_shown_at_work():
    shown = {command.split()[1] for command, _ in BLOCKS}
    assert shown >= {"check", "deflection", "rate", "compare", "quote", "plan"}


@pytest.mark.parametrize("title", ["Run it", "Test it"])
def test_each_set_up_is_one_command_with_tested_versions(title):
    (block,) = re.findall(r"^```\w*\n(.*?)^```$", section(title), re.S | re.M)
    assert len(block.strip().splitlines()) == 1
    assert block.startswith("python3 -m venv .venv && ")
    assert "-c service/constraints.txt" in block


def test_run_it_ends_in_the_demo_and_test_it_in_the_whole_suite():
    assert section("Run it").split("```")[1].strip().endswith(".venv/bin/mouldwright demo")
    assert re.search(r"\.venv/bin/pytest( -n \d)?$", section("Test it").split("```")[1].strip())


def test_the_gate_runs_the_command_of_the_page_and_not_a_copy():
    gate = (ROOT / ".ci" / "run").read_text()
    assert "README.md" in gate
    assert "Test it" in gate
    assert "pip install" not in gate
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111


def test_the_walk_through_leads_to_a_price(tmp_path):
    """The three changes of the page, made to a copy by the page's own commands."""
    copy, *_ = fenced(section("A price for a part of your own in ten minutes"))
    assert copy.strip() == "cp -r scenarios/first-part my-shop"
    shutil.copytree(ROOT / "scenarios" / "first-part", tmp_path / "my-shop")
    file = tmp_path / "my-shop" / "shop.toml"
    text = file.read_text()
    before, after = [
        re.findall(rf"^{colour}(.+)$", section_block(), re.M) for colour in (r"- ", r"\+ ")
    ]
    assert len(before) == len(after) >= 3
    for old, new in zip(before, after, strict=True):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    file.write_text(text)
    commands = fenced(section("A price for a part of your own in ten minutes"))[-1]
    for command in commands.strip().splitlines():
        code, printed = run_forked(command.split()[1:], tmp_path, os.environ)
        assert code == 0, (command, printed)


def section_block() -> str:
    text = section("A price for a part of your own in ten minutes")
    (block,) = re.findall(r"^```diff\n(.*?)^```$", text, re.S | re.M)
    return block


@pytest.mark.parametrize("target", re.findall(r"\]\((?!http)([^)#]+)", README))
def test_a_link_leads_to_a_file(target):
    assert (ROOT / target).exists()


def test_no_table_on_the_page_is_wider_than_a_terminal():
    # A fault is one line however long, so that a program can read it.
    shown = [out for command, out in BLOCKS if not command.startswith("mouldwright check")]
    assert [line for line in "".join(shown).splitlines() if len(line) > WIDEST] == []


# The comparison itself must be able to fail, and to leave everything else on a page alone.

STALE = "Text.\n\n```console\n$ mouldwright check scenarios/first-part | head -n 1\nold\n```\n"


def test_a_block_that_is_out_of_date_is_found_and_refreshed():
    ((command, shown),) = readme_blocks.blocks(STALE)
    assert readme_blocks.run(command) != readme_blocks.tidy(shown)
    fresh = STALE.replace("old", "My bench: EUR, Europe/Dublin. It can be used.")
    assert readme_blocks.refreshed(STALE) == fresh


def test_an_empty_block_ends_at_its_own_fence():
    page = "```console\n$ mouldwright rate a\n```\n\nText.\n\n```sh\ncp -r a b\n```\n"
    assert readme_blocks.blocks(page) == [("mouldwright rate a", "")]


@pytest.mark.parametrize("command", ["cp -r a b", "bash -c 'mouldwright demo'", "rm x"])
def test_nothing_but_a_mouldwright_command_is_ever_run(command):
    assert readme_blocks.blocks(f"```console\n$ {command}\n```\n") == []
    with pytest.raises(ValueError, match="only mouldwright commands"):
        readme_blocks.run(command)


def test_what_stands_after_a_command_is_given_to_it_as_words():
    assert "can be used" not in readme_blocks.run("mouldwright check nowhere; touch x")
    assert not (ROOT / "x").exists()
