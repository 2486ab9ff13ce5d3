"""The door for who passes by: it knows of nobody and keeps nothing."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.coach import answer, hear, next_prompt_at
from bot.culture.state import Dossier
from bot.turn import Asked
from bot.voice.catalogue import say
from tests.coach.conversation import keeper

NOW = datetime.fromisoformat("2026-03-05T18:00:00+01:00")
MIXED = "2026-03-02T09:00:00+01:00"


def asked(text: str) -> Asked:
    return Asked(text=text, at=NOW, message="tg:-5:7")


def kept_jar() -> Dossier:
    chat = keeper(MIXED, jars={"Ember": MIXED})
    chat.says("fed it 1:4:4 rye, smells of acetone")
    return chat.dossier


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("grey liquid on top, is that normal?", "harmless"),
        ("pink streaks on my starter", "throw"),
        ("no bubbles on day 4 at 19 C", "normal"),
        ("I want to bake on Saturday morning", "levain"),
    ],
)
def test_a_question_is_answered_by_its_words_alone(text: str, holds: str) -> None:
    found = answer(asked(text))

    assert found is not None
    assert holds in found.text.lower()
    assert found.choices == ()
    assert found.answers == "tg:-5:7"


@pytest.mark.parametrize("text", ["today", "my week", "Ember", "stop", "/start", ""])
def test_what_is_about_somebodys_own_log_or_mornings_is_not_answered(text: str) -> None:
    assert answer(asked(text)) is None


def test_a_group_is_told_how_to_ask() -> None:
    turn = hear(Dossier(person_key="g"), asked("lovely weather"))

    (message,) = turn.messages
    assert message.text == say("passing_by.how")


@given(text=st.sampled_from(["why?", "how is Ember?", "hooch", "doubled"]) | st.text(max_size=60))
def test_nobodys_log_is_read_or_written_whatever_is_asked(text: str) -> None:
    dossier = DOSSIER
    empty = hear(Dossier(person_key="g"), asked(text))
    full = hear(dossier, asked(text))

    assert full.messages == empty.messages
    assert full.entries == empty.entries == ()
    assert full.next_prompt_at == next_prompt_at(dossier, NOW)
    assert full.messages[0].choices == ()


DOSSIER = kept_jar()
