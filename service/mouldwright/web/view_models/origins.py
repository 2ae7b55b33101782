"""Where the figures of a way come from, so that each can be opened."""

from __future__ import annotations

from mouldwright.domain.compare import Choice
from mouldwright.domain.hours.opening import local
from mouldwright.domain.judgement import Judgement
from mouldwright.domain.quote import margin
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted, lasting
from mouldwright.web.view_models.shape import load_origin
from mouldwright.web.words import count, figure, measure, moment, money, percent

_MM2_PER_M2 = 1_000_000


def stiffness_origin(judged: Judgement) -> tuple[tuple[str, str], ...]:
    """Return where a way's stiffness comes from: rule and figures, by name."""
    rows = [("By", judged.rule)]
    if judged.bending_stiffness_n_mm2 is not None:
        root_n_m2 = judged.bending_stiffness_n_mm2 / _MM2_PER_M2
        rows.append(("Bending stiffness at the root", f"{fitted(root_n_m2)} N m²"))
    figures = (
        ("Second moment of area at the root", judged.second_moment_mm4, 0, "mm⁴"),
        ("Modulus", judged.modulus_gpa, 2, "GPa"),
        ("Area at the root", judged.area_mm2, 1, "mm²"),
        ("Twist", judged.twist_deg, 2, "°"),
        ("First bending frequency", judged.first_frequency_hz, 0, "Hz"),
        ("Closing force", judged.closing_force_n, 0, "N"),
    )
    rows += [(t, f"{figure(v, digits)} {unit}") for t, v, digits, unit in figures if v is not None]
    rows += stress_rows(judged)
    counted = judged.counted
    if counted is not None and counted.by == "tests" and judged.theory_deflection_mm is not None:
        bends, by_theory = measure(judged.deflection_mm), measure(judged.theory_deflection_mm)
        rows.append(("Bends", f"{bends} mm after tests, {by_theory} mm by theory alone"))
    rows += range_rows(judged)
    rows += load_origin(judged.load)
    if judged.utilisation is not None:
        rows.append(("Of the bend allowed", percent(judged.utilisation)))
    return tuple(row for row in rows if row[1])


def rests_on(judged: Judgement) -> str:
    """Return what a way's stiffness rests on."""
    counted = judged.counted
    if counted is None:
        return "–"
    if counted.by == "tests" and counted.learnt is not None:
        return count(len(counted.learnt.counting), "test")
    return "theory" if counted.by == "theory" else "a stated modulus"


def stress_rows(judged: Judgement) -> list[tuple[str, str]]:
    """Return how hard each material is stressed, and what of its strength that is."""
    worst = judged.worst_stress
    rows = []
    for each in judged.stresses:
        said = f"{fitted(each.greatest_mpa)} MPa"
        if each.share is not None:
            said += f", {percent(each.share)} of its strength"
        if each is worst and len(judged.stresses) > 1:
            said += ", the most of any"
        rows.append((f"Greatest bending stress, {each.of}", said))
    return rows


def range_rows(judged: Judgement) -> list[tuple[str, str]]:
    """Return the least and most of its figures, and what may differ; none where all is certain."""
    spread = judged.spread
    if spread is None:
        return []
    figures = (
        ("May bend", spread.deflection_mm, "mm"),
        ("May weigh", spread.mass_g, "g"),
        ("Modulus may be", judged.modulus_range_gpa, "GPa"),
        ("Frequency may be", spread.first_frequency_hz, "Hz"),
    )
    rows = [
        (title, f"{fitted(both[0])} to {fitted(both[1])} {unit}")
        for title, both, unit in figures
        if both is not None
    ]
    mostly = f", the {spread.mostly} most of all" if spread.mostly and len(spread.of) > 1 else ""
    rows.append(("As these may be", f"{', '.join(spread.of)}{mostly}"))
    return rows


def timing_origin(
    shop: Shop, choice: Choice, now: int, *, is_planned: bool
) -> tuple[tuple[str, str], ...]:
    """Return where its dates and its rate come from."""
    rows = []
    if choice.finish is not None:
        rows.append(("All ready", moment(local(choice.finish, shop.zone))))
        rows.append(("From now", f"{lasting(choice.finish - now)}, nights and weekends counted in"))
        behind = f"{count(len(shop.orders), 'open order')} kept to their places"
        if not is_planned:
            behind = "nothing: others were planning, so this is by rate alone"
        rows.append(("Behind", behind))
    rated = choice.rate
    if rated is not None:
        if rated.good_per_hour_at_bench is not None:
            rows.append(("At the bench", f"{figure(rated.good_per_hour_at_bench)} good an hour"))
        rows.append(("What binds", rated.binds or "nothing"))
        if rated.moulds_that_help is not None:
            rows.append(("Moulds that help", f"up to {rated.moulds_that_help}"))
    return tuple(rows)


def pricing_origin(shop: Shop, choice: Choice) -> tuple[tuple[str, str], ...]:
    """Return where its price comes from."""
    price, cost = choice.price, choice.cost
    if price is None or cost is None or cost.per_good_part is None:
        return ()
    rows = [
        ("Rule", f"{shop.price.rule} of {percent(shop.price.rate)}"),
        ("Price each", money(shop.currency, price.price_each)),
        ("Share of it that is not cost", percent(margin(price.price_each, cost.per_good_part))),
    ]
    if price.top_up:
        rows.append(("To the smallest order", money(shop.currency, price.top_up)))
    rows.append(("Net", money(shop.currency, price.net)))
    return tuple(rows)
