"""What stays behind of a mix, by the log: the closed form, what counts, what is proposed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from bench_log import done, entry, logged, work
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.consistency.log import shape_faults, unknown_names
from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.domain.record.learnt_losses import usual_loss
from mouldwright.domain.record.log import Happening, LoggedMember
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop


def cup(hour, grams, material="fast-resin"):
    """Return an entry of a cup that was weighed when it was done with."""
    return entry(Happening.WEIGHED, hour, material=material, mass_g=Decimal(str(grams)))


def learnt_of(*entries):
    found = learnt_at_bench(replace(DEMO, log=logged(*entries)))
    return found.losses, [change for change in found.changes if change.kind == "loss"]


def test_the_usual_loss_is_the_closed_form():
    # Gelman et al., Bayesian Data Analysis, section 3.3, by hand: 3 g written, cups of 5, 6, 5, 6
    # and 8: mean 6, squares about it 6. Centre (4 x 3 + 5 x 6) / 9 = 14/3. Variance
    # (4 x 0.75^2 + 6 + 4 x 5 x 3^2 / 9) / 9 = 28.25 / 9; Student's t with 9 degrees of freedom
    # has 1.833 at 0.95 (any table), times sqrt(28.25 / 81) = 0.5906.
    found = usual_loss([5, 6, 5, 6, 8], standard_g=3)
    assert found.usual_g == pytest.approx(14 / 3)
    assert found.noted_g == pytest.approx(6)
    assert found.spread_g == pytest.approx(1.7717, abs=1e-4)
    assert found.least_g == pytest.approx(14 / 3 - 1.0825, abs=1e-3)
    assert found.most_g == pytest.approx(14 / 3 + 1.0825, abs=1e-3)


@given(st.lists(st.floats(0, 200), max_size=70), st.floats(0, 50))
def test_it_lies_within_its_interval_between_what_is_written_and_the_cups(grams, standard):
    found = usual_loss(grams, standard_g=standard)
    mean = standard if found.noted_g is None else found.noted_g
    assert 0 <= found.least_g <= found.usual_g <= found.most_g
    assert min(standard, mean) - 1e-9 <= found.usual_g <= max(standard, mean) + 1e-9


def test_five_cups_are_enough_for_a_proposal_and_four_are_not():
    cups = [cup(9 + n, grams) for n, grams in enumerate((5, 6, 5, 6, 8))]
    losses, changes = learnt_of(*cups[:4])
    assert losses[0].usual.cups == 4
    assert changes == []
    losses, (change,) = learnt_of(*cups)
    assert losses[0].standard_g == 3  # as the demo has it
    assert (change.key, change.material, change.evidence) == ("loss:fast-resin", "fast-resin", 5)
    assert change.was == {"lost_g": Decimal(3)}
    assert change.proposed == {"lost_g": Decimal("4.7")}
    assert change.entries == (1, 2, 3, 4, 5)


def test_cups_that_hold_what_is_written_change_nothing():
    _, changes = learnt_of(*[cup(9 + n, grams) for n, grams in enumerate((3, 2, 4, 3, 3, 3))])
    assert changes == []


def test_a_cup_of_a_mix_that_had_to_be_larger_than_its_work_is_set_aside():
    # A pair of fins takes 44 g and no less than 60 g may be mixed; one stabiliser takes 75 g.
    small = work("mix", order="1004", process="cast-fin", part="sensor-fin", pulls=[1])
    whole = work("mix", order="1003", process="cast", part="stabiliser", pulls=[1])
    losses, _ = learnt_of(
        *done(9.1, small, began=9.0), cup(9.5, 14), *done(10.1, whole, began=10.0), cup(10.5, 4)
    )
    assert (losses[0].usual.cups, losses[0].set_aside) == (1, 1)
    assert losses[0].usual.noted_g == 4


def test_a_cup_that_was_taken_back_counts_no_more():
    losses, _ = learnt_of(cup(9, 5), entry(Happening.TAKEN_BACK, 10, takes_back=1))
    assert losses == ()


def test_of_what_is_not_mixed_nothing_stays_in_a_cup():
    (wrong,) = unknown_names(DEMO, (), cup(9, 4, material="carbon-rod-3"))
    assert wrong.path == "material"
    assert "fast-resin" in wrong.remedy
    assert list(unknown_names(DEMO, (), cup(9, 4))) == []


def test_what_was_weighed_is_either_parts_or_a_cup():
    nothing = entry(Happening.WEIGHED, 9, mass_g=Decimal(4))
    assert [fault.path for fault in shape_faults((), nothing)] == ["members"]
    both = replace(cup(9, 4), members=(LoggedMember(order="1001", parts=(1,)),))
    assert [fault.path for fault in shape_faults((), both)] == ["material"]
    assert list(shape_faults((), cup(9, 4))) == []
