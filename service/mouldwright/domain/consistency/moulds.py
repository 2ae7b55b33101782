"""Mould families: whether they serve what exists, and every part has what its process holds."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import Where, fault, unknown, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop


def mould_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of mould families and of parts that lack one."""
    for key, family in shop.moulds.items():
        yield from _family(shop, ("moulds", key), family)
    for part in shop.parts.values():
        for place, name in enumerate(part.made_by):
            process = shop.processes.get(name)
            if process is None:
                yield unknown(
                    ("parts", part.key, "made_by", place), name, "process", shop.processes
                )
            elif process.uses_mould and not shop.families(part.key, name):
                # A part is written before its mould: it can stand, and cannot be planned.
                yield warning(
                    ("parts", part.key, "made_by", place),
                    name,
                    f"{process.title} holds a mould and no mould makes {part.title} by it, so it "
                    "can be neither priced nor planned so.",
                    f'Add [moulds.{part.key}-{name}] with part = "{part.key}", '
                    f'process = "{name}" and count.',
                )


def _family(shop: Shop, at: Where, family: MouldFamily) -> Iterator[Fault]:
    part, process = shop.parts.get(family.part), shop.processes.get(family.process)
    if part is None:
        yield unknown((*at, "part"), family.part, "part", shop.parts)
    if process is None:
        yield unknown((*at, "process"), family.process, "process", shop.processes)
    if family.made_by is not None and family.made_by not in shop.processes:
        yield unknown((*at, "made_by"), family.made_by, "process", shop.processes)
    if part is not None and process is not None and family.process not in part.made_by:
        yield fault(
            (*at, "process"),
            family.process,
            f"{part.title} is not made by {process.title}.",
            f"Add {family.process} to parts.{part.key}.made_by, or name one of: "
            f"{', '.join(part.made_by) or 'none yet'}.",
        )
    if process is not None and not process.uses_mould:
        yield fault(
            (*at, "process"),
            family.process,
            f"{process.title} holds no mould, so these would never be used.",
            f'Add {{ resource = "mould", from = ..., to = ... }} to processes.{process.key}.holds.',
        )
    yield from _upkeep(shop, at, family)
    yield from _wear(at, family)


def _upkeep(shop: Shop, at: Where, family: MouldFamily) -> Iterator[Fault]:
    process = shop.processes.get(family.process)
    if process is None:
        return
    asked = [
        (name, value)
        for name, value in (
            ("conditioned_every_pulls", family.conditioned_every_pulls),
            ("coats", family.coats or None),
            ("coats_every", family.coats_every),
        )
        if value is not None
    ]
    if process.conditioning is None:
        for name, value in asked:
            yield fault(
                (*at, name),
                value if isinstance(value, int) else list(value),
                f"{process.title} has no operation that conditions a mould.",
                f'Add one to processes.{process.key}.operations, with per = "conditioning".',
            )
    elif not asked:
        yield warning(
            (*at, "conditioned_every_pulls"),
            None,
            f"{process.title} has a conditioning operation and nothing says when it is due here.",
            "Add conditioned_every_pulls, or coats.",
        )


def _wear(at: Where, family: MouldFamily) -> Iterator[Fault]:
    if family.cost is None and family.made_by is None:
        yield warning(
            (*at, "cost"),
            None,
            "nothing says what one costs, so no wear is charged and prices come out too low.",
            'Add cost, or cost = "0" where they are paid for and never replaced.',
        )
    if not family.moulds:
        yield warning(
            (*at, "count"),
            0,
            "there is none yet: nothing can be made in it until one is.",
            "Count it once it is there.",
        )
    for mould in family.moulds:
        if family.pulls_left(mould) == 0:
            yield warning(
                (*at, "count", f'["{mould.number}"]', "pulls"),
                mould.pulls,
                f"this mould has reached its life of {family.life_pulls} pulls and is not used.",
                "Take it out of the list, or raise life_pulls.",
            )
