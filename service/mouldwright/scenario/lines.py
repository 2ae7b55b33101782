"""On which line of a TOML text each key stands. The text is known to be right TOML already."""

from __future__ import annotations

import re
from bisect import bisect_right

KeyPath = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\]}\n#]+")
_BASIC = re.compile(r'"((?:[^"\\]|\\.)*)"')
_LITERAL = re.compile(r"'([^']*)'")
_LONG = (
    re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}(?!")', re.DOTALL),
    re.compile(r"'''.*?'{3,5}(?!')", re.DOTALL),
)


def lines_of(text: str) -> dict[KeyPath, int]:
    """Return the line, from 1, of every key, table and list entry by its path.

    Args:
        text: TOML that a parser has accepted.
    """
    return _Finder(text).find()


class _Finder:
    """Walks over the text once and notes where keys stand."""

    def __init__(self, text: str) -> None:
        # The parser reads a carriage return before a line feed as one line end.
        self.text = text
        self.at = 0
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self.lines: dict[KeyPath, int] = {}
        self.counts: dict[KeyPath, int] = {}

    def find(self) -> dict[KeyPath, int]:
        table: KeyPath = ()
        self._skip()
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                table = self._entry_header()
            elif self.text[self.at] == "[":
                table = self._table_header()
            else:
                self._pair(table)
            self._skip()
        return self.lines

    def _skip(self) -> None:
        blank = _BLANK.match(self.text, self.at)
        self.at = blank.end() if blank else self.at

    def _note(self, path: KeyPath) -> None:
        self.lines.setdefault(path, bisect_right(self.starts, self.at))

    def _take(self, pattern: re.Pattern[str]) -> re.Match[str]:
        found = pattern.match(self.text, self.at)
        if found is None:
            raise ValueError("the text is not TOML")
        self.at = found.end()
        return found

    def _key(self) -> list[str]:
        parts = []
        while True:
            self._skip()
            if self.text[self.at] == '"':
                inside = self._take(_BASIC)[1]
                parts.append(re.sub(r"\\u([0-9A-Fa-f]{4})", lambda m: chr(int(m[1], 16)), inside))
            elif self.text[self.at] == "'":
                parts.append(self._take(_LITERAL)[1])
            else:
                parts.append(self._take(_BARE_KEY)[0])
            self._skip()
            if self.text[self.at] != ".":
                return parts
            self.at += 1

    def _resolve(self, keys: list[str]) -> KeyPath:
        """Return the path of a header's key: within a list of tables, its latest entry."""
        path: KeyPath = ()
        for key in keys:
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
            path = (*path, key)
        return path

    def _entry_header(self) -> KeyPath:
        start = self.at
        self.at += 2
        path = self._resolve(self._key())
        end, self.at = self.at + 2, start
        self.counts[path] = self.counts.get(path, 0) + 1
        table = (*path, self.counts[path] - 1)
        self._note_all(path)
        self._note(table)
        self.at = end
        return table

    def _table_header(self) -> KeyPath:
        start = self.at
        self.at += 1
        path = self._resolve(self._key())
        end, self.at = self.at + 1, start
        self._note_all(path)
        self.at = end
        return path

    def _note_all(self, path: KeyPath) -> None:
        for length in range(1, len(path) + 1):
            self._note(path[:length])

    def _pair(self, table: KeyPath) -> None:
        start = self.at
        keys = self._key()
        after, self.at = self.at, start
        path = table
        for key in keys:
            path = (*path, key)
            self._note(path)
        self.at = after + 1  # past the equals sign
        self._value(path)

    def _value(self, path: KeyPath) -> None:
        self._skip()
        first = self.text[self.at]
        if self.text.startswith(('"""', "'''"), self.at):
            self._take(_LONG[0] if first == '"' else _LONG[1])
        elif first == '"':
            self._take(_BASIC)
        elif first == "'":
            self._take(_LITERAL)
        elif first == "[":
            self._list(path)
        elif first == "{":
            self._inline_table(path)
        else:
            self._take(_BARE_VALUE)

    def _list(self, path: KeyPath) -> None:
        self.at += 1
        place = 0
        self._skip()
        while self.text[self.at] != "]":
            self._note((*path, place))
            self._value((*path, place))
            place += 1
            self._skip()
            if self.text[self.at] == ",":
                self.at += 1
                self._skip()
        self.at += 1

    def _inline_table(self, path: KeyPath) -> None:
        self.at += 1
        self._skip()
        while self.text[self.at] != "}":
            self._pair(path)
            self._skip()
            if self.text[self.at] == ",":
                self.at += 1
                self._skip()
        self.at += 1
