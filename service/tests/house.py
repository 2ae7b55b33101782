"""Where the project's own files are, for the tests that read them."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "service" / "mouldwright"

_KEPT = ("README.md", "pyproject.toml", ".gitignore")
_FOLDERS = (".ci", "service", "api_tests", "scenarios", "docker", "docs")
_WRITTEN = {".py", ".md", ".toml", ".txt", ".json", ".html", ".css", ".js", ".svg", ".dat", ""}


def python_files(*places: Path) -> list[Path]:
    """Return every Python file at or under the places, in order."""
    return sorted(
        file
        for place in places
        for file in ([place] if place.is_file() else place.rglob("*.py"))
        if "__pycache__" not in file.parts
    )


def prose_files() -> Iterable[Path]:
    """Yield every text file of the project, none of what tools leave behind."""
    yield from (ROOT / name for name in _KEPT)
    for folder in _FOLDERS:
        for file in sorted((ROOT / folder).rglob("*")):
            generated = any(_is_left_behind(p) for p in file.relative_to(ROOT / folder).parts)
            if file.is_file() and not generated and file.suffix in _WRITTEN:
                yield file


def _is_left_behind(name: str) -> bool:
    return name == "__pycache__" or name.startswith(".") or name.endswith(".egg-info")


def public_classes(*places: Path) -> set[str]:
    """Return the names of the classes at the top of the modules, underscored ones left out."""
    return {
        node.name
        for file in python_files(*places)
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    }
