"""A message about several jars: each is answered from its own words."""

from __future__ import annotations

from bot.coach import hear
from bot.culture.fold import extend
from bot.culture.journal import Began, Entry
from bot.culture.state import Dossier
from bot.reading.shares import words_about
from bot.turn import Said
from tests.advice.case_histories import STARTED, History, _on, _set_up

NAMES = ("Rye Guy", "Pearl")


def test_a_name_begins_the_words_about_that_jar() -> None:
    text = "Rye Guy rose by half, smells great and Pearl has a pink streak. is that bad?"

    assert "pink" not in words_about(text, "Rye Guy", NAMES)
    assert "pink" in words_about(text, "Pearl", NAMES)


def test_what_comes_before_any_name_is_about_all() -> None:
    text = "both fed at 8. Pearl doubled"

    assert words_about(text, "Rye Guy", NAMES).strip() == "both fed at 8."


def test_a_pink_streak_in_one_jar_asks_nothing_of_the_other() -> None:
    """Pink in a jar condemns that jar (bakers' helplines; F-115), and none beside it."""
    empty = History(title="", text="", verdict=(), must=(), source="")
    others = [e for e in _set_up(empty) if not isinstance(e.event, Began)]
    began = [
        Entry(
            number=len(others) + place,
            at=STARTED,
            event=Began(name=name, flour="white", method="full", started_at=STARTED),
            culture=f"c{place}",
        )
        for place, name in enumerate(NAMES, 1)
    ]
    dossier = extend(Dossier(person_key="case"), [*others, *began])

    turn = hear(
        dossier,
        Said(
            text="Rye Guy went up by half in 5 hours. Pearl has a pink streak down the side",
            at=_on(10, "08:10"),
            message="m",
        ),
    )

    (reply,) = turn.messages
    about_rye = reply.plain.split("Rye Guy:")[1]
    assert reply.verdict == "discard"
    assert "pink" not in about_rye.casefold()
