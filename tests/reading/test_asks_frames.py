"""The patterns that questions are read by: their form, their errors, and that they name real things."""

from __future__ import annotations

import pytest

from bot.errors import HandbookError
from bot.reading.asking import asking, asking_from
from bot.reading.frames import compiled, literal_words
from bot.reading.lexicon import lexicon
from bot.reading.slips import plainly
from bot.reading.topics import topic_ids

SETS = {"pet": "dog|guinea_pig", "any_pet": "<pet>|cat"}


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        ("how long", "so how long now"),
        ("how ... peak", "how long til it may peak"),
        ("tap|bottled water", "bottled water"),
        ("tap [cold] water", "tap water"),
        ("tap [cold] water", "tap cold water"),
        ("temp*", "what temperatures"),
        ("worth *ing", "worth saving"),
        ("<any_pet> ate", "my guinea pig ate it"),
        ("^ bin", "bin it"),
        ("bin $", "time to bin"),
        ("had it|this|$", "it has had"),
    ],
)
def test_a_pattern_fits(pattern: str, text: str) -> None:
    assert compiled([pattern], SETS).find(text) is not None


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        ("how long", "how very long"),
        ("how ... peak", "how a b c d e f peak"),
        ("temp*", "attempt"),
        ("^ bin", "the bin"),
        ("bin $", "bin it"),
        ("tap water", "tap waters"),
    ],
)
def test_a_pattern_does_not_fit(pattern: str, text: str) -> None:
    assert compiled([pattern], SETS).find(text) is None


def test_of_several_patterns_the_one_of_most_parts_is_found_and_where() -> None:
    found = compiled(["peak", "how ... peak"], {}).find("so how does it peak")

    assert found is not None
    assert (found.first, found.last, found.parts) == (1, 5, 2)


@pytest.mark.parametrize("pattern", ["... ...", "<nobody> ate", "[a] ..."])
def test_a_pattern_that_says_nothing_is_refused(pattern: str) -> None:
    with pytest.raises(HandbookError):
        compiled([pattern], SETS)


@pytest.mark.parametrize("text", ["", "[asking.sets]\na = 1", "[asking"])
def test_a_file_of_another_form_is_refused(text: str) -> None:
    with pytest.raises(HandbookError):
        asking_from(text)


def test_words_of_patterns_are_read_words_and_wildcards_are_none() -> None:
    assert set(literal_words({"jar": {"sure": ["<pet> lid|no_lid seal*"]}})) == {"lid", "no"}
    assert {"trimester", "budgie", "limescale"} <= lexicon().vocabulary


def test_every_topic_that_a_kind_leans_on_is_in_the_handbook() -> None:
    assert set(asking().topics) <= set(topic_ids())


def test_only_words_nobody_knows_are_mended() -> None:
    assert plainly(["wow", "ride"]) == "wow ride"
    assert plainly(["meny"]) == "many"
    assert plainly(["jar", "lid"]) == "jar lid"
