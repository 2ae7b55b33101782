"""The audit of versions: believed only where something is known to be looked up."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest
from house import ROOT

_PLACE = ROOT / ".ci" / "audit_versions.py"
_SPEC = importlib.util.spec_from_file_location("audit_versions", _PLACE)
audit = importlib.util.module_from_spec(_SPEC)


@pytest.fixture(scope="module", autouse=True)
def loaded():
    import sys

    sys.modules["audit_versions"] = audit
    _SPEC.loader.exec_module(audit)
    yield
    del sys.modules["audit_versions"]


PINNED = {"alpha": "1.0", "beta": "2.0"}


@pytest.fixture
def pinned(tmp_path) -> Path:
    file = tmp_path / "pinned.txt"
    file.write_text("".join(f"{name}=={version}\n" for name, version in PINNED.items()))
    return file


def service(known: dict[str, str], unheard_of: tuple[str, ...] = ()):
    """Return a service that knows advisories on some names, and nothing of others."""

    def ask(file: Path, _):
        dependencies = []
        for line in file.read_text().split():
            name, version = line.split("==")
            if name in unheard_of:
                dependencies.append({"name": name, "skip_reason": "not found"})
                continue
            vulns = [{"id": known[name]}] if name in known else []
            dependencies.append({"name": name, "version": version, "vulns": vulns})
        return {"dependencies": dependencies, "fixes": []}

    return ask


KNOWS = {"jinja2": "CVE-2019-10906"}


@pytest.mark.parametrize(
    ("ask", "code", "said"),
    [
        (service(KNOWS), 0, "2 of 2 versions looked up"),
        (service(KNOWS | {"beta": "CVE-1"}), 1, "beta 2.0: CVE-1"),
        (service(KNOWS, ("beta",)), 1, "not looked up: beta"),
        # One that answers, and knows nothing of what everybody knows: no clean bill.
        (service({}), 75, "not reached"),
        (service({}, ("jinja2", "alpha", "beta")), 75, "not reached"),
        (lambda *_: None, 75, "not reached"),
        (lambda *_: {"error": "proxy"}, 75, "not reached"),
    ],
)
def test_no_answer_is_never_taken_for_a_clean_one(pinned, ask, code, said):
    ended, words = audit.verdict(pinned, [("-s", "one")], ask)
    assert (ended, said in words) == (code, True), words


def test_the_second_service_is_asked_where_the_first_is_not_reached(pinned):
    asked = []

    def ask(file, which):
        asked.append(which)
        return service(KNOWS)(file, which) if which == "second" else None

    assert audit.verdict(pinned, ["first", "second"], ask)[0] == 0
    assert asked == ["first", "second", "second"]
