"""Which shop? And a first one: the demo, one of a few lines, or one from a file."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from datetime import time
from zoneinfo import ZoneInfo, available_timezones

from fastapi import APIRouter, Request
from starlette.datastructures import FormData, UploadFile
from starlette.responses import RedirectResponse, Response

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import DayTimes, OpeningHours
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Shop
from mouldwright.usecases.errors import AlreadyThere
from mouldwright.usecases.kept import Role, ShopVersion
from mouldwright.usecases.session import COOKIE, SIGN_IN
from mouldwright.usecases.shelf import add, first_version, open_kept
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop, Posted, SignedIn, Visit, signed_in, text_of

router = APIRouter()
LONGEST_FILE_BYTES = 1_500_000
# What the button says that loads a demo shop.
_DEMO_WORDS = {
    "foil-bench": "Load the demo bench",
    "noted-month": "Load it with a month of its log",
}


@router.get("/")
def choose_shop(request: Request) -> Response:
    """Show the shops, or go straight to the one there is."""
    if not request.cookies.get(COOKIE):
        return RedirectResponse(SIGN_IN, status_code=303)
    visit = signed_in(request)
    if visit.token.shop is not None:
        return visit.go(shop_path(visit.token.shop))
    with visit.services.units.read_house() as unit:
        shops = unit.house.shops()
    if len(shops) == 1 and "all" not in request.query_params:
        return visit.go(shop_path(shops[0].key))
    return _chooser(visit, shops=shops)


@router.get("/shops/{shop}")
def open_shop(visit: InShop) -> Response:
    """Open a shop at its day; at what to write, where nothing can be asked of it yet."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    begun = any(part.made_by for part in shop.parts.values())
    return visit.go(shop_path(visit.shop, "today" if begun else "shop"))


@router.post("/shops/demo")
def load_demo(visit: SignedIn, form: Posted) -> Response:
    """Keep a demo bench as a shop."""
    visit.must(Role.KEEPER)
    key, demos = text_of(form, "demo"), visit.request.app.state.demos
    if key not in demos:
        remedy = f"Choose {' or '.join(demos)}." if demos else "Write a shop."
        raise InvalidInput(
            [Fault(path="demo", value=key, problem="there is no such demo here.", remedy=remedy)]
        )
    return _keep(visit, key, demos[key](), form={})


@router.post("/shops/written")
def write_shop(visit: SignedIn, form: Posted) -> Response:
    """Keep a shop of a few lines; the rest is written later."""
    visit.must(Role.KEEPER)
    given = {name: text_of(form, name) for name in ("key", "name", "currency", "zone", "day")}
    try:
        shop = _few_lines(given)
    except InvalidInput as wrong:
        return _chooser(visit, given=given, faults=wrong.faults, status=422)
    return _keep(visit, given["key"] or key_from(given["name"]), shop, form=given)


@router.post("/shops/file")
def bring_file(visit: SignedIn, form: Posted) -> Response:
    """Keep a shop from a scenario file in TOML."""
    visit.must(Role.KEEPER)
    given = {"file_key": text_of(form, "file_key")}
    try:
        shop = visit.services.written.read_toml(text_of_file(form))
    except InvalidInput as wrong:
        return _chooser(visit, given=given, faults=wrong.faults, status=422)
    return _keep(visit, given["file_key"] or key_from(shop.name), shop, form=given)


def key_from(name: str) -> str:
    """Return the key that a shop's name makes, for addresses: "Ria Söt" is "ria-sot"."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:63].strip("-")


def _keep(visit: Visit, key: str, shop: Shop, *, form: dict[str, str]) -> Response:
    services = visit.services
    try:
        version = first_version(
            key, shop, services.written.document(shop), now=visit.now, by=visit.token.id
        )
        with services.units.write_house() as unit:
            add(unit, version, shop.log)
            unit.commit()
    except InvalidInput as wrong:
        return _chooser(visit, given=form, faults=wrong.faults, status=422)
    except AlreadyThere:
        fault = Fault(
            path="key",
            value=key,
            problem="there is a shop of that key already.",
            remedy="Open it below, or choose another key.",
        )
        if not form:
            return visit.go(shop_path(key), say="The demo bench was here already.")
        return _chooser(visit, given=form, faults=(fault,), status=409)
    return visit.go(shop_path(key), say=f"{shop.name} is kept.")


def _chooser(
    visit: Visit,
    *,
    shops: Sequence[ShopVersion] | None = None,
    given: dict[str, str] | None = None,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> Response:
    if shops is None:
        with visit.services.units.read_house() as unit:
            shops = unit.house.shops()
    return visit.show(
        "shops.html",
        title="Shops",
        status=status,
        shops=shops,
        may_add=visit.may(Role.KEEPER),
        demos={
            key: _DEMO_WORDS.get(key, key)
            for key in visit.request.app.state.demos
            if key not in {each.key for each in shops}
        },
        given=given or {},
        faults=faults,
        zones=sorted(available_timezones()),
    )


def text_of_file(form: FormData) -> str:
    """Return the text of the file that was sent.

    Raises:
        InvalidInput: if there is none, or it is no text, or too long.
    """
    sent = form.get("file")
    # The body was read whole before, so the bytes are at hand and nothing waits.
    raw = sent.file.read(LONGEST_FILE_BYTES + 1) if isinstance(sent, UploadFile) else b""
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise _wrong_file(
            "it is not text in UTF-8.", "Save it as UTF-8 and send it again."
        ) from None
    if len(raw) > LONGEST_FILE_BYTES:
        raise _wrong_file("it is too long.", f"Send at most {LONGEST_FILE_BYTES} bytes.")
    if not text.strip():
        raise _wrong_file("there is nothing in it.", "Choose a scenario file in TOML.")
    return text


def _wrong_file(problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path="file", value="", problem=problem, remedy=remedy)])


def _few_lines(given: dict[str, str]) -> Shop:
    faults = []

    def wrong(path: str, problem: str, remedy: str) -> None:
        fault = Fault(path=path, value=given[path], problem=problem, remedy=remedy)
        faults.append(fault)

    if not given["name"] or len(given["name"]) > 100:
        wrong("name", "a shop needs a name of up to 100 letters.", "Write what is on your door.")
    currency = None
    try:
        currency = Currency(given["currency"])
    except ValueError as error:
        wrong("currency", f"{error}.", "Write EUR, GBP, USD or another.")
    if given["zone"] not in available_timezones():
        wrong("zone", "that is no time zone.", "Write one such as Europe/Lisbon.")
    times = _times(given["day"])
    if times is None:
        wrong("day", "those are no opening hours.", "Write them as 08:30-17:00.")
    if faults or currency is None or times is None:
        raise InvalidInput(faults)
    weekly = tuple(times if weekday < 5 else () for weekday in range(7))
    return Shop(
        name=given["name"],
        currency=currency,
        hours=OpeningHours(zone=ZoneInfo(given["zone"]).key, weekly=weekly),
    )


def _times(text: str) -> DayTimes | None:
    try:
        begin, end = (time.fromisoformat(piece.strip()) for piece in text.split("-"))
    except ValueError:
        return None
    minutes = (begin.hour * 60 + begin.minute, end.hour * 60 + end.minute)
    return (minutes,) if minutes[0] < minutes[1] else None
