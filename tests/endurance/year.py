"""A year of a crowd on the virtual clock: zones, silences, blocks, faults of the service and deaths of
the bot, all from one seed; the laws are checked every simulated day.

``python -m tests.endurance.year --people 500 --days 365 --seed 1`` prints JSON; a law that breaks
names the seed and the day.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import random
import time
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from datetime import time as wall_time
from zoneinfo import available_timezones

from sqlalchemy import Connection, text

from bot.assembly import COACH
from bot.culture.journal import MorningsSet, ZoneSet
from bot.delivery.clock import HandClock
from bot.delivery.ports import Inbound, Receipt
from bot.delivery.service import Service
from bot.errors import GoneForGood, Malformed, TryLater
from bot.turn import Said, Turn
from bot.voice.message import Message
from storage import open_store
from storage.store import SqlStore
from tests.endurance.databases import an_empty_database
from tests.endurance.people import journal

START = datetime(2026, 3, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)
REPORTS = (
    "doubled, lots of bubbles, 21C",
    "fed it 1:2:2 this morning",
    "no bubbles yet, smells like cheese",
    "a bit of liquid on top",
    "risen by half, 19C in here",
    "is this normal?",
)


class BrokenLaw(AssertionError):
    """One of the laws does not hold."""


class Death(BaseException):
    """kill -9, as near as one process can play it to itself."""


@dataclass
class Keeper:
    """One person as the world sees them."""

    chat: str
    jar: str
    silent_until: datetime = START
    blocked_until: datetime = START
    written: list[str] = field(default_factory=list)


@dataclass
class Weather:
    """The messaging service: takes most messages, fails as it likes, kills the bot now and then."""

    clock: HandClock
    luck: random.Random
    keepers: dict[str, Keeper]
    taken: Counter[str] = field(default_factory=Counter)
    deaths: int = 0
    strangers: int = 0
    """Messages that named somebody else's jar."""

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        chance = self.luck.random()
        if self.keepers[chat].blocked_until > self.clock.now():
            raise GoneForGood
        if chance < 0.01:
            raise TryLater
        if chance < 0.012:
            raise TryLater(after_s=20, everyone=True)
        if chance < 0.015 and not plain:
            raise Malformed
        if chance < 0.018:
            self.deaths += 1
            raise Death  # before it was taken
        self.taken[chat] += 1
        jars = [keeper.jar for keeper in self.keepers.values() if keeper.jar in message.plain]
        self.strangers += any(jar != self.keepers[chat].jar for jar in jars)
        if chance < 0.021:
            self.deaths += 1
            raise Death  # after: this one may come twice
        return Receipt(message="1")


