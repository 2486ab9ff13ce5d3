"""Prompts come at their instant, once, made when they can leave; a late bot still makes them."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.culture.state import Dossier
from bot.delivery.clock import HandClock
from bot.delivery.desk import Coach, Desk
from bot.delivery.ports import Pace
from bot.delivery.service import Service
from bot.errors import TryLater
from bot.turn import Turn
from storage.store import SqlStore
from tests import parrot
from tests.mailbox import Mailbox
from tests.parrot import DAY
from tests.post import HOUR, MONDAY, SECOND, UNPACED, inbound, keep


async def test_each_prompt_comes_at_its_own_instant(service: Service, mailbox: Mailbox) -> None:
    await service.receive([inbound(1)])

    await service.settle(MONDAY + 2 * DAY)

    assert [(letter.text, letter.at) for letter in mailbox.letters] == [
        ("doubled", MONDAY),
        ("morning 1", MONDAY + DAY),
        ("morning 2", MONDAY + 2 * DAY),
    ]


async def test_a_coach_with_nothing_to_say_is_asked_again_when_it_said(
    service: Service, store: SqlStore, mailbox: Mailbox
) -> None:
    await service.receive([inbound(1)])

    await service.settle(MONDAY + 3.5 * DAY)

    assert mailbox.texts() == ["doubled", "morning 1", "morning 2"]
    assert (await store.conversation("ada")).next_prompt_at == MONDAY + 4 * DAY


async def test_a_bot_that_was_off_makes_the_late_prompt_once(
    service: Service, mailbox: Mailbox, clock: HandClock
) -> None:
    await service.receive([inbound(1)])
    await service.settle()

    clock.move_to(MONDAY + DAY + 5 * HOUR)
    await service.settle()
    await service.settle()

    assert mailbox.texts() == ["doubled", "morning 1"]


async def test_a_report_before_the_prompt_moves_it(
    service: Service, store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    await keep(store, cause="u:0", texts=(), next_prompt_at=MONDAY)
    desk = Desk(store, parrot.PARROT)
    (person,) = await store.take_due(now=MONDAY, claim_for=HOUR, limit=1)
    await keep(store, cause="u:1", texts=(), next_prompt_at=MONDAY + DAY)

    assert not await desk.speak(person, now=MONDAY)


async def test_a_coach_that_fails_on_one_person_prompts_the_others(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    def speak(dossier: Dossier, now: datetime) -> Turn | None:
        if dossier.person_key == "ada":
            raise KeyError
        return parrot.speak(dossier, now)

    coach = Coach(hear=parrot.hear, speak=speak, next_prompt_at=parrot.next_prompt_at)
    service = Service(store=store, coach=coach, channel=mailbox, clock=clock, pace=UNPACED)
    for person in ("ada", "ben"):
        await keep(store, person=person, cause=person, texts=(), next_prompt_at=MONDAY)

    await service.settle()

    assert mailbox.texts("ben") == ["morning 1"]
    assert (await store.conversation("ada")).next_prompt_at == MONDAY + timedelta(minutes=15)


async def test_a_coach_that_names_the_past_does_not_keep_the_bot_busy(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    coach = Coach(
        hear=parrot.hear, speak=lambda *_: None, next_prompt_at=lambda dossier, now: now - HOUR
    )
    service = Service(store=store, coach=coach, channel=mailbox, clock=clock, pace=UNPACED)
    await keep(store, cause="u:1", texts=(), next_prompt_at=MONDAY)

    await service.settle()

    talk = await store.conversation("ada")
    assert talk.next_prompt_at is not None
    assert talk.next_prompt_at > MONDAY


async def test_prompts_are_made_no_faster_than_they_leave(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    for number in range(50):
        await keep(store, person=f"p{number}", cause=f"{number}", texts=(), next_prompt_at=MONDAY)
        mailbox.faults[f"p{number}"].append(TryLater())
    pace = Pace(per_second=5)
    service = Service(
        store=store, coach=parrot.PARROT, channel=mailbox, clock=clock, pace=pace, seed=7
    )

    await service.settle()
    made = await store.waiting_prompts()
    await service.settle(MONDAY + timedelta(minutes=2))

    assert made <= 10
    assert len(mailbox.letters) == 50
    assert {letter.text for letter in mailbox.letters} == {"morning 1"}


async def test_a_crowd_is_prompted_at_the_pace(
    store: SqlStore, mailbox: Mailbox, clock: HandClock
) -> None:
    for number in range(60):
        await keep(store, person=f"p{number}", cause=f"{number}", texts=(), next_prompt_at=MONDAY)
    service = Service(
        store=store, coach=parrot.PARROT, channel=mailbox, clock=clock, pace=Pace(per_second=10)
    )

    await service.settle(MONDAY + timedelta(minutes=1))

    times = sorted(letter.at for letter in mailbox.letters)
    assert len(times) == 60
    assert times[-1] - times[0] < 9 * SECOND
    assert all(late - early >= 0.9 * SECOND for early, late in zip(times, times[10:], strict=False))
