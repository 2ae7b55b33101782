"""Labels for moulds: what each is, and a code that opens its page on a telephone."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any
from urllib.parse import quote

import segno

from mouldwright.documents.setting import Paper, set_on_paper
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop


def label_address(address: str, shop: str, mould: str) -> str:
    """Return where a mould's code leads.

    Args:
        address: Where the service is reached.
        shop: Key of the shop.
        mould: Its name, as plans have it.
    """
    family, _, number = mould.partition(" ")
    return f"{address}/shops/{quote(shop)}/m/{quote(family)}/{quote(number, safe='')}"


def labels_pdf(
    shop: Shop, key: str, moulds: Sequence[str], address: str, *, paper: Paper = "a4"
) -> bytes:
    """Return labels as a PDF, three in a row, to be cut along the lines.

    Args:
        shop: Whose moulds they are.
        key: Its key.
        moulds: Names of those that get one.
        address: Where the service is reached.
        paper: What they are set on.
    """
    data = {"shop": shop.name, "labels": [_label(shop, name) for name in moulds]}
    codes = {name: _code(label_address(address, key, name)) for name in moulds}
    return set_on_paper("labels", data, paper=paper, pictures=codes)


def moulds_of(shop: Shop, families: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the names of all moulds, or of those of some families."""
    wanted = set(families) or set(shop.moulds)
    return tuple(
        f"{family.key} {mould.number}"
        for family in shop.moulds.values()
        if family.key in wanted
        for mould in family.moulds
    )


def _label(shop: Shop, name: str) -> dict[str, Any]:
    key, _, number = name.partition(" ")
    family = shop.moulds[key]
    part, process = shop.parts.get(family.part), shop.processes.get(family.process)
    return {
        "name": name,
        "number": number,
        "title": place_title(shop, name),
        "lines": [
            part.title if part else family.part,
            process.title if process else family.process,
            *_upkeep(family),
        ],
    }


def _upkeep(family: MouldFamily) -> list[str]:
    said = []
    if family.cavities > 1:
        said.append(f"{family.cavities} cavities")
    if family.conditioned_every_pulls:
        said.append(f"condition every {family.conditioned_every_pulls} pulls")
    if family.life_pulls:
        said.append(f"insert lasts {family.life_pulls} pulls")
    if family.greatest_c is not None:
        said.append(f"no hotter than {family.greatest_c:f} °C")
    return said


def _code(address: str) -> str:
    """Return a QR code (ISO/IEC 18004) as SVG; a quarter of it may be scratched (level Q)."""
    out = io.BytesIO()
    code = segno.make_qr(address, error="q")
    code.save(out, kind="svg", border=4, xmldecl=False, scale=4, dark="#000", light="#fff")
    return out.getvalue().decode()
