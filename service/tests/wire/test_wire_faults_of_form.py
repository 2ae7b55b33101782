"""Dates, lists and tables that are not what belongs there."""

from __future__ import annotations

import pytest
from written_shop import only_fault

# what is edited, into what; the key path; words of the problem; words of the remedy
CASES = {
    "an opening that cannot be read shows one that can": (
        ('fri = ["08:00-12:30"]', 'fri = ["8 to 12"]'),
        "shop.hours.fri",
        "not an opening",
        '"08:30-12:30"',
    ),
    "openings that overlap are refused": (
        ('fri = ["08:00-12:30"]', 'fri = ["08:00-12:30", "12:00-14:00"]'),
        "shop.hours.fri",
        "overlap",
        "Join them",
    ),
    "an opening without length is refused": (
        ('fri = ["08:00-12:30"]', 'fri = ["08:00-08:00"]'),
        "shop.hours.fri",
        "no length",
        "00:00-24:00",
    ),
    "a date that the calendar lacks is refused": (
        ('due = "2027-03-20"', 'due = "2027-02-30"'),
        'orders["R-7"].due',
        "no such date",
        '"2027-03-19"',
    ),
    "a closure that ends before it starts is shown the other way round": (
        ('"2027-12-24/2027-12-31"', '"2027-12-31/2027-12-24"'),
        "shop.hours.closed[2]",
        "before it starts",
        '"2027-12-24/2027-12-31"',
    ),
    "an unknown time zone names the nearest one": (
        ('"Europe/Berlin"', '"Europe/Berln"'),
        "shop.time_zone",
        "no such time zone",
        "Europe/Berlin",
    ),
    "a currency in small letters is shown in capitals": (
        ('"EUR"', '"eur"'),
        "shop.currency",
        "three capital letters",
        '"EUR"',
    ),
    "a mix that would all be lost is refused": (
        ("lost_g = 3 }", "lost_g = 250 }"),
        "materials.quick-cast.mix.lost_g",
        "lost",
        "less than 250",
    ),
    "a least mix above the most is refused": (
        ("least_mixed_g = 40", "least_mixed_g = 400"),
        "materials.slow-epoxy.mix.least_mixed_g",
        "more than the most",
        "at most 350",
    ),
    "an empty pack is refused": (
        ("contains = { short-glass = 750.5 }", "contains = {}"),
        "suppliers.landing.offers[2].contains",
        "holds nothing",
        "contains_m",
    ),
    "price breaks that do not rise are refused": (
        ('[[2, "39.50"], [5, "36.00"]]', '[[5, "36.00"], [2, "39.50"]]'),
        "suppliers.landing.offers[1].price_breaks",
        "must rise",
        "[[3,",
    ),
    "a lot without an amount is refused": (
        ("{ metres = 2.4 }", "{ expires = 2027-05-01 }"),
        "stock.steel-rod-2[1]",
        "grams or metres",
        "grams = 420",
    ),
    "two moulds of one number are refused": (
        ("{ number = 2 }", '{ number = "V1" }'),
        "moulds.vane-pressed.count",
        "numbered V1",
        "own number",
    ),
    "a process without operations is refused": (
        (
            '[[processes.bought-in-bar.operations]]\nname = "saw"\nper = "part"\n'
            "attended_min = 3\n",
            "operations = []\n",
        ),
        "processes.bought-in-bar.operations",
        "no operations",
        "at least one",
    ),
    "two conditioning operations are refused": (
        ('name = "reset"\nper = "pull"', 'name = "reset"\nper = "conditioning"'),
        "processes.pressed.operations",
        "both conditioning",
        "Keep one",
    ),
    "a key with a space is refused": (
        ("[stations.rack]", '[stations."drying rack"]'),
        'stations."drying rack"',
        "letters, digits, hyphens",
        "drying-rack",
    ),
    "true in quotes is refused": (
        ("hazardous = true", 'hazardous = "yes"'),
        "suppliers.landing.offers[1].hazardous",
        "true or false",
        "without quotes",
    ),
    "text without quotes is refused": (
        ('title = "Steering set"', "title = 7"),
        "sets.steering-set.title",
        "in quotes",
        '"7"',
    ),
    "a table in place of a list is refused": (
        ('skills = ["wet", "finish", "print"]', "skills = { wet = true }"),
        "people.ada.skills",
        "list",
        "square brackets",
    ),
    "another version of the format is refused": (
        ("format = 1", "format = 2"),
        "format",
        "not one of the words",
        "1",
    ),
}

# A second edit that lets the first stand alone.
ALSO = {
    "two conditioning operations are refused": ('from = "reset"', 'from = "mix"'),
    "a key with a space is refused": ('station = "rack"\n', ""),
}


@pytest.mark.parametrize("name", CASES)
def test_a_wrong_form_is_one_fault(name: str) -> None:
    edit, path, problem, remedy = CASES[name]
    fault = only_fault(edit, *([ALSO[name]] if name in ALSO else []))
    assert fault.path == path
    assert problem in fault.problem
    assert remedy in fault.remedy
    assert fault.line > 0
