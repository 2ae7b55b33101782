"""From a bench test, worked out, to its picture."""

from __future__ import annotations

from mouldwright.domain.record.found import Found
from mouldwright.figures.fit_drawing import FitPicture


def fit_of(found: Found, *, title: str) -> FitPicture:
    """Return the picture of one test; what the fixture gives way is in both slopes."""
    test, slope = found.test, found.slope
    fixture = test.fixture_mm_per_n
    has_line = slope.mm_per_n_error is not None and not test.touched_stop
    theory = found.theory_n_per_mm
    return FitPicture(
        title=title,
        readings=tuple(
            (each.load_n, each.deflection_mm - test.zero_mm, off)
            for each, off in zip(test.readings, slope.off_line_mm, strict=True)
        ),
        begins_at_mm=slope.begins_at_mm if has_line else 0.0,
        mm_per_n=slope.mm_per_n + fixture if has_line else None,
        theory_mm_per_n=None if theory is None else 1 / theory + fixture,
        most_off_mm=slope.most_off_line_mm,
        touched_stop=test.touched_stop,
    )
