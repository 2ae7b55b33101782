"""Answers as the description of the service shows them: the demo shop's, cut short."""

from __future__ import annotations

from typing import Any

QUOTE: dict[str, Any] = {
    "number": None,
    "revision": 1,
    "part": "stabiliser",
    "process": "pressed",
    "quantity": 12,
    "currency": "EUR",
    "lines": [
        {
            "kind": "parts",
            "text": "Stabiliser foil, 260 mm",
            "quantity": "12",
            "unit": "piece",
            "rate": "63.54",
            "amount": "762.48",
            "delivery": None,
        }
    ],
    "unit_cost": "39.40",
    "unit_cost_fine": "39.397500",
    "materials_lacking": [],
    "price_each": "63.54",
    "price_rule": "margin 0.38",
    "net": "762.48",
    "tax": "175.37",
    "gross": "937.85",
    "tax_included": False,
    "deposit": "375.14",
    "payments": [
        {"when": "on ordering", "share": "0.4", "gross": "375.14", "tax": "70.15"},
        {
            "when": "on delivery",
            "share": "0.6",
            "gross": "562.71",
            "tax": "105.22",
        },
    ],
    "payment_fee": "0.00",
    "breaks": [
        {"quantity": 1, "price_each": "56.53", "net": "60.00", "starts": 1, "gross": "73.80"},
        {"quantity": 5, "price_each": "65.33", "net": "326.65", "starts": 6, "gross": "401.78"},
    ],
    "finish": "2027-03-17T08:36:00+00:00",
    "finish_odds": 0.824,
    "dates": {
        "planned": "2027-03-16T16:20:00+00:00",
        "p50": "2027-03-16T15:58:00+00:00",
        "p80": "2027-03-17T08:36:00+00:00",
        "p95": "2027-03-18T09:05:00+00:00",
    },
    "cost_odds": {
        "draws": 10000,
        "mean": "40.12",
        "p50": "40.02",
        "p80": "41.60",
        "p95": "43.25",
        "profit_chance": 1.0,
        "drivers": [{"name": "the time of load", "low": "39.40", "high": "40.70"}],
    },
    "deliveries": [],
    "rush_option": None,
    "shared_set_up": None,
    "inversions": [],
    "spares": [],
    "valid_until": "2027-03-31",
    "cautions": ["Skin sensitiser: no bare skin, no solvent on skin; stop at the first rash."],
    "notes": [],
    "seconds": None,
    "starts": 14,
    "pulls": 14,
    "cost_total": "472.7747",
    "cost_lines": [
        {
            "kind": "labour",
            "text": "reset",
            "quantity": "1.4000",
            "unit": "h",
            "rate": "21.882353",
            "amount": "30.6353",
        }
    ],
    "workings": [
        {"what": "price each", "how": "39.397500 / (1 - 0.38)", "amount": "63.54"},
        {"what": "tax", "how": "762.48 x 0.23", "amount": "175.37"},
    ],
    "rounding": "Each is rounded to 2 decimals, a half up.",
    "checklist": [
        {
            "group": "labour",
            "amount": "240.6059",
            "charged": True,
            "written": "people.*.wage_per_hour",
        },
        {
            "group": "freight",
            "amount": "0.0000",
            "charged": False,
            "written": "shop.outbound.per_order",
        },
    ],
}

