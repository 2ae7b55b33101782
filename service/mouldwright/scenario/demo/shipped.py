"""Finding and opening the demo shops beside this file."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from mouldwright.domain.errors import NotFound
from mouldwright.scenario.read import ScenarioRead, read_scenario


def _home() -> Path:
    return Path(str(resources.files("mouldwright.scenario.demo")))


def demo_names() -> tuple[str, ...]:
    """Return the names of the demo shops, in order of the alphabet."""
    return tuple(
        sorted(
            folder.name
            for folder in _home().iterdir()
            if folder.is_dir() and any(folder.glob("*.toml"))
        )
    )


def demo_path(name: str) -> Path:
    """Return the folder of a demo shop.

    Raises:
        NotFound: if there is none of that name.
    """
    if name not in demo_names():
        raise NotFound(kind="demo", key=name, known=demo_names())
    return _home() / name


def open_demo(name: str) -> ScenarioRead:
    """Read a demo shop.

    Raises:
        NotFound: if there is none of that name.
    """
    return read_scenario(demo_path(name))
