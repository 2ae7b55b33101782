"""Functions of statistics and of bent bars, fetched from their library when one is first needed.

Loading that library takes a quarter of a second, which most commands never need.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


def _when_needed(name: str) -> Callable[..., Any]:
    """Return a function that loads the library's function of that name when it is called."""

    def call(*given: Any) -> Any:
        from scipy import special

        return getattr(special, name)(*given)

    return call


def load() -> None:
    """Load the library now, for who must have all memory that it takes before a limit is set."""
    ndtr(0.0)


bdtr = _when_needed("bdtr")
bdtrc = _when_needed("bdtrc")
betaincinv = _when_needed("betaincinv")
ellipe = _when_needed("ellipe")
ellipeinc = _when_needed("ellipeinc")
ellipk = _when_needed("ellipk")
ellipkinc = _when_needed("ellipkinc")
gammaincinv = _when_needed("gammaincinv")
gammaln = _when_needed("gammaln")
nctdtrit = _when_needed("nctdtrit")
ndtr = _when_needed("ndtr")
ndtri = _when_needed("ndtri")
stdtrit = _when_needed("stdtrit")
