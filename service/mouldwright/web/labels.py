"""What each key of a scenario is called above its field, and the words to choose from."""

from __future__ import annotations

import re

_UNITS = re.compile(r"_(mm|um|min|g|c|gpa|mpa|kg_m3|m_s|n|days|n_mm_per_rad|per_hour|m)$")

# Where the key itself, without its unit, would not do.
_LABELS = {
    "new-key": "Key",
    "title": "Name",
    "time_zone": "Time zone",
    "start": "Plan from",
    "overhead_per_hour": "Overhead",
    "packaging_per_part": "Packaging",
    "service_level": "Sure of enough good parts",
    "theory_factor": "Calculated stiffness counts for",
    "leftover_value_rate": "What a leftover counts for",
    "unbillable_share": "Share of the day no order pays",
    "price": "Price",
    "rate": "How much",
    "rule": "Margin or mark-up",
    "tax_rate": "Tax",
    "deposit_rate": "Deposit",
    "valid_days": "A quote stands",
    "breaks": "Other quantities shown",
    "least_order": "Smallest order",
    "mon": "Monday",
    "tue": "Tuesday",
    "wed": "Wednesday",
    "thu": "Thursday",
    "fri": "Friday",
    "sat": "Saturday",
    "sun": "Sunday",
    "closed": "Closed on",
    "open": "Open for once",
    "materials": "Materials",
    "moulds": "Moulds",
    "orders": "Orders",
    "wage_per_hour": "Wage",
    "on_cost_rate": "On-costs",
    "cost_per_hour": "Cost",
    "count": "How many",
    "modulus_gpa": "Young’s modulus",
    "transverse_modulus_gpa": "Modulus across the fibre",
    "poisson_ratio": "Poisson’s ratio",
    "parts": "Parts",
    "by": "Parts by",
    "shelf_life_days": "Keeps",
    "cost_per_kg": "Cost by weight",
    "cost_per_m": "Cost by length",
    "lead_days": "Delivers in",
    "contains": "A pack holds, by weight",
    "contains_m": "A pack holds, by length",
    "lost_g": "Lost each mix",
    "lost_share": "Lost on top",
    "least_mixed_g": "Least mixed",
    "most_mixed_g": "Most mixed at once",
    "section": "Section",
    "shape": "Shape",
    "kind": "Made as",
    "requirement": "What it must bear",
    "made_by": "Made by",
    "bears_load": "It carries load: a failure could hurt someone",
    "must_be_fit_to_sell": "Only by a process that is fit to sell",
    "fit_to_sell": "Fit to sell: parts made so may bear load",
    "hazardous": "Draws the hazard surcharge",
    "interruptible": "May pause while hours are closed",
    "deflection_mm": "May bend",
    "mass_g": "May weigh",
    "support": "Held",
    "load": "Load acts",
    "factor": "Safety factor",
    "mount_n_mm_per_rad": "Stiffness of each mount",
    "service_temperature_c": "Gets as hot as",
    "structure": "What the part is then made of",
    "operations": "Steps",
    "reworks": "Rework",
    "found_at": "Found at",
    "share": "Share of parts",
    "share_again": "Share that needs it again",
    "most_rounds": "Rounds at most",
    "cost_each": "Used up each time",
    "applies_to_share": "Share of parts it is done to",
    "holds": "What is held",
    "consumables": "What is used up",
    "items": "Bought in for it",
    "name": "Name",
    "per": "Once for each",
    "work": "It is done",
    "takes_min": "Takes",
    "takes_each_min": "And for each part",
    "pot_life_until": "Mix used up by the end of",
    "after": "Follows",
    "wait_min": "Wait at least",
    "wait_max_min": "Wait at most",
    "least_age_h": "Part at least this old",
    "good_rate": "Come out good",
    "second_rate": "Come out as seconds",
    "second_price": "A second sells at",
    "good_rate_per": "Counted for each",
    "batch_pulls": "Pulls together, at most",
    "batch_parts": "Parts together, at most",
    "batch_g": "Mass together, at most",
    "learning_rate": "Time at each doubling",
    "time_range": "Time may turn out",
    "good_rate_range": "Good rate may be",
    "price_range": "Price may turn out",
    "wage_range": "Wage may turn out",
    "odds": "What is uncertain",
    "promise": "Promised dates are kept",
    "together": "Times vary together",
    "resource": "What",
    "from": "From the start of",
    "to": "To the end of",
    "loss_rate": "Lost on a pull",
    "cavities": "Parts from a pull",
    "life_pulls": "Pulls in its life",
    "conditioned_every_pulls": "Conditioned every",
    "coats": "Coats of wax when new",
    "coats_every": "Then a coat every",
    "cost": "Cost",
    "pulls": "Pulls so far",
    "pulls_since_conditioning": "Pulls since conditioning",
    "number": "Number",
    "due": "Wanted by",
    "release": "Not before",
    "tests": "Bench tests",
    "date": "Day",
    "readings": "Readings",
    "loads_in": "Loads in",
    "start_mm": "Root to clamp or first support",
    "load_at_mm": "To the load and the dial",
    "zero_mm": "Dial with no load",
    "fixture_mm_per_n": "The fixture gives",
    "dial_step_mm": "Step of the dial",
    "touched_stop": "It met a stop at the greatest load",
    "thickness_mm": "Thickness of the piece",
    "age_days": "Age",
    "temperature_c": "How warm",
    "note": "Note",
    "walls": "Walls",
    "wall_mm": "Width of a wall",
    "infill": "Infill",
    "fractions": "That share is of what is",
    "rods": "Rods",
    "at": "Place",
    "length_share": "Reaches",
    "in_room": "In the room",
    "room_state": "Which must be in",
    "states": "States",
    "settle_min": "Settles in",
    "gear_up_min": "Gearing up",
    "clean_down_min": "Cleaning down",
    "temperatures": "How warm the shop is",
    "seasons": "Seasons",
    "day": "It is day",
    "day_c": "By day",
    "night_c": "By night",
    "warmth": "By temperature",
    "reference_c": "Times are stated at",
    "reference_g": "Pot life is stated for",
    "halves_per_c": "Times halve every",
    "least_c": "Does not cure below",
    "sheet_from_c": "The sheet speaks of, from",
    "sheet_to_c": "The sheet speaks of, to",
    "cures": "Sets meanwhile",
    "heat": "A post-cure",
    "hold_c": "Held at",
    "hold_min": "For",
    "ramp_c_per_h": "Heated by",
    "from_c": "From and back to",
    "cool_c_per_h": "Cooled by",
    "greatest_c": "May get as hot as",
    "expires": "Use by",
    "room": "Parts in each at once",
    "file": "File in the shop’s folder",
    "points": "Points",
    "points_mm": "Outline",
    "holes_mm": "Holes",
    "price_breaks": "Price from so many packs",
    "tooling": "Moulds are paid",
    "materials_charged": "Materials are charged",
    "materials_planned": "Plans take materials",
    "arrives": "Arrives on",
    "fibre_mass_fraction": "Fibre by weight",
    "void_fraction": "Air",
    "orientation": "Fibres lie",
    "squeeze_out": "Resin squeezed out",
    "angle_deg": "Angle to the flow",
    "span_efficiency": "Spread of the lift",
    "root_on_wall": "The root stands on a hull or a wall",
    "torque_n_mm": "Torque",
    "twist_deg": "May twist",
    "root_stress_share": "Of its strength, at the root",
    "strength_mpa": "Strength in bending",
    "skin": "Skins of",
    "skin_mm": "Thickness of the skins",
    "skin_factor": "Of that modulus, along the part",
    "core": "Core of",
    "scale_step_g": "Step of the scale",
    "weight_window": "A part may weigh off by",
    "waste_share": "Material wasted",
    "infill_exponent": "Exponent of infill",
    "layer_factor": "Across the layers",
    "starts": "Parts to begin",
    "weight": "Lateness counts",
    "speed_m_s": "Speed of the flow",
    "fluid_density_kg_m3": "Density of the flow",
    "outer_mm": "Outer diameter",
    "inner_mm": "Inner diameter",
    "tip_outer_mm": "Outer diameter at the tip",
    "tip_inner_mm": "Inner diameter at the tip",
    "tip_chord_mm": "Chord at the tip",
    "tip_width_mm": "Width at the tip",
    "tip_height_mm": "Height at the tip",
    "tip_scale": "Size at the tip",
    "cover_mm": "Cover over a rod",
}
_UNIT_WORDS = {
    "weight": "times",
    "tip_scale": "times",
    "life_pulls": "pulls",
    "conditioned_every_pulls": "pulls",
    "coats_every": "pulls",
}
_CHOICES = {
    "naca4": "NACA four-digit",
    "coordinates": "airfoil from points",
    "mix": "fibre in a matrix, pressed",
    "cast": "cast over rods",
    "print": "printed",
    "hybrid": "skins over a core",
    "measured": "as measured",
    "pert": "smooth, mostly near what is likely",
    "triangle": "straight from what is likely to either end",
    "end": "at the tip",
    "centre": "at the middle",
    "uniform": "spread along the span",
    "triangular": "spread, most at the root",
}
# The same by the key they are written for.
_CHOICES_OF = {
    "per": {
        "order": "whole order",
        "batch": "batch",
        "pull": "pull of a mould",
        "part": "part",
        "conditioning": "upkeep of a mould",
    },
    "work": {"hands": "with hands", "alone": "on its own"},
    "tooling": {"by life": "by its pulls", "to the order": "by the order that needs it"},
    "materials_planned": {"assumed": "as there", "from stock": "from stock and deliveries"},
    "materials_charged": {"used": "what is used", "bought": "whole packs"},
    "support": {
        "cantilever": "fixed at the root, free at the tip",
        "simply supported": "resting on both ends",
        "both ends fixed": "fixed at both ends",
        "elastic mounts": "on springy mounts",
    },
    "rule": {
        "margin": "margin, a share of the price",
        "mark-up": "mark-up, a share of the cost",
        "halpin-tsai": "Halpin–Tsai",
        "cox-krenchel": "Cox–Krenchel",
    },
    "fractions": {"loaded": "loaded", "finished": "in the finished part"},
    "orientation": {"planar random": "flat, every way", "random": "every way", "aligned": "along"},
    "by": {"mass": "weight", "volume": "volume"},
}


