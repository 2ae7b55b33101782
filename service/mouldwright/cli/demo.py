"""The demo command: the demo shop, a comparison, a priced part, the plan."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from mouldwright.cli.compare import show_comparison
from mouldwright.cli.opening import clock, finish_by
from mouldwright.cli.plan import show_orders, with_likely_days
from mouldwright.cli.quote import show_quote
from mouldwright.cli.show import console
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import compare as compare_part
from mouldwright.usecases.planned import plan as plan_shop
from mouldwright.usecases.present import present
from mouldwright.usecases.quoting import quote as quote_part
from mouldwright.wire.answers.comparison import ComparisonAnswer
from mouldwright.wire.answers.quote import QuoteAnswer

DEMO, PART, QUANTITY = "foil-bench", "stabiliser", 24


def demo(write: str | None, *, serves: bool, port: int | None) -> None:
    """Show the demo shop and serve it, or copy its files to a new folder."""
    source = demo_path(DEMO)
    out = console()
    if write is not None:
        _copy(source, Path(write))
        out.print(f"The demo shop is in {write}. Next: mouldwright check {write}")
        return
    shop = read_scenario(source).shop
    now = present(shop, None, clock)
    finish = finish_by(by_rate=False)
    out.print(
        f"{shop.name}: {len(shop.people)} people, {len(shop.parts)} parts, "
        f"{len(shop.processes)} processes, {sum(len(f.moulds) for f in shop.moulds.values())} "
        f"moulds, {len(shop.orders)} open orders. All of it is invented."
    )
    comparison = compare_part(shop, PART, QUANTITY, now=now, finish=finish)
    answer = ComparisonAnswer.of(shop, comparison)
    show_comparison(out, shop, answer)
    process = answer.recommended.process or shop.part(PART).made_by[0]
    quoted = quote_part(shop, PART, process, QUANTITY, now=now, finish=finish)
    show_quote(out, shop, QuoteAnswer.of(shop, quoted))
    planned = plan_shop(shop, now=now, seconds=3.0)
    show_orders(out, with_likely_days(shop, planned, seed=1))
    if serves:
        sys.stdout.flush()
        _serve(port)


def _serve(port: int | None) -> None:
    """Serve the demo shop from a database that goes when it stops."""
    from mouldwright.bootstrap import serve
    from mouldwright.cli.serve import settings_of, tell
    from mouldwright.logs import write_logs

    write_logs(requests=False)
    with TemporaryDirectory(prefix="mouldwright-demo-") as folder:
        settings = settings_of(
            database_url=f"sqlite:///{folder}/demo.db", host="127.0.0.1", port=port
        )
        sys.stdout.write(
            "\nWhat you do in the demo is forgotten when it stops; "
            "`mouldwright serve --demo` keeps it.\n"
        )
        serve(settings, demo=True, any_port=True, ready=tell)


def _copy(source: Path, target: Path) -> None:
    if target.exists():
        raise InvalidInput(
            [
                Fault(
                    path="--write",
                    value=str(target),
                    problem="that already exists, and nothing is overwritten.",
                    remedy="Name a folder that does not exist yet.",
                )
            ]
        )
    shutil.copytree(source, target)