class Year:
    def __init__(self, url: str, *, people: int, seed: int) -> None:
        self._url = url
        self._luck = random.Random(seed)
        self._seed = seed
        self.clock = HandClock(START)
        zones = sorted(available_timezones())
        self._zones = [self._luck.choice(zones) for _ in range(people)]
        self._keepers = {
            f"tg:{number}": Keeper(f"tg:{number}", f"Jar-{number:04d}-") for number in range(people)
        }
        self.weather = Weather(self.clock, self._luck, self._keepers)
        self._store: SqlStore | None = None
        self._service: Service | None = None
        self._number = 0

    async def live(self, days: int) -> dict[str, object]:
        began = time.monotonic()
        await self._rise()
        await self._move_in()
        for day in range(days):
            await self._day(START + timedelta(days=day))
            await self._check(day)
        assert self._store is not None
        await self._store.close()
        return {
            "people": len(self._keepers),
            "days": days,
            "seed": self._seed,
            "reports": sum(len(keeper.written) for keeper in self._keepers.values()),
            "messages_taken": self.weather.taken.total(),
            "deaths": self.weather.deaths,
            "seconds": round(time.monotonic() - began, 1),
        }

    async def _rise(self) -> None:
        """A process starts, after a death or for the first time."""
        if self._store is not None:
            await self._store.close()
        self._store = await open_store(self._url)
        self._service = Service(
            store=self._store,
            coach=COACH,
            channel=self.weather,
            clock=self.clock,
            seed=self._luck.getrandbits(32),
        )

    async def _move_in(self) -> None:
        assert self._store is not None
        for keeper, zone in zip(self._keepers.values(), self._zones, strict=True):
            hour = self._luck.randint(5, 10)
            entries = tuple(
                replace(entry, event=ZoneSet(zone=zone))
                if isinstance(entry.event, ZoneSet)
                else replace(entry, event=MorningsSet(at=wall_time(hour, 30)))
                if isinstance(entry.event, MorningsSet)
                else entry
                for entry in journal(now=START, jar=keeper.jar)
            )
            talk = await self._store.conversation(keeper.chat)
            due = START + timedelta(hours=1)
            await self._store.keep(
                talk,
                Turn(entries=entries, next_prompt_at=due),
                now=START,
                cause=f"seed:{keeper.chat}",
            )

    async def _day(self, midnight: datetime) -> None:
        for hour in range(24):
            now = midnight + hour * HOUR
            await self._settle(now)
            written = [self._writes(keeper, now) for keeper in self._keepers.values()]
            assert self._service is not None
            await self._service.receive([one for one in written if one is not None])
        await self._settle(midnight + 24 * HOUR)

    def _writes(self, keeper: Keeper, now: datetime) -> Inbound | None:
        """About one message in two days, with spells of silence and of blocking."""
        if keeper.silent_until > now:
            return None
        chance = self._luck.random()
        if chance < 0.0006:
            keeper.silent_until = now + timedelta(days=self._luck.randint(1, 25))
        elif chance < 0.0008:
            keeper.blocked_until = keeper.silent_until = now + timedelta(days=5)
        elif chance < 0.02:
            self._number += 1
            key = f"u:{self._number}"
            keeper.written.append(key)
            said = Said(text=self._luck.choice(REPORTS), at=now, message=key)
            return Inbound(key=key, chat=keeper.chat, heard=said, received_at=now)
        return None

    async def _settle(self, until: datetime) -> None:
        while True:
            try:
                assert self._service is not None
                await self._service.settle(until)
                return
            except Death:
                await self._rise()

    async def _check(self, day: int) -> None:
        try:
            assert self._store is not None
            found = await self._store.database.run(self._broken)
        except Exception as wrong:
            raise BrokenLaw(f"seed {self._seed}, day {day}: {wrong!r}") from wrong
        if self.weather.strangers:
            found.append("nobody hears of another's jar")
        if found:
            raise BrokenLaw(f"seed {self._seed}, day {day}: {', '.join(found)}")

    def _broken(self, on: Connection) -> list[str]:
        def count(statement: str) -> int:
            return int(on.scalar(text(statement)) or 0)

        now = int(self.clock.now().timestamp() * 1_000_000)
        written = {key for keeper in self._keepers.values() for key in keeper.written}
        handled = set(on.scalars(text("SELECT key FROM inbox WHERE state = 'handled'")))
        decided = Counter(
            {
                str(chat): int(number)
                for chat, number in on.execute(
                    text("SELECT chat, count(*) FROM outbox WHERE state = 'sent' GROUP BY chat")
                )
            }
        )
        short = sum(self.weather.taken[chat] < number for chat, number in decided.items())
        twice = self.weather.taken.total() - decided.total()
        waiting = count("SELECT count(*) FROM outbox WHERE state = 'waiting'")
        laws = {
            "every message is handled": handled == written,
            "no turn is kept twice": count("SELECT count(*) FROM turns") - count("SELECT count(DISTINCT cause) FROM turns") == 0,
            "nobody is overdue": count(
                f"SELECT count(*) FROM people WHERE next_prompt_at <= {now - 3_600_000_000} AND NOT at_rest"
            ) == 0,
            "one morning a day": count(
                "SELECT count(*) FROM (SELECT 1 FROM entries WHERE kind = 'prompted'"
                " GROUP BY person, culture, payload HAVING count(*) > 1)"
            ) == 0,
            "every message decided has arrived": short == 0,
            "nothing is left waiting": waiting <= self.weather.deaths,
            "only what a death cut off is sent twice": twice <= self.weather.deaths,
        }  # fmt: skip
        return [law for law, holds in laws.items() if not holds]


async def a_year(url: str, *, people: int, days: int, seed: int) -> dict[str, object]:
    """Live it; the figures. Raises BrokenLaw."""
    return await Year(url, people=people, seed=seed).live(days)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=500)
    parser.add_argument("--days", type=int, default=365)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--database", choices=["sqlite", "postgresql"], default="sqlite")
    asked = parser.parse_args()
    with an_empty_database(asked.database) as url:
        try:
            figures = asyncio.run(
                a_year(url, people=asked.people, days=asked.days, seed=asked.seed)
            )
        except BrokenLaw as broken:
            raise SystemExit(
                f"{broken}\nagain: python -m tests.endurance.year --people {asked.people}"
                f" --days {asked.days} --seed {asked.seed} --database {asked.database}"
            ) from broken
    print(json.dumps(figures, indent=2))


if __name__ == "__main__":
    main()
