from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import attended, mould_hold, person, process, resin, shop, unattended
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.process.batch import (
    Batching,
    BatchLoad,
    batchings,
    even_split,
    runs_of_batches,
)
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.shop import Shop, Station


def poured(*, load_min: str = "0", mix_min: str = "2", **more: str) -> Process:
    return process(
        attended("mix", "batch", mix_min, material="resin", pot_life_until="pour"),
        attended("pour", "pull", load_min, **more),
        unattended("cure", "pull", "15"),
    )


def brings(grams: str, parts: int = 1) -> BatchLoad:
    return BatchLoad(parts=parts, mixed_g={"resin": Fraction(grams)}, mass_g=Fraction(grams))


def only(shop_: Shop, way: Process, load: BatchLoad, moulds: int = 100) -> Batching:
    (run,) = batchings(shop_, way, load, moulds=moulds)
    return run


def test_four_moulds_of_120_grams_at_150_a_mix_take_four_mixes_of_120() -> None:
    # A pull is never split over two mixes: not 150 + 150 + 150 + 30.
    run = only(shop(resin(most_mixed_g=Decimal(150))), poured(), brings("120"))
    assert run.sizes(4) == (1, 1, 1, 1)
    assert [run.mixes[0].mixed_g(size) for size in run.sizes(4)] == [120] * 4


def test_what_is_lost_in_the_cup_is_inside_the_most_mixed() -> None:
    # 2 x 120 + 10 = 250 fits 250; with 11 lost it does not.
    tight = shop(resin(most_mixed_g=Decimal(250), lost_g=Decimal(10)))
    assert only(tight, poured(), brings("120")).most == 2
    over = shop(resin(most_mixed_g=Decimal(250), lost_g=Decimal(11)))
    assert only(over, poured(), brings("120")).most == 1


def test_a_share_lost_comes_on_top_of_what_the_parts_take() -> None:
    lossy = shop(resin(lost_share=Decimal("0.25"), most_mixed_g=Decimal(150)))
    run = only(lossy, poured(), brings("60"))
    assert (run.most, run.mixes[0].mixed_g(2)) == (2, 150)


def test_below_the_least_the_least_is_mixed() -> None:
    run = only(shop(resin(least_mixed_g=Decimal(60), lost_g=Decimal(4))), poured(), brings("10"))
    assert run.mixes[0].mixed_g(1) == 60
    assert run.mixes[0].mixed_g(6) == 64


def test_one_pull_that_needs_more_than_the_most_cannot_be_poured_at_once() -> None:
    with pytest.raises(HardLimit) as raised:
        only(shop(resin(most_mixed_g=Decimal(150))), poured(), brings("400"))
    assert "400 g of resin" in str(raised.value)
    assert "staged pour or another resin" in str(raised.value)


def test_a_pot_life_too_short_for_one_asks_for_cooler_work_or_a_slower_hardener() -> None:
    # At 30 degrees a pot life of 12.5 min is not enough for 3 + 10 min; here 12 for 13.
    warm = shop(resin(pot_life_min=12))
    with pytest.raises(HardLimit) as raised:
        only(warm, poured(load_min="13"), brings("100"))
    assert "cooler" in str(raised.value)
    assert "slower hardener" in str(raised.value)


def test_pot_life_may_end_exactly_with_the_last_pour() -> None:
    assert only(shop(resin(pot_life_min=40)), poured(load_min="20"), brings("10")).most == 2
    assert only(shop(resin(pot_life_min=39)), poured(load_min="20"), brings("10")).most == 1


def test_two_pairs_of_hands_work_two_pulls_at_a_time() -> None:
    two = shop(resin(pot_life_min=40), person("ann"), person("bo"))
    assert only(two, poured(load_min="20"), brings("10")).most == 4


def test_one_press_keeps_two_people_to_one_pull_at_a_time() -> None:
    two = shop(
        resin(pot_life_min=40), person("ann"), person("bo"), Station(key="press", title="Press")
    )
    assert only(two, poured(load_min="20", station="press"), brings("10")).most == 2


def test_an_operation_for_two_takes_both() -> None:
    two = shop(resin(pot_life_min=40), person("ann"), person("bo"))
    assert only(two, poured(load_min="20", people=2), brings("10")).most == 2


def test_a_wait_after_mixing_bounds_how_many_stand_in_line() -> None:
    # The third pull would wait 2 x 10 min for its pour, and 15 are allowed.
    run = only(shop(resin(pot_life_min=60)), poured(load_min="10", wait_max_min=15), brings("10"))
    assert run.most == 2


def test_a_degassing_of_the_whole_mix_takes_its_share_of_pot_life() -> None:
    way = process(
        attended("mix", "batch", "2", material="resin", pot_life_until="pour"),
        unattended("degas", "batch", "15"),
        attended("pour", "pull", "5"),
    )
    # 15 + 5 m <= 40 -> 5
    assert only(shop(resin(pot_life_min=40)), way, brings("10")).most == 5


def test_moulds_taken_before_the_mix_bound_the_pulls_of_it() -> None:
    way = process(
        attended("reset", "pull", "5"),
        attended("mix", "batch", "2", material="resin", pot_life_until="pour"),
        attended("pour", "pull", "1"),
        unattended("cure", "pull", "15"),
        holds=(mould_hold("reset", "cure"),),
    )
    run = only(shop(resin()), way, brings("10"), moulds=3)
    assert (run.most, run.limit) == (3, "3 moulds held at once")


