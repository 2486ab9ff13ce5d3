"""Messages leave in order, at the budget's pace, once; what cannot arrive is kept with its reason."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import datetime, timedelta

from bot.delivery.pace import EVENNESS
from bot.delivery.ports import Outgoing, Pace, Receipt
from bot.turn import Turn
from bot.voice.message import Choice, Message
from storage import open_store
from storage.store import SqlStore
from tests.post import CLAIM, HOUR, MONDAY, SECOND, UNPACED, inbound, keep, reply

TEN_A_SECOND = Pace(per_second=10 / EVENNESS, per_chat_s=1)


async def take(
    store: SqlStore, *, now: datetime = MONDAY, limit: int = 99, pace: Pace = UNPACED
) -> Sequence[Outgoing]:
    return await store.take_outgoing(now=now, claim_for=CLAIM, limit=limit, pace=pace)


async def texts(
    store: SqlStore, *, now: datetime = MONDAY, limit: int = 99, pace: Pace = UNPACED
) -> list[str]:
    taken = await take(store, now=now, limit=limit, pace=pace)
    return [outgoing.message.text for outgoing in taken]


async def send(store: SqlStore, outgoing: Outgoing, *, pace: Pace = UNPACED) -> None:
    await store.sent(outgoing, Receipt(message="m:1"), now=MONDAY, pace=pace)


async def prompt(store: SqlStore, person: str, text: str = "Good morning.") -> None:
    talk = await store.conversation(person)
    turn = Turn(messages=(Message(kind="prompt", text=text),))
    await store.keep(talk, turn, now=MONDAY, cause=f"prompt:{person}:{text}")


async def test_a_kept_message_is_there_to_be_sent_as_it_was(store: SqlStore) -> None:
    message = Message(
        kind="reply",
        text="<b>Feed</b> & wait",
        heading="Day 3",
        verdict="on-track",
        rules=("quiet-middle",),
        choices=(Choice(label="Fed", key="act:fed:c1"),),
    )
    talk = await store.conversation("ada")
    await store.keep(talk, Turn(messages=(message,)), now=MONDAY, cause="u:1")

    (outgoing,) = await take(store)

    assert outgoing.message == message
    assert outgoing.chat == "ada"
    assert outgoing.queued_at == MONDAY


async def test_a_sent_message_is_not_sent_again(store: SqlStore) -> None:
    await keep(store, cause="u:1")
    (outgoing,) = await take(store)

    await send(store, outgoing)

    assert await texts(store, now=MONDAY + HOUR) == []


async def test_a_message_whose_sender_died_is_sent_by_another(store: SqlStore) -> None:
    await keep(store, cause="u:1")
    await take(store)

    assert await texts(store, now=MONDAY + 14 * SECOND) == []
    assert await texts(store, now=MONDAY + 15 * SECOND) == ["Good."]


async def test_a_chat_gets_its_messages_one_at_a_time_in_order(store: SqlStore) -> None:
    await keep(store, cause="u:1", texts=("one", "two"))
    (first,) = await take(store)
    assert await take(store) == []

    await send(store, first)

    assert await texts(store) == ["two"]


async def test_a_chat_rests_a_second_between_two_messages(store: SqlStore) -> None:
    await keep(store, cause="u:1", texts=("one", "two"))
    (first,) = await take(store)

    await send(store, first, pace=TEN_A_SECOND)

    assert await texts(store, now=MONDAY + 0.9 * SECOND) == []
    assert await store.next_due() == MONDAY + SECOND
    assert await texts(store, now=MONDAY + SECOND) == ["two"]


async def test_replies_go_before_prompts(store: SqlStore) -> None:
    await prompt(store, "ada")
    await keep(store, person="ben", cause="u:1", texts=("a reply",))

    assert await texts(store) == ["a reply", "Good morning."]


async def test_a_reply_behind_a_prompt_takes_the_prompt_along(store: SqlStore) -> None:
    await prompt(store, "cy", "somebody else's")
    await prompt(store, "ada", "ada's own")
    await keep(store, person="ada", cause="u:1", texts=("a reply",))

    assert await texts(store, limit=1) == ["ada's own"]


async def test_the_budget_spaces_messages_evenly_and_only_a_little_ahead(store: SqlStore) -> None:
    for number in range(20):
        await keep(store, person=f"p{number}", cause=f"u:{number}")

    slots = [outgoing.send_at - MONDAY for outgoing in await take(store, pace=TEN_A_SECOND)]

    assert slots == [timedelta(milliseconds=100 * number) for number in range(6)]


async def test_two_processes_share_one_budget(database_url: str) -> None:
    one, other = await open_store(database_url), await open_store(database_url)
    for number in range(20):
        await keep(one, person=f"p{number}", cause=f"u:{number}")

    taken = await asyncio.gather(
        take(one, limit=3, pace=TEN_A_SECOND), take(other, limit=3, pace=TEN_A_SECOND)
    )

    slots = sorted(outgoing.send_at - MONDAY for batch in taken for outgoing in batch)
    assert slots == [timedelta(milliseconds=100 * number) for number in range(6)]
    assert len({outgoing.id for batch in taken for outgoing in batch}) == 6
    await one.close()
    await other.close()


async def test_a_wait_for_everyone_stops_everything_until_it_is_over(store: SqlStore) -> None:
    await keep(store, cause="u:1")

    await store.hold_sending(until=MONDAY + HOUR)

    assert await texts(store, now=MONDAY + HOUR - SECOND) == []
    assert await store.next_due() == MONDAY + HOUR
    assert await texts(store, now=MONDAY + HOUR) == ["Good."]


async def test_a_message_put_off_waits_and_counts_its_tries(store: SqlStore) -> None:
    await keep(store, cause="u:1", texts=("one", "two"))
    (outgoing,) = await take(store)

    await store.send_later(outgoing, at=MONDAY + HOUR, why="away", plain=True)

    assert await take(store) == []
    (again,) = await take(store, now=MONDAY + HOUR)
    assert (again.message.text, again.tries, again.plain) == ("one", 1, True)


async def test_a_frozen_process_cannot_put_off_what_another_has_taken(store: SqlStore) -> None:
    await keep(store, cause="u:1")
    (mine,) = await take(store)
    (theirs,) = await take(store, now=MONDAY + 20 * SECOND)

    await store.send_later(mine, at=MONDAY + HOUR, why="away")
    await store.give_up_sending(mine, now=MONDAY, why="old")

    assert await texts(store, now=theirs.claimed_until) == ["Good."]


async def test_a_message_given_up_makes_way_for_the_next(store: SqlStore) -> None:
    await keep(store, cause="u:1", texts=("one", "two"))
    (outgoing,) = await take(store)

    await store.give_up_sending(outgoing, now=MONDAY, why="malformed")

    assert await texts(store) == ["two"]


async def test_a_chat_at_rest_gets_nothing_until_the_person_writes(store: SqlStore) -> None:
    await keep(store, cause="u:1", next_prompt_at=MONDAY)
    await store.rest_chat("ada", now=MONDAY)

    assert await take(store) == []
    assert await store.take_due(now=MONDAY + HOUR, claim_for=CLAIM, limit=9) == []
    await store.receive([inbound(2)])
    await keep(store, cause="u:2", texts=("welcome back",), next_prompt_at=MONDAY + HOUR)
    assert await texts(store) == ["welcome back"]
    assert await store.take_due(now=MONDAY + HOUR, claim_for=CLAIM, limit=9) == ["ada"]


async def test_a_chat_that_moved_is_followed(store: SqlStore) -> None:
    await keep(store, cause="u:1")
    await take(store)

    await store.chat_moved("ada", "ada's new chat")

    (outgoing,) = await take(store)
    assert outgoing.chat == "ada's new chat"
    talk = await store.conversation("ada's new chat")
    assert talk.person_key == "ada"
    assert talk.dossier.last_number == 1
    assert await store.conversation("ada") == talk


async def test_prompts_that_wait_are_counted(store: SqlStore) -> None:
    await prompt(store, "ada")
    await keep(store, person="ben", cause="u:1")
    assert await store.waiting_prompts() == 1

    for outgoing in await take(store):
        await send(store, outgoing)

    assert await store.waiting_prompts() == 0


async def test_a_budget_left_by_a_clock_that_ran_ahead_is_ignored(store: SqlStore) -> None:
    await keep(store, cause="u:1")
    await keep(store, person="ben", cause="u:2")
    await take(store, now=MONDAY + HOUR, limit=1, pace=TEN_A_SECOND)

    assert len(await take(store, pace=TEN_A_SECOND)) == 2


async def test_replies_of_one_turn_have_the_same_text_and_still_both_leave(
    store: SqlStore,
) -> None:
    talk = await store.conversation("ada")
    await store.keep(talk, Turn(messages=(reply("same"), reply("same"))), now=MONDAY, cause="u:1")

    (first,) = await take(store)
    await send(store, first)

    assert await texts(store) == ["same"]
