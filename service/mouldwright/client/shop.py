"""One shop: questions asked of it, and all that is kept for it."""

from __future__ import annotations

from datetime import date

from mouldwright.client.async_connection import AsyncConnection
from mouldwright.client.audit import Audit
from mouldwright.client.call import Call, segment
from mouldwright.client.connection import Connection
from mouldwright.client.feeds import Feeds
from mouldwright.client.kept import Kept
from mouldwright.client.learning import Learning
from mouldwright.client.ledgers import Ledgers
from mouldwright.client.log import Log
from mouldwright.client.mark import Mark
from mouldwright.client.orders import Orders
from mouldwright.client.papers import Papers
from mouldwright.client.pins import Pins
from mouldwright.client.plans import Plans
from mouldwright.client.questions import Questions
from mouldwright.client.quotes import Quotes
from mouldwright.client.runs import Runs
from mouldwright.client.steps import Steps
from mouldwright.client.tables import Tables
from mouldwright.client.things import Things
from mouldwright.client.tokens import Tokens
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.answers.bench_day import BenchDayAnswer, HandoverAnswer
from mouldwright.wire.answers.today import TodayAnswer
from mouldwright.wire.bench_test import BenchTest
from mouldwright.wire.json_text import json_text
from mouldwright.wire.material import Material
from mouldwright.wire.mould import MouldFamily
from mouldwright.wire.part import Part
from mouldwright.wire.process import Process
from mouldwright.wire.scenario import Scenario
from mouldwright.wire.service.order import EraseAsk, ErasedAnswer
from mouldwright.wire.service.shop import (
    BenchTestEntry,
    BenchTestList,
    MaterialEntry,
    MaterialList,
    MouldEntry,
    MouldList,
    PartEntry,
    PartList,
    ProcessEntry,
    ProcessList,
    ShopAnswer,
    ShopSummary,
)


class AnyShop(Verbs[C]):
    """A shop of the service.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.

    Attributes:
        key: By which the service knows it.
        ask: Questions that keep nothing.
        parts: What is made.
        processes: How it is made.
        materials: What it is made of.
        moulds: Mould families.
        bench_tests: Parts that were bent at the bench.
        quotes: Priced promises, in revisions.
        orders: What accepted quotes booked.
        log: What happened at the bench.
        runs: Plans being made.
        plan: Plans that were published.
        pins: What is pinned on the board.
        feeds: Addresses at which calendars look by themselves.
        ledgers: How moulds and stock stand, where parts come from, what orders really cost.
        learning: Times and yields as the log tells them, beside what is written.
        papers: Day sheets, labels for moulds and what to buy, as PDF.
        mark: The drawing at the head of quotes.
        tables: What is kept, as files for a spreadsheet.
        tokens: Who may come in.
        audit: Who changed what.
    """

    def __init__(self, connection: C, key: str) -> None:
        """Name it; nothing is asked yet."""
        path = f"/v1/shops/{segment(key)}"
        super().__init__(connection, path)
        self.key = key
        self.ask: Questions[C] = Questions(connection, path)
        self.parts: Things[C, PartList, PartEntry, Part] = Things(
            connection, f"{path}/parts", every=PartList, entry=PartEntry
        )
        self.processes: Things[C, ProcessList, ProcessEntry, Process] = Things(
            connection, f"{path}/processes", every=ProcessList, entry=ProcessEntry
        )
        self.materials: Things[C, MaterialList, MaterialEntry, Material] = Things(
            connection, f"{path}/materials", every=MaterialList, entry=MaterialEntry
        )
        self.moulds: Things[C, MouldList, MouldEntry, MouldFamily] = Things(
            connection, f"{path}/moulds", every=MouldList, entry=MouldEntry
        )
        self.bench_tests: Things[C, BenchTestList, BenchTestEntry, BenchTest] = Things(
            connection, f"{path}/bench_tests", every=BenchTestList, entry=BenchTestEntry
        )
        self.quotes: Quotes[C] = Quotes(connection, path)
        self.orders: Orders[C] = Orders(connection, path)
        self.log: Log[C] = Log(connection, path)
        self.runs: Runs[C] = Runs(connection, path)
        self.plan: Plans[C] = Plans(connection, path)
        self.pins: Pins[C] = Pins(connection, path)
        self.feeds: Feeds[C] = Feeds(connection, path)
        self.ledgers: Ledgers[C] = Ledgers(connection, path)
        self.learning: Learning[C] = Learning(connection, path)
        self.papers: Papers[C] = Papers(connection, path)
        self.mark: Mark[C] = Mark(connection, path)
        self.tables: Tables[C] = Tables(connection, path)
        self.tokens: Tokens[C] = Tokens(connection, path)
        self.audit: Audit[C] = Audit(connection, path)

    @Verb
    def read(
        self, version: int | None = None, *, known: Kept[ShopAnswer] | None = None
    ) -> Steps[Kept[ShopAnswer]]:
        """Return all that is written about it; ``known`` itself where that still holds."""
        call = Call(method="GET", path=self._path, query={"version": version})
        return self._connection.read_anew(call, ShopAnswer, known)

    @Verb
    def replace(
        self, scenario: Scenario | str, *, read: Kept[ShopAnswer]
    ) -> Steps[Kept[ShopSummary]]:
        """Write it anew over what was read.

        Args:
            scenario: What it shall be, as TOML or as a model.
            read: What was read before; refused where it was changed since.
        """
        call = Call(method="PUT", path=self._path, body=scenario_text(scenario), etag=read.etag)
        return self._connection.read(call, ShopSummary)

    @Verb
    def today(self) -> Steps[TodayAnswer]:
        """Return what is in hand, each person's work, what waits for someone, what is due next."""
        return self._connection.value(Call(method="GET", path=f"{self._path}/today"), TodayAnswer)

    @Verb
    def tomorrow(self, day: date | None = None) -> Steps[BenchDayAnswer]:
        """Return a day in the order of the hands; the next with work where none is named."""
        query = {"day": None if day is None else day.isoformat()}
        call = Call(method="GET", path=f"{self._path}/tomorrow", query=query)
        return self._connection.value(call, BenchDayAnswer)

    @Verb
    def handover(self) -> Steps[HandoverAnswer]:
        """Return what cures, what must be taken up by when, what is at risk, who comes next."""
        call = Call(method="GET", path=f"{self._path}/handover")
        return self._connection.value(call, HandoverAnswer)

    @Verb
    def toml(self, *, booked: bool = False) -> Steps[str]:
        """Return it as a scenario file.

        Args:
            booked: With the open orders that came from quotes, to be planned elsewhere.
        """
        call = Call(
            method="GET",
            path=f"{self._path}/scenario.toml",
            query={"booked": True} if booked else {},
        )
        return self._connection.text(call)

    @Verb
    def erase_customer(self, name: str) -> Steps[int]:
        """Erase a customer's name for good; figures stay. Return in how many places it stood."""
        ask = EraseAsk(customer=name)
        call = Call(method="POST", path=f"{self._path}/customers/erase", body=ask)
        return (yield from self._connection.value(call, ErasedAnswer)).places


Shop = AnyShop[Connection]
AsyncShop = AnyShop[AsyncConnection]


def scenario_text(scenario: Scenario | str, **more: str) -> str:
    """Return a scenario as the service takes it."""
    if isinstance(scenario, str):
        return json_text({**more, "scenario_toml": scenario})
    return json_text({**more, "scenario": scenario.model_dump(by_alias=True)})
