"""Nobody is read faster than anybody types; it is said once, kindly, and nothing of it is kept."""

from __future__ import annotations

from datetime import timedelta

from bot.delivery.clock import HandClock
from bot.delivery.service import Service
from bot.delivery.throttle import MOST, Throttle
from bot.voice.catalogue import say
from storage.store import SqlStore
from tests.mailbox import Mailbox
from tests.post import MONDAY, SECOND, inbound


def test_twenty_in_a_minute_are_read_and_the_next_is_told_once() -> None:
    throttle = Throttle(most=3)

    heeded = [throttle.heed("ada", MONDAY + n * SECOND, str(n)) for n in range(6)]

    assert heeded == ["read", "read", "read", "say-so", "quiet", "quiet"]


def test_a_minute_later_everything_is_read_again() -> None:
    throttle = Throttle(most=1)
    for second in range(3):
        throttle.heed("ada", MONDAY + second * SECOND, str(second))

    assert throttle.heed("ada", MONDAY + 60 * SECOND, "later") == "read"
    assert throttle.heed("ada", MONDAY + 61 * SECOND, "next") == "say-so"


def test_one_persons_flood_is_nobody_elses() -> None:
    throttle = Throttle(most=1)
    throttle.heed("ada", MONDAY, "1")

    assert throttle.heed("ada", MONDAY, "2") == "say-so"
    assert throttle.heed("ben", MONDAY, "3") == "read"


def test_a_message_handled_again_counts_once() -> None:
    throttle = Throttle(most=1)
    again_and_again = [throttle.heed("ada", MONDAY, "1") for _ in range(5)]

    assert again_and_again == ["read"] * 5
    assert [throttle.heed("ada", MONDAY, "2") for _ in range(2)] == ["say-so", "say-so"]


def test_a_hundred_reports_in_a_day_are_all_read() -> None:
    throttle = Throttle()
    heeded = {throttle.heed("ada", MONDAY + n * timedelta(minutes=8), str(n)) for n in range(100)}

    assert heeded == {"read"}


async def test_a_flood_is_answered_with_one_line_and_leaves_the_journal_alone(
    service: Service, store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await service.receive([inbound(n, text=str(n)) for n in range(MOST + 10)])

    await service.settle(MONDAY + timedelta(minutes=3))

    assert mailbox.texts() == [*(str(n) for n in range(MOST)), say("delivery.too-many")]
    assert (await store.conversation("ada")).dossier.last_number == MOST
    assert await store.set_aside() == []


async def test_what_waited_while_the_bot_was_off_is_no_flood(
    service: Service, mailbox: Mailbox
) -> None:
    waiting = [
        inbound(n, text=str(n), at=MONDAY - (90 - n) * timedelta(minutes=9)) for n in range(30)
    ]
    await service.receive(waiting)

    await service.settle(MONDAY + timedelta(minutes=3))

    assert [text for text in mailbox.texts() if "morning" not in text] == [
        str(n) for n in range(30)
    ]
