"""The whole shell alive: it starts, it stops without loss, it outlives its neighbours' failures."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import timedelta

import pytest

from bot.delivery.clock import HandClock
from bot.delivery.ports import Inbound, Pace, Receive
from bot.delivery.service import Service
from bot.delivery.ticker import SystemClock
from bot.errors import DatabaseAway, Refused
from storage import open_store
from storage.store import SqlStore
from tests import post
from tests.mailbox import Mailbox
from tests.parrot import PARROT
from tests.post import MONDAY, UNPACED, keep


def inbound(number: int, *, chat: str = "ada", text: str = "doubled") -> Inbound:
    """An update of this very moment: the clock is the machine's."""
    return post.inbound(number, chat=chat, text=text, at=SystemClock().now())


class Script:
    """A source that hands over batches, acknowledges each, then waits or fails."""

    def __init__(self, *batches: Sequence[Inbound], ends_with: Exception | None = None) -> None:
        self._batches = list(batches)
        self._ends_with = ends_with
        self.acknowledged = 0
        self.finished = asyncio.Event()

    async def run(self, receive: Receive) -> None:
        while self._batches:
            await receive(self._batches[0])
            self._batches.pop(0)
            self.acknowledged += 1
        self.finished.set()
        if self._ends_with is not None:
            raise self._ends_with
        await asyncio.Event().wait()


def live(store: SqlStore, mailbox: Mailbox, source: Script | None = None) -> Service:
    return Service(
        store=store,
        coach=PARROT,
        channel=mailbox,
        source=source,
        clock=SystemClock(),
        pace=UNPACED,
        tick_s=0.05,
    )


async def test_what_a_source_brings_is_answered(store: SqlStore) -> None:
    mailbox = Mailbox(SystemClock())
    batch = [inbound(number, chat=f"p{number % 7}", text=str(number)) for number in range(70)]
    service = live(store, mailbox, Script(batch))

    await service.start()
    await mailbox.until(70)
    await service.stop()

    for chat in {letter.chat for letter in mailbox.letters}:
        numbers = [int(text) for text in mailbox.texts(chat)]
        assert numbers == sorted(numbers)
    assert len(mailbox.letters) == 70


async def test_a_due_prompt_comes_by_itself(store: SqlStore) -> None:
    mailbox = Mailbox(SystemClock())
    soon = SystemClock().now() + timedelta(seconds=0.2)
    await keep(store, cause="u:1", texts=(), next_prompt_at=soon)
    service = live(store, mailbox)

    await service.start()
    await mailbox.until(1)
    await service.stop()

    assert mailbox.letters[0].at >= soon


async def test_what_is_on_its_way_is_seen_home_when_the_bot_is_told_to_stop(
    store: SqlStore,
) -> None:
    mailbox = Mailbox(SystemClock(), takes_s=0.3)
    service = live(store, mailbox, Script([inbound(1)]))
    running = asyncio.create_task(service.run())
    await asyncio.wait_for(mailbox.begun.wait(), 20)

    service.request_stop()
    await running

    assert mailbox.texts() == ["doubled"]
    later = SystemClock().now() + timedelta(hours=1)
    again = await store.take_outgoing(
        now=later, claim_for=timedelta(seconds=1), limit=9, pace=UNPACED
    )
    assert again == []


async def test_a_service_that_will_not_have_us_ends_the_run(store: SqlStore) -> None:
    service = live(store, Mailbox(SystemClock()), Script(ends_with=Refused()))

    with pytest.raises(Refused):
        await service.run()


async def test_a_source_that_stumbles_is_started_again(store: SqlStore) -> None:
    mailbox = Mailbox(SystemClock())

    class Stumbling(Script):
        async def run(self, receive: Receive) -> None:
            self.acknowledged += 1
            if self.acknowledged == 1:
                raise OSError
            await receive([inbound(1)])
            await asyncio.Event().wait()

    service = live(store, mailbox, Stumbling())
    await service.start()
    await mailbox.until(1)
    await service.stop()

    assert mailbox.texts() == ["doubled"]


async def test_an_update_is_acknowledged_only_once_it_is_durable(sqlite_url: str) -> None:
    store = await open_store(sqlite_url)
    clock = HandClock(MONDAY)
    away = [DatabaseAway(), DatabaseAway()]

    class Flickering:
        """The real store behind a line that drops twice."""

        async def receive(self, inbounds: Sequence[Inbound]) -> int:
            if away:
                raise away.pop()
            return await store.receive(inbounds)

        def __getattr__(self, name: str) -> object:
            return getattr(store, name)

    source = Script([inbound(1)])
    service = Service(
        store=Flickering(),  # type: ignore[arg-type]
        coach=PARROT,
        channel=Mailbox(clock),
        clock=clock,
        pace=Pace(),
    )
    intake = asyncio.create_task(source.run(service.receive))
    await asyncio.wait_for(source.finished.wait(), 10)
    intake.cancel()

    taken = await store.take_inbound(now=clock.now(), claim_for=timedelta(seconds=1), limit=9)
    assert [one.key for one in taken] == ["u:1"]
    assert clock.now() > MONDAY
    await store.close()


async def test_two_services_on_one_database_answer_everything_once(database_url: str) -> None:
    stores = [await open_store(database_url) for _ in range(2)]
    mailbox = Mailbox(SystemClock())
    services = [live(store, mailbox) for store in stores]
    for service in services:
        await service.start()

    await asyncio.gather(
        *(
            services[number % 2].receive([inbound(number, chat=f"p{number % 5}", text=str(number))])
            for number in range(60)
        )
    )
    await mailbox.until(60)
    for service in services:
        await service.stop()

    assert len(mailbox.letters) == len({letter.text for letter in mailbox.letters}) == 60
    for store in stores:
        await store.close()
