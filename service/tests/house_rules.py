"""The laws of the house as functions of a module's name and text; each returns what breaks it."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator

LONGEST_FILE = 400
OURS = "mouldwright"

# The files of plain values in planning: what a plan is and why, for those who show or keep one.
_PLAN_VALUES = ("planning.reasons", "planning.gains")
# Layer: layers of ours it may import besides itself; whoever may import "planning.plan" may import
# the other values of planning too. "buying.purchase" is the file of plain values of buying.
_ALLOWED: dict[str, set[str]] = {
    "domain": set(),
    "planning": {"domain"},
    "buying": {"domain"},
    "usecases": {"domain", "planning", "buying"},
    "wire": {"domain", "planning.plan", "buying.purchase"},
    "scenario": {"domain", "wire"},
    "store": {"domain", "planning.plan", "usecases", "wire", "tracing"},
    "runs": {
        *("domain", "planning.plan", "usecases", "wire"),
        *("bootstrap", "settings", "logs", "tracing"),
    },
    "figures": {"domain", "planning.plan"},
    "documents": {
        *("domain", "planning.plan", "buying.purchase", "figures", "usecases", "wire"),
    },
    "api": {"domain", "planning.plan", "usecases", "wire", "documents", "settings", "tracing"},
    "web": {
        *("domain", "planning.plan", "buying.purchase", "usecases", "wire", "figures"),
        *("documents", "settings"),
    },
    "cli": {
        *("domain", "planning.plan", "usecases", "wire", "scenario", "documents"),
        *("settings", "logs", "bootstrap", "tracing"),
    },
    "client": {"wire"},
    "settings": set(),
    "logs": {"tracing"},
    "tracing": set(),
}
_KNOWS_EVERY_LAYER = "bootstrap"

# The layers that may use a library of others; a library not named here is for anyone but the
# layers in _ONLY.
_KEEPERS = {
    "ortools": {"planning", "buying"},
    "numba": {"planning", "buying"},
    "pydantic": {"wire", "scenario", "cli", "api", "settings", "client"},
    "pydantic_settings": {"settings"},
    "typer": {"cli"},
    "rich": {"cli"},
    "sqlalchemy": {"store"},
    "sqlmodel": {"store"},
    "alembic": {"store"},
    "psycopg": {"store"},
    "fastapi": {"api", "web", "bootstrap"},
    "starlette": {"api", "web"},
    "uvicorn": {"cli", "bootstrap"},
    "jinja2": {"web", "documents"},
    "httpx": {"client"},
    "typst": {"documents"},
    "babel": {"documents"},
    "icalendar": {"documents"},
    "xlsxwriter": {"documents"},
    "segno": {"documents"},
    "font_source_sans_pro": {"documents"},
}
_ONLY = {
    "domain": {"numpy", "scipy.special"},
    "planning": {"numpy", "ortools", "numba"},
    "buying": {"numpy", "ortools", "numba"},
    "wire": {"pydantic", "pydantic_core"},
}

# Parts of the standard library that reach outside the process, keep state or depend on when
# and where they run.
_OUTSIDE = {
    *("asyncio", "concurrent", "ctypes", "ftplib", "getpass", "glob", "http", "imaplib"),
    *("importlib", "io", "locale", "logging", "mmap", "multiprocessing", "os", "pathlib"),
    *("pickle", "platform", "queue", "random", "resource", "sched", "secrets", "select"),
    *("shelve", "shutil", "signal", "smtplib", "socket", "sqlite3", "ssl", "subprocess", "sys"),
    *("tempfile", "threading", "time", "tomllib", "urllib", "uuid", "warnings", "webbrowser"),
    *("zipfile",),
}
_OUTSIDE_ALLOWED = {
    # A search stops on time, draws from a seeded generator and may run on several cores.
    "planning": {"time", "random", "multiprocessing", "os", "threading", "concurrent", "sys"},
    "buying": {"time"},
}

# The domain's modules of plain values: wire may take what it likes from these, and from the rest
# of the domain classes only, so that no rule of the trade is worked out in the contract.
_VALUES = {
    *(
        "domain.errors",
        "domain.estimate",
        "domain.money",
        "domain.mark",
        "domain.material",
        "domain.order",
        "domain.shop",
    ),
    *("domain.supplier", "domain.hours.opening", "domain.part.requirement", "domain.part.shape"),
    *("domain.process.mould", "domain.process.operation", "domain.process.process"),
    *("domain.structure.kinds", "domain.room", "domain.record.bench_test", "domain.record.log"),
    *("domain.process.heat", "domain.warmth"),
}

_PURE = {"domain", "planning", "buying", "usecases", "wire", "figures"}
_CLOCKS = {("datetime", "now"), ("datetime", "utcnow"), ("datetime", "today"), ("date", "today")}
_CLOCKS |= {("time", "time"), ("time", "localtime"), ("time", "time_ns")}
_FILE_CALLS = {"read_text", "write_text", "read_bytes", "write_bytes"}
_BARE_CALLS = {"open", "print", "input", "exec", "eval"}

_EMPTY_NAME = re.compile(r"^(test_)?(utils?|h[e]lpers?|common|misc|managers?)$")
_FOREIGN_WORDS = re.compile(
    r"\.\./sh[a]red|\.lib[r]ary\b|/w[o]rk/|/t[m]p/|\bissue [#]\d|\bh[e]lpers?\b|"
    r"pypi\.o[r]g|pythonhost[e]d|npmj[s]\b|/opt/py[p]i|DESIG[N]\b|CHECK[S]\.md|TRAD[E]\.md|STYL[E]\.md",
    re.I,
)


def layer_of(module: str) -> str:
    """Return the layer of a module: its first name below the package, "" for the package."""
    return module.split(".")[1] if "." in module.removesuffix(".__init__") else ""


def imports(module: str, source: str) -> Iterator[tuple[str, str]]:
    """Yield (module, name) for each import anywhere in the text; name "" for a whole module."""
    package = module.removesuffix(".__init__") if module.endswith(".__init__") else ""
    package = package or module.rpartition(".")[0]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            origin = node.module or ""
            if node.level:
                above = package.split(".")[: len(package.split(".")) - node.level + 1]
                origin = ".".join([*above, *([origin] if origin else [])])
            yield from ((origin, alias.name) for alias in node.names)


def forbidden_imports(module: str, source: str) -> list[str]:
    """Return each import of the module that its layer may not make."""
    layer = layer_of(module)
    if layer and layer != _KNOWS_EVERY_LAYER and layer not in _ALLOWED:
        return [f"{layer} is no layer of ours: say in this file what it may import"]
    return [
        f"{origin} {name}".strip()
        for origin, name in imports(module, source)
        if not _may_import(layer, origin, name)
    ]


def _may_import(layer: str, origin: str, name: str) -> bool:
    top = origin.split(".")[0]
    if top == OURS:
        return _may_import_ours(layer, origin, name)
    if top in sys.stdlib_module_names:
        banned = _OUTSIDE - _OUTSIDE_ALLOWED.get(layer, set())
        return layer not in {"domain", "planning", "buying", "wire"} or top not in banned
    if layer in _KEEPERS.get(top, {layer}):
        path = f"{origin}.{name}" if name else origin
        only = _ONLY.get(layer)
        return only is None or any(path == o or path.startswith(f"{o}.") for o in only)
    return False


def _may_import_ours(layer: str, origin: str, name: str) -> bool:
    if layer == _KNOWS_EVERY_LAYER:
        return True
    path = origin.removeprefix(OURS).removeprefix(".") or name
    if path == "__version__":
        return True
    target = path.split(".")[0]
    if layer == "":
        return False
    if layer == "wire" and target == "domain":
        return path in _VALUES or f"{path}.{name}" in _VALUES or name[:1].isupper()
    allowed = {layer, *_ALLOWED[layer]}
    if "planning.plan" in allowed:
        allowed |= set(_PLAN_VALUES)
    return target in allowed or any(path == a or path.startswith(f"{a}.") for a in allowed)


def clock_and_file_calls(module: str, source: str) -> list[str]:
    """Return each call in a layer without a clock or files that asks for one of them."""
    if layer_of(module) not in _PURE:
        return []
    return [
        ast.unparse(node)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and _reaches_outside(node.func)
    ]


def _reaches_outside(called: ast.expr) -> bool:
    if isinstance(called, ast.Name):
        return called.id in _BARE_CALLS
    if not isinstance(called, ast.Attribute):
        return False
    owner = called.value
    owner_name = getattr(owner, "id", getattr(owner, "attr", ""))
    return (owner_name, called.attr) in _CLOCKS or called.attr in _FILE_CALLS


def too_long(source: str) -> bool:
    """Return whether a file passes the longest a file may be."""
    return len(source.splitlines()) > LONGEST_FILE


def bad_name(stem: str) -> bool:
    """Return whether a file is named for nothing in particular."""
    return bool(_EMPTY_NAME.match(stem))


def lacks_docstring(source: str) -> bool:
    """Return whether a module opens without a sentence on itself."""
    return not ast.get_docstring(ast.parse(source))


def forbidden_words(text: str) -> list[str]:
    """Return words that speak of anything but the project: paths, hosts, how it is made."""
    return [match.group() for match in _FOREIGN_WORDS.finditer(text)]
