"""The pages of reference that are made from the code: commands, addresses, sheets.

Each function returns the whole text of a page; ``refresh.py`` writes them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from inspect import cleandoc, getdoc
from typing import Any

from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute
from typer.main import get_command

from mouldwright.api.app import ROUTERS as ADDRESSES
from mouldwright.api.description import describe
from mouldwright.api.kinds import KINDS
from mouldwright.cli.main import app as commands_app
from mouldwright.usecases.kept import Role
from mouldwright.web.pages import ROUTERS as SHEETS
from mouldwright.web.places import PLACES, shop_path

_MADE = (
    "<!-- Made by service/tests/refresh.py from the code; written by hand it would be lost. -->\n"
)
_WORDS = {str: "text", int: "a whole number", float: "a number", bool: "nothing"}
_HEADS = {"If-Match", "If-None-Match", "Idempotency-Key", "Last-Event-ID"}


def command_page() -> str:
    """Return the page of every verb of the command line, with all that may be said to it."""
    verbs = get_command(commands_app).commands
    listed = _table(
        ("verb", "what it answers or does"),
        ((f"[`{name}`](#{name})", _first(verb.help)) for name, verb in verbs.items()),
    )
    each = "\n".join(_verb(name, verb) for name, verb in verbs.items())
    return f"""# The command line

{_MADE}
`mouldwright VERB ...`. A scenario is a file, a folder whose `*.toml` files are read as one, or the
name of the demo shop, `foil-bench`. `mouldwright VERB --help` says what stands here.

What a verb ends with: 0 where it answered, 2 where what it was given is wrong (each fault is named
with its place and what would be right), 3 where no plan can meet a hard limit, 1 for anything else.
With `--json` the answer is JSON.

{listed}
{each}"""


def _verb(name: str, verb: Any) -> str:
    given = [param for param in verb.params if param.param_type_name == "argument"]
    options = [param for param in verb.params if param.param_type_name == "option"]
    usage = [f"mouldwright {name}", *(param.name.upper() for param in given)]
    usage += [f"{param.opts[0]} ..." for param in options if param.required]
    rows = [
        (f"`{param.name.upper()}`", _kind(param), _left_out(param), param.help) for param in given
    ]
    rows += [
        (
            ", ".join(f"`{opt}`" for opt in (*param.opts, *param.secondary_opts)),
            _kind(param),
            _left_out(param),
            param.help,
        )
        for param in options
    ]
    said = cleandoc(verb.help or "").replace("\n\n", "\0").replace("\n", " ").replace("\0", "\n\n")
    table = _table(("what", "followed by", "if left out", "what it says"), rows)
    return f"## {name}\n\n{said}\n\n```text\n{' '.join(usage)}\n```\n\n{table}"


def _kind(param: Any) -> str:
    annotation = param.type_descriptor.annotation
    if param.param_type_name == "argument":
        return ""
    if param.multiple:
        return "text; may be said several times"
    return _WORDS[annotation]


def _left_out(param: Any) -> str:
    if param.required:
        return "must be said"
    if param.default in (None, False, "", [], ()):
        return "–"
    return f"`{param.default}`"


def api_page() -> str:
    """Return the page of every address of the service: who may, what it wants, what it answers."""
    app = FastAPI(title="mouldwright", separate_input_output_schemas=False)
    for router in ADDRESSES:
        app.router.routes.extend(router.routes)
    described = describe(app)["paths"]
    rooms: dict[str, list[tuple[str, ...]]] = {}
    for route in app.routes:
        if isinstance(route, APIRoute) and route.path_format in described:
            for method in sorted(route.methods):
                operation = described[route.path_format][method.lower()]
                rooms.setdefault(operation["tags"][0], []).append(
                    (
                        f"`{method}` `{route.path_format}`",
                        _least_role(route.dependant),
                        _sent(operation),
                        _answered(operation),
                        _first(operation["description"]),
                    )
                )
    heads = ("address", "least role", "sent", "answered", "what it does")
    tables = "\n".join(
        f"## {tag.replace('_', ' ').capitalize()}\n\n{_table(heads, rows)}"
        for tag, rows in rooms.items()
    )
    kinds = _table(
        ("kind", "status", "what it means"),
        ((f"`{name}`", str(kind.status), kind.title) for name, kind in KINDS.items()),
    )
    return f"""# The addresses of the service

{_MADE}
[The service](../service.md) says how to ask: who may, what makes a request safe to repeat, what a
problem looks like. `GET /v1/openapi.json` describes the same with every field of what is sent and
answered; [the client](../client.md) is the same in Python. What is sent and answered is JSON unless
it says otherwise. A name in brackets is a parameter of the address that may be left out; `If-Match`
and `Idempotency-Key` are headers that must be sent.

{tables}
## Problems

{kinds}"""


def _least_role(dependant: Dependant) -> str:
    needed = list(_needed(dependant))
    return min(needed, key=list(Role).index).value if needed else "anyone"


def _needed(dependant: Dependant) -> Iterator[Role]:
    if hasattr(dependant.call, "needed"):
        yield dependant.call.needed
    for below in dependant.dependencies:
        yield from _needed(below)


def _sent(operation: dict[str, Any]) -> str:
    heads = [each["name"] for each in operation.get("parameters", ()) if each["name"] in _HEADS]
    asked = [
        f"[{each['name']}]" for each in operation.get("parameters", ()) if each["in"] == "query"
    ]
    body = [
        _model(media["schema"])
        for media in operation.get("requestBody", {}).get("content", {}).values()
    ]
    heads = [name for name in heads if name != "If-None-Match"]
    return ", ".join([*(f"`{each}`" for each in [*body, *heads] if each), *asked])


def _answered(operation: dict[str, Any]) -> str:
    for status, answer in operation["responses"].items():
        if status.startswith("2"):
            models = [
                _model(media.get("schema", {})) or kind
                for kind, media in answer.get("content", {}).items()
            ]
            return " ".join([status, *(f"`{model}`" for model in models if model)])
    return ""


def _model(schema: dict[str, Any]) -> str:
    """Return the name of what a schema points at, or holds a list of."""
    for option in (schema, *schema.get("anyOf", ())):
        if "$ref" in option:
            return str(option["$ref"]).rpartition("/")[2]
    if schema.get("type") == "array":
        return f"{_model(schema['items'])} ..."
    return ""


def sheets_page() -> str:
    """Return the page of every sheet that a browser may open, by its address."""
    places = _table(
        ("at the head", "address"),
        ((place.title, f"`{shop_path('{shop}', place.path)}`") for place in PLACES),
    )
    sheets = _table(
        ("address", "what it shows"),
        (
            (f"`{route.path}`", _first(getdoc(route.endpoint)))
            for router in SHEETS
            for route in router.routes
            if isinstance(route, APIRoute) and "GET" in route.methods
        ),
    )
    return f"""# The sheets and their addresses

{_MADE}
[The pages](../pages.md) shows them and says what each is for. A customer's link, `/q/{{secret}}`,
and the sign-in are open to whoever has them; every sheet of a shop wants a session.

## At the head of every sheet

{places}
## Every address

{sheets}"""


def _first(text: str | None) -> str:
    return " ".join((text or "").strip().split("\n\n")[0].split())


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [heads, ("---",) * len(heads), *rows]
    cells = (" | ".join(re.sub(r"\|", r"\\|", cell or "") for cell in line) for line in lines)
    return "".join(f"| {line} |\n" for line in cells)
