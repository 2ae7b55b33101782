"""How much of a computed stiffness is counted on: the bench tests' share, else the theory's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.process.process import Process
from mouldwright.domain.record.learnt import Learnt, learnt
from mouldwright.domain.record.tolerance import CONFIDENCE, SHARE_OF_PARTS
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.made import Made

# Tests this much cooler than the part will get say little of how stiff it is then.
MOST_COOLER_C = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedOn:
    """The share of the computed stiffness that is counted on, and why.

    Attributes:
        share: Of the stiffness that theory, or a stated modulus, gives.
        theory_share: What it would be without any test.
        by: Whether tests, theory or a stated modulus decide.
        learnt: What the tests say; None where the process has none.
    """

    share: float
    theory_share: float
    by: Literal["tests", "theory", "stated"]
    learnt: Learnt | None

    @property
    def reasons(self) -> tuple[str, ...]:
        """Return why nothing can be counted on, with what to do."""
        held = self.learnt
        if held is None or held.tolerance is None or not held.is_too_wide:
            return ()
        return (
            f"its {held.tolerance.count} bench tests lie too far apart to count on any stiffness "
            f"(spread {held.tolerance.spread / held.tolerance.mean * 100:.0f} %): bend more parts",
        )

    def rule(self, done: Made) -> str:
        """Return in a sentence or two what the stiffness rests on."""
        if self.by == "theory":
            return (
                f"By theory: {done.rule}; {self.share:.3g} of that stiffness is counted on until "
                f"tests say.{self._seen()}"
            )
        if self.by == "stated":
            return _stated(done) + self._seen()
        held = self.learnt
        assert held is not None
        assert held.tolerance is not None
        tests, of = held.tolerance, "the stated modulus" if done.is_measured else "theory"
        words = (
            f"By {tests.count} bench tests: they show {tests.mean:.2f} of {of} ({done.rule}) with "
            f"a spread of {tests.spread / tests.mean * 100:.1f} %; {self.share:.2f} is counted on, "
            f"which {SHARE_OF_PARTS * 100:g} % of parts pass with {CONFIDENCE * 100:g} % "
            f"confidence (k = {tests.factor:.3f})."
        )
        if held.bound is not None and held.bound <= tests.limit:
            words += " It is held down by a part that met its stop."
        return words

    def _seen(self) -> str:
        """Return what tests there are that do not decide."""
        held = self.learnt
        if held is None:
            return ""
        counting = held.counting
        said = ""
        if len(counting) == 1 and counting[0].share is not None:
            seen = counting[0].share
            said += f" One bench test shows {seen:.2f} of it"
            if seen < self.theory_share:
                said += f", less than the {self.theory_share:g} assumed, so that is counted on"
            said += "; a second one makes a limit."
        if held.bound is not None and held.bound <= self.share:
            said += " A part that met its stop holds it down."
        return said


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessTests:
    """The bench tests of one process and what they lead to."""

    process: Process
    counted: CountedOn
    learnt: Learnt


def counted_on(shop: Shop, process: Process, *, is_measured: bool) -> CountedOn:
    """Return the share of a process's stiffness that is counted on.

    Raises:
        NotFound: if a test names no part, or the structure no material that is there.
        InvalidInput: if a material lacks what its structure needs.
    """
    held = learnt(shop, process)
    theory = 1.0 if is_measured else shop.theory_factor
    if held is not None and held.counted is not None:
        return CountedOn(share=held.counted, theory_share=theory, by="tests", learnt=held)
    share = theory
    if held is not None and held.tolerance is None:
        # Too few for a limit can still show that what is assumed is too much.
        share = min([theory, *(each.share for each in held.counting if each.share is not None)])
    if held is not None and held.bound is not None:
        share = min(share, held.bound)
    by: Literal["theory", "stated"] = "stated" if is_measured else "theory"
    return CountedOn(share=share, theory_share=theory, by=by, learnt=held)


def warnings_of_tests(counted: CountedOn, service_temperature_c: float | None) -> tuple[str, ...]:
    """Return what the reader should know of the tests behind a judgement."""
    held = counted.learnt
    if held is None:
        return ()
    found = []
    refused = sum(1 for each in held.found if each.refused)
    if refused:
        tests = "bench test is" if refused == 1 else "bench tests are"
        found.append(f"{refused} {tests} left out, with the reason beside: see the bench tests.")
    old = [each.test.key for each in held.counting if each.warnings]
    if old:
        found.append(
            f"It was drawn otherwise when {', '.join(old)} {'was' if len(old) == 1 else 'were'} "
            f"bent: see the bench tests."
        )
    known = [
        each.test.temperature_c for each in held.counting if each.test.temperature_c is not None
    ]
    if service_temperature_c is not None and known and counted.by == "tests":
        warmest = max(known)
        if warmest < service_temperature_c - MOST_COOLER_C:
            found.append(
                f"It gets as hot as {service_temperature_c:g} °C and the tests were made at up to "
                f"{warmest:g} °C: bend one warm."
            )
    return tuple(found)


def _stated(done: Made) -> str:
    if done.source:
        return f"Measured: {done.rule} ({done.source}). No theory factor applies."
    return (
        f"As stated: {done.rule}, with no test named; no theory factor applies. Bend a part "
        f"before relying on it."
    )
