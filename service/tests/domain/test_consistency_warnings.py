"""What is unwise in a shop, and money that cannot be paid."""

from __future__ import annotations

import pytest
from written_shop import edited, faults_in, only_fault, only_warning

from mouldwright.scenario.read import read_scenario_text

WARNINGS = {
    "a ladder of quantities that does not rise": (
        ("breaks = [1, 10, 40]", "breaks = [1, 40, 10, 10]"),
        "shop.price.breaks",
        "do not rise",
        "Write [1, 10, 40].",
    ),
    "more haste for less": (
        (
            "rush = [{ days_sooner = 2, surcharge = 0.25 }]",
            "rush = [{ days_sooner = 2, surcharge = 0.25 }, { days_sooner = 5, surcharge = 0.2 }]",
        ),
        "shop.price.rush",
        "costs less than 2 days",
        "cost no less",
    ),
    "a discount of the whole margin": (
        ('who = "club", of_goods = 0.05', 'who = "club", of_goods = 0.4'),
        "shop.price.discounts",
        "sold at cost or below",
        "smaller share",
    ),
    "a material that nothing prices is unknown, never zero": (
        ('cost_per_kg = "23.50"\n', ""),
        "materials.filament",
        "unknown, never zero",
        "cost_per_kg",
    ),
    "an order due before the start is planned late": (
        ('due = "2027-03-20"', 'due = "2027-02-20"'),
        'orders["R-7"].due',
        "before the start",
        "planned as late",
    ),
    "an order released after it is due is planned late": (
        ('release = "2027-03-08"', 'release = "2027-05-08"'),
        'orders["8"].release',
        "once it is due",
        "planned as late",
    ),
    "a conditioning operation that nothing asks for": (
        ("conditioned_every_pulls = 5\n", ""),
        "moulds.vane-pressed.conditioned_every_pulls",
        "nothing says when it is due",
        "Add conditioned_every_pulls",
    ),
    "a mould at the end of its life": (
        ("pulls = 12,", "pulls = 40,"),
        'moulds.vane-pressed.count["V1"].pulls',
        "reached its life of 40 pulls",
        "Take it out",
    ),
    "a family without a mould yet": (
        ("count = 3\nlife_pulls", "count = 0\nlife_pulls"),
        "moulds.vane-cast.count",
        "none yet",
        "Count it",
    ),
    "a lot that has expired": (
        ("expires = 2028-01-15", "expires = 2027-02-28"),
        "stock.slow-resin[2].expires",
        "expired by the start, 2027-03-01",
        "Take it out",
    ),
    "a batch limit on an operation that forms no batch": (
        ("unattended_min = 900\n", "unattended_min = 900\nbatch_pulls = 2\n"),
        'processes.pressed.operations["cure"].batch_pulls',
        "no effect",
        'per = "batch"',
    ),
    "a batch limit after the batch was formed": (
        ("unattended_each_min = 110\n", "unattended_each_min = 110\nbatch_parts = 2\n"),
        'processes.printed.operations["print"].batch_parts',
        "formed at an earlier",
        "at start",
    ),
    "a skill on unattended work": (
        ("unattended_min = 900\n", 'unattended_min = 900\nskill = "wet"\n'),
        'processes.pressed.operations["cure"].skill',
        "needs nobody",
        "attended_min",
    ),
    "a mix that nothing has to use in time": (
        ('pot_life_until = "pour"\n', ""),
        'processes.cast.operations["mix"].pot_life_until',
        "nothing watches it",
        "pot_life_until",
    ),
    "a measured structure that is charged as nothing": (
        (', material = "filament" }', " }"),
        "processes.bought-in-bar.structure.material",
        "no material is charged",
        "charged as",
    ),
    "a part by a mould process without moulds, which can be written before them": (
        (
            '[moulds.vane-cast]\npart = "vane"\nprocess = "cast"\ncount = 3\nlife_pulls = 25\n'
            'loss_rate = 0.01\nproof_pulls = 2\ncost = "30.00"\n',
            "",
        ),
        "parts.vane.made_by[2]",
        "no mould makes Rudder vane by it",
        "[moulds.vane-cast]",
    ),
    "a machine that is free between being set up and running": (
        (
            'from = "start", to = "remove" }]\n[[processes.printed.operations]]\n'
            'name = "start"\nper = "batch"\nbatch_parts = 4\nattended_min = 4\nskill = "print"\n'
            '[[processes.printed.operations]]\nname = "print"\nper = "batch"\n',
            'from = "remove", to = "remove" }]\n[[processes.printed.operations]]\n'
            'name = "start"\nper = "batch"\nbatch_parts = 4\nattended_min = 4\nskill = "print"\n'
            'station = "plotter"\n[[processes.printed.operations]]\nname = "print"\n'
            'per = "batch"\nstation = "plotter"\n',
        ),
        'processes.printed.operations["print"].station',
        "nothing keeps plotter between start and print",
        "processes.printed.holds",
    ),
    "a machine that a cure takes by itself, at night too": (
        (
            'name = "cure"\nper = "pull"\nunattended_min = 900\n',
            'name = "cure"\nper = "pull"\nunattended_min = 900\nstation = "plotter"\n',
        ),
        'processes.pressed.operations["cure"].station',
        "it begins the minute Filament printer is free, with nobody there perhaps",
        'resource = "plotter", from = ',
    ),
    "a span written in metres": (
        ("span_mm = 80", "span_mm = 0.08"),
        "parts.cover.span_mm",
        "very short part",
        "0.08 m would be 80",
    ),
    "a bend beyond the span, which nothing could fail": (
        ("deflection_mm = 20.0", "deflection_mm = 220.0"),
        "parts.vane.requirement.deflection_mm",
        "further than its span of 210 mm",
        "millimetres",
    ),
    "a modulus written in megapascals": (
        ("modulus_gpa = 2.1", "modulus_gpa = 2100"),
        "materials.filament.modulus_gpa",
        "nothing is as stiff",
        "2100 MPa would be 2.1",
    ),
    "a density written in grams": (
        ("density_kg_m3 = 1270", "density_kg_m3 = 1.27"),
        "materials.filament.density_kg_m3",
        "as light or as heavy",
        "1.27 g/cm3 would be 1270",
    ),
    "a tax written as a percentage": (
        ("tax_rate = 0.19", "tax_rate = 19"),
        "shop.price.tax_rate",
        "1900 % of the net",
        "19 % is written 0.19",
    ),
    "a mould that nobody says the cost of": (
        ('cost = "30.00"\n', ""),
        "moulds.vane-cast.cost",
        "no wear is charged",
        'cost = "0"',
    ),
    "a process without a structure": (
        (
            'structure = { kind = "measured", modulus_gpa = 11.5, density_kg_m3 = 1400, '
            "modulus_range_gpa = [10, 13], density_range_kg_m3 = [1380, 1420], "
            'material = "filament" }\n',
            "",
        ),
        "processes.bought-in-bar.structure",
        "neither stiffness nor",
        "Add structure",
    ),
}


