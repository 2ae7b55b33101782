"""What compiling the list scheduler of plain flow buys, on reduced mould shops.

Usage: compiled.py INSTANCE.json...   (wants the extra ``fast``)
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path

from instance_shop import written_down

from mouldwright.planning.attempt import Engine
from mouldwright.planning.flow.compiled import compiled_pass
from mouldwright.planning.flow.dispatch import Dispatcher
from mouldwright.planning.flow.running import Run
from mouldwright.planning.flow.urgency import Keys
from mouldwright.planning.reduce import as_flow


def main() -> None:
    """Print a table: passes by the plain loop and by the compiled one, in turn."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("instances", nargs="+", type=Path)
    parser.add_argument("--times", type=int, default=10)
    asked = parser.parse_args()
    compiled = compiled_pass()
    if compiled is None:
        parser.error("the extra fast is not installed")
    print("| instance | tasks | compiled passes in the time of a plain one |")
    print("| --- | ---: | ---: |")
    for path in asked.instances:
        written = written_down(json.loads(path.read_text()))
        engine = Engine.for_shop(written.shop, now=written.now)
        first = engine.attempt(next(engine.portfolio()))
        flow = as_flow(engine.problem, first.value[1])
        assert flow is not None
        run = Run(
            flow, seconds=60.0, seed=1, work_limit=None, least=0, progress=None, cancelled=None
        )
        finish = first.value[1]
        keys = Keys(run.finish.units, dict.fromkeys(range(run.stages.orders), finish))
        values = keys.keys(keys.plain())
        plain, fast = Dispatcher(run.stages), Dispatcher(run.stages, compiled=compiled)
        fast.run(values)
        took = [0.0, 0.0]
        for _ in range(asked.times):
            for which, (dispatcher, given) in enumerate(((plain, values.tolist()), (fast, values))):
                began = time.perf_counter()
                assert dispatcher.run(given) is not None
                took[which] += time.perf_counter() - began
        print(f"| {path.stem} | {run.stages.tasks} | {took[0] / took[1]:.0f} |", flush=True)


if __name__ == "__main__":
    main()
