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
from storage import due, inbox, journal, leases, outbox
from storage.engine import Database
from storage.journal import Keeping, Shelf
from storage.outbox import Delivered
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
        async with self.database.transaction() as connection:
            return await inbox.take(connection, now=now, claim_for=claim_for, limit=limit)

    async def fail_inbound(self, key: str, *, now: datetime, why: str, retry_at: datetime) -> bool:
        async with self.database.transaction() as connection:
            return await inbox.fail(connection, key, why=why, retry_at=max(now, retry_at))

    async def set_aside(self, *, limit: int = 100) -> Sequence[AsideInbound]:
        async with self.database.transaction() as connection:
            return await inbox.aside(connection, limit)

    async def try_again(self, key: str) -> bool:
        async with self.database.transaction() as connection:
            return await inbox.again(connection, key)

    async def conversation(self, person: str) -> Conversation:
        return await self._load(person)

    async def keep(
        self, conversation: Conversation, turn: Turn, *, now: datetime, cause: str
    ) -> Kept:
        return await self._keep(journal.keeping(conversation, turn, now=now, cause=cause))

    async def take_due(self, *, now: datetime, claim_for: timedelta, limit: int) -> Sequence[str]:
        async with self.database.transaction() as connection:
            return await due.take(connection, now=now, claim_for=claim_for, limit=limit)

    async def waiting_prompts(self) -> int:
        async with self.database.transaction() as connection:
            return await outbox.waiting_prompts(connection)

    async def take_outgoing(
        self, *, now: datetime, claim_for: timedelta, limit: int, pace: Pace
    ) -> Sequence[Outgoing]:
        async with self.database.transaction() as connection:
            return await outbox.take(
                connection, now=now, claim_for=claim_for, limit=limit, pace=pace
            )

    async def sent(
        self, outgoing: Outgoing, receipt: Receipt, *, now: datetime, pace: Pace
    ) -> None:
        await self._note_sent(outbox.delivered(outgoing, receipt, now=now, pace=pace))

    async def send_later(
        self, outgoing: Outgoing, *, at: datetime, why: str, plain: bool = False
    ) -> None:
        async with self.database.transaction() as connection:
            await outbox.put_off(connection, outgoing, at=at, why=why, plain=plain)

    async def give_up_sending(self, outgoing: Outgoing, *, now: datetime, why: str) -> None:
        async with self.database.transaction() as connection:
            await outbox.give_up(connection, outgoing, now=now, why=why)

    async def hold_sending(self, *, until: datetime) -> None:
        async with self.database.transaction() as connection:
            await outbox.hold(connection, until)

    async def rest_chat(self, chat: str, *, now: datetime) -> None:
        async with self.database.transaction() as connection:
            await outbox.rest_chat(connection, chat, now=now)

    async def chat_moved(self, chat: str, new_chat: str) -> None:
        async with self.database.transaction() as connection:
            await outbox.move_chat(connection, chat, new_chat)

    async def next_due(self) -> datetime | None:
        async with self.database.transaction() as connection:
            return await due.next_due(connection)

    async def clock_set_back(self, *, now: datetime) -> None:
        async with self.database.transaction() as connection:
            await due.forget_future(connection, now=now)

    async def take_lease(
        self, name: str, holder: str, *, now: datetime, hold_for: timedelta
    ) -> bool:
        async with self.database.transaction() as connection:
            return await leases.take(connection, name, holder, now=now, hold_for=hold_for)

    async def give_back_lease(self, name: str, holder: str) -> None:
        async with self.database.transaction() as connection:
            await leases.give_back(connection, name, holder)

    async def close(self) -> None:
        for shared in (self._add, self._load, self._keep, self._note_sent):
            await shared.idle()
        await self.database.close()

    async def _add_all(self, asked: Sequence[list[dict[str, object]]]) -> Sequence[int]:
        rows = [row for one in asked for row in one]
        if not rows:
            return [0] * len(asked)
        async with self.database.transaction() as connection:
            new = set(await inbox.add(connection, rows))
        counts = []
        for one in asked:
            mine = new.intersection(str(row["key"]) for row in one)
            new -= mine
            counts.append(len(mine))
        return counts

    async def _load_all(self, asked: Sequence[str]) -> Sequence[Conversation]:
        async with self.database.transaction() as connection:
            return await journal.load(connection, self._shelf, asked)

    async def _keep_all(self, asked: Sequence[Keeping]) -> Sequence[Kept]:
        async with self.database.transaction() as connection:
            outcomes = await journal.keep_all(connection, asked)
        for one, outcome in zip(asked, outcomes, strict=True):
            if outcome == "kept":
                journal.put_kept(self._shelf, one)
        return outcomes

    async def _note_all_sent(self, asked: Sequence[Delivered]) -> Sequence[None]:
        async with self.database.transaction() as connection:
            return await outbox.note_sent(connection, asked)
