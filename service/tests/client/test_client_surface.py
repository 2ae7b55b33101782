"""What the client shows to the outside."""

from __future__ import annotations

import mouldwright.client as package


def test_what_is_named_for_use_is_there_and_nothing_else_is():
    public = {
        name
        for name, value in vars(package).items()
        if not name.startswith("_") and getattr(value, "__module__", "").startswith("mouldwright")
    }
    assert public == set(package.__all__)