DEFLECTION: dict[str, Any] = {
    "part": "stabiliser",
    "process": "pressed",
    "makeable": True,
    "meets_requirement": True,
    "deflection_mm": 2.48055,
    "allowed_mm": 26.0,
    "utilisation": 0.0954057,
    "mass_g": 105.97,
    "bending_stiffness_n_mm2": 49285800.0,
    "first_frequency_hz": 80.6288,
    "area_mm2": 336.732,
    "second_moment_mm4": 1142.46,
    "modulus_gpa": 43.14,
    "theory_factor": 0.8,
    "theory_deflection_mm": 2.48055,
    "counted": {
        "by": "theory",
        "share": 0.8,
        "theory_share": 0.8,
        "tests": 0,
        "refused": 0,
        "mean": None,
        "spread": None,
        "tolerance_factor": None,
        "parts_share": 0.9,
        "confidence": 0.95,
        "bound": None,
        "too_wide": False,
        "modulus_gpa": 34.512,
    },
    "root_stress_mpa": 12.2381,
    "twist_deg": None,
    "deflection_range_mm": None,
    "mass_range_g": None,
    "bending_stiffness_range_n_mm2": None,
    "modulus_range_gpa": None,
    "first_frequency_range_hz": None,
    "ranges_of": [],
    "range_mostly_from": None,
    "load": {
        "force_n": 14.0,
        "factor": 1.0,
        "dynamic_pressure_pa": None,
        "plan_area_mm2": None,
        "lift_coefficient": None,
        "angle_deg": None,
        "aspect_ratio": None,
        "lift_per_rad": None,
        "lift_rule": None,
    },
    "greatest_stress_mpa": 12.2381,
    "stresses": [
        {
            "material": "the material as made",
            "root_mpa": 12.2381,
            "greatest_mpa": 12.2381,
            "strength_mpa": None,
            "share": None,
        }
    ],
    "worst_stressed": None,
    "closing_force_n": None,
    "rule": "By theory; 0.8 of the stiffness is counted on until tests say.",
    "reasons": [],
    "warnings": [],
    "constituents": [
        {"material": "chopped-carbon", "finished_g": 61.9177, "loaded_g": 61.9177, "metres": None}
    ],
    "curve": {"x_mm": [0.0, 260.0], "deflection_mm": [0.0, 2.48055]},
}

COMPARISON: dict[str, Any] = {
    "part": "stabiliser",
    "quantity": 12,
    "currency": "EUR",
    "requirement": {
        "support": "cantilever",
        "load": "end",
        "force_n": 14.0,
        "speed_m_s": None,
        "lift_coefficient": None,
        "fluid_density_kg_m3": None,
        "deflection_mm": 26.0,
        "factor": 1.0,
        "mass_g": None,
        "angle_deg": None,
        "span_efficiency": None,
        "root_on_wall": None,
        "mount_n_mm_per_rad": None,
        "must_be_fit_to_sell": False,
        "service_temperature_c": None,
        "torque_n_mm": None,
        "twist_deg": None,
        "root_stress_share": None,
    },
    "choices": [
        {
            "process": "pressed",
            "title": "Pressed chopped carbon",
            "makeable": True,
            "meets_requirement": True,
            "deflection_mm": 2.48055,
            "utilisation": 0.0954057,
            "mass_g": 105.97,
            "starts": 14,
            "moulds": 5,
            "unit_cost": "39.40",
            "price_each": "63.54",
            "net": "762.48",
            "lead_time_hours": 384.1,
            "finish": "2027-03-17T08:36:00+00:00",
            "finish_odds": 0.824,
            "cost_odds": None,
            "rate_per_day": 5.0,
            "good_per_day": 4.7,
            "people_hours": 13.125,
            "unknown": [],
            "would_pass": [],
            "judgement": DEFLECTION,
        }
    ],
    "crossovers": [{"from_quantity": 1, "process": "cast"}],
    "winners": [{"aim": "cheapest", "process": "cast"}],
    "unbeaten": ["pressed"],
    "recommended": {
        "process": "cast",
        "why": "Fast-cure casting on rods passes: it bends 21.0 mm of the 26.0 mm "
        "allowed. It costs least of those that pass; pressed costs 254 % more. "
        "No single price, wage or mould cost would change that short of "
        "tripling. Printed fails: it bends 45.8 mm. It would fail if less than "
        "21.0 mm were allowed.",
        "switching": [
            {"driver": "the price of Fast part a", "change": 26.0702, "instead": "pressed"}
        ],
    },
    "unit_costs": {"pressed": ["56.53"]},
    "what_changes": None,
}

RATE: dict[str, Any] = {
    "part": "stabiliser",
    "process": "pressed",
    "moulds": 5,
    "per_hour_at_bench": 1.75182,
    "per_day_sustained": 5.0,
    "good_per_hour_at_bench": 1.64672,
    "good_per_day_sustained": 4.7,
    "binds": "moulds",
    "binds_at_bench": "hands with wet",
    "moulds_that_help": 5,
    "limits": [{"name": "moulds", "per_hour": None, "per_day": 5.0}],
    "mean_c": None,
}

