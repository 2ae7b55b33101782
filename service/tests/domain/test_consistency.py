"""The things of a shop against each other: one edit, one fault or warning."""

from __future__ import annotations

import pytest
from written_shop import only_fault, whole_shop

from mouldwright.domain.consistency import faults_of

# what is edited, into what; the key path; words of the problem; words of the remedy
FAULTS = {
    "a part by an unknown process": (
        ('made_by = ["bought-in-bar"]', 'made_by = ["bought-in-bars"]'),
        "parts.cover.made_by[1]",
        "no process of that name",
        "Did you mean bought-in-bar?",
    ),
    "moulds of an unknown part": (
        ('[moulds.vane-cast]\npart = "vane"', '[moulds.vane-cast]\npart = "vanes"'),
        "moulds.vane-cast.part",
        "no part of that name",
        "Did you mean vane?",
    ),
    "moulds for a process that holds none": (
        (
            "[processes.cast]\n",
            '[moulds.bars]\npart = "cover"\nprocess = "bought-in-bar"\n[processes.cast]\n',
        ),
        "moulds.bars.process",
        "holds no mould",
        "processes.bought-in-bar.holds",
    ),
    "moulds built by an unknown process": (
        ('made_by = "printed"', 'made_by = "print"'),
        "moulds.vane-pressed.made_by",
        "no process of that name",
        "Did you mean printed?",
    ),
    "conditioning asked for and not described": (
        ("life_pulls = 25\n", "life_pulls = 25\nconditioned_every_pulls = 4\n"),
        "moulds.vane-cast.conditioned_every_pulls",
        "no operation that conditions",
        'per = "conditioning"',
    ),
    "a hold on an unknown station": (
        ('resource = "plotter"', 'resource = "ploter"'),
        "processes.printed.holds[1].resource",
        "no station of that name",
        "Did you mean plotter?",
    ),
    "a hold from an unknown operation": (
        ('from = "start"', 'from = "begin"'),
        "processes.printed.holds[1].from",
        "no operation of that name",
        "Known",
    ),
    "a hold that ends before it begins": (
        ('from = "start", to = "remove"', 'from = "remove", to = "start"'),
        "processes.printed.holds[1].to",
        "end before it begins",
        "remove or a later",
    ),
    "a hold from conditioning": (
        ('from = "reset"', 'from = "wax"'),
        "processes.pressed.holds[1].from",
        "outside the chain",
        "Known",
    ),
    "a station that is not there": (
        ('station = "rack"', 'station = "racks"'),
        'processes.pressed.operations["dry"].station',
        "no station of that name",
        "Did you mean rack?",
    ),
    "a station with the word for moulds as its key": (
        ("[stations.rack]", "[stations.mould]\n[stations.rack]"),
        "stations.mould",
        "cannot be called",
        "another key",
    ),
    "a skill that nobody has": (
        ('attended_min = 4\nskill = "print"', 'attended_min = 4\nskill = "printing"'),
        'processes.printed.operations["start"].skill',
        "nobody has this skill",
        "Did you mean print?",
    ),
    "more people than have the skill": (
        ("people = 2", "people = 3"),
        'processes.pressed.operations["close"].people',
        "only 2 people with the skill wet",
        "at most 2",
    ),
    "an operation after an unknown one": (
        ('after = ["load"]', 'after = ["lode"]'),
        'processes.pressed.operations["close"].after[1]',
        "no operation of that name",
        "Did you mean load?",
    ),
    "an operation after a later one, which would be a ring": (
        ('after = ["load"]', 'after = ["load", "trim"]'),
        'processes.pressed.operations["close"].after[2]',
        "comes later",
        "Move trim before close",
    ),
    "an operation after itself": (
        ('after = ["load"]', 'after = ["close"]'),
        'processes.pressed.operations["close"].after[1]',
        "cannot follow itself",
        "earlier",
    ),
    "two operations of one name": (
        ('name = "inspect"', 'name = "trim"'),
        'processes.pressed.operations["trim"].name',
        "two operations",
        "own",
    ),
    "a pot life until an operation before the mixing": (
        ('pot_life_until = "pour"', 'pot_life_until = "rods"'),
        'processes.cast.operations["mix"].pot_life_until',
        "not after mix",
        "pour",
    ),
    "a pot life until an unknown operation": (
        ('pot_life_until = "pour"', 'pot_life_until = "pouring"'),
        'processes.cast.operations["mix"].pot_life_until',
        "no operation of that name",
        "Did you mean pour?",
    ),
    "a pot life without a mix": (
        ('material = "quick-cast"\n', ""),
        'processes.cast.operations["mix"].pot_life_until',
        "only an operation that mixes",
        "Add material",
    ),
    "a mixing of a material that is not mixed": (
        ('material = "quick-cast"', 'material = "quick-a"'),
        'processes.cast.operations["mix"].material',
        "not mixed",
        "slow-epoxy, quick-cast",
    ),
    "a mixing of an unknown material": (
        ('material = "quick-cast"', 'material = "quickcast"'),
        'processes.cast.operations["mix"].material',
        "no material of that name",
        "Did you mean quick-cast?",
    ),
    "a mix of an unknown component": (
        ("parts = { quick-a = 2,", "parts = { quick-aa = 2,"),
        "materials.quick-cast.mix.parts.quick-aa",
        "no material of that name",
        "Did you mean quick-a?",
    ),
    "a mix of a mix": (
        ("parts = { quick-a = 2,", "parts = { slow-epoxy = 2,"),
        "materials.quick-cast.mix.parts.slow-epoxy",
        "itself mixed",
        "mixed from",
    ),
    "a structure of an unknown fibre": (
        ('fibre = "short-glass"', 'fibre = "long-glass"'),
        "processes.pressed.structure.fibre",
        "no material of that name",
        "Did you mean short-glass?",
    ),
    "a fibre that is no fibre": (
        ("fibre = { length_mm = 9.0, diameter_um = 13.0, length_range = [0.6, 1] }\n", ""),
        "materials.short-glass.fibre",
        "for the stiffness of Pressed short glass",
        "length_mm and diameter_um",
    ),
    "a rod that is no rod": (
        (
            "rod = { diameter_mm = 2.0, inner_diameter_mm = 0.5, diameter_range = [0.97, 1.03] }\n",
            "",
        ),
        "materials.steel-rod-2.rod",
        "for the stiffness of Cast",
        "diameter_mm",
    ),
    "a matrix without a modulus where stiffness is asked for": (
        ("density_kg_m3 = 1070\nmodulus_gpa = 1.4\n", "density_kg_m3 = 1070\n"),
        "materials.quick-cast.modulus_gpa",
        "which vane asks for",
        "Add modulus_gpa",
    ),
    "an offer of an unknown material": (
        ("contains = { short-glass = 750.5 }", "contains = { shortglass = 750.5 }"),
        "suppliers.landing.offers[2].contains.shortglass",
        "no material of that name",
        "Did you mean short-glass?",
    ),
    "an offer of what is mixed": (
        ("contains = { short-glass = 750.5 }", "contains = { short-glass = 5, slow-epoxy = 5 }"),
        "suppliers.landing.offers[2].contains.slow-epoxy",
        "not bought",
        "slow-resin, slow-hardener",
    ),
    "stock of an unknown material": (
        ("short-glass = [{ grams = 310 }]", "short-grass = [{ grams = 310 }]"),
        "stock.short-grass",
        "no material of that name",
        "Did you mean short-glass?",
    ),
    "an order of an unknown part": (
        ('number = "R-9"\npart = "strut"', 'number = "R-9"\npart = "struts"'),
        'orders["R-9"].part',
        "no part or set of that name",
        "Did you mean strut?",
    ),
    "an order by an unknown process": (
        ('quantity = 12\nprocess = "pressed"', 'quantity = 12\nprocess = "pressd"'),
        'orders["R-7"].process',
        "no process of that name",
        "Did you mean pressed?",
    ),
    "an order by a process that does not make the part": (
        ('quantity = 12\nprocess = "pressed"', 'quantity = 12\nprocess = "bought-in-bar"'),
        'orders["R-7"].process',
        "is not made by",
        "pressed, cast, printed",
    ),
    "an order that leaves open which process": (
        ('quantity = 12\nprocess = "pressed"', "quantity = 12"),
        'orders["R-7"].process',
        "3 ways",
        "pressed, cast, printed",
    ),
    "an order of a set with a process": (
        ("quantity = 2\n", 'quantity = 2\nprocess = "printed"\n'),
        'orders["8"].process',
        "name their own processes",
        "Leave it out",
    ),
    "two orders of one number": (
        ('number = "R-9"', 'number = "R-7"'),
        "orders[3].number",
        "two orders",
        "own",
    ),
    "a set of an unknown part": (
        ('{ part = "strut", process = "printed" }', '{ part = "mast", process = "printed" }'),
        "sets.steering-set.parts[2].part",
        "no part of that name",
        "Known",
    ),
    "a set with the key of a part": (
        (
            "[sets.steering-set]\n",
            '[sets.vane]\nparts = [{ part = "strut", process = "printed" }]\n[sets.steering-set]\n',
        ),
        "sets.vane",
        "same key",
        "another key",
    ),
    "a print that hardly ever comes through": (
        ("failures_per_hour = 0.01", "failures_per_hour = 2"),
        'processes.printed.operations["print"].failures_per_hour',
        "hardly ever come through",
        "0.004",
    ),
    "work on a set per pull": (
        ('name = "fit"\nper = "part"', 'name = "fit"\nper = "pull"'),
        'sets.steering-set.operations["fit"].per',
        "once for the order",
        '"order" or "part"',
    ),
}
# A second edit that lets the first stand alone.
ALSO = {
    "a part by a mould process without moulds": (
        "life_pulls = 25\n",
        "life_pulls = 25\nconditioned_every_pulls = 3\n",
    ),
    "a mix of an unknown component": ("contains = { quick-a = 900, ", "contains = { "),
    "moulds of an unknown part": (
        'made_by = ["pressed", "cast", "printed"]',
        'made_by = ["pressed", "printed"]',
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_across_the_shop_is_named(name: str) -> None:
    edit, path, problem, remedy = FAULTS[name]
    edits = [edit, ALSO[name]] if name in ALSO else [edit]
    fault = only_fault(*edits)
    assert fault.path == path
    assert problem in fault.problem
    assert remedy in fault.remedy
    assert fault.line > 0


def test_a_sound_shop_has_neither_fault_nor_warning() -> None:
    assert faults_of(whole_shop()) == ()
