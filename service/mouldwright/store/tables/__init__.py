"""Every table, imported here so that the metadata is whole whoever asks for it."""

from mouldwright.store.tables.access import SignInRow, TokenRow
from mouldwright.store.tables.base import METADATA
from mouldwright.store.tables.reply import KeptReplyRow
from mouldwright.store.tables.shop import ShopRow, ShopVersionRow

__all__ = ["METADATA", "KeptReplyRow", "ShopRow", "ShopVersionRow", "SignInRow", "TokenRow"]
