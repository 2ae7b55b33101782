"""A database that cannot be opened is said in plain words."""

from __future__ import annotations

import pytest

from mouldwright.domain.errors import InvalidInput
from mouldwright.store.engine import DatabaseAway, opening
from mouldwright.store.migrate import migrate


@pytest.mark.parametrize(
    ("database", "sentence"),
    [
        ("mysql://root@localhost/x", "mysql is not supported"),
        ("sqlite://", "give SQLite a file"),
        ("nonsense", "this is no database of ours"),
    ],
)
def test_a_database_that_is_none_of_ours_is_wrong_input(database, sentence):
    with pytest.raises(InvalidInput, match=sentence), opening(database):
        migrate(database)


def test_a_folder_where_a_file_should_be_is_named(tmp_path):
    url = f"sqlite:///{tmp_path}"
    with pytest.raises(DatabaseAway, match=str(tmp_path)), opening(url):
        migrate(url)


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    url = f"sqlite:///{tmp_path}/file/shops.db"
    with pytest.raises(DatabaseAway, match="cannot be opened"), opening(url):
        migrate(url)
