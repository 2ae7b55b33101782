"""Draft a step: ``python -m mouldwright.store.migrations 0002 "Quotes and orders"``."""

from __future__ import annotations

import sys

from mouldwright.store.migrate import draft

if __name__ == "__main__":
    draft(*sys.argv[1:])
