"""A written model as JSON, with numbers exactly as they were written."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any


def json_text(value: Any) -> str:
    """Return a dumped model as JSON, decimals as numbers with all their digits.

    Keys that hold nothing are left out, as TOML must.
    """
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return f'"{value.isoformat()}"'
    if isinstance(value, Mapping):
        inside = (
            f"{json.dumps(str(k))}: {json_text(v)}" for k, v in value.items() if v is not None
        )
        return "{" + ", ".join(inside) + "}"
    if isinstance(value, list | tuple | set | frozenset):
        return "[" + ", ".join(json_text(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)
