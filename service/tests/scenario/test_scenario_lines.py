"""On which line each key stands, in every form TOML has for it."""

from __future__ import annotations

import tomllib

import pytest

from mouldwright.scenario.lines import lines_of

TEXT = '''\
a = 1                       # 1
"b c".d = "x # not a note"  # 2
[t]
list = [                    # 4
  1,
  { x = 'y', z = [2,        # 6
     3] },
]
long = """                  # 9
[not.a.table]
k = \\"v""""
# more
[[entries]]                 # 13
name = 'one'
[entries.below]
k = 1979-05-27 07:32:00     # 16
[[entries.steps]]
s = {}                      # 18
[[entries.steps]]
s = []                      # 20
[[entries]]
name = "two"                # 22
[[entries.steps]]
s = \'\'\'
two\'\'\'
'''

PLACES = {
    ("a",): 1,
    ("b c", "d"): 2,
    ("t",): 3,
    ("t", "list"): 4,
    ("t", "list", 0): 5,
    ("t", "list", 1, "x"): 6,
    ("t", "list", 1, "z", 1): 7,
    ("t", "long"): 9,
    ("entries", 0): 13,
    ("entries", 0, "name"): 14,
    ("entries", 0, "below", "k"): 16,
    ("entries", 0, "steps", 0, "s"): 18,
    ("entries", 0, "steps", 1, "s"): 20,
    ("entries", 1, "name"): 22,
    ("entries", 1, "steps", 0, "s"): 24,
}


def test_the_text_is_toml() -> None:
    assert tomllib.loads(TEXT)["entries"][1]["steps"] == [{"s": "two"}]


@pytest.mark.parametrize("path", PLACES, ids=str)
def test_a_key_is_found_on_its_line(path: tuple[str | int, ...]) -> None:
    assert lines_of(TEXT)[path] == PLACES[path]


def test_every_key_of_the_parsed_text_has_a_line() -> None:
    found = lines_of(TEXT)

    def walk(node: object, path: tuple[str | int, ...]) -> None:
        assert not path or path in found, path
        below = node.items() if isinstance(node, dict) else ()
        below = enumerate(node) if isinstance(node, list) else below
        for key, value in below:
            walk(value, (*path, key))

    walk(tomllib.loads(TEXT), ())


def test_windows_line_ends_count_once() -> None:
    assert lines_of("a = 1\r\n\r\nb = 2\r\n")[("b",)] == 3
