"""What comes in is answered once, in order; one bad message never holds up the others."""

from __future__ import annotations

import time
from datetime import timedelta

from bot.culture.state import Dossier
from bot.delivery.clock import HandClock
from bot.delivery.desk import Coach
from bot.delivery.ports import Pace
from bot.delivery.service import Service
from bot.turn import Heard, Said, Turn
from bot.voice.catalogue import say
from storage.store import SqlStore
from tests import parrot
from tests.mailbox import Mailbox
from tests.post import MONDAY, UNPACED, inbound


async def test_a_message_is_kept_and_answered(
    service: Service, store: SqlStore, mailbox: Mailbox
) -> None:
    await service.receive([inbound(1, text="doubled")])
    await service.settle()

    assert mailbox.texts() == ["doubled"]
    assert (await store.conversation("ada")).dossier.last_number == 1


async def test_messages_of_one_chat_are_answered_in_order(
    service: Service, mailbox: Mailbox
) -> None:
    texts = [f"message {number}" for number in range(20)]

    await service.receive([inbound(number, text=text) for number, text in enumerate(texts)])
    await service.settle(MONDAY + timedelta(minutes=5))

    assert mailbox.texts() == texts


async def test_a_redelivered_update_is_answered_once(service: Service, mailbox: Mailbox) -> None:
    await service.receive([inbound(1)])
    await service.settle()
    await service.receive([inbound(1)])
    await service.settle()

    assert len(mailbox.letters) == 1


async def test_a_message_that_breaks_the_coach_is_tried_three_times_then_set_aside(
    service: Service, store: SqlStore, mailbox: Mailbox
) -> None:
    await service.receive([inbound(1, text="boom"), inbound(2, text="fine")])
    await service.settle(MONDAY + timedelta(minutes=1))

    (aside,) = await store.set_aside()
    assert aside.key == "u:1"
    assert aside.why.startswith("KeyError at parrot.py:")
    assert mailbox.texts() == [say("delivery.set-aside"), "fine"]


async def test_other_chats_do_not_wait_for_a_message_that_breaks_the_coach(
    service: Service, mailbox: Mailbox, clock: HandClock
) -> None:
    await service.receive([inbound(1, text="boom"), inbound(2, chat="ben", text="fine")])
    await service.settle()

    assert mailbox.texts("ben") == ["fine"]
    assert clock.now() == MONDAY


async def test_other_chats_do_not_wait_for_a_slow_message(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    def hear(dossier: Dossier, heard: Heard) -> Turn:
        if isinstance(heard, Said) and heard.text == "slow":
            time.sleep(0.5)
        return parrot.hear(dossier, heard)

    coach = Coach(hear=hear, speak=parrot.speak, next_prompt_at=parrot.next_prompt_at)
    service = Service(store=store, coach=coach, channel=mailbox, clock=clock, pace=UNPACED)
    await service.start()
    await service.receive([inbound(1, text="slow"), inbound(2, chat="ben"), inbound(3, chat="cy")])

    await mailbox.until(3)
    await service.stop()

    assert mailbox.letters[-1].text == "slow"


async def test_an_operators_retry_answers_at_last(
    service: Service, store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await service.receive([inbound(1, text="boom")])
    await service.settle(MONDAY + timedelta(minutes=1))
    mended = Coach(
        hear=lambda dossier, heard: parrot.hear(dossier, Said(text="mended", at=heard.at)),
        speak=parrot.speak,
        next_prompt_at=parrot.next_prompt_at,
    )

    await store.try_again("u:1")
    await Service(store=store, coach=mended, channel=mailbox, clock=clock, pace=Pace()).settle()

    assert mailbox.texts() == [say("delivery.set-aside"), "mended"]
