"""The page on tables names every table and every column."""

from __future__ import annotations

import re

from house import ROOT

from mouldwright.usecases.tables.every import TABLES


def test_the_page_names_every_table_with_its_columns_in_order():
    page = (ROOT / "docs" / "tables.md").read_text(encoding="utf-8")
    told = {
        name: re.findall(r"`(\w+)`", columns)
        for name, columns in re.findall(r"^\| `([a-z-]+)` \| [^|]+ \| (.+) \|$", page, re.M)
    }
    assert told == {kind.name: [column.name for column in kind.columns] for kind in TABLES.values()}
