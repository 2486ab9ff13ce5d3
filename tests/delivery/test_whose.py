"""No message, tap or edit of one person can reach the jar of another."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import count

import pytest

from bot.assembly import COACH
from bot.delivery.desk import Desk
from bot.delivery.ports import Inbound
from bot.turn import Edited, Heard, Said, Tapped
from storage.store import SqlStore
from tests.post import MONDAY

BENS = (
    "I want to start",
    "skip",
    "21 C",
    "metric",
    "8, Oslo",
    "Ember",
    "mixed it",
    "doubled, 21 C",
)
SECRET = "smells of the blue notebook, doubled"


@pytest.fixture
def desk(store: SqlStore) -> Desk:
    return Desk(store, COACH)


async def hear(desk: Desk, chat: str, heard: Heard, numbers: Iterator[int]) -> None:
    key = f"u:{next(numbers)}"
    await desk.hear(Inbound(key=key, chat=chat, heard=heard, received_at=heard.at), now=heard.at)


async def test_whatever_somebody_says_taps_or_edits_leaves_anothers_jar_alone(
    desk: Desk, store: SqlStore
) -> None:
    numbers, moments = count(), (MONDAY + n * timedelta(minutes=5) for n in count())
    for text in (*BENS, SECRET):
        at = next(moments)
        await hear(desk, "tg:2", Said(text=text, at=at, message="tg:2:1"), numbers)
    before = (await store.conversation("tg:2")).dossier
    assert [jar.name for jar in before.living] == ["Ember"]

    for heard in _everything_a_stranger_may_try(before.last_number, moments):
        await hear(desk, "tg:1", heard, numbers)

    assert (await store.conversation("tg:2")).dossier == before
    strangers = (await store.conversation("tg:1")).dossier
    assert strangers.person.zone is None
    assert not any("blue notebook" in repr(entry.event) for entry in strangers.journal)


async def test_no_answer_to_one_person_holds_what_another_has_told(
    desk: Desk, store: SqlStore
) -> None:
    numbers, moments = count(), (MONDAY + n * timedelta(minutes=5) for n in count())
    for text in (*BENS, SECRET):
        await hear(desk, "tg:2", Said(text=text, at=next(moments), message="tg:2:1"), numbers)
    last = (await store.conversation("tg:2")).dossier.last_number

    said = [
        message.text
        for heard in _everything_a_stranger_may_try(last, moments)
        for message in COACH.hear((await store.conversation("tg:1")).dossier, heard).messages
    ]

    assert said
    assert not any("notebook" in text for text in said)


def _everything_a_stranger_may_try(last: int, moments: Iterator[datetime]) -> Iterator[Heard]:
    for text in ("Ember: thrown away", "rename Ember to Mine", "retire Ember", "why", "today"):
        yield Said(text=text, at=next(moments), message="tg:1:1")
    yield Edited(text="mould", at=next(moments), message="tg:2:1")
    for key in (
        "binned:c1", "again:c1", "which:c1", "next:rest:c1", "method:thrifty:c1", "peak:c1:1",
        "remind:c1", f"say:doubled:c1:{MONDAY:%Y-%m-%d}",
        *(f"{what}:{number}" for what in ("undo", "fix", "why") for number in range(1, last + 1)),
    ):  # fmt: skip
        yield Tapped(key=key, at=next(moments))