BUY_LIST: dict[str, Any] = {
    "currency": "EUR",
    "today": "2027-03-01",
    "by": None,
    "arrives": "2027-03-04",
    "orders": 6,
    "needs": [
        {
            "material": "fast-part-a",
            "unit": "g",
            "needed": "2726.3",
            "usable": "0.0",
            "missing": "2726.3",
        },
        {
            "material": "fast-part-b",
            "unit": "g",
            "needed": "2453.7",
            "usable": "0.0",
            "missing": "2453.7",
        },
    ],
    "best": {
        "total": "139.00",
        "deliveries": [
            {
                "supplier": "weir",
                "title": "Weir",
                "lead_days": 3,
                "arrives": "2027-03-04",
                "order_by": None,
                "packs": [
                    {
                        "offer": 1,
                        "holds": {"fast-part-a": "1000 g", "fast-part-b": "900 g"},
                        "packs": 3,
                        "each": "44.00",
                        "amount": "132.00",
                        "hazardous": False,
                    }
                ],
                "goods": "132.00",
                "shipping": "7.00",
                "hazard_surcharge": "0.00",
                "total": "139.00",
            }
        ],
        "leftovers": [
            {"material": "fast-part-a", "unit": "g", "amount": "273.7"},
            {"material": "fast-part-b", "unit": "g", "amount": "246.3"},
        ],
        "leftover_value": "0.00",
    },
    "proven": True,
    "cannot_be_under": "139.00",
    "second": None,
    "one_supplier": [{"supplier": "weir", "title": "Weir", "total": "139.00", "lacks": []}],
    "unsold": [],
    "late": [],
}

PLAN: dict[str, Any] = {
    "now": "2027-03-01T08:30:00+00:00",
    "tasks": [
        {
            "operation": "start",
            "process": "printed",
            "part": "camera-boom",
            "start": "2027-03-01T08:30:00+00:00",
            "end": "2027-03-01T08:35:00+00:00",
            "spans": [["2027-03-01T08:30:00+00:00", "2027-03-01T08:35:00+00:00"]],
            "people": ["ines"],
            "mould": None,
            "stations": ["printer 1"],
            "members": [{"order": "1005", "pulls": [], "parts": [1]}],
            "mixed_g": None,
        }
    ],
    "sessions": [],
    "cautions": [],
    "shortages": [
        {
            "order": "1005",
            "material": "epoxy-hardener",
            "unit": "g",
            "needed": 55.0,
            "short": 13.0,
            "there_on": "2027-03-05",
            "bought": 13.0,
            "supplier": "estuary",
        }
    ],
    "odds": {
        "runs": 1000,
        "seed": 1,
        "level": 0.8,
        "orders": [
            {
                "number": "1001",
                "planned": "2027-03-11T09:00:00+00:00",
                "due": "2027-03-19T13:00:00+00:00",
                "promised": "2027-03-16T08:44:00+00:00",
                "promised_chance": 0.803,
                "p50": "2027-03-15T08:40:00+00:00",
                "p80": "2027-03-16T08:44:00+00:00",
                "p95": "2027-03-18T08:52:00+00:00",
                "chance": 0.981,
            }
        ],
        "limits_passed": [{"process": "pressed", "operation": "close", "share": 0.042}],
    },
    "orders": [
        {
            "number": "1001",
            "finish": "2027-03-11T09:00:00+00:00",
            "due": "2027-03-19T13:00:00+00:00",
            "late_min": 0,
            "starts": 27,
            "binds": ["waits for hands with finish from Wed 10 Mar 23:33 to Thu 11 Mar 08:57"],
        }
    ],
    "objective": {"weighted_late_min": 0, "finish_min": 20599, "attended_min": 2413},
    "bound": 20311,
    "bound_name": "the hours of ines and tomas",
    "gap": 0.0139813,
    "checked": True,
}
