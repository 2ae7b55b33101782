"""Reading files and folders: merging, places, and every fault at once."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from written_shop import WHOLE, edited, faults_in, line_of, only_fault, only_warning, whole_shop

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.part.shape import Tube
from mouldwright.domain.structure.kinds import MixStructure
from mouldwright.scenario.read import read_scenario, read_scenario_text


def split(tmp_path: Path) -> tuple[Path, Path, Path]:
    """Write the whole shop as a folder of two files, orders in both."""
    at = WHOLE.index("[[orders]]")
    cut = WHOLE.index("[[orders]]", at + 1)
    first, second = tmp_path / "a-shop.toml", tmp_path / "b-orders.toml"
    first.write_text(WHOLE[:cut], encoding="utf-8")
    second.write_text("format = 1\n" + WHOLE[cut:], encoding="utf-8")
    return tmp_path, first, second


def test_every_key_of_the_whole_shop_arrives() -> None:
    shop = whole_shop()
    assert shop.name == "The reed bank"
    assert shop.hours.weekly[4] == ((480, 750),)
    assert shop.people["jon"].weekly is not None
    assert shop.people["jon"].weekly[3] == ((600, 840),)
    assert shop.stations["rack"].room == 12
    structure = shop.processes["pressed"].structure
    assert isinstance(structure, MixStructure)
    assert (structure.fractions, structure.rule) == ("finished", "cox-krenchel")
    conditioning = shop.processes["pressed"].conditioning
    assert conditioning is not None
    assert conditioning.name == "wax"
    assert [o.name for o in shop.processes["pressed"].operations][:2] == ["reset", "mix"]
    load = shop.processes["pressed"].operation("load")
    # 4.5 min for each of two cavities, and a part alone rounded up to whole minutes
    assert (load.duration_min(2), load.duration_min(1)) == (9, 5)
    assert [m.number for m in shop.moulds["vane-pressed"].moulds] == ["V1", "2"]
    assert [m.number for m in shop.moulds["vane-cast"].moulds] == ["1", "2", "3"]
    assert isinstance(shop.parts["strut"].section, Tube)
    assert shop.sets["steering-set"].parts[0].count == 2
    assert shop.orders[1].number == "8"
    assert shop.orders[2].process == "printed"


def test_a_folder_reads_as_the_one_file_it_was_cut_from(tmp_path: Path) -> None:
    folder, first, second = split(tmp_path)
    read = read_scenario(folder)
    assert read.shop == whole_shop()
    assert read.files == (first, second)


def test_a_fault_in_a_folder_names_its_file_and_the_line_there(tmp_path: Path) -> None:
    folder, _, second = split(tmp_path)
    text = second.read_text(encoding="utf-8").replace("quantity = 1\n", "quantity = 0\n")
    second.write_text(text, encoding="utf-8")
    with pytest.raises(InvalidInput) as raised:
        read_scenario(folder)
    (fault,) = raised.value.faults
    assert (fault.file, fault.line) == ("b-orders.toml", line_of(text, "quantity = 0"))
    assert fault.path == 'orders["R-9"].quantity'


def test_a_key_given_twice_in_two_files_is_a_fault(tmp_path: Path) -> None:
    folder, _, second = split(tmp_path)
    with second.open("a", encoding="utf-8") as file:
        file.write('[people.ada]\nwage_per_hour = "18.00"\n')
    with pytest.raises(InvalidInput) as raised:
        read_scenario(folder)
    (fault,) = raised.value.faults
    assert fault.path == "people.ada.wage_per_hour"
    assert fault.file == "b-orders.toml"
    assert f"first in a-shop.toml, line {line_of(WHOLE, 'wage_per_hour')}" in fault.problem


def test_tables_of_two_files_join_where_no_key_comes_twice(tmp_path: Path) -> None:
    folder, _, second = split(tmp_path)
    with second.open("a", encoding="utf-8") as file:
        file.write('[people.ada]\ntitle = "Ada of the reeds"\n')
    assert read_scenario(folder).shop.people["ada"].title == "Ada of the reeds"


def test_a_text_that_is_not_toml_gives_file_and_line(tmp_path: Path) -> None:
    file = tmp_path / "torn.toml"
    file.write_text('format = 1\n[shop]\nname = "The reed bank\n', encoding="utf-8")
    with pytest.raises(InvalidInput) as raised:
        read_scenario(file)
    (fault,) = raised.value.faults
    assert (fault.file, fault.line) == ("torn.toml", 3)
    assert "not TOML" in fault.problem


def test_a_torn_file_of_a_folder_does_not_hide_the_faults_of_another(tmp_path: Path) -> None:
    folder, first, second = split(tmp_path)
    first.write_text(WHOLE.replace("good_rate = 0.95", "good_rate = 95"), encoding="utf-8")
    second.write_text("= 3\n", encoding="utf-8")
    with pytest.raises(InvalidInput) as raised:
        read_scenario(folder)
    assert [fault.file for fault in raised.value.faults] == ["a-shop.toml", "b-orders.toml"]


@pytest.mark.parametrize("name", ["nowhere.toml", "empty"])
def test_a_scenario_that_is_not_there_is_a_fault(tmp_path: Path, name: str) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(InvalidInput, match=name):
        read_scenario(tmp_path / name)


def test_a_file_that_is_not_text_is_a_fault(tmp_path: Path) -> None:
    file = tmp_path / "picture.toml"
    file.write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(InvalidInput, match="not UTF-8"):
        read_scenario(file)


def test_every_fault_is_named_at_once_in_the_order_of_the_file() -> None:
    text = edited(
        ('"17.40"', "17.40"),
        ("modulus_gpa = 72.0\n", "modulus_gpa = -72.0\n"),
        ("contains = { short-glass = 750.5 }", "contains = { shortglass = 750.5 }"),
        ('shape = "tube"', 'shape = "pipe"'),
        ("cavities = 2", "cavities = 0"),
        ("unattended_min = 900\n", ""),
        ('station = "rack"', 'station = "racks"'),
        ('pot_life_until = "pour"', 'pot_life_until = "pouring"'),
        ("quantity = 12", "quantity = 2.5"),
        ('due = "2027-04-09T12:00"', 'due = "next week"'),
        ('number = "R-9"', 'number = "R-7"'),
    )
    assert [fault.path for fault in faults_in(text)] == [
        "people.ada.wage_per_hour",
        "materials.short-glass.modulus_gpa",
        "suppliers.landing.offers[2].contains.shortglass",
        "parts.strut.section.shape",
        "moulds.vane-pressed.cavities",
        'processes.pressed.operations["cure"].attended_min',
        'processes.pressed.operations["dry"].station',
        'processes.cast.operations["mix"].pot_life_until',
        'orders["R-7"].quantity',
        'orders["8"].due',
        "orders[3].number",
    ]


def test_what_only_follows_from_a_fault_is_not_a_fault_of_its_own() -> None:
    # Without its span the part is gone, and with it what is ordered and what the moulds serve.
    assert only_fault(("span_mm = 210\n", "")).path == "parts.vane.span_mm"
    # Ada's wage is wrong: that nobody prints then is no second fault.
    assert only_fault(('"17.40"', "17.40")).path == "people.ada.wage_per_hour"
    # A misread currency does not put every amount in doubt.
    assert only_fault(('"EUR"', '"Euro"')).path == "shop.currency"


def test_places_in_lists_count_as_written_beside_an_entry_that_is_wrong() -> None:
    text = edited(
        ('price = "41.00"', "price = 41"),
        ("contains = { short-glass = 750.5 }", "contains = { shortglass = 750.5 }"),
    )
    assert [fault.path for fault in faults_in(text)] == [
        "suppliers.landing.offers[1].price",
        "suppliers.landing.offers[2].contains.shortglass",
    ]


def test_a_text_without_a_shop_says_what_to_add() -> None:
    with pytest.raises(InvalidInput) as raised:
        read_scenario_text("format = 1\n")
    assert [fault.path for fault in raised.value.faults] == ["shop"]


def minute(*, month: int, day: int, hour: int, minute: int = 0) -> int:
    """Return a minute of 2027 in UTC."""
    return minute_of(datetime(2027, month, day, hour, minute, tzinfo=UTC))


def test_a_due_date_is_the_end_of_the_opening_that_day_or_of_the_last_before() -> None:
    # 20 March 2027 is a Saturday: Friday closes 12:30 in Berlin, an hour ahead of UTC.
    assert whole_shop().orders[0].due is not None
    assert minute_of(whole_shop().orders[0].due) == minute(month=3, day=19, hour=11, minute=30)
    # 18 March is an open Thursday, closing 16:45.
    text = edited(('due = "2027-03-20"', "due = 2027-03-18"))
    due = read_scenario_text(text).shop.orders[0].due
    assert due is not None
    assert minute_of(due) == minute(month=3, day=18, hour=15, minute=45)


def test_a_time_that_the_clocks_skip_is_refused_with_the_one_after() -> None:
    # Berlin's clocks go from 02:00 to 03:00 on 28 March 2027 (last Sunday of March).
    fault = only_fault(('"2027-04-09T12:00"', '"2027-03-28T02:30"'))
    assert fault.path == 'orders["8"].due'
    assert "skip" in fault.problem
    assert "2027-03-28T03:30" in fault.remedy


def test_a_time_that_comes_twice_is_the_first_and_says_how_to_mean_the_second() -> None:
    # Berlin's clocks go from 03:00 back to 02:00 on 31 October 2027.
    edit = ('"2027-04-09T12:00"', '"2027-10-31T02:30"')
    assert "+01:00" in only_warning(edit).remedy
    due = read_scenario_text(edited(edit)).shop.orders[1].due
    assert due is not None
    # Summer time is two hours ahead of UTC: the first 02:30 is 00:30 there.
    assert minute_of(due) == minute(month=10, day=31, hour=0, minute=30)


def test_a_time_with_an_offset_is_that_instant() -> None:
    due = whole_shop().orders[2].due
    assert due is not None
    assert minute_of(due) == minute(month=3, day=12, hour=9)


def test_the_mean_rule_is_no_service_level() -> None:
    text = edited(("service_level = 0.90", 'service_level = "mean"'))
    assert read_scenario_text(text).shop.service_level is None
