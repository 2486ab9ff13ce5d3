"""A crowd with jars on the go, put into a database as if they had been there for a week."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import datetime, time, timedelta

from bot.culture.journal import (
    Began,
    Entry,
    FlourSet,
    KitchenSet,
    MorningsSet,
    UnitsSet,
    Wrote,
    ZoneSet,
)
from bot.delivery.ports import Store
from bot.turn import Turn
from tests.bot_api.people import Person

DAY = timedelta(days=1)


def zone_where_it_is(hour: int, now: datetime) -> str:
    """A fixed offset ("+05:00") where the clock shows about that hour now, so that a test of
    mornings works at any time of the day."""
    offset = (hour - now.hour + 12) % 24 - 12
    return f"{'-' if offset < 0 else '+'}{abs(offset):02d}:00"


def journal(*, now: datetime, jar: str) -> tuple[Entry, ...]:
    """Somebody on day 4 who wrote yesterday and wants mornings at 7, where it is now past 8."""
    began = now - 3 * DAY
    events = (
        ZoneSet(zone=zone_where_it_is(8, now)),
        UnitsSet(units="metric"),
        KitchenSet(celsius=21.0),
        FlourSet(flour="white"),
        MorningsSet(at=time(7, 0)),
    )
    start = [Entry(number=n, at=began, event=event) for n, event in enumerate(events, 1)]
    jar_began = Began(name=jar, flour="white", method="thrifty", started_at=began)
    return (
        *start,
        Entry(number=6, at=began, event=jar_began, culture="c1"),
        Entry(number=7, at=now - DAY, event=Wrote()),
    )


async def move_in(
    store: Store, chats: Sequence[str], *, now: datetime, next_prompt_at: datetime | None
) -> None:
    """Give each chat a person with a jar; all of them due at one instant, or not at all."""

    async def one(chat: str) -> None:
        talk = await store.conversation(chat)
        turn = Turn(entries=journal(now=now, jar="Biscuit"), next_prompt_at=next_prompt_at)
        kept = await store.keep(talk, turn, now=now, cause=f"seed:{chat}")
        assert kept == "kept"

    for start in range(0, len(chats), 500):
        await asyncio.gather(*(one(chat) for chat in chats[start : start + 500]))


async def write(people: Sequence[Person], reports: int, spread_s: float) -> None:
    """Reports of the people in turn, evenly over a time."""
    for number in range(reports):
        people[number % len(people)].writes("doubled, lots of bubbles, 21C")
        await asyncio.sleep(spread_s / reports)
