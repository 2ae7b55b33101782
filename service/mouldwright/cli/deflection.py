"""The deflection command."""

from __future__ import annotations

from mouldwright.cli.opening import open_shop
from mouldwright.cli.show import console, figure, heading, measure, print_json, table
from mouldwright.domain.judgement import judge
from mouldwright.domain.shown import fitted
from mouldwright.wire.answers.deflection import DeflectionAnswer, LoadAnswer


def load_rows(load: LoadAnswer | None) -> list[tuple[str, str | None, str]]:
    """Return the force and what makes it, as rows of name, figure and unit."""
    if load is None:
        return []
    rows = [("Load", measure(load.force_n), "N")]
    if load.factor != 1:
        rows.append(("  safety factor in it", f"{load.factor:g}", ""))
    if load.dynamic_pressure_pa is not None:
        rows += [
            ("  dynamic pressure", figure(load.dynamic_pressure_pa), "Pa"),
            ("  plan area", figure(load.plan_area_mm2, 0), "mm2"),
            ("  lift coefficient", figure(load.lift_coefficient, 3), ""),
        ]
    if load.lift_rule is not None:
        rows += [
            (f"  slope by {load.lift_rule}", figure(load.lift_per_rad, 3), "/rad"),
            ("  aspect ratio", figure(load.aspect_ratio, 2), ""),
        ]
    return rows


def _ranges(answer: DeflectionAnswer) -> dict[str, str]:
    """Return the least and most of each figure that has one, by its row."""
    ranges = {
        "Deflection": answer.deflection_range_mm,
        "Mass": answer.mass_range_g,
        "Bending stiffness at the root": answer.bending_stiffness_range_n_mm2,
        "Modulus, effective": answer.modulus_range_gpa,
        "First bending frequency": answer.first_frequency_range_hz,
    }
    return {row: f"{fitted(both[0])} to {fitted(both[1])}" for row, both in ranges.items() if both}


def said_ranges(answer: DeflectionAnswer) -> str:
    """Return what is stated within ranges, and what of it matters most."""
    words = ", ".join(answer.ranges_of)
    if answer.range_mostly_from and len(answer.ranges_of) > 1:
        words += f"; the {answer.range_mostly_from} moves the stiffness most"
    return words


def deflection(scenario: str, part: str, process: str, *, as_json: bool) -> None:
    """Print how one part fares by one process."""
    shop = open_shop(scenario)
    answer = DeflectionAnswer.of(judge(shop, shop.part(part), shop.process(process)))
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"{shop.part(part).title}, {shop.process(process).title.lower()}")
    if not answer.makeable:
        for reason in answer.reasons:
            out.print(f"Cannot be made so: {reason}")
        return
    asked = {True: "passes", False: "fails", None: "nothing is asked of it"}
    rows = [
        *load_rows(answer.load),
        ("Deflection", measure(answer.deflection_mm), "mm"),
        *(
            [("By theory alone", measure(answer.theory_deflection_mm), "mm")]
            if answer.counted and answer.counted.by == "tests" and answer.theory_deflection_mm
            else []
        ),
        ("Allowed", measure(answer.allowed_mm), "mm"),
        ("Share of allowed", figure(answer.utilisation, 2), ""),
        ("Mass", figure(answer.mass_g), "g"),
        ("Bending stiffness at the root", figure(answer.bending_stiffness_n_mm2, 0), "N mm2"),
        ("Modulus, effective", figure(answer.modulus_gpa, 2), "GPa"),
        ("Area at the root", figure(answer.area_mm2), "mm2"),
        ("Second moment at the root", figure(answer.second_moment_mm4), "mm4"),
        ("First bending frequency", figure(answer.first_frequency_hz), "Hz"),
        *[
            row
            for each in answer.stresses
            for row in (
                (f"Greatest stress, {each.material}", measure(each.greatest_mpa), "MPa"),
                ("  share of its strength", figure(each.share, 2), ""),
            )
            if row[1] is not None
        ],
        *([("Twist", figure(answer.twist_deg, 2), "deg")] if answer.twist_deg is not None else []),
        *(
            [("Closing force", figure(answer.closing_force_n, 0), "N")]
            if answer.closing_force_n is not None
            else []
        ),
    ]
    columns = [("", "left"), ("", "right"), ("unit", "left")]
    if answer.ranges_of:
        columns.append(("may be", "left"))
        ranges = _ranges(answer)
        out.print(table(columns, [(*row, ranges.get(row[0], "")) for row in rows]))
        out.print(f"Within ranges as stated: {said_ranges(answer)}.")
    else:
        out.print(table(columns, rows))
    out.print(
        f"It {asked[answer.meets_requirement]}."
        if answer.meets_requirement is not None
        else "Nothing is asked of it: give the part a requirement to judge it."
    )
    for reason in answer.reasons:
        out.print(reason)
    out.print(answer.rule)
    for warning in answer.warnings:
        out.print(f"Look here: {warning}")
    heading(out, "What goes into one part")
    out.print(
        table(
            [("material", "left"), ("loaded g", "right"), ("finished g", "right"), ("m", "right")],
            [
                (c.material, figure(c.loaded_g), figure(c.finished_g), figure(c.metres, 3))
                for c in answer.constituents
            ],
        )
    )
