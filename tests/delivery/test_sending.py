"""Each way a send can fail has its own answer; what can be sent is sent, and sent once."""

from __future__ import annotations

import asyncio
import logging
import random
from datetime import timedelta

import pytest

from bot.delivery.clock import HandClock
from bot.delivery.outbox import Sender
from bot.delivery.service import Service
from bot.errors import (
    ChannelError,
    ChatMoved,
    GoneForGood,
    Malformed,
    Refused,
    TryLater,
)
from storage.store import SqlStore
from tests.mailbox import Mailbox
from tests.parrot import DAY
from tests.post import CLAIM, HOUR, MONDAY, SECOND, UNPACED, inbound, keep


async def test_a_service_that_is_away_is_tried_again_after_a_growing_wait(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].extend(TryLater() for _ in range(4))
    await service.receive([inbound(1)])

    await service.settle(MONDAY + timedelta(minutes=1))

    (letter,) = mailbox.letters
    assert 7.5 * SECOND <= letter.at - MONDAY <= 20 * SECOND


async def test_a_wait_asked_of_one_chat_leaves_the_others_alone(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(TryLater(after_s=30))
    await service.receive([inbound(1), inbound(2, chat="ben")])

    await service.settle(MONDAY + HOUR)

    times = {letter.chat: letter.at - MONDAY for letter in mailbox.letters}
    assert times["ben"] < SECOND
    assert times["ada"] == 30 * SECOND


async def test_a_wait_asked_of_everyone_is_obeyed_for_everyone(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(TryLater(after_s=30, everyone=True))
    await service.receive([inbound(1)])
    await service.settle()
    await service.receive([inbound(2, chat="ben")])

    await service.settle(MONDAY + HOUR)

    assert all(letter.at - MONDAY >= 30 * SECOND for letter in mailbox.letters)
    assert len(mailbox.letters) == 2


async def test_a_wait_asked_of_everyone_holds_what_was_already_taken_in_hand(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(TryLater(after_s=30, everyone=True))
    await service.receive([inbound(1), inbound(2, chat="ben"), inbound(3, chat="cy")])

    await service.settle(MONDAY + HOUR)

    assert len(mailbox.letters) == 3
    assert all(letter.at - MONDAY >= 30 * SECOND for letter in mailbox.letters)


async def test_a_person_who_blocked_us_is_rested_and_comes_back_by_writing(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(GoneForGood())
    await service.receive([inbound(1)])
    await service.settle(MONDAY + 3 * DAY)
    quiet = mailbox.texts()

    await service.receive([inbound(2, text="I am back", at=MONDAY + 3 * DAY)])
    await service.settle(MONDAY + 4 * DAY)

    assert quiet == []
    assert mailbox.texts() == ["I am back", "morning 1"]


async def test_a_chat_that_moved_gets_its_message_at_the_new_address(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(ChatMoved("ada's new chat"))
    await service.receive([inbound(1)])

    await service.settle(MONDAY + SECOND)

    assert mailbox.texts("ada's new chat") == ["doubled"]


async def test_a_malformed_message_is_sent_again_as_plain_text_and_logged_once(
    service: Service, mailbox: Mailbox, caplog: pytest.LogCaptureFixture
) -> None:
    mailbox.faults["ada"].append(Malformed())
    await service.receive([inbound(1)])
    with caplog.at_level(logging.ERROR, "jarside.delivery"):
        await service.settle(MONDAY + SECOND)

    assert [(letter.text, letter.plain) for letter in mailbox.letters] == [("doubled", True)]
    assert [record.getMessage() for record in caplog.records] == ["malformed"]


async def test_a_message_malformed_even_as_plain_text_makes_way(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].extend([Malformed(), Malformed()])
    await service.receive([inbound(1, text="one"), inbound(2, text="two")])

    await service.settle(MONDAY + timedelta(minutes=1))

    assert mailbox.texts() == ["two"]


async def test_a_refusal_holds_everything_and_loses_nothing(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].append(Refused())
    await service.receive([inbound(1)])

    await service.settle(MONDAY + HOUR)

    (letter,) = mailbox.letters
    assert letter.at - MONDAY == timedelta(minutes=1)


async def test_an_error_nobody_thought_of_is_tried_again(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.faults["ada"].extend([ValueError("secret words"), ChannelError()])
    await service.receive([inbound(1)])

    await service.settle(MONDAY + timedelta(minutes=1))

    assert mailbox.texts() == ["doubled"]


async def test_a_lost_answer_may_double_a_message_but_never_lose_it(
    service: Service, mailbox: Mailbox
) -> None:
    mailbox.lost_answers.add("ada")
    mailbox.faults["ada"].append(TryLater(maybe_arrived=True))
    await service.receive([inbound(1)])

    await service.settle(MONDAY + timedelta(minutes=1))

    assert mailbox.texts() == ["doubled", "doubled"]


async def test_a_prompt_too_old_to_help_is_given_up_and_a_reply_is_not(
    service: Service, store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await keep(store, cause="u:1", texts=(), next_prompt_at=MONDAY)
    mailbox.faults["ada"].append(TryLater(after_s=13 * 3600, everyone=True))
    await service.settle()
    await service.receive([inbound(2, text="are you there?")])

    await service.settle(MONDAY + timedelta(hours=20))

    assert mailbox.texts() == ["are you there?"]


def sender(store: SqlStore, mailbox: Mailbox, clock: HandClock) -> Sender:
    return Sender(
        store=store,
        channel=mailbox,
        clock=clock,
        luck=random.Random(7),
        pace=UNPACED,
        left=asyncio.Event(),
    )


async def test_after_a_crash_between_keep_and_send_another_process_sends(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await keep(store, cause="u:1")
    await store.take_outgoing(now=MONDAY, claim_for=CLAIM, limit=1, pace=UNPACED)

    await sender(store, mailbox, clock).send_ready()
    clock.move_to(MONDAY + CLAIM)
    await sender(store, mailbox, clock).send_ready()

    assert mailbox.texts() == ["Good."]


async def test_a_process_frozen_past_its_claim_does_not_send_when_it_wakes(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await keep(store, cause="u:1")
    (mine,) = await store.take_outgoing(now=MONDAY, claim_for=CLAIM, limit=1, pace=UNPACED)
    frozen = sender(store, mailbox, clock)

    clock.move_to(MONDAY + HOUR)
    await frozen._deliver(mine)

    assert mailbox.letters == []


async def test_a_service_that_hangs_is_tried_again(
    store: SqlStore, clock: HandClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.delivery.outbox.SEND_WITHIN", timedelta(milliseconds=50))
    mailbox = Mailbox(clock, takes_s=3600)
    await keep(store, cause="u:1")

    await sender(store, mailbox, clock).send_ready()
    mailbox.takes_s = 0
    clock.move_to(MONDAY + 2 * SECOND)
    await sender(store, mailbox, clock).send_ready()

    assert mailbox.texts() == ["Good."]
