"""The Store of ``bot/delivery/ports.py`` on a database: each method one transaction, or a share of one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bot.delivery.ports import (
    AsideInbound,
    Conversation,
    Inbound,
    Kept,
    Outgoing,
    Pace,
    Receipt,
)
from bot.turn import Turn
from storage import due, inbox, journal, keeping, leases, outbox
from storage.engine import Database
from storage.keeping import Contested, Keeping
from storage.outbox import Delivered
from storage.shelf import Shelf
from storage.tidy import tidy
from storage.together import Together


class SqlStore:
    """Loads, keeps and notes of delivery that arrive together share one transaction."""

    def __init__(self, database: Database) -> None:
        self.database = database
        self._shelf = Shelf()
        self._add = Together(self._add_all)
        self._load = Together(self._load_all)
        self._keep = Together(self._keep_all)
        self._note_sent = Together(self._note_all_sent)

    async def receive(self, inbounds: Sequence[Inbound]) -> int:
        return await self._add([inbox.inbound_values(inbound) for inbound in inbounds])

    async def take_inbound(
        self, *, now: datetime, claim_for: timedelta, limit: int
    ) -> Sequence[Inbound]:
        return await self.database.claim(
            lambda on: inbox.take(on, now=now, claim_for=claim_for, limit=limit)
        )

    async def fail_inbound(self, key: str, *, now: datetime, why: str, retry_at: datetime) -> bool:
        return await self.database.run(
            lambda on: inbox.fail(on, key, why=why, retry_at=max(now, retry_at))
        )

    async def set_aside(self, *, limit: int = 100) -> Sequence[AsideInbound]:
        return await self.database.run(lambda on: inbox.aside(on, limit))

    async def try_again(self, key: str) -> bool:
        return await self.database.run(lambda on: inbox.again(on, key))

    async def conversation(self, person: str) -> Conversation:
        return await self._load(person)

    async def keep(
        self, conversation: Conversation, turn: Turn, *, now: datetime, cause: str
    ) -> Kept:
        return await self._keep(keeping.keeping(conversation, turn, now=now, cause=cause))

    async def take_due(self, *, now: datetime, claim_for: timedelta, limit: int) -> Sequence[str]:
        return await self.database.claim(
            lambda on: due.take(on, now=now, claim_for=claim_for, limit=limit)
        )

    async def waiting_prompts(self) -> int:
        return await self.database.claim(outbox.waiting_prompts)

    async def take_outgoing(
        self, *, now: datetime, claim_for: timedelta, limit: int, pace: Pace
    ) -> Sequence[Outgoing]:
        return await self.database.claim(
            lambda on: outbox.take(on, now=now, claim_for=claim_for, limit=limit, pace=pace)
        )

    async def sent(
        self, outgoing: Outgoing, receipt: Receipt, *, now: datetime, pace: Pace
    ) -> None:
        await self._note_sent(outbox.delivered(outgoing, receipt, now=now, pace=pace))

    async def send_later(
        self, outgoing: Outgoing, *, at: datetime, why: str, plain: bool = False
    ) -> None:
        await self.database.run(
            lambda on: outbox.put_off(on, outgoing, at=at, why=why, plain=plain)
        )

    async def give_up_sending(self, outgoing: Outgoing, *, now: datetime, why: str) -> None:
        await self.database.run(lambda on: outbox.give_up(on, outgoing, now=now, why=why))

    async def hold_sending(self, *, until: datetime) -> None:
        await self.database.run(lambda on: outbox.hold(on, until))

    async def rest_chat(self, chat: str, *, now: datetime) -> None:
        await self.database.run(lambda on: outbox.rest_chat(on, chat, now=now))

    async def chat_moved(self, chat: str, new_chat: str) -> None:
        await self.database.run(lambda on: outbox.move_chat(on, chat, new_chat))

    async def next_due(self) -> datetime | None:
        return await self.database.claim(due.next_due)

    async def clock_set_back(self, *, now: datetime) -> None:
        await self.database.run(lambda on: due.forget_future(on, now=now))

    async def take_lease(
        self, name: str, holder: str, *, now: datetime, hold_for: timedelta
    ) -> bool:
        return await self.database.claim(
            lambda on: leases.take(on, name, holder, now=now, hold_for=hold_for)
        )

    async def give_back_lease(self, name: str, holder: str) -> None:
        await self.database.run(lambda on: leases.give_back(on, name, holder))

    async def tidy(self, *, now: datetime) -> int:
        return await self.database.run(lambda on: tidy(on, now=now))

    async def close(self) -> None:
        for shared in (self._add, self._load, self._keep, self._note_sent):
            await shared.idle()
        await self.database.close()

    async def _add_all(self, asked: Sequence[list[dict[str, object]]]) -> Sequence[int]:
        rows = [row for one in asked for row in one]
        if not rows:
            return [0] * len(asked)
        new = set(await self.database.run(lambda on: inbox.add(on, rows)))
        counts = []
        for one in asked:
            mine = new.intersection(str(row["key"]) for row in one)
            new -= mine
            counts.append(len(mine))
        return counts

    async def _load_all(self, asked: Sequence[str]) -> Sequence[Conversation]:
        return await self.database.claim(lambda on: journal.load(on, self._shelf, asked))

    async def _keep_all(self, asked: Sequence[Keeping]) -> Sequence[Kept]:
        try:
            outcomes = await self.database.run(lambda on: keeping.keep_uncontested(on, asked))
        except Contested:
            outcomes = await self.database.run(lambda on: keeping.keep_contested(on, asked))
        for one, outcome in zip(asked, outcomes, strict=True):
            if outcome == "kept":
                keeping.put_kept(self._shelf, one)
        return outcomes

    async def _note_all_sent(self, asked: Sequence[Delivered]) -> Sequence[None]:
        return await self.database.run(lambda on: outbox.note_sent(on, asked))
