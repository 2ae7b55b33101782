"""What is written reads back to an equal shop."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logged_entries import logs
from written_shop import whole_shop

from mouldwright.domain.hours.opening import DayTimes, OpeningHours
from mouldwright.domain.material import Fibre, Lot, Material, Mix, Stock
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Coordinates, Ellipse, Polygon, Rectangle
from mouldwright.domain.process.heat import Heat
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.room import Room, RoomState, Session
from mouldwright.domain.shop import Person, PricePolicy, Shop, Station
from mouldwright.domain.supplier import Offer, Supplier
from mouldwright.domain.warmth import Season, Temperatures, Warmth
from mouldwright.scenario.assemble import assemble
from mouldwright.scenario.demo import demo_names, open_demo
from mouldwright.scenario.read import read_scenario_text
from mouldwright.scenario.write import write_scenario
from mouldwright.wire.scenario import Scenario

ZONES = ["Europe/Lisbon", "Europe/Berlin", "Australia/Lord_Howe", "America/St_Johns", "UTC"]

keys = st.from_regex(r"[a-zé_][a-z0-9_-]{0,8}", fullmatch=True)
texts = st.text(min_size=1, max_size=12).filter(str.strip)
money = st.decimals(0, 10_000, places=2)
amounts = st.decimals(0, 5000, places=3)
amounts_above = st.decimals("0.001", 5000, places=3)
rates = st.decimals(0, "0.99", places=4)
sizes = st.floats(1e-6, 1e6)
degrees = st.decimals(-20, 90, places=1)
cautions = st.lists(texts, max_size=2).map(tuple)


@st.composite
def days(draw: st.DrawFn) -> DayTimes:
    cuts = sorted(draw(st.sets(st.integers(0, 1439), max_size=4)))
    found = list(zip(cuts[::2], cuts[1::2], strict=False))
    if found and draw(st.booleans()):
        found[-1] = (found[-1][0], draw(st.integers(found[-1][0] + 1, 2880)))
    return tuple(found)


weeks = st.tuples(*[days()] * 7)
dates = st.dates(date(2026, 1, 1), date(2028, 12, 31))


def moments(zone: str) -> st.SearchStrategy[datetime]:
    """Return instants of any minute, those of an hour that comes twice too."""
    first = datetime(2026, 1, 1, tzinfo=UTC)
    return st.integers(0, 3 * 525_600).map(
        lambda minute: (first + timedelta(minutes=minute)).astimezone(ZoneInfo(zone))
    )


@st.composite
def materials(draw: st.DrawFn, key: str) -> Material:
    mix = None
    if draw(st.booleans()):
        most = draw(st.decimals(100, 900, places=1))
        mix = Mix(
            parts=draw(st.dictionaries(keys, amounts_above, min_size=1, max_size=3)),
            pot_life_min=draw(st.integers(0, 500)),
            most_mixed_g=most,
            by=draw(st.sampled_from(["mass", "volume"])),
            least_mixed_g=draw(st.decimals(0, most, places=1)),
            lost_g=draw(st.decimals(0, 99, places=1)),
            lost_share=draw(rates),
        )
    return Material(
        key=key,
        title=draw(texts),
        density_kg_m3=draw(sizes),
        modulus_gpa=draw(st.none() | sizes),
        fibre=draw(st.none() | st.builds(Fibre, length_mm=sizes, diameter_um=sizes)),
        mix=mix,
        shelf_life_days=draw(st.none() | st.integers(0, 900)),
        cost_per_kg=draw(st.none() | money),
        warmth=draw(
            st.none() | st.builds(Warmth, reference_c=degrees, least_c=st.none() | degrees)
        ),
        cautions=draw(cautions),
    )


points = st.lists(st.tuples(sizes, sizes), min_size=3, max_size=5).map(tuple)
shapes = st.one_of(
    st.builds(Polygon, points_mm=points, holes_mm=st.tuples(points), tip_scale=sizes),
    st.builds(Rectangle, width_mm=sizes, height_mm=sizes, tip_width_mm=st.none() | sizes),
    st.builds(Ellipse, width_mm=sizes, height_mm=sizes, tip_height_mm=st.none() | sizes),
    st.builds(Coordinates, points=points, chord_mm=sizes, source=st.just("a.dat")),
)


@st.composite
def heats(draw: st.DrawFn) -> Heat:
    from_c = draw(st.decimals(0, 40, places=1))
    return Heat(
        hold_c=from_c + draw(st.decimals("0.1", 150, places=1)),
        hold_min=draw(amounts),
        ramp_c_per_h=draw(st.decimals("0.5", 90, places=1)),
        from_c=from_c,
        cool_c_per_h=draw(st.none() | st.decimals("0.5", 90, places=1)),
    )


@st.composite
def operations(draw: st.DrawFn, name: str) -> Operation:
    least = draw(st.integers(0, 60))
    in_room = draw(st.none() | keys)
    attended = draw(st.booleans())
    if draw(st.integers(0, 4)) == 0:
        heat = draw(heats())
        return Operation(
            name=name, per="batch", attended=False, fixed_min=Decimal(heat.minutes), heat=heat
        )
    return Operation(
        name=name,
        per=draw(st.sampled_from(["order", "batch", "pull", "part"])),
        attended=attended,
        fixed_min=draw(amounts),
        each_min=draw(amounts),
        cures=None if attended else draw(st.none() | keys),
        failures_per_hour=Decimal(0) if attended else draw(amounts),
        people=draw(st.integers(1, 4)),
        skill=draw(st.none() | texts),
        in_room=in_room,
        room_state=None if in_room is None else draw(texts),
        after=draw(cautions),
        wait_min=least,
        wait_max_min=draw(st.none() | st.integers(least, 900)),
        interruptible=draw(st.booleans()),
        good_rate=draw(st.decimals("0.01", 1, places=3)),
        batch_g=draw(st.none() | amounts_above),
        cautions=draw(cautions),
    )


def lots(key: str) -> st.SearchStrategy[Lot]:
    names, days = st.just("") | texts, st.none() | dates
    return st.builds(
        Lot, material=st.just(key), grams=amounts, expires=days, name=names, paid=st.none() | money
    )


@st.composite
def mould_families(draw: st.DrawFn, key: str) -> MouldFamily:
    listed = st.lists(
        st.builds(Mould, number=texts, pulls=st.integers(0, 99)),
        unique_by=lambda mould: mould.number,
        max_size=3,
    ).map(tuple)
    counted = st.integers(0, 4).map(
        lambda count: tuple(Mould(number=str(n + 1)) for n in range(count))
    )
    return MouldFamily(
        key=key,
        part=draw(keys),
        process=draw(keys),
        moulds=draw(listed | counted),
        cavities=draw(st.integers(1, 4)),
        coats=draw(st.lists(st.integers(0, 5), max_size=3).map(tuple)),
        cost=draw(st.none() | money),
        lead_days=draw(st.none() | st.integers(0, 60)),
    )


@st.composite
def orders(draw: st.DrawFn, number: str, zone: str) -> Order:
    quantity = draw(st.integers(1, 100_000))
    return Order(
        number=number,
        part=draw(keys),
        quantity=quantity,
        process=draw(keys),
        customer=draw(st.text(max_size=12)),
        due=draw(st.none() | moments(zone)),
        weight=draw(st.integers(0, 9)),
        release=draw(st.none() | moments(zone)),
        starts=draw(st.none() | st.integers(quantity, 200_000)),
    )


def by_key(draw: st.DrawFn, make: object) -> dict[str, object]:
    names = draw(st.lists(keys, max_size=2, unique=True))
    return {name: draw(make(name)) for name in names}


def offers(supplier: str) -> st.SearchStrategy[tuple[Offer, ...]]:
    contents = st.dictionaries(keys, amounts_above, min_size=1, max_size=2)
    breaks = st.just(()) | st.tuples(
        st.tuples(st.just(3), money), st.tuples(st.integers(4, 90), money)
    )
    packs = st.tuples(contents, money, breaks, st.booleans())
    return st.lists(packs, max_size=2).map(
        lambda found: tuple(
            Offer(
                supplier=supplier,
                number=number,
                contains_g=grams,
                price=price,
                price_breaks=rising,
                hazardous=hazardous,
            )
            for number, (grams, price, rising, hazardous) in enumerate(found, start=1)
        )
    )


@st.composite
def temperatures(draw: st.DrawFn) -> Temperatures:
    begins = draw(st.lists(st.dates(date(2028, 1, 1), date(2028, 12, 31)), min_size=1, max_size=3))
    days = sorted({(day.month, day.day) for day in begins})
    return Temperatures(
        seasons=tuple(
            Season(begins=day, day_c=draw(degrees), night_c=draw(degrees)) for day in days
        ),
        day=draw(st.sampled_from([(420, 1140), (0, 1440), (300, 1290)])),
    )


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    zone = draw(st.sampled_from(ZONES))
    hours = OpeningHours(
        weekly=draw(weeks),
        zone=zone,
        closed=draw(st.frozensets(dates, max_size=4)),
        one_off=draw(st.dictionaries(dates, days(), max_size=2)),
    )
    stock = by_key(draw, lambda key: st.lists(lots(key), max_size=2).map(tuple))
    return Shop(
        name=draw(texts),
        currency=Currency("EUR"),
        hours=hours,
        price=PricePolicy(
            rule="mark-up", rate=draw(amounts), least_order=draw(money), breaks=(1, 7)
        ),
        start=draw(st.none() | moments(zone)),
        counted=draw(st.none() | moments(zone)),
        service_level=draw(st.none() | st.decimals("0.01", "0.99", places=2)),
        theory_factor=draw(st.floats(0.1, 1)),
        temperatures=draw(st.none() | temperatures()),
        unbillable_share=draw(rates),
        people=by_key(
            draw,
            lambda key: st.builds(
                Person,
                key=st.just(key),
                title=texts,
                skills=st.frozensets(texts, max_size=3),
                wage_per_hour=money,
                weekly=st.none() | weeks,
            ),
        ),
        stations=by_key(
            draw,
            lambda key: st.builds(
                Station, key=st.just(key), title=texts, cost_per_hour=money, weekly=weeks
            ),
        ),
        rooms=by_key(
            draw,
            lambda key: st.builds(
                Room,
                key=st.just(key),
                title=texts,
                states=st.lists(texts, min_size=1, max_size=3, unique=True).map(
                    lambda names: tuple(
                        RoomState(name=name, settle_min=n or None) for n, name in enumerate(names)
                    )
                ),
                settle_min=st.integers(0, 99),
            ),
        ),
        sessions=by_key(
            draw,
            lambda key: st.builds(
                Session,
                key=st.just(key),
                title=texts,
                skill=texts,
                gear_up_min=st.integers(0, 99),
                clean_down_min=st.integers(0, 99),
            ),
        ),
        materials=by_key(draw, materials),
        suppliers=by_key(
            draw,
            lambda key: st.builds(
                Supplier, key=st.just(key), title=texts, shipping=money, offers=offers(key)
            ),
        ),
        stock=Stock(lots=stock),
        parts=by_key(
            draw,
            lambda key: st.builds(
                Part, key=st.just(key), title=texts, span_mm=sizes, section=shapes
            ),
        ),
        moulds=by_key(draw, mould_families),
        processes=by_key(
            draw,
            lambda key: st.builds(
                Process,
                key=st.just(key),
                title=texts,
                structure=st.none(),
                operations=st.tuples(operations("a step"), operations("another")),
                squeeze_out=amounts,
                cautions=cautions,
            ),
        ),
        orders=tuple(
            draw(orders(number, zone)) for number in draw(st.sampled_from([(), ("1", "b é")]))
        ),
        log=draw(logs(moments(zone))),
    )


def read_back(text: str) -> Shop:
    """Return the shop of a text, whether or not its things fit each other."""
    document = tomllib.loads(text, parse_float=Decimal)
    shop, faults = assemble(Scenario.model_validate(document), {})
    assert faults == []
    return shop


def instants(shop: Shop) -> list[float | None]:
    times = [
        *(shop.start, shop.counted),
        *(time for order in shop.orders for time in (order.due, order.release)),
        *(time for entry in shop.log for time in (entry.at, entry.noted_at, entry.until)),
    ]
    return [time.timestamp() if time else None for time in times]


@settings(max_examples=60, deadline=None)
@given(shops())
def test_any_shop_reads_back_equal(shop: Shop) -> None:
    again = read_back(write_scenario(shop))
    assert again == shop
    # Times of one zone compare by the clock on the wall, so an hour that comes twice needs
    # its instants compared.
    assert instants(again) == instants(shop)


@settings(max_examples=20, deadline=None)
@given(shops())
def test_what_is_read_back_writes_the_same_text(shop: Shop) -> None:
    text = write_scenario(shop)
    assert write_scenario(read_back(text)) == text


def test_the_whole_shop_reads_back_equal_with_every_check() -> None:
    shop = whole_shop()
    assert read_scenario_text(write_scenario(shop)).shop == shop


@pytest.mark.parametrize("name", demo_names())
def test_a_demo_shop_reads_back_equal(name: str) -> None:
    shop = open_demo(name).shop
    assert read_scenario_text(write_scenario(shop)).shop == shop


def test_a_difference_is_not_lost() -> None:
    shop = whole_shop()
    other = replace(shop, overhead_per_hour=Decimal("5.26"))
    assert read_scenario_text(write_scenario(other)).shop != shop


def test_defaults_are_not_written() -> None:
    text = write_scenario(whole_shop())
    assert "theory_factor" not in text
    assert "interruptible = false" not in text


def test_there_are_demo_shops_and_they_are_sound() -> None:
    assert demo_names()
    for name in demo_names():
        assert open_demo(name).shop.orders
