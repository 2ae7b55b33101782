"""The service asked from Python: typed verbs, one shape of error, asked again where that is safe.

Only what speaks to the service belongs here; what is said stands in ``wire``.
"""

from mouldwright.client.client import Client
from mouldwright.client.errors import ClientError, NoAnswer, Refused
from mouldwright.client.kept import Kept
from mouldwright.client.retry import Retry
from mouldwright.client.shop import Shop

__all__ = ["Client", "ClientError", "Kept", "NoAnswer", "Refused", "Retry", "Shop"]
