"""Bench tests as they are noted down: a part bent, and what was read off."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import PlainValidator

from mouldwright.domain.record import bench_test as domain
from mouldwright.wire.hours import Date
from mouldwright.wire.model import Key, Model, Text, key
from mouldwright.wire.numbers import Above, Anywhere, NotBelow, Number, wrong
from mouldwright.wire.pairs import AS_LISTS, pairs_from, pairs_schema
from mouldwright.wire.shape import Coordinates, Section, section_of, shape_from

_LEAST, _MOST = 2, 500
_NUMBER = Number("float", "4.9")


def _readings(value: Any) -> tuple[tuple[float, float], ...]:
    read = pairs_from(
        value,
        _NUMBER,
        what="readings",
        whole="a test",
        least=_LEAST,
        most=_MOST,
        example="[[2.0, 1.1], [4.0, 2.2], [6.0, 3.3]] for load and deflection",
    )
    if any(load < 0 for load, _ in read):
        raise wrong("a load is never below 0.", "Count loads in the direction they bend the part.")
    return read


Readings = Annotated[
    tuple[tuple[float, float], ...],
    PlainValidator(_readings),
    AS_LISTS,
    pairs_schema(_LEAST, "list of [load, deflection] pairs"),
]


class DrawnAs(Model):
    """What a part was drawn like when one of it was bent."""

    span_mm: Above = key("How long it was drawn.", unit="mm")
    section: Section = key("Its cross-section then.")

    def model_post_init(self, _context: object) -> None:
        """Want the points themselves: a file may have changed since."""
        if isinstance(self.section, Coordinates) and self.section.file:
            raise wrong(
                "a drawing of then does not read a file of now.",
                "Write its points.",
                key="section",
            )

    def drawing(self) -> domain.DrawnAs:
        """Return the drawing."""
        return domain.DrawnAs(span_mm=self.span_mm, section=shape_from(self.section, {}))

    @classmethod
    def of(cls, drawn: domain.DrawnAs) -> DrawnAs:
        """Return the drawing as it would be written."""
        return cls.written(span_mm=drawn.span_mm, section=section_of(drawn.section))


class BenchTest(Model):
    """One part bent at the bench; the table's key is its name everywhere else."""

    part: Key = key("Key of the part that was bent.")
    process: Key = key("Key of the process it was made by.")
    date: Date = key("The day of the test.")
    readings: Readings = key(
        "What the dial showed under each load, in mm, in the order it was read; "
        "three different loads at least."
    )
    loads_in: Literal["N", "kg"] = key(
        "What the loads are written in; a kilogram hung on the part pulls with 9.81 N.",
        default="N",
    )
    support: Literal["cantilever", "simply supported"] = key(
        "How it was held.", default="cantilever"
    )
    start_mm: NotBelow = key(
        "From the root to the clamp or to the first support.", default=0.0, unit="mm"
    )
    span_mm: Above | None = key(
        "From the clamp to the tip, or between the supports; left out, all that is left of the "
        "part.",
        default=None,
        unit="mm",
    )
    load_at_mm: Above | None = key(
        "From the clamp or the first support to the load and the dial; left out, the end of a "
        "cantilever and the middle between two supports.",
        default=None,
        unit="mm",
    )
    zero_mm: Anywhere = key("What the dial showed with no load.", default=0.0, unit="mm")
    fixture_mm_per_n: NotBelow = key(
        "What the fixture itself gives way; measure it with a stiff bar in place of the part.",
        default=0.0,
        unit="mm/N",
    )
    dial_step_mm: Above = key("The smallest step of the dial.", default=0.01, unit="mm")
    touched_stop: bool = key(
        "Whether the part met a stop at the greatest load; it then says only what the stiffness "
        "cannot pass.",
        default=False,
    )
    thickness_mm: Above | None = key(
        "Greatest thickness of the piece at its root; 3 % of it is 9 % of stiffness.",
        default=None,
        unit="mm",
    )
    drawn_thickness_mm: Above | None = key(
        "How thick the part was drawn at its root when the test was made; a served shop notes it "
        "by itself. Where the drawing has changed since, a piece without a thickness of its own is "
        "taken as thick as it was drawn then.",
        default=None,
        unit="mm",
    )
    drawn: DrawnAs | None = key(
        "What the part was drawn like when the test was made; a served shop notes it by itself. "
        "The piece is set beside this drawing, however the part is drawn since.",
        default=None,
    )
    mass_g: Above | None = key("What the piece weighs.", default=None, unit="g")
    age_days: NotBelow | None = key("Days from its cure to the test.", default=None, unit="days")
    temperature_c: Anywhere | None = key("How warm the piece was.", default=None, unit="°C")
    serial: Text | None = key(
        "Serial of the piece, its order and number: `1001-7`; its test then stands in its record.",
        default=None,
    )
    note: Text | None = key("Anything worth knowing.", default=None)

    def model_post_init(self, _context: object) -> None:
        """Want the load within the span."""
        if self.load_at_mm is None or self.span_mm is None:
            return
        on_end = self.load_at_mm == self.span_mm and self.support == "cantilever"
        if self.load_at_mm >= self.span_mm and not on_end:
            raise wrong(
                f"the load stands outside the span of {self.span_mm:g} mm.",
                "Count it from the clamp or the first support.",
                key="load_at_mm",
            )

    def bench_test(self, name: str) -> domain.BenchTest:
        """Return the test of that key."""
        each = domain.GRAVITY_M_S2 if self.loads_in == "kg" else 1.0
        same = {n: getattr(self, n) for n in _SAME}
        return domain.BenchTest(
            key=name,
            day=self.date,
            readings=tuple(
                domain.Reading(load_n=load * each, deflection_mm=bend)
                for load, bend in self.readings
            ),
            loads_in=self.loads_in,
            note=self.note or "",
            serial=self.serial or "",
            drawn=self.drawn.drawing() if self.drawn else None,
            **same,
        )

    @classmethod
    def of(cls, test: domain.BenchTest) -> BenchTest:
        """Return the test as it would be written."""
        each = domain.GRAVITY_M_S2 if test.loads_in == "kg" else 1.0
        return cls.written(
            date=test.day,
            readings=[[_shown(r.load_n / each), r.deflection_mm] for r in test.readings],
            loads_in=test.loads_in,
            note=test.note or None,
            serial=test.serial or None,
            drawn=DrawnAs.of(test.drawn) if test.drawn else None,
            **{n: getattr(test, n) for n in _SAME},
        )


_SAME = (
    *("part", "process", "support", "start_mm", "span_mm", "load_at_mm", "zero_mm"),
    *(
        "fixture_mm_per_n",
        "dial_step_mm",
        "touched_stop",
        "thickness_mm",
        "drawn_thickness_mm",
        "mass_g",
    ),
    *("age_days", "temperature_c"),
)


def _shown(load: float) -> Decimal:
    """Return a load in the unit it was written in, without what dividing it back left behind."""
    return Decimal(repr(round(load, 9)))
