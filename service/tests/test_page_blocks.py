"""Every block of code on every page does what it says, or says why a test cannot do it."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
import readme_blocks
import walked_pages
from house import ROOT
from page_blocks import Block, all_blocks, blocks_of, commands, read_within
from typer.main import get_command
from typer.testing import CliRunner

from mouldwright.cli.main import app
from mouldwright.domain.errors import InvalidInput
from mouldwright.scenario.read import read_scenario_text

BLOCKS = all_blocks()
WALKED = {*walked_pages.PAGES, *readme_blocks.PAGES}
# What is no code: the languages of blocks that are read and not carried out.
SHOWN = {"text"}
# Kinds that one page's own test carries out, with more than is asked of them here.
ELSEWHERE = {
    (ROOT / "docs" / "client.md", "python"): "api_tests/test_client_page.py",
    (ROOT / "README.md", "diff"): "service/tests/test_readme.py",
}
# A line that asks for this is only read: a test has no such server, and measuring takes minutes.
NOT_HERE = ("postgresql://", "service/benchmarks")
VERBS = get_command(app).commands


def of(kind: str) -> list[Block]:
    return [block for block in BLOCKS if block.kind == kind]


def done_here(block: Block) -> bool:
    return not block.not_run and (block.page, block.kind) not in ELSEWHERE


def test_every_block_is_of_a_kind_that_is_carried_out_checked_or_marked_with_why_not():
    odd = [
        f"{block}: {block.kind or 'no language'}"
        for block in BLOCKS
        if done_here(block)
        and block.kind not in {"sh", "toml", "json", *SHOWN}
        and not (block.kind in {"console", "diff"} and block.page in WALKED)
    ]
    assert odd == []
    assert len(BLOCKS) > 80


def test_a_console_block_stands_only_where_its_output_is_compared():
    assert [str(block) for block in of("console") if block.page not in WALKED] == []


def test_what_another_test_carries_out_names_that_page():
    for (page, _), test in ELSEWHERE.items():
        assert page.name in (ROOT / test).read_text(encoding="utf-8")


@pytest.mark.parametrize("block", [b for b in of("toml") if not b.file and done_here(b)], ids=str)
def test_a_piece_of_a_scenario_can_be_used_in_its_shop(block):
    if "format = 1" in block.text:
        read_scenario_text(block.text)
    else:
        read_within(block.text, ROOT / block.within)


@pytest.mark.parametrize("block", [b for b in of("json") if done_here(b)], ids=str)
def test_json_can_be_read(block):
    json.loads(block.text)


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """An empty folder with the demo bench in it, and a home of its own."""
    shutil.copytree(ROOT / "scenarios" / "foil-bench", tmp_path / "my-bench")
    shutil.copytree(ROOT / "scenarios", tmp_path / "scenarios")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    # A database in the place where the service keeps its own, as there is once it has run.
    carry_out(["mouldwright", "sign-in"], tmp_path)
    return tmp_path


def carry_out(words: list[str], folder: Path) -> None:
    """Do one command of a page; only what is known by name is ever done."""
    if any(mark in word for mark in NOT_HERE for word in words):
        return
    if words[0] == "cp":
        *_, source, target = words
        assert ROOT / source in (ROOT / "scenarios").iterdir()
        shutil.copytree(ROOT / source, folder / target)
        return
    assert words[0] == "mouldwright", f"{words[0]} is no command that a test carries out"
    if words[1:3] == ["demo", "--write"]:
        shutil.rmtree(folder / words[3], ignore_errors=True)
    written = words[-1] if words[-2:-1] == [">"] else None
    done = CliRunner().invoke(app, words[1:-2] if written else words[1:])
    if written:
        (folder / Path(written).name).write_text(done.stdout, encoding="utf-8")
    assert done.exit_code == 0, f"{' '.join(words)}\n{done.output}\n{done.exception!r}"


def pages_with_commands() -> dict[str, list[Block]]:
    """The blocks of shell that are done, by the page on which one follows another."""
    found: dict[str, list[Block]] = {}
    for each in of("sh"):
        if done_here(each):
            found.setdefault(str(each.page.relative_to(ROOT)), []).append(each)
    return found


@pytest.mark.parametrize(
    ("page", "asked"), pages_with_commands().items(), ids=pages_with_commands()
)
def test_every_command_of_a_page_can_be_given_one_after_another(page, asked, folder):
    for each in asked:
        for words in commands(each):
            carry_out(words, folder)


@pytest.mark.parametrize("block", of("sh"), ids=str)
def test_what_a_command_names_is_there_whether_it_is_run_or_not(block):
    for words in commands(block):
        assert unknown(words) == [], " ".join(words)


def unknown(words: list[str]) -> list[str]:
    """Return the verbs, options and files of a command that are not there."""
    if words[0] == "mouldwright":
        verb = VERBS.get(words[1])
        if verb is None:
            return [words[1]]
        known = {name for param in verb.params for name in (*param.opts, *param.secondary_opts)}
        return [word for word in words[2:] if word.startswith("--") and word not in known]
    ours = re.compile(r"(\.ci|service|api_tests|docs|docker|scenarios)/[\w./-]+")
    return [word for word in words if ours.fullmatch(word) and not (ROOT / word).exists()]


def test_a_reason_that_names_a_test_names_one_that_is_there():
    named = [name for each in BLOCKS for name in re.findall(r"\S+\.py", each.not_run)]
    assert len(named) > 2
    assert [name for name in named if not (ROOT / name).exists()] == []


# The checks must be able to fail.


def block(kind: str, text: str, before: str = "") -> Block:
    (found,) = blocks_of(ROOT / "docs" / "a.md", f"{before}```{kind}\n{text}```\n")
    return found


def test_a_mark_says_why_a_block_is_not_run_and_where_a_piece_belongs():
    assert block("sh", "x\n", "<!-- not run: it serves -->\n").not_run == "it serves"
    assert block("toml", "x = 1\n", "<!-- within scenarios/a -->\n").within == "scenarios/a"
    assert block("sh", "x\n").not_run == ""


def test_a_piece_with_an_unknown_key_or_a_part_that_is_not_there_is_refused():
    bench = ROOT / "scenarios" / "foil-bench"
    with pytest.raises(InvalidInput, match="colour"):
        read_within('[materials.fast-resin]\ncolour = "red"\n', bench)
    with pytest.raises(InvalidInput, match="nothing"):
        read_within('[moulds.x]\npart = "nothing"\nprocess = "cast"\nlife_pulls = 3\n', bench)


def test_a_piece_changes_what_it_names_and_leaves_the_rest():
    piece = '[[processes.cast.operations]]\nname = "finish"\nattended_min = 7\n'
    shop = read_within(piece, ROOT / "scenarios" / "foil-bench").shop
    minutes = {each.name: each.fixed_min for each in shop.processes["cast"].operations}
    assert minutes["finish"] == 7
    assert minutes["pour"] != 7


def test_commands_are_told_apart_and_what_stands_beside_them_is_left_out():
    shown = block("sh", 'mouldwright log a \\\n  --note "x y"   # why\n\nmouldwright check a\n')
    assert commands(shown) == [
        ["mouldwright", "log", "a", "--note", "x y"],
        ["mouldwright", "check", "a"],
    ]


@pytest.mark.parametrize(
    ("command", "missing"),
    [
        ("mouldwright think a", ["think"]),
        ("mouldwright check a --loud", ["--loud"]),
        (".venv/bin/python docs/nothing.py", ["docs/nothing.py"]),
    ],
)
def test_a_verb_an_option_or_a_file_that_is_not_there_is_found(command, missing):
    assert unknown(command.split()) == missing


def test_nothing_but_a_copy_of_a_shop_and_our_own_command_is_ever_carried_out(tmp_path):
    with pytest.raises(AssertionError, match="rm is no command"):
        carry_out(["rm", "-r", "x"], tmp_path)
    with pytest.raises(AssertionError):
        carry_out(["cp", "-r", "service", "x"], tmp_path)


def test_a_command_that_fails_is_found(folder):
    with pytest.raises(AssertionError, match="check nowhere"):
        carry_out(["mouldwright", "check", "nowhere"], folder)
