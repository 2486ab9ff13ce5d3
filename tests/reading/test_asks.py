"""What is asked: the form of a question, its subject, what was told before it, and what asks nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reads import reads
from scoring import Count, load, score

CORPUS = Path(__file__).parent / "corpus"


def asked(text: str) -> set[str]:
    return set(reads(text).asks)


@pytest.mark.parametrize(
    ("name", "precision", "recall"),
    [
        ("asks_sitting", 0.98, 0.97),
        ("asks_second_sitting", 0.96, 0.96),
        ("asks_third_sitting", 0.96, 0.96),
        ("asks_fourth_sitting", 0.94, 0.95),
        ("asks_fifth_sitting", 0.97, 0.97),
        ("asks_sixth_sitting", 0.97, 0.97),
        ("asks_seventh_sitting", 0.97, 0.95),
        ("asks_locked", 0.92, 0.83),
    ],
)
def test_our_own_questions_are_read_as_well_as_measured(
    name: str, precision: float, recall: float
) -> None:
    """Only what is asked is labelled in these files, so only that is scored.

    Each was written before the reader met it; ``asks_locked`` is looked at in numbers only.
    """
    asks: Count = score(load(CORPUS / f"{name}.jsonl")).slots["asks"]

    assert asks.precision >= precision
    assert asks.recall >= recall


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("what flour", "flour"),
        ("flour, which one", "flour"),
        ("rye or white", "flour"),
        ("rye ok", "flour"),
        ("wondering about rye", "flour"),
        ("ran out of rye, is that a problem", "flour"),
        ("any tips on rye flour", "flour"),
        ("tell me if rye is better", "flour"),
        ("is rye necessary", "flour"),
        ("rye flour hmm good idea?", "flour"),
    ],
)
def test_a_question_is_heard_in_every_form_it_takes(text: str, kind: str) -> None:
    assert kind in asked(text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("can i keep it in plastic", "jar"),
        ("do i throw half away each time", "discard"),
        ("do i throw it all away", "keep"),
        ("how do i wake it up after the fridge", "cold"),
        ("how do i wake it up, its so sluggish", "slow"),
        ("how long til it peaks at 26 degrees", "timing"),
        ("is 26 degrees too hot", "warmth"),
        ("do i wait for it to double before baking", "ready"),
        ("is the top of the fridge warm enough", "warmth"),
        ("can it live in the fridge", "cold"),
        ("has it passed away", "alive"),
        ("did the tap water kill it", "alive"),
        ("does chlorine in tap water matter", "water"),
    ],
)
def test_the_subject_outweighs_a_verb_that_goes_with_several(text: str, kind: str) -> None:
    assert asked(text) == {kind}


@pytest.mark.parametrize(
    "text",
    [
        "my son swallowed some of the raw dough",
        "the puppy got into the jar and licked it",
        "i accidentally ate a spoonful of it",
        "pregnant, ok to handle?",
        "dad is on chemo, can he have some",
        "coeliac here, any of this for me?",
        "can the ducks have the discard",
        "may i sell it at the fair",
        "glass splinters in the flour?",
        "jar shattered on the shelf",
    ],
)
def test_whoever_may_be_hurt_is_a_question_of_safety_even_if_none_is_put(text: str) -> None:
    assert "safety" in asked(text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("we're away for ten days, what do i do", "cold"),
        ("only have self raising in, will that do", "flour"),
        ("overslept and fed it 6 hours late, is that ok", "missed"),
        ("my sister has an allergy. is that a problem?", "safety"),
        ("if there was mould, would i see it", "growth"),
    ],
)
def test_a_question_that_names_nothing_asks_of_what_was_told_before(text: str, kind: str) -> None:
    assert kind in asked(text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("iz it ded", "alive"),
        ("wen do i fede it", "timing"),
        ("how mutch watr", "amounts"),
        ("y it so slo", "slow"),
        ("cn it go in frige", "cold"),
    ],
)
def test_the_small_words_of_a_question_may_be_misspelt(text: str, kind: str) -> None:
    assert kind in asked(text)


@pytest.mark.parametrize(
    "text",
    [
        "fed it rye or spelt, i forget which",
        "about 8 or 9 hours ago",
        "how lovely it looks",
        "i know what to do now",
        "as you said i kept the lid loose",
        "when i opened it there were bubbles",
        "my toddler helped me stir it",
        "the dog sleeps beside the jar",
        "the kids ate the whole loaf",
        "safe to say it doubled",
        "no idea how much it rose",
        "so much for a quick hobby",
    ],
)
def test_what_only_tells_asks_nothing(text: str) -> None:
    assert asked(text) == set()


QUESTIONS = ("is it dead", "tap or bottled", "which flour is best", "can i keep it in plastic")


@given(
    st.sampled_from(QUESTIONS),
    st.sampled_from(["", "hi ", "sorry, ", "quick question: ", "ok so "]),
    st.sampled_from(["", "?", "??", " pls", " thanks"]),
)
def test_courtesies_and_marks_change_nothing_that_is_asked(
    question: str, before: str, behind: str
) -> None:
    assert asked(before + question + behind) == asked(question)


@pytest.mark.parametrize(
    ("text", "ask"),
    [
        ("ok now what", "next"),
        ("can i bake tmrw", "ready"),
        ("if theres mould tomorrow do i bin it?", "keep"),
        ("my sister had black mould in hers, how do i avoid that", "growth"),
        ("mum's burst its jar. how do i avoid that?", "safety"),
        ("bubbly, 23C, smells of yogurt n apple. good??", "normal"),
        ("bubbly, kitchen is 33C. ok?", "warmth"),
    ],
)
def test_a_short_question_asks_of_what_it_hangs_on(text: str, ask: str) -> None:
    assert asked(text) == {ask}


def test_how_one_knows_is_asked_and_that_one_knows_is_told() -> None:
    assert asked("how do i know when to feed") == {"timing"}
    assert asked("i know when to feed") == set()
