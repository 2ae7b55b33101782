"""The kinds of thing that may wait for someone at a bench."""

from __future__ import annotations

from typing import Literal

NoticeKind = Literal[
    "wait",
    "late-start",
    "starts",
    "changed",
    "late",
    "moved",
    "close",
    "no-plan",
    "impossible",
    "out-of-date",
    "to-publish",
    "planning",
    "quote",
    "lacking",
    "lot-expired",
    "lot",
    "conditioning",
    "mould-life",
    "learnt",
]