def test_a_plate_counts_parts_and_a_process_without_pulls_splits_them_freely() -> None:
    way = process(
        attended("start", "batch", "5", batch_parts=3), unattended("print", "batch", "40")
    )
    load = BatchLoad(parts=1, mixed_g={})
    run = only(shop(), way, load)
    assert (run.most, run.sizes(7)) == (3, (3, 2, 2))


def test_a_load_by_parts_takes_whole_pulls() -> None:
    way = process(attended("pour", "pull"), unattended("bake", "batch", "60", batch_parts=10))
    assert only(shop(), way, brings("1", parts=4)).most == 2


def test_a_load_smaller_than_one_pull_is_named() -> None:
    way = process(attended("pour", "pull"), unattended("bake", "batch", "60", batch_parts=3))
    with pytest.raises(HardLimit, match="bake takes 3 parts at once and one pull gives 4"):
        only(shop(), way, brings("1", parts=4))


def test_a_limit_on_mass_counts_what_is_loaded() -> None:
    way = process(attended("pour", "pull"), unattended("bake", "batch", "60", batch_g=Decimal(100)))
    load = BatchLoad(parts=1, mixed_g={}, mass_g=Fraction(30))
    assert only(shop(), way, load).most == 3


def test_the_room_of_a_station_bounds_a_batch_in_it() -> None:
    way = process(attended("pour", "pull"), unattended("bake", "batch", "60", station="oven"))
    oven = Station(key="oven", title="Oven", room=8)
    assert only(shop(oven), way, brings("1", parts=4)).most == 2


def test_clamps_kept_past_the_batch_bound_it() -> None:
    way = process(
        attended("close", "pull", "5"),
        unattended("bake", "batch", "60"),
        attended("open", "pull", "5"),
        holds=(Hold(resource="clamps", first="close", last="open"),),
    )
    run = only(shop(Station(key="clamps", title="Clamps", count=4)), way, brings("1"))
    assert run.most == 4


def test_batches_with_nothing_to_limit_them_take_all() -> None:
    way = process(attended("lay out", "batch", "5"), attended("sand", "part", "1"))
    run = only(shop(), way, BatchLoad(parts=1, mixed_g={}))
    assert (run.most, run.sizes(40)) == (None, (40,))


def test_consecutive_batch_operations_keep_the_batch_and_later_ones_form_anew() -> None:
    way = process(
        attended("mix", "batch"),
        attended("degas", "batch"),
        attended("pour", "pull"),
        attended("bake", "batch"),
    )
    assert runs_of_batches(way) == ((0, 1), (3, 3))


def test_every_broken_limit_is_said_at_once() -> None:
    way = process(
        attended("mix", "batch", material="resin", pot_life_until="pour"),
        attended("pour", "pull", "50"),
        attended("bake", "batch", batch_parts=1),
    )
    tight = shop(resin(most_mixed_g=Decimal(20), pot_life_min=10))
    with pytest.raises(HardLimit) as raised:
        batchings(tight, way, brings("30", parts=2), moulds=1)
    assert len(raised.value.reasons) == 3


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 500), st.integers(1, 40))
def test_an_even_split_is_whole_even_and_in_the_fewest_batches(members: int, most: int) -> None:
    sizes = even_split(members, most)
    assert sum(sizes) == members
    assert len(sizes) == -(-members // most)
    assert all(1 <= size <= most for size in sizes)
    assert not sizes or max(sizes) - min(sizes) <= 1


@settings(deadline=None, max_examples=60)
@given(
    st.integers(1, 60),
    st.integers(1, 200),
    st.integers(200, 900),
    st.integers(0, 200),
    st.integers(0, 20),
    st.integers(5, 90),
    st.integers(1, 12),
)
def test_no_mix_passes_the_most_and_none_is_below_the_least(
    pulls: int, grams: int, most: int, least: int, lost: int, pot_life: int, pour: int
) -> None:
    limited = shop(
        resin(
            most_mixed_g=Decimal(most),
            least_mixed_g=Decimal(least),
            lost_g=Decimal(lost),
            pot_life_min=pot_life,
        )
    )
    load = brings(str(grams))
    way = poured(load_min=str(pour))
    if grams + lost > most or pour > pot_life:
        with pytest.raises(HardLimit):
            only(limited, way, load)
        return
    run = only(limited, way, load)
    sizes = run.sizes(pulls)
    mixed = [run.mixes[0].mixed_g(size) for size in sizes]
    assert all(least <= g <= most for g in mixed)
    assert all(size * pour <= pot_life for size in sizes)
    # As few as the limits allow: one more in a mix would break the mass or the pot life.
    limit = run.most
    assert limit is not None
    assert (limit + 1) * grams + lost > most or (limit + 1) * pour > pot_life
    # Evenly filled wastes no more than filling the first ones first.
    full, rest = divmod(pulls, limit)
    first_filled = [limit] * full + ([rest] if rest else [])
    assert sum(mixed) <= sum(run.mixes[0].mixed_g(size) for size in first_filled)
