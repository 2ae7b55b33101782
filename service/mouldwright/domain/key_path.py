"""Key paths as a person would write them: ``processes.cast.operations["pour"].attended_min``."""

from __future__ import annotations

import re
from collections.abc import Sequence

Segment = str | int


def key_path(*segments: Segment) -> str:
    """Return the path of a key.

    Args:
        segments: Keys of tables as text, and places in lists: a number counts from 0 and
            is shown from 1; text in quotes (see ``entries``) names an entry.
    """
    shown = ""
    for segment in segments:
        if isinstance(segment, int):
            shown += f"[{segment + 1}]"
        elif segment.startswith('["'):
            shown += segment
        else:
            bare = re.fullmatch(r"[\w-]+", segment)
            shown += ("." if shown else "") + (segment if bare else f'"{segment}"')
    return shown


def entries(names: Sequence[str | None]) -> list[Segment]:
    """Return how a path names each entry of a list: by its name, else by its place.

    Args:
        names: The name of every entry, None or empty where one has none. A name given
            twice stands for the first that has it; the later ones go by their places.
    """
    first: dict[str, int] = {}
    for place, name in enumerate(names):
        if name:
            first.setdefault(name, place)
    return [
        f'["{name}"]' if name and first[name] == place else place
        for place, name in enumerate(names)
    ]
