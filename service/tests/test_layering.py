"""The laws of the house, held over the syntax tree: who may import whom, and what a file may be."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from house import PACKAGE, ROOT, prose_files, public_classes, python_files
from house_rules import (
    bad_name,
    clock_and_file_calls,
    forbidden_imports,
    forbidden_words,
    lacks_docstring,
    too_long,
)

MODULES = python_files(PACKAGE)
EVERY_PYTHON_FILE = python_files(ROOT / "service", ROOT / "api_tests")


def _named(files):
    return [pytest.param(file, id=str(file.relative_to(ROOT))) for file in files]


def _module(file) -> str:
    return ".".join(file.relative_to(PACKAGE.parent).with_suffix("").parts)


@pytest.mark.parametrize("file", _named(MODULES))
def test_a_module_imports_only_what_its_layer_may(file):
    assert forbidden_imports(_module(file), file.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("file", _named(MODULES))
def test_no_inner_layer_asks_the_clock_or_opens_a_file(file):
    assert clock_and_file_calls(_module(file), file.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("file", _named(EVERY_PYTHON_FILE))
def test_a_file_is_short_and_named_for_its_concept(file):
    assert not too_long(file.read_text(encoding="utf-8"))
    assert not bad_name(file.stem)


@pytest.mark.parametrize("file", _named(f for f in MODULES if f.name == "__init__.py"))
def test_a_package_says_what_belongs_in_it(file):
    assert not lacks_docstring(file.read_text(encoding="utf-8"))


def test_every_folder_of_modules_is_a_package():
    folders = {file.parent for file in MODULES}
    assert [f for f in folders if not (f / "__init__.py").exists()] == []


def test_the_project_speaks_of_itself_alone():
    found = {
        str(file.relative_to(ROOT)): words
        for file in prose_files()
        if (words := forbidden_words(file.read_text(encoding="utf-8")))
    }
    assert found == {}


def test_every_public_class_of_the_domain_stands_in_the_glossary():
    glossary = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8")
    written = set(re.findall(r"`([A-Z][A-Za-z0-9]*)`", glossary))
    classes = public_classes(PACKAGE / "domain", PACKAGE / "planning" / "plan.py")
    assert sorted(classes - written) == [], "give each of these a line in docs/glossary.md"
    assert sorted(written - classes) == [], "docs/glossary.md names these, the code does not"


# What follows shows that each law can be broken: a law that nothing can break holds nothing.


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("mouldwright.domain.shop", "from mouldwright.planning.plan import Plan"),
        ("mouldwright.domain.shop", "import pydantic"),
        ("mouldwright.domain.shop", "import scipy.optimize"),
        ("mouldwright.domain.shop", "from scipy import stats"),
        ("mouldwright.domain.shop", "import os.path"),
        ("mouldwright.domain.shop", "from pathlib import Path"),
        ("mouldwright.domain.shop", "def f():\n    import sqlite3"),
        ("mouldwright.domain.shop", "from ..planning import plan"),
        ("mouldwright.planning.run", "from mouldwright.scenario.read import read_scenario"),
        ("mouldwright.planning.run", "from mouldwright import scenario"),
        ("mouldwright.usecases.quote", "from ortools.sat.python import cp_model"),
        ("mouldwright.usecases.quote", "from mouldwright.cli.main import app"),
        ("mouldwright.wire.answers.rate", "from mouldwright.domain.rate import rate"),
        ("mouldwright.wire.answers.rate", "from mouldwright.domain import judgement"),
        ("mouldwright.wire.answers.rate", "import numpy"),
        ("mouldwright.scenario.read", "from mouldwright.planning.run import make_plan"),
        ("mouldwright.cli.main", "from mouldwright.web.pages import today"),
        ("mouldwright.api.app", "from mouldwright.web.pages import today"),
        ("mouldwright.runs.tasks", "import mouldwright.api.app"),
        ("mouldwright.nowhere.at_all", "from mouldwright.domain.shop import Shop"),
    ],
)
def test_an_import_across_the_grain_is_found(module, source):
    assert forbidden_imports(module, source)


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("mouldwright.domain.shop", "from mouldwright.domain.money import Currency\nimport numpy"),
        ("mouldwright.domain.part.beam", "from scipy.special import betainc\nimport math"),
        ("mouldwright.planning.improve.prove", "from ortools.sat.python import cp_model"),
        ("mouldwright.wire.answers.rate", "from mouldwright.domain.rate import Rate"),
        ("mouldwright.wire.order", "from mouldwright.domain import order as values"),
        ("mouldwright.wire.order", "from mouldwright.domain.hours.opening import local"),
        ("mouldwright.wire.answers.plan", "from mouldwright.planning.plan import Plan"),
        ("mouldwright.cli.main", "import typer\nfrom mouldwright.usecases import compare"),
        ("mouldwright.bootstrap", "import mouldwright.api.app, mouldwright.store.engine"),
    ],
)
def test_an_import_along_the_grain_passes(module, source):
    assert forbidden_imports(module, source) == []


@pytest.mark.parametrize(
    "source",
    [
        "datetime.now()",
        "datetime.datetime.now(UTC)",
        "date.today()",
        "time.time()",
        "open('x')",
        "print('x')",
        "Path('x').read_text()",
    ],
)
def test_a_call_to_the_clock_or_a_file_is_found_in_the_domain_and_left_alone_in_the_cli(source):
    assert clock_and_file_calls("mouldwright.domain.shop", source)
    assert clock_and_file_calls("mouldwright.cli.main", source) == []


def test_a_planner_may_time_itself_but_not_ask_the_date():
    assert clock_and_file_calls("mouldwright.planning.run", "time.monotonic()") == []
    assert clock_and_file_calls("mouldwright.planning.run", "datetime.now()")


def test_a_long_file_an_empty_name_and_a_silent_package_are_found():
    assert too_long("x = 1\n" * 401)
    assert not too_long("x = 1\n" * 400)
    assert [
        n for n in ("utils", "common", "manager", "test_" + "help" + "ers") if not bad_name(n)
    ] == []
    assert not bad_name("mould")
    assert lacks_docstring("x = 1")
    assert not lacks_docstring('"""What belongs here."""')


@pytest.mark.parametrize(
    "text",
    [
        "see ../" + "shared/notes",
        "in ." + "library",
        "issue" + " #12",
        "pypi" + ".org",
        "/wo" + "rk/x",
    ],
)
def test_words_about_anything_but_the_project_are_found(text):
    assert forbidden_words(text)
    assert forbidden_words("the release agent wears off") == []


def test_a_public_class_stands_at_the_top_of_a_module_without_an_underscore(tmp_path):
    source = "class Mould: ...\nclass _Inner: ...\ndef f():\n    class G: ...\n"
    (tmp_path / "a.py").write_text(source)
    assert public_classes(tmp_path) == {"Mould"}


def test_no_two_files_of_tests_share_a_name() -> None:
    # Read without packages, the second of a name would not be read at all.
    names = Counter(file.name for file in EVERY_PYTHON_FILE if file.name.startswith("test_"))
    assert [name for name, times in names.items() if times > 1] == []
