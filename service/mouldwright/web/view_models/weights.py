"""Weights as they are read at the scale."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.record.charge_sheet import ChargeSheet, Weighed
from mouldwright.domain.shop import Shop
from mouldwright.web.words import figure, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighingRow:
    """One thing on the scale, or cut to length."""

    material: str
    into: str
    grams: str
    millilitres: str
    metres: str
    off: str
    is_coarse: bool


def weighing_rows(shop: Shop, sheet: ChargeSheet) -> tuple[WeighingRow, ...]:
    """Return what goes on the scale, in the order it is loaded."""

    def named(key: str) -> str:
        return shop.materials[key].title if key in shop.materials else key

    return tuple(
        WeighingRow(
            material=named(each.material),
            into=named(each.of) if each.of else "–",
            grams=f"{each.grams:,f}",
            millilitres=figure(each.millilitres),
            metres=figure(each.metres, 2) if each.metres else "–",
            off="–" if each.metres else percent(each.off_share),
            is_coarse=each.is_coarse,
        )
        for each in sheet.weighings
    )


def weighed_words(weighed: Weighed) -> str:
    """Return what the mass of a finished part says."""
    of = f"{weighed.grams:g} g is {percent(weighed.share)} of what is expected"
    if weighed.void_share is None:
        return (
            f"{of}, and more than a solid one weighs: check the scale, then look for a part that "
            f"is rich in resin or thicker than drawn."
        )
    air = f"{percent(weighed.void_share)} of it is air by its density"
    if weighed.state == "light":
        return f"{of}: too light. Look for voids and dry spots; {air}."
    if weighed.state == "heavy":
        return f"{of}: too heavy. Look for flash and resin that was not squeezed out."
    return f"{of}: within the window; {air}."
