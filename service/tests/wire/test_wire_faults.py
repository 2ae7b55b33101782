"""One value that cannot be right, one fault that says what would be."""

from __future__ import annotations

import pytest
from written_shop import WHOLE, edited, line_of, only_fault, whole_shop

# what is edited, into what; the key path; words of the problem; words of the remedy
CASES = {
    "an unknown key names the nearest known one": (
        ("density_kg_m3 = 2550", "density_kg_m3 = 2550\ndensty = 1"),
        "materials.short-glass.densty",
        "no such key",
        "Did you mean density_kg_m3?",
    ),
    "a misspelt key that must be there is one fault, not two": (
        ("density_kg_m3 = 2550", "densty_kg_m3 = 2550"),
        "materials.short-glass.densty_kg_m3",
        "no such key",
        "density_kg_m3",
    ),
    "an unknown section names the nearest one": (
        ("[stock]", "[stocks]"),
        "stocks",
        "no such key",
        "Did you mean stock?",
    ),
    "a missing key is named with its unit": (
        ("density_kg_m3 = 2550\n", ""),
        "materials.short-glass.density_kg_m3",
        "missing",
        "density_kg_m3 (kg/m³)",
    ),
    "money as a float is shown as the string to write": (
        ('"17.40"', "17.40"),
        "people.ada.wage_per_hour",
        "as a string",
        '"17.40"',
    ),
    "money as a whole number is shown as the string to write": (
        ('cost = "30.00"', "cost = 30"),
        "moulds.vane-cast.cost",
        "as a string",
        '"30"',
    ),
    "money with a comma is shown with a point": (
        ('"17.40"', '"17,40"'),
        "people.ada.wage_per_hour",
        "decimal point",
        '"17.40"',
    ),
    "money with its currency is refused": (
        ('"17.40"', '"EUR 17.40"'),
        "people.ada.wage_per_hour",
        "not an amount",
        '"15.00"',
    ),
    "a negative cost of a consumable is refused": (
        ('cost = "0.60"', 'cost = "-0.60"'),
        'processes.pressed.consumables["gloves"].cost',
        "negative",
        "0.00",
    ),
    "a quantity of nothing is refused": (
        ("quantity = 12", "quantity = 0"),
        'orders["R-7"].quantity',
        "whole number ≥ 1",
        "such as 24",
    ),
    "a quantity below nothing is refused": (
        ("quantity = 12", "quantity = -3"),
        'orders["R-7"].quantity',
        "whole number ≥ 1",
        "such as 24",
    ),
    "half a part is refused": (
        ("quantity = 12", "quantity = 2.5"),
        'orders["R-7"].quantity',
        "whole number",
        "such as 24",
    ),
    "a quantity in quotes is shown without them": (
        ("quantity = 12", 'quantity = "12"'),
        'orders["R-7"].quantity',
        "without quotes",
        "Write 12.",
    ),
    "a quantity past the cap is refused": (
        ("quantity = 12", "quantity = 100001"),
        'orders["R-7"].quantity',
        "≤ 100000",
        "such as 24",
    ),
    "fewer starts than parts are refused": (
        ("starts = 3", "starts = 1"),
        'orders["8"].starts',
        "fewer starts",
        "at least 2",
    ),
    "a yield of nothing is refused": (
        ("good_rate = 0.95", "good_rate = 0"),
        'processes.pressed.operations["inspect"].good_rate',
        "> 0 and ≤ 1",
        "such as 0.94",
    ),
    "a yield of 110 % is refused": (
        ("good_rate = 0.95", "good_rate = 1.1"),
        'processes.pressed.operations["inspect"].good_rate',
        "> 0 and ≤ 1",
        "such as 0.94",
    ),
    "a yield written as a percentage is shown as a share": (
        ("good_rate = 0.95", "good_rate = 95"),
        'processes.pressed.operations["inspect"].good_rate',
        "> 0 and ≤ 1",
        "95 % is written 0.95",
    ),
    "a margin of the whole price is refused": (
        ("rate = 0.40", "rate = 1"),
        "shop.price.rate",
        "below 1",
        "mark-up",
    ),
    "a service level of certainty is refused": (
        ("service_level = 0.90", "service_level = 1"),
        "shop.service_level",
        "< 1",
        "0.90",
    ),
    "a service level in other words is refused": (
        ("service_level = 0.90", 'service_level = "average"'),
        "shop.service_level",
        "not a service level",
        '"mean"',
    ),
    "a negative time is refused": (
        ("attended_min = 20", "attended_min = -20"),
        'processes.pressed.operations["wax"].attended_min',
        "≥ 0",
        "such as",
    ),
    "an operation without a time is refused": (
        ("unattended_min = 900\n", ""),
        'processes.pressed.operations["cure"].attended_min',
        "no time",
        "unattended_min",
    ),
    "an operation of both kinds is refused": (
        ("unattended_min = 900", "unattended_min = 900\nattended_each_min = 1"),
        'processes.pressed.operations["cure"].unattended_min',
        "not both",
        "split it",
    ),
    "a greatest wait below the least is refused": (
        ("wait_min = 1\n", "wait_min = 16\n"),
        'processes.pressed.operations["close"].wait_max_min',
        "less than the least",
        "at least 16",
    ),
    "an unknown kind of operation names the kinds": (
        ('per = "order"', 'per = "job"'),
        'sets.steering-set.operations["pack"].per',
        "not one of the words",
        '"batch"',
    ),
    "an unknown shape names the nearest one": (
        ('shape = "tube"', 'shape = "tub"'),
        "parts.strut.section.shape",
        "no such kind",
        "Did you mean tube?",
    ),
    "a shape that is not said is asked for": (
        ('shape = "tube", ', ""),
        "parts.strut.section.shape",
        "missing",
        "Add shape",
    ),
    "a key of another shape is unknown here": (
        ("inner_mm = 12", "inner_mm = 12, chord_mm = 5"),
        "parts.strut.section.chord_mm",
        "no such key",
        "Did you mean",
    ),
    "a bore as wide as its tube is refused": (
        ("inner_mm = 12", "inner_mm = 16"),
        "parts.strut.section.inner_mm",
        "as wide",
        "less than 16",
    ),
    "a section's code without quotes is shown with its zeros": (
        ('code = "0010"', "code = 12"),
        "parts.vane.section.code",
        "text",
        '"0012"',
    ),
    "a size of nothing is refused": (
        ("span_mm = 210", "span_mm = 0"),
        "parts.vane.span_mm",
        "> 0",
        "such as 12.5",
    ),
    "an endless size is refused": (
        ("span_mm = 210", "span_mm = inf"),
        "parts.vane.span_mm",
        "finite",
        "such as 12.5",
    ),
    "a load given twice is refused": (
        ("force_n = 9", "force_n = 9, speed_m_s = 3"),
        "parts.vane.requirement.speed_m_s",
        "given twice",
        "force_n or",
    ),
    "a load half given names what is missing": (
        ("lift_coefficient = 0.4, ", ""),
        "parts.strut.requirement.lift_coefficient",
        "not given",
        "fluid_density_kg_m3",
    ),
    "elastic mounts without their stiffness are refused": (
        (", mount_n_mm_per_rad = 2.0e5", ""),
        "parts.strut.requirement.mount_n_mm_per_rad",
        "need their stiffness",
        "mount_n_mm_per_rad",
    ),
    "an end load on a part held at both ends is refused": (
        ('support = "cantilever"', 'support = "simply supported"'),
        "parts.vane.requirement.load",
        "no free end",
        '"centre"',
    ),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_wrong_value_is_one_fault(case: tuple[tuple[str, str], str, str, str]) -> None:
    edit, path, problem, remedy = case
    fault = only_fault(edit)
    assert fault.path == path
    assert problem in fault.problem
    assert remedy in fault.remedy
    assert fault.file == "shop.toml"


def test_a_fault_gives_the_line_and_the_value_as_written() -> None:
    text = edited(("quantity = 12", "quantity = 2.5"))
    fault = only_fault(("quantity = 12", "quantity = 2.5"))
    assert fault.line == line_of(text, "quantity = 2.5")
    assert fault.value == "2.5"
    assert str(fault).startswith(f'shop.toml:{fault.line}: orders["R-7"].quantity = 2.5: ')


def test_a_missing_key_is_placed_at_its_table() -> None:
    fault = only_fault(("density_kg_m3 = 2550\n", ""))
    assert fault.line == line_of(WHOLE, "[materials.short-glass]")


def test_numbers_are_read_exactly_as_written() -> None:
    shop = whole_shop()
    # 0.21 has no exact binary value; as written it is 21/100.
    assert shop.people["ada"].on_cost_rate * 100 == 21
    assert shop.suppliers["landing"].offers[1].contains_g["short-glass"] * 2 == 1501


def test_titles_come_from_keys_unless_given() -> None:
    shop = whole_shop()
    assert shop.materials["steel-rod-2"].title == "Steel rod 2"
    assert shop.people["jon"].title == "Jon the younger"
    assert shop.processes["bought-in-bar"].title == "Bought in bar"
