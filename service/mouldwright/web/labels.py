"""What each key of a scenario is called above its field, and the words to choose from."""

from __future__ import annotations

import re

_UNITS = re.compile(r"_(mm|um|min|g|c|gpa|mpa|kg_m3|m_s|n|days|n_mm_per_rad|per_hour|m)$")

# Where the key itself, without its unit, would not do.
_LABELS = {
    "title": "Name",
    "time_zone": "Time zone",
    "start": "Plan from",
    "overhead_per_hour": "Overhead",
    "packaging_per_part": "Packaging",
    "service_level": "Chance that the starts are enough",
    "theory_factor": "Factor on stiffness from theory",
    "materials_charged": "Materials charged",
    "unbillable_share": "Share of the day no order pays",
    "price": "Price",
    "rate": "Margin or mark-up",
    "rule": "Counted as",
    "tax_rate": "Tax",
    "deposit_rate": "Deposit",
    "valid_days": "A quote stands",
    "breaks": "Quantities shown",
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
    "lost_share": "Lost besides",
    "least_mixed_g": "Least mixed",
    "most_mixed_g": "Most mixed at once",
    "section": "Section",
    "shape": "Shape",
    "kind": "Made as",
    "requirement": "What it must bear",
    "made_by": "Made by",
    "bears_load": "It carries load: a failure could hurt someone",
    "must_be_fit_to_sell": "Only by a process marked fit to sell",
    "fit_to_sell": "Parts made so may be sold to bear load",
    "hazardous": "Draws the hazard surcharge",
    "interruptible": "May pause while hours are closed",
    "deflection_mm": "May bend",
    "mass_g": "May weigh",
    "support": "Held",
    "load": "Load acts",
    "factor": "Safety factor",
    "mount_n_mm_per_rad": "Stiffness of each mount",
    "service_temperature_c": "Gets as hot as",
    "structure": "What it makes a part of",
    "operations": "Steps",
    "holds": "What is held",
    "consumables": "What is used up",
    "items": "Bought in for it",
    "name": "Name",
    "per": "Once for each",
    "attended_min": "Hands on",
    "attended_each_min": "Hands on, each besides",
    "unattended_min": "On its own",
    "unattended_each_min": "On its own, each besides",
    "pot_life_until": "Mix used up by the end of",
    "after": "Follows",
    "wait_min": "Wait at least",
    "wait_max_min": "Wait at most",
    "least_age_h": "Part at least this old",
    "good_rate": "Come out good",
    "good_rate_per": "Counted for each",
    "batch_pulls": "Pulls together, at most",
    "batch_parts": "Parts together, at most",
    "batch_g": "Mass together, at most",
    "learning_rate": "Time at each doubling",
    "time_range": "Time may turn out, least and most",
    "good_rate_range": "Good rate may be, least and most",
    "price_range": "Price may turn out, least and most",
    "wage_range": "Wage may turn out, least and most",
    "odds": "What is uncertain",
    "promise": "Promised dates are kept",
    "together": "Times vary together",
    "resource": "What",
    "from": "From the start of",
    "to": "To the end of",
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
    "expires": "Use by",
    "room": "Parts in each at once",
    "file": "File in the shop’s folder",
    "points": "Points",
    "points_mm": "Outline",
    "holes_mm": "Holes",
    "price_breaks": "Price from so many packs",
}
_UNIT_WORDS = {
    "life_pulls": "pulls",
    "conditioned_every_pulls": "pulls",
    "coats_every": "pulls",
}
_CHOICES = {
    "conditioning": "upkeep of the mould",
    "naca4": "NACA four-digit",
    "coordinates": "airfoil from points",
    "mix": "fibre in a matrix, pressed",
    "cast": "cast over rods",
    "print": "printed",
    "measured": "as measured",
    "pert": "smooth, mostly near what is likely",
    "triangle": "straight from what is likely to either end",
    "end": "at the tip",
    "centre": "at the middle",
    "uniform": "spread along the span",
    "triangular": "spread, most at the root",
}


def label_of(name: str) -> str:
    """Return what a key is called above its field."""
    if name in _LABELS:
        return _LABELS[name]
    words = _UNITS.sub("", name).replace("_", " ")
    return words[:1].upper() + words[1:]


def unit_of(name: str, unit: str) -> str:
    """Return the unit that stands in a field."""
    return unit or _UNIT_WORDS.get(name, "")


def choice_of(word: str) -> str:
    """Return how a word of the format reads in a list to choose from."""
    return _CHOICES.get(word, word)


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
