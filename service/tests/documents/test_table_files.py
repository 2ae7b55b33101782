"""Tables as files, read back: what is a number, a day, an amount, and what is no formula."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from promise_bench import DEMO

from mouldwright.documents.table_file import form_of, table_file
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.enquiry import finish_by_rate
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.tables import sheet
from mouldwright.usecases.tables.every import TABLES, TableAsk
from mouldwright.usecases.tables.read import written_table

BERLIN = ZoneInfo("Europe/Berlin")
NOW = minute_of(DEMO.start)
COLUMNS = (
    sheet.text("words", "some words"),
    sheet.whole("count", "a count"),
    sheet.number("mass_g", "grams"),
    sheet.money("net", "an amount"),
    sheet.day("day", "a day"),
    sheet.moment("at", "a time"),
    sheet.yes_or_no("is_so", "whether it is so"),
)
ROW = (
    "Größe, \"M\"\nund mehr", 3, 12.5, Decimal("1234.5"), date(2027, 3, 28),
    datetime(2027, 3, 28, 3, 30, tzinfo=BERLIN), True,
)  # fmt: skip


def of(*rows, currency="EUR", columns=COLUMNS):
    return sheet.SheetTable(
        name="t", title="A table", currency=currency, zone="Europe/Berlin", columns=columns,
        rows=rows,
    )  # fmt: skip


def csv_rows(table):
    text = table_file(table, "csv").decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def book(table):
    return openpyxl.load_workbook(io.BytesIO(table_file(table, "xlsx")))


def cells(table):
    return [list(row) for row in book(table)["A table"].iter_rows()]


def test_a_csv_says_days_and_times_as_the_standard_does_and_amounts_to_the_cent():
    head, row = csv_rows(of(ROW))
    assert head == ["words", "count", "mass_g", "net", "day", "at", "is_so"]
    # ISO 8601, with the offset of summer time: the clock in Berlin was set at 02:00 that day.
    assert row == [
        'Größe, "M"\nund mehr', "3", "12.5", "1234.50", "2027-03-28", "2027-03-28T03:30+02:00",
        "yes",
    ]  # fmt: skip


def test_a_workbook_has_numbers_days_and_amounts_of_their_kind():
    head, row = cells(of(ROW))
    assert [cell.value for cell in head] == [column.name for column in COLUMNS]
    values = [cell.value for cell in row]
    assert values[:4] == ['Größe, "M"\nund mehr', 3, 12.5, 1234.5]
    assert values[4] == datetime(2027, 3, 28)
    # A workbook knows no zone: it shows what the clock of the shop shows.
    assert values[5] == datetime(2027, 3, 28, 3, 30)
    assert values[6] is True
    assert row[3].number_format == "#,##0.00"
    assert [cell.is_date for cell in row] == [False] * 4 + [True, True, False]


def test_an_instant_of_another_zone_is_shown_by_the_shops_clock():
    noon = datetime(2027, 7, 1, 12, tzinfo=ZoneInfo("UTC"))
    table = of((None, None, None, None, None, noon, None))
    assert csv_rows(table)[1][5] == "2027-07-01T14:00+02:00"
    assert cells(table)[1][5].value == datetime(2027, 7, 1, 14)


@pytest.mark.parametrize(("currency", "shown"), [("JPY", "1235"), ("KWD", "1234.500")])
def test_an_amount_has_the_decimals_of_its_currency(currency, shown):
    # ISO 4217: no minor unit for JPY, three digits for KWD. Halves go away from zero.
    assert csv_rows(of(ROW, currency=currency))[1][3] == shown
    decimals = len(shown.partition(".")[2])
    wanted = f"#,##0.{'0' * decimals}" if decimals else "#,##0"
    assert cells(of(ROW, currency=currency))[1][3].number_format == wanted


@pytest.mark.parametrize("begins", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_words_that_begin_like_a_formula_stay_words(begins):
    words = f'{begins}HYPERLINK("http://a.example","x")'
    table = of((words, *ROW[1:]))
    assert csv_rows(table)[1][0].startswith("'")
    cell = cells(table)[1][0]
    assert cell.data_type == "s"
    assert cell.quotePrefix
    assert cell.value.endswith(words[1:])


def test_a_number_below_zero_stays_a_number():
    table = of(("a", -3, -1.5, Decimal(-2), None, None, False))
    assert csv_rows(table)[1][1:4] == ["-3", "-1.5", "-2.00"]
    assert [cell.value for cell in cells(table)[1][1:4]] == [-3, -1.5, -2]


# XML 1.0 (section 2.2, Char) cannot hold these two; a workbook writes them another way.
TYPED = st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff")


@given(st.text(alphabet=TYPED, min_size=1, max_size=40))
def test_whatever_is_typed_comes_back_and_is_never_a_formula(words):
    table = of((words,), columns=COLUMNS[:1])
    (read,) = csv_rows(table)[1]
    assert read.removeprefix("'") == words.removeprefix("'")
    assert not read.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert cells(table)[1][0].value == words


@pytest.mark.parametrize("words", ["a\ufffeb", "\uffff"])
def test_what_xml_cannot_hold_makes_no_workbook_that_cannot_be_read(words):
    # ISO/IEC 29500-1, ST_Xstring: _xHHHH_ (from memory). The reader here leaves it as it stands.
    table = of((words,), columns=COLUMNS[:1])
    assert cells(table)[1][0].value == words.replace("\ufffe", "_xFFFE_").replace(
        "\uffff", "_xFFFF_"
    )


def test_a_second_sheet_says_what_the_columns_mean():
    rows = [tuple(cell.value for cell in row) for row in book(of(ROW))["Columns"].iter_rows()]
    assert rows[0] == ("column", "what it says")
    assert ("net", "an amount, in EUR") in rows
    assert ("at", "a time, by the clock of Europe/Berlin") in rows


def test_the_same_table_is_the_same_file():
    assert table_file(of(ROW), "xlsx") == table_file(of(ROW), "xlsx")


def test_a_form_that_there_is_not_is_refused():
    with pytest.raises(InvalidInput):
        form_of("ods", path="--out")


@pytest.fixture(scope="module")
def plan():
    return make_plan(DEMO, now=NOW, seconds=0.0, seed=1)


def made(name, plan, **asked):
    ask = TableAsk(**({"part": "stabiliser", "quantity": 24} | asked))
    return written_table(DEMO, plan, name, ask, now=NOW, finish=finish_by_rate)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_of_the_demo_is_read_back_row_by_row_in_both_forms(name, plan):
    table = made(name, plan)
    rows = csv_rows(table)
    assert len(rows) == len(table.rows) + 1
    workbook = book(table)
    back = list(workbook[workbook.sheetnames[0]].iter_rows(values_only=True))
    assert len(back) == len(table.rows) + 1
    for told, read in zip(table.rows, back[1:], strict=True):
        for column, was, cell in zip(table.columns, told, read, strict=True):
            if was is None or was == "":
                assert cell is None, column.name
            elif column.kind in ("whole", "number", "money"):
                assert cell == pytest.approx(float(was), abs=0.005), column.name


def test_the_rows_are_those_of_the_shop(plan):
    assert {row[0] for row in made("orders", plan).rows} == {o.number for o in DEMO.orders}
    assert {row[0] for row in made("parts", plan).rows} == set(DEMO.parts)
    moulds = sum(len(family.moulds) for family in DEMO.moulds.values())
    assert len(made("moulds", plan).rows) == moulds
    tasks = made("plan", plan)
    assert len(tasks.rows) == len(plan.tasks)
    minutes = sum(end - start for task in plan.tasks for start, end in task.spans)
    at = [column.name for column in tasks.columns].index("worked_min")
    assert sum(row[at] for row in tasks.rows) == minutes


def test_the_lines_of_what_to_buy_add_up_to_what_is_paid(plan):
    from mouldwright.usecases.buying import to_buy

    table = made("buy-list", plan)
    at = [column.name for column in table.columns].index("amount")
    total = sum(row[at] for row in table.rows)
    assert total == to_buy(DEMO, now=NOW).found.best.total > 0


def test_a_day_is_one_persons_or_everyones(plan):
    busy = [t.start for t in plan.tasks if "tomas" in t.people]
    day = local(min(busy), plan.zone).date()
    every, mine = made("day-sheet", plan, day=day), made("day-sheet", plan, day=day, person="ines")
    assert {row[0] for row in mine.rows} == {"ines"}
    assert set(mine.rows) < set(every.rows)
    with pytest.raises(InvalidInput, match="no such person"):
        made("day-sheet", plan, person="nobody")


def test_names_of_tables_and_columns_are_plain_and_met_once():
    for kind in TABLES.values():
        names = [column.name for column in kind.columns]
        assert len(names) == len(set(names))
        assert all(name.replace("_", "").isalnum() and name.islower() for name in names)


def test_a_table_that_there_is_not_is_unknown(plan):
    with pytest.raises(Unknown):
        made("nothing", plan)


def test_a_row_of_another_length_is_no_row():
    with pytest.raises(ValueError, match="under 7 columns"):
        of(ROW[:3])


def test_a_customer_with_a_formula_for_a_name_is_only_words(plan):
    orders = (replace(DEMO.orders[0], customer="=1+1"), *DEMO.orders[1:])
    shop = replace(DEMO, orders=orders)
    table = written_table(shop, plan, "orders", TableAsk(), now=NOW, finish=finish_by_rate)
    assert "'=1+1" in csv_rows(table)[1]
