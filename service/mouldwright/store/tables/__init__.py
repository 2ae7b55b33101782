"""Every table, imported here so that the metadata is whole whoever asks for it."""

from mouldwright.store.tables.access import SignInRow, TokenRow
from mouldwright.store.tables.audit import AuditRow
from mouldwright.store.tables.base import METADATA
from mouldwright.store.tables.decline import DeclinedRow
from mouldwright.store.tables.feed import FeedRow, ToldEventsRow
from mouldwright.store.tables.link import QuoteLinkRow
from mouldwright.store.tables.log import LogAboutRow, LogEntryRow
from mouldwright.store.tables.pin import PinRow
from mouldwright.store.tables.promise import (
    BookingRow,
    CounterRow,
    QuoteRevisionRow,
    QuoteRow,
)
from mouldwright.store.tables.reply import KeptReplyRow
from mouldwright.store.tables.run import PlanRow, RunRow
from mouldwright.store.tables.shop import ShopRow, ShopVersionRow

__all__ = [
    "METADATA",
    "AuditRow",
    "BookingRow",
    "CounterRow",
    "DeclinedRow",
    "FeedRow",
    "KeptReplyRow",
    "LogAboutRow",
    "LogEntryRow",
    "PinRow",
    "PlanRow",
    "QuoteLinkRow",
    "QuoteRevisionRow",
    "QuoteRow",
    "RunRow",
    "ShopRow",
    "ShopVersionRow",
    "SignInRow",
    "TokenRow",
    "ToldEventsRow",
]
