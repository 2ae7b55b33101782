"""A whole scenario as it is written down: one shop and everything in it."""

from __future__ import annotations

from typing import Literal

from mouldwright.domain import shop as domain
from mouldwright.wire.bench_test import BenchTest
from mouldwright.wire.log import LogEntry
from mouldwright.wire.material import Lot, Material
from mouldwright.wire.model import Key, Model, key
from mouldwright.wire.mould import MouldFamily
from mouldwright.wire.order import Order, PartSet
from mouldwright.wire.part import Part
from mouldwright.wire.process import Process
from mouldwright.wire.room import Room, Session
from mouldwright.wire.shop import Person, Shop, Station
from mouldwright.wire.supplier import Supplier


class Scenario(Model):
    """One workshop and everything in it, by key."""

    format: Literal[1] = key("Version of this format.", default=1)
    shop: Shop = key("The workshop itself.")
    people: dict[Key, Person] = key("Who works there.", default={})
    stations: dict[Key, Station] = key("Counted places and machines.", default={})
    rooms: dict[Key, Room] = key("Rooms whose states exclude each other.", default={})
    sessions: dict[Key, Session] = key("Work that costs going in and coming out.", default={})
    materials: dict[Key, Material] = key("What parts are made of.", default={})
    suppliers: dict[Key, Supplier] = key("Who sells it.", default={})
    stock: dict[Key, list[Lot]] = key("What is on the shelf, by material.", default={})
    parts: dict[Key, Part] = key("What is made.", default={})
    sets: dict[Key, PartSet] = key("What is sold as one of several parts.", default={})
    moulds: dict[Key, MouldFamily] = key("Mould families.", default={})
    processes: dict[Key, Process] = key("How it is made.", default={})
    bench_tests: dict[Key, BenchTest] = key("Parts that were bent at the bench.", default={})
    orders: list[Order] = key("What was ordered.", default=[])
    log: list[LogEntry] = key("What really happened, one entry after another.", default=[])

    @classmethod
    def of(cls, shop: domain.Shop) -> Scenario:
        """Return a shop as it would be written."""
        return cls.written(
            shop=Shop.of(shop),
            people={name: Person.of(person) for name, person in shop.people.items()},
            stations={name: Station.of(station) for name, station in shop.stations.items()},
            rooms={name: Room.of(room) for name, room in shop.rooms.items()},
            sessions={name: Session.of(session) for name, session in shop.sessions.items()},
            materials={name: Material.of(m) for name, m in shop.materials.items()},
            suppliers={name: Supplier.of(s) for name, s in shop.suppliers.items()},
            stock={name: [Lot.of(lot) for lot in lots] for name, lots in shop.stock.lots.items()},
            parts={name: Part.of(part) for name, part in shop.parts.items()},
            sets={name: PartSet.of(part_set) for name, part_set in shop.sets.items()},
            moulds={name: MouldFamily.of(family) for name, family in shop.moulds.items()},
            processes={name: Process.of(process) for name, process in shop.processes.items()},
            bench_tests={name: BenchTest.of(test) for name, test in shop.bench_tests.items()},
            orders=[Order.of(order) for order in shop.orders],
            log=[LogEntry.of(entry) for entry in shop.log],
        )