@pytest.mark.parametrize("case", WARNINGS.values(), ids=WARNINGS)
def test_what_is_unwise_is_a_warning(case: tuple[tuple[str, str], str, str, str]) -> None:
    edit, path, problem, remedy = case
    warning = only_warning(edit)
    assert warning.is_warning
    assert warning.path == path
    assert problem in warning.problem
    assert remedy in warning.remedy


def test_prices_that_were_not_converted_are_one_fault_that_says_convert() -> None:
    # Yen have no minor unit (ISO 4217): every amount of the shop with a fraction is named.
    (fault,) = faults_in(edited(('"EUR"', '"JPY"')))
    assert (fault.path, fault.value) == ("shop.currency", '"JPY"')
    assert fault.problem.startswith("JPY has no decimals, and ")
    assert fault.remedy.startswith("Convert every amount of the shop to JPY")
    for place in (
        "shop.overhead_per_hour",
        "people.ada.wage_per_hour = 17.40",
        "stations.plotter.cost_per_hour",
        "materials.filament.cost_per_kg",
        "suppliers.landing.shipping",
        "suppliers.landing.offers[2].price",
        "suppliers.landing.offers[1].price_breaks[1]",
        'processes.pressed.consumables["gloves"].cost',
        'sets.steering-set.items["pivot pin"].cost',
    ):
        assert place in fault.remedy
    # "14.00" is a whole number of yen.
    assert "people.jon.wage_per_hour" not in fault.remedy


def test_an_amount_or_two_that_cannot_be_paid_are_named_each_by_itself() -> None:
    # A euro has two decimals (ISO 4217). 0.004 rounds to nothing: the least that can be paid is
    # 0.01, as what costs something is never to be written as free.
    (wage,) = faults_in(edited(('"17.40"', '"0.004"')))
    assert (wage.path, wage.problem) == ("people.ada.wage_per_hour", "EUR has 2 decimals.")
    assert wage.remedy == 'Write "0.01", rounded up: EUR holds nothing between 0 and that.'
    (wage,) = faults_in(edited(('"17.40"', '"17.405"')))
    assert wage.remedy == 'Write "17.41".'


def test_three_decimals_are_money_in_a_currency_that_has_them() -> None:
    # The Kuwaiti dinar has three (ISO 4217).
    text = edited(('"EUR"', '"KWD"'), ('"17.40"', '"17.405"'))
    assert read_scenario_text(text).warnings == ()
    assert only_fault(('"17.40"', '"17.405"')).path == "people.ada.wage_per_hour"
