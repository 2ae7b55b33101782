"""The service asked from Python: typed verbs, one shape of error, asked again where that is safe.

Only what speaks to the service belongs here; what is said stands in ``wire``. Each verb is written
once, as the steps it takes, and is asked in turn or beside other work.
"""

from mouldwright.client.client import AsyncClient, Client
from mouldwright.client.errors import ClientError, NoAnswer, Refused
from mouldwright.client.kept import Kept
from mouldwright.client.retry import Retry
from mouldwright.client.shop import AsyncShop, Shop

__all__ = [
    "AsyncClient",
    "AsyncShop",
    "Client",
    "ClientError",
    "Kept",
    "NoAnswer",
    "Refused",
    "Retry",
    "Shop",
]
