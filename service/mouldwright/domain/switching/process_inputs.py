"""The numbers of processes and moulds: minutes, good rates, consumables, lives, mixes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from mouldwright.domain.key_path import key_path
from mouldwright.domain.place_titles import family_title
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import materials_of
from mouldwright.domain.switching.input import (
    Input,
    Look,
    Moves,
    finest,
    in_shop,
    number,
    of_itself,
    of_operation,
    with_entry,
    with_operation,
    with_value,
)
from mouldwright.domain.switching.shop_inputs import money

_ALL = Decimal(1)
_LEAST_SHARE = Decimal("0.001")
_COST_AND_TIME: frozenset[Moves] = frozenset({"cost", "time"})
_EVERYTHING: frozenset[Moves] = frozenset({"cost", "strength", "time"})


def process_inputs(shop: Shop, part: str, process: Process) -> Iterator[Input]:
    """Yield the numbers of one process, its moulds for a part and its mixes."""
    only = frozenset({process.key})
    written = [o for o in process.operations_written if not o.rework]
    upkeep = () if process.conditioning is None else (process.conditioning,)
    for operation in (*written, *upkeep):
        yield from _minutes(process, operation)
    yield from _good_rates(process, written)
    yield from _batches(process, written)
    yield from _failures(process, written)
    for place, consumable in enumerate(process.consumables):

        def put(s: Shop, v: Decimal, place: int = place) -> Shop:
            consumables = list(s.processes[process.key].consumables)
            consumables[place] = replace(consumables[place], cost=v)
            return with_entry(s, "processes", process.key, consumables=tuple(consumables))

        yield money(
            shop,
            ("processes", process.key, "consumables", place, "cost"),
            f"{consumable.name} of {process.title}",
            f" each {consumable.per}",
            consumable.cost,
            put,
            processes=only,
        )
    yield from _amounts(process)
    for family in shop.families(part, process.key):
        yield from _moulds(shop, family, only)
    yield from _mixes(shop, process)


def of_process(
    process: Process,
    path: tuple[Any, ...],
    title: str,
    unit: str,
    value: Decimal,
    usual: str,
    change: Callable[[Process, Decimal], Process],
    *,
    look: Look = "stepped",
    moves: frozenset[Moves] = _COST_AND_TIME,
    least: Decimal = Decimal(0),
    most: Decimal | None = None,
) -> Input:
    """Return a number of one process as an input."""

    def put(s: Shop, v: Decimal) -> Shop:
        processes = {**s.processes, process.key: change(s.processes[process.key], v)}
        return replace(s, processes=processes)

    return Input(
        key=key_path("processes", process.key, *path),
        title=title,
        unit=unit,
        value=value,
        step=finest(value, usual),
        least=least,
        most=most,
        look=look,
        moves=moves,
        processes=frozenset({process.key}),
        put=in_shop(put),
    )


def _minutes(process: Process, operation: Operation) -> Iterator[Input]:
    if operation.heat is not None:
        return  # its minutes follow from a recipe
    kind = "attended" if operation.attended else "unattended"
    upkeep = operation.per == "conditioning"
    at: tuple[Any, ...] = ("conditioning",) if upkeep else ("operations", f'["{operation.name}"]')
    for name, written, each in (
        ("fixed_min", f"{kind}_min", ""),
        ("each_min", f"{kind}_each_min", " for each member"),
    ):
        value = getattr(operation, name)
        if not value:
            continue

        def change(p: Process, v: Decimal, name: str = name) -> Process:
            if upkeep and p.conditioning is not None:
                return replace(p, conditioning=with_value(p.conditioning, name, v))
            return with_operation(p, operation.name, **{name: v})

        yield of_process(
            process,
            (*at, written),
            f"{'the minutes' if operation.attended else 'the time'} of {operation.name}{each}, "
            f"{process.title}",
            "min",
            value,
            "0.1" if operation.attended else "1",
            change,
        )


def _good_rates(process: Process, operations: list[Operation]) -> Iterator[Input]:
    stated = [o for o in operations if o.good_rate < 1]
    # Where every part is good, what scrap at the last step would do is still worth knowing.
    for operation in stated or operations[-1:]:
        yield of_process(
            process,
            ("operations", f'["{operation.name}"]', "good_rate"),
            f"the good rate of {operation.name}, {process.title}",
            "",
            operation.good_rate,
            "0.001",
            of_operation(operation.name, "good_rate"),
            # One way alone: the fewer come out good, the dearer it is.
            look="once",
            least=_LEAST_SHARE,
            most=_ALL - operation.second_rate,
        )


def _failures(process: Process, operations: list[Operation]) -> Iterator[Input]:
    for operation in operations:
        if operation.failures_per_hour:
            yield of_process(
                process,
                ("operations", f'["{operation.name}"]', "failures_per_hour"),
                f"the failures in an hour of {operation.name}, {process.title}",
                "an hour",
                operation.failures_per_hour,
                "0.001",
                of_operation(operation.name, "failures_per_hour"),
                look="once",
            )


def _batches(process: Process, operations: list[Operation]) -> Iterator[Input]:
    for operation in operations:
        for name, words in (("batch_pulls", "pulls"), ("batch_parts", "parts")):
            value = getattr(operation, name)
            if value is not None:
                yield of_process(
                    process,
                    ("operations", f'["{operation.name}"]', name),
                    f"the most {words} at once in {operation.name}, {process.title}",
                    words,
                    Decimal(value),
                    "1",
                    of_operation(operation.name, name, whole=True),
                    look="each",
                    least=_ALL,
                )


def _amounts(process: Process) -> Iterator[Input]:
    for name, words, look in (
        ("squeeze_out", "squeezed out of", "probed"),
        ("waste_share", "wasted in", "once"),
    ):
        yield of_process(
            process,
            (name,),
            f"the share of material {words} {process.title}",
            "",
            getattr(process, name),
            "0.001",
            of_itself(name),
            look="once" if look == "once" else "probed",
            moves=_COST_AND_TIME if look == "once" else _EVERYTHING,
            most=_ALL,
        )
    structure: Any = process.structure
    for name, words, usual, most in (
        ("fibre_mass_fraction", "the fibre by mass", "0.001", Decimal("0.7")),
        ("void_fraction", "the voids", "0.001", Decimal("0.9")),
        ("infill", "the infill", "0.01", _ALL),
        ("walls", "the walls", "1", None),
        ("skin_mm", "the thickness of the skins", "0.1", None),
    ):
        value = getattr(structure, name, None)
        if value is None:
            continue
        kind = type(value)

        def change(p: Process, v: Decimal, name: str = name, kind: Any = kind) -> Process:
            return replace(p, structure=with_value(p.structure, name, kind(v)))

        yield of_process(
            process,
            ("structure", name),
            f"{words} of {process.title}",
            "mm" if name == "skin_mm" else "",
            number(value) if kind is float else Decimal(value),
            usual,
            change,
            look="each" if kind is int else "probed",
            moves=_EVERYTHING,
            least=_ALL if kind is int else Decimal(0),
            most=most,
        )


def _moulds(shop: Shop, family: MouldFamily, only: frozenset[str]) -> Iterator[Input]:
    def put(name: str, whole: bool) -> Callable[[Shop, Decimal], Shop]:
        return lambda s, v: with_entry(s, "moulds", family.key, **{name: int(v) if whole else v})

    title = f"the mould of {family_title(shop, family)}"
    if family.cost is not None:
        yield money(
            shop,
            ("moulds", family.key, "cost"),
            f"the cost of {title}",
            " a mould",
            family.cost,
            put("cost", whole=False),
            processes=only,
        )
    for name, words, least in (
        ("life_pulls", "the life of", 1 + family.proof_pulls),
        ("expected_pulls", "the pulls ever expected of", 1),
        ("conditioned_every_pulls", "the pulls between conditionings of", 1),
        ("cavities", "the cavities of", 1),
    ):
        value = getattr(family, name)
        if value is not None:
            yield Input(
                key=key_path("moulds", family.key, name),
                title=f"{words} {title}",
                unit="" if name == "cavities" else "pulls",
                value=Decimal(value),
                step=Decimal(1),
                least=Decimal(least),
                look="each",
                moves=_COST_AND_TIME,
                processes=only,
                put=in_shop(put(name, whole=True)),
            )
    if family.loss_rate:
        yield Input(
            key=key_path("moulds", family.key, "loss_rate"),
            title=f"the chance that a pull loses {title}",
            unit="",
            value=family.loss_rate,
            step=finest(family.loss_rate, "0.001"),
            most=Decimal("0.999"),
            moves=_COST_AND_TIME,
            processes=only,
            put=in_shop(put("loss_rate", whole=False)),
        )


def _mixes(shop: Shop, process: Process) -> Iterator[Input]:
    mixed = {o.material for o in process.operations if o.material}
    for key in materials_of(process.structure):
        material = shop.materials.get(key)
        if key not in mixed or material is None or material.mix is None:
            continue
        for name, words, unit, usual, whole in (
            ("most_mixed_g", "the most that is mixed at once of", "g", "1", False),
            ("least_mixed_g", "the least that is mixed of", "g", "1", False),
            ("lost_g", "what is left in the cup of each mix of", "g", "0.1", False),
            ("lost_share", "the share lost of", "", "0.001", False),
            ("pot_life_min", "the pot life of", "min", "1", True),
        ):
            value = Decimal(getattr(material.mix, name))

            def put(
                s: Shop, v: Decimal, key: str = key, name: str = name, whole: bool = whole
            ) -> Shop:
                mix = s.materials[key].mix
                assert mix is not None
                changed = with_value(mix, name, int(v) if whole else v)
                return with_entry(s, "materials", key, mix=changed)

            yield Input(
                key=key_path("materials", key, "mix", name),
                title=f"{words} {material.title}",
                unit=unit,
                value=value,
                step=finest(value, usual),
                least=Decimal(1) if whole else Decimal(0),
                look="each" if whole else "stepped",
                moves=_COST_AND_TIME,
                processes=processes_of_mix(shop, key),
                put=in_shop(put),
            )


def processes_of_mix(shop: Shop, material: str) -> frozenset[str]:
    """Return the keys of the processes that mix a material."""
    return frozenset(
        process.key
        for process in shop.processes.values()
        if any(operation.material == material for operation in process.operations)
    )


def of_all(shop: Shop, part: str, processes: Iterable[Process]) -> Iterator[Input]:
    """Yield the numbers of several processes, each once."""
    seen = set()
    for process in processes:
        for each in process_inputs(shop, part, process):
            if each.key not in seen:
                seen.add(each.key)
                yield each
