"""Turning a template and its values into a page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from mouldwright import __version__
from mouldwright.figures.look import mark_class, shared_defs
from mouldwright.usecases.session import FORM_KEY
from mouldwright.web import words
from mouldwright.web.places import PLACES, shop_path
from mouldwright.web.static_files import static_path


@dataclass(frozen=True, slots=True, kw_only=True)
class Chrome:
    """What every page shows around its own matter.

    Attributes:
        title: Of the window.
        shop: Key of the shop, empty where the page is of none.
        shop_name: The shop's name.
        place: Key of the entry that the page belongs to.
        theme: "device", "light" or "dark".
        form_key: What every form carries; empty for someone not signed in.
        role: How far the visitor reaches; empty for someone not signed in.
        said: A sentence left by the page before.
        path: Where the page is, to come back to.
    """

    title: str
    shop: str = ""
    shop_name: str = ""
    place: str = ""
    theme: str = "device"
    form_key: str = ""
    role: str = ""
    said: str = ""
    path: str = "/"


@lru_cache(1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("mouldwright.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(
        static=static_path,
        shop_path=shop_path,
        places=PLACES,
        shared_defs=shared_defs,
        mark_class=mark_class,
        form_key_name=FORM_KEY,
        version=__version__,
        words=words,
    )
    return environment


def render(template: str, **values: Any) -> str:
    """Return a template filled; a value it needs and does not get is an error, not a gap."""
    return _environment().get_template(template).render(**values)
