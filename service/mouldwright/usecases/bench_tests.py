"""What a shop's bench tests say, process by process."""

from __future__ import annotations

from mouldwright.domain.counted import ProcessTests, counted_on
from mouldwright.domain.errors import NotFound
from mouldwright.domain.record.found import Found, found_by
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import MeasuredStructure


def bench_tests(shop: Shop, only: str | None = None) -> tuple[ProcessTests, ...]:
    """Return what the tests of each process say, in the shop's order of processes.

    Args:
        shop: With its tests.
        only: Key of the one process that is asked for; None for all that were tested.

    Raises:
        NotFound: if there is no such process, or a test names no part.
        InvalidInput: if a material lacks what its structure needs.
    """
    asked = [shop.process(only)] if only is not None else list(shop.processes.values())
    found = []
    for process in asked:
        stated = isinstance(process.structure, MeasuredStructure)
        counted = counted_on(shop, process, is_measured=stated)
        if counted.learnt is not None:
            found.append(ProcessTests(process=process, counted=counted, learnt=counted.learnt))
    return tuple(found)


def one_test(shop: Shop, key: str) -> Found:
    """Return what one bench test says.

    Raises:
        NotFound: if there is no such test, or it names no part or process.
        InvalidInput: if a material lacks what its structure needs.
    """
    if key not in shop.bench_tests:
        raise NotFound(kind="bench test", key=key, known=shop.bench_tests)
    test = shop.bench_tests[key]
    return found_by(test, shop.part(test.part), shop.process(test.process), shop.materials)
