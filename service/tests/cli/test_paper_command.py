"""The paper command: day sheets, labels and what to buy, of a scenario."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.papers import KINDS, paper
from mouldwright.domain.errors import InvalidInput


def asked(kind, out, **more):
    wanted = {
        "day": None, "person": None, "family": None, "address": "https://bench.example/",
        "set_on": "a4", "now": None, "seconds": 0.0, "seed": 1, "as_json": True,
    }  # fmt: skip
    paper("foil-bench", kind, out=str(out), **(wanted | more))


@pytest.mark.parametrize("kind", KINDS)
def test_it_writes_a_pdf_and_says_how_long_it_is(tmp_path, capsys, kind):
    file = tmp_path / "paper.pdf"
    asked(kind, file)
    assert file.read_bytes().startswith(b"%PDF-")
    assert json.loads(capsys.readouterr().out)["bytes"] == file.stat().st_size


@pytest.mark.parametrize(
    ("kind", "more", "path"),
    [
        ("poster", {}, "KIND"),
        ("day-sheet", {"day": "today"}, "--day"),
        ("day-sheet", {"person": "nobody"}, "person"),
        ("mould-labels", {"family": "no-such"}, "family"),
        ("buy-list", {"set_on": "a9"}, "paper"),
    ],
)
def test_what_there_is_not_is_refused_and_nothing_written(tmp_path, kind, more, path):
    file = tmp_path / "paper.pdf"
    with pytest.raises(InvalidInput) as refused:
        asked(kind, file, **more)
    assert refused.value.faults[0].path == path
    assert not file.exists()
