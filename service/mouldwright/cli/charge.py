"""The charge and sample commands: what goes on the scale, and how many parts to test."""

from __future__ import annotations

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, figure, heading, print_json, table
from mouldwright.domain.record.charge_sheet import charge_sheet, weighed
from mouldwright.domain.record.sample import operating_curve
from mouldwright.usecases.questions import sample
from mouldwright.wire.answers.charge import ChargeAnswer, SampleAnswer


def show_charge(
    scenario: str, part: str, process: str, pulls: int, grams: float | None, *, as_json: bool
) -> None:
    """Print what so many pulls take, and what a part that was weighed says."""
    shop = open_shop(scenario)
    sheet = charge_sheet(shop, shop.part(part), shop.process(process), pulls)
    answer = ChargeAnswer.of(sheet, None if grams is None else weighed(sheet, grams))
    if as_json:
        print_json(answer)
        return
    out = console()
    many = "pull" if pulls == 1 else "pulls"
    heading(out, f"{shop.part(part).title}: the charge of {pulls} {many}")
    if answer.mixes:
        cups = "1 cup" if answer.mixes == 1 else f"each of {answer.mixes} cups"
        out.print(f"Grams of a mix are for {cups}; {answer.lost_g:g} g stay behind in all.")
    out.print(
        table(
            [
                ("material", "left"),
                ("mixed into", "left"),
                ("g", "right"),
                ("ml", "right"),
                ("m", "right"),
                ("off by", "right"),
            ],
            [
                (
                    each.material,
                    each.of,
                    figure(each.grams),
                    figure(each.millilitres),
                    figure(each.metres, 2),
                    None if each.metres else f"{each.off_share * 100:.1f} %",
                )
                for each in answer.weighings
            ],
        )
    )
    for each in sheet.coarse:
        out.print(
            f"Look here: a step of {sheet.step_g:g} g is {each.off_share * 100:.0f} % either way "
            f"on {each.grams:g} g of {each.material}: mix more at once, or take a finer scale."
        )
    if answer.left_over_g >= 0.05:
        out.print(
            f"{answer.needed_g:.1f} g of the mix are needed in a cup, what stays in it included. "
            f"Less than {answer.least_mixed_g:g} g is not worth mixing, so that much is mixed and "
            f"{answer.left_over_g:.1f} g are left over."
        )
    if answer.squeezed_g >= 0.05:
        out.print(f"{answer.squeezed_g:.1f} g of it are squeezed out again.")
    out.print(
        f"A finished part should weigh {answer.expected_g:.1f} g, from {answer.least_g:.1f} to "
        f"{answer.most_g:.1f} g."
    )
    if answer.weighed is not None:
        air = answer.weighed.void_share
        out.print(
            f"{answer.weighed.grams:g} g is {answer.weighed.share * 100:.1f} % of that: "
            f"{SAID[answer.weighed.state]} "
            + (HEAVIER if air is None else f"{air * 100:.1f} % of air by its density.")
        )


HEAVIER = (
    "Heavier than a solid one: check the scale, then look for a part that is rich in resin or "
    "thicker than drawn."
)
SAID = {
    "good": "within the window.",
    "light": "too light. Look for voids and dry spots.",
    "heavy": "too heavy. Look for flash and resin not squeezed out.",
}


def show_sample(
    lot: int | None,
    bad_share: float,
    confidence: float,
    allowed: int,
    *,
    good: float | None,
    good_passes: float,
    as_json: bool,
) -> None:
    """Print how many of a lot to test, and how often lots then pass."""
    plan = sample(
        lot=lot,
        bad_share=bad_share,
        confidence=confidence,
        may_fail=allowed,
        good_share=good,
        good_passes=good_passes,
    )
    allowed = plan.allowed
    answer = SampleAnswer.of(plan, operating_curve(plan))
    if as_json:
        print_json(answer)
        return
    of = "" if lot is None else f" of {lot}"
    fail = "none" if not allowed else f"no more than {allowed}"
    out = console()
    out.print(
        f"Test {answer.test}{of}; {fail} of them may fail. A lot with {bad_share * 100:g} % bad "
        f"ones passes all the same {answer.bad_passes * 100:.1f} times in 100."
        + (" Nothing less than testing all is sure enough." if answer.is_all else "")
    )
    out.print(
        table(
            [("bad in the lot", "right"), ("passes", "right")],
            [
                (f"{each.bad_share * 100:.1f} %", f"{each.passes * 100:.1f} %")
                for each in answer.curve
            ],
        )
    )