def label_of(name: str) -> str:
    """Return what a key is called above its field."""
    if name in _LABELS:
        return _LABELS[name]
    words = _UNITS.sub("", name).replace("_", " ")
    return words[:1].upper() + words[1:]


# What is added by the button below a list, or in place of something left out.
_ADDS = {
    "operations": "a step",
    "holds": "a hold",
    "structure": "what it is made of",
    "consumables": "something used up",
    "hours": "hours of their own",
    "mix": "a mix",
    "fibre": "a fibre",
    "rod": "a rod",
    "rods": "a rod",
    "parts": "a part",
    "items": "an item",
    "offers": "an offer",
    "requirement": "what it must bear",
    "count": "a mould",
    "stock": "a lot",
    "orders": "an order",
    "open": "a date",
    "states": "a state",
}


def add_of(name: str) -> str:
    """Return what the button says that adds one more, or what was left out."""
    return f"Add {_ADDS.get(name, 'a row')}"


def unit_of(name: str, unit: str) -> str:
    """Return the unit that stands in a field."""
    return unit or _UNIT_WORDS.get(name, "")


def choice_of(word: str, name: str = "") -> str:
    """Return how a word of the format reads in a list to choose from.

    Args:
        word: As a scenario writes it.
        name: Of the key that it is written for, where it means something of its own there.
    """
    return _CHOICES_OF.get(name, _CHOICES).get(word, word)


def path_label(name: str) -> str:
    """Return what a field deep within a form is called: "Steps 3, hands on"."""
    words: list[str] = []
    for step in name.split("."):
        if step.isdigit() and words:
            words[-1] += f" {int(step) + 1}"
        elif step not in ("key", "value"):
            label = label_of(step)
            words.append(label if not words else label[:1].lower() + label[1:])
    return ", ".join(words)
