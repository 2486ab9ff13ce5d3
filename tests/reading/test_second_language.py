"""Another language is another lexicon: a few words of Norwegian, and nothing else is changed."""

from __future__ import annotations

from bot.reading.hazards import mould
from bot.reading.lexicon import build
from bot.reading.looks import bubbles
from bot.reading.moods import clauses
from bot.reading.reader import parse
from bot.reading.rises import rise
from bot.reading.smells import smells

NORWEGIAN = build(
    [
        (
            "ord.toml",
            """
            [bubble.noun]
            say = ["boble(r|ne|)"]
            [quant.many]
            say = ["masse", "mange"]
            [rise.double]
            say = ["doblet( seg|)"]
            [smellcue.verb]
            say = ["lukter"]
            [smell.sour]
            say = ["surt", "eddik"]
            [smell.yeasty]
            say = ["øl"]
            [mould.sure]
            say = ["mugg"]
            [neg.word]
            say = ["ikke", "ingen"]
            [join.but]
            say = ["men"]
            [join.and]
            say = ["og"]
            """,
        )
    ]
)


def test_signs_negations_and_their_reach_are_read_in_it() -> None:
    message, _ = parse("ingen bobler, men den har doblet seg og lukter surt", NORWEGIAN)
    parts = clauses(message)

    seen, grown = bubbles(message, parts), rise(message, parts)

    assert seen is not None and seen.value == "none"
    assert grown is not None and grown.value.ratio == 2.0
    assert [one.value for one in smells(message, parts)] == ["sour"]


def test_a_negation_stops_where_its_clause_stops() -> None:
    message, _ = parse("ikke mugg, masse bobler", NORWEGIAN)
    parts = clauses(message)

    seen = bubbles(message, parts)

    assert [one.value for one in mould(message, parts)] == [False]
    assert seen is not None and seen.value == "many"


def test_its_misspellings_are_mended_by_the_same_rules() -> None:
    message, _ = parse("masse bobbler", NORWEGIAN)

    assert message.words == ["masse", "bobler"]
