"""Today as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote, urlencode

from mouldwright.domain.shown import lasting, worked
from mouldwright.usecases.today_told import (
    DueTold,
    NoticeTold,
    PersonTold,
    TodayTold,
)
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.in_hand import InHandView, in_hand_view
from mouldwright.web.words import count, moment

# The word a notice begins with, and how it is set.
_WORDS = {
    "wait": ("By the clock.", "late"),
    "late-start": ("Late start.", "at-risk"),
    "starts": ("Starts.", "at-risk"),
    "changed": ("Other date.", "at-risk"),
    "late": ("Late.", "late"),
    "moved": ("Moved.", "at-risk"),
    "close": ("Close.", "caution"),
    "no-plan": ("No plan.", "at-risk"),
    "impossible": ("No plan.", "late"),
    "out-of-date": ("Out of date.", "at-risk"),
    "to-publish": ("To publish.", "caution"),
    "planning": ("Planning.", ""),
    "quote": ("No answer yet.", "caution"),
    "lacking": ("To buy.", "at-risk"),
    "lot-expired": ("Expired.", "at-risk"),
    "lot": ("Use first.", "caution"),
    "conditioning": ("Condition it.", ""),
    "mould-life": ("Wearing out.", "caution"),
    "learnt": ("Learnt.", ""),
}
_GO_WORDS = {
    "wait": "Open the task",
    "late-start": "To the day sheet",
    "changed": "What moved",
    "no-plan": "To the board",
    "out-of-date": "Plan again",
    "to-publish": "Look at it",
    "planning": "Watch it",
    "impossible": "See why",
    "quote": "Open the quote",
    "lacking": "To what to buy",
    "lot": "Open the material",
    "lot-expired": "Open the material",
    "conditioning": "Open the mould",
    "mould-life": "Open the mould",
    "learnt": "Look at it",
}
MOST_NOTICES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeView:
    """Something that waits.

    Attributes:
        style: Class of its box.
        go: What the link says.
    """

    word: str
    style: str
    text: str
    path: str
    go: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonView:
    """A person's day in one line."""

    name: str
    path: str
    hours: str
    work: str
    doing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DueView:
    """An order and its date.

    Attributes:
        state: "late", "close", "ready", "in time", "no date" or "not planned".
        hand: How much is in hand, or how late it is.
        likely: Its likely day; a dash where nobody worked it out.
    """

    number: str
    what: str
    customer: str
    due: str
    ready: str
    likely: str
    hand: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayView:
    """The sheet."""

    clock: str
    notices: tuple[NoticeView, ...]
    more_notices: int
    in_hand: tuple[InHandView, ...]
    tonight: tuple[InHandView, ...]
    closes: str
    people: tuple[PersonView, ...]
    due: tuple[DueView, ...]
    due_more: int


def today_view(shop: str, found: TodayTold) -> TodayView:
    """Return the view of today; ``shop`` is the shop's key."""
    notices = [_notice(shop, found, each) for each in found.notices]
    return TodayView(
        clock=f"{found.now:%H:%M}",
        notices=tuple(notices[:MOST_NOTICES]),
        more_notices=max(0, len(notices) - MOST_NOTICES),
        in_hand=tuple(
            in_hand_view(shop, found.plan_version, found.day, each) for each in found.in_hand
        ),
        tonight=tuple(
            in_hand_view(shop, found.plan_version, found.day, each) for each in found.tonight
        ),
        closes="" if found.closes is None else f"{found.closes:%H:%M}",
        people=tuple(_person(shop, found, each) for each in found.people),
        due=tuple(_due(each) for each in found.due),
        due_more=found.due_more,
    )


def _notice(shop: str, found: TodayTold, each: NoticeTold) -> NoticeView:
    word, style = _WORDS[each.kind]
    room = {
        "wait": f"board/{found.plan_version}/tasks/t{each.key}",
        "late-start": "day",
        "changed": "board/changes",
        "no-plan": "board",
        "out-of-date": "board",
        "to-publish": f"board/runs/{each.key}",
        "planning": f"board/runs/{each.key}",
        "impossible": f"board/runs/{each.key}",
        "quote": f"quotes/{each.key}",
        "lacking": "buying",
        "lot": f"materials/{each.key}",
        "lot-expired": f"materials/{each.key}",
        "conditioning": f"moulds/{quote(each.key)}",
        "mould-life": f"moulds/{quote(each.key)}",
        "learnt": "learnt",
    }.get(each.kind, f"orders/{each.key}")
    return NoticeView(
        word=word,
        style=style,
        text=each.text,
        path=shop_path(shop, room),
        go=_GO_WORDS.get(each.kind, f"Open order {each.key}"),
    )


def _person(shop: str, found: TodayTold, each: PersonTold) -> PersonView:
    hours = ", ".join(f"{start:%H:%M} to {end:%H:%M}" for start, end in each.hours)
    work = "nothing booked"
    if each.steps:
        work = f"{count(each.steps, 'step')}, {worked(each.booked_min)}"
        work += "" if each.until is None else f", until {each.until:%H:%M}"
    doing = ""
    if each.doing_from is not None:
        begun = each.doing_from <= found.now
        doing = f"{each.doing}, {'since' if begun else 'at'} {each.doing_from:%H:%M}"
    elif each.steps:
        doing = "all done by the plan"
    query = urlencode({"person": each.person, "day": found.day.isoformat()})
    return PersonView(
        name=each.name,
        path=shop_path(shop, "day") + f"?{query}",
        hours=hours or "not in today",
        work=work,
        doing=doing,
    )


def _due(each: DueTold) -> DueView:
    hand = "–"
    if each.state == "ready":
        hand = "ready"
    elif each.slack_min is not None:
        hand = f"{lasting(abs(each.slack_min))}{' late' if each.slack_min < 0 else ''}"
    return DueView(
        number=each.number,
        what=f"{each.quantity:,} × {each.what}",
        customer=each.customer,
        due="no date" if each.due is None else moment(each.due),
        ready="not planned" if each.finish is None else moment(each.finish),
        likely="–" if each.likely is None else moment(each.likely),
        hand=hand,
        state=each.state,
    )
