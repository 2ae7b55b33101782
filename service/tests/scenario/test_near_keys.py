"""What is proposed for a key that is not known."""

import pytest

from mouldwright.scenario.near_keys import near_key


@pytest.mark.parametrize(
    ("written", "value", "known", "remedy"),
    [
        ("span_cm", 30, ("span_mm",), "Write span_mm = 300: it is in mm."),
        ("span_m", 0.3, ("span_mm",), "Write span_mm = 300: it is in mm."),
        # Exactly 25.4 mm to the inch: BIPM, The International System of Units, 9th ed. (2019),
        # by way of the 1959 international yard.
        ("chord_in", 2, ("chord_mm",), "Write chord_mm = 50.8: it is in mm."),
        # Standard gravity 9.80665 m/s2: BIPM, resolution of the 3rd CGPM (1901).
        ("force_kg", 2, ("force_n",), "Write force_n = 19.6133: it is in N."),
        ("modulus_mpa", 2500, ("modulus_gpa",), "Write modulus_gpa = 2.5: it is in GPa."),
        ("density_g_cm3", 1.1, ("density_kg_m3",), "Write density_kg_m3 = 1100: it is in kg/m3."),
        ("unattended_h", 1.5, ("unattended_min",), "Write unattended_min = 90: it is in min."),
        ("span_cm", "thirty", ("span_mm",), "Did you mean span_mm? It is in mm."),
        ("price", "60.00", ("cost", "process"), "Did you mean cost?"),
        ("densty", 1, ("density_kg_m3", "density_range"), "Did you mean density_kg_m3?"),
        ("densty", [0.9, 1], ("density_kg_m3", "density_range"), "Did you mean density_range?"),
        ("skils", ["wet"], ("skills", "hours"), "Did you mean skills?"),
        ("colour", "red", ("count", "cost_per_kg"), "Known: cost_per_kg, count."),
    ],
)
def test_the_key_that_was_meant_is_named_with_the_value_in_its_unit(
    written: str, value: object, known: tuple[str, ...], remedy: str
) -> None:
    assert near_key(written, value, known) == remedy
