"""Which subjects a message touches that are neither sign nor act: a puppy, sugar, a metal spoon.

The phrases are data: ``handbook/en/topics.toml``. In a phrase ``a|b`` is either word, ``word*`` any
word that begins so, ``a_b`` two words as one of the choices, ``#g`` digits and a letter, ``...`` up to
six words between, of one sentence and none of them a "no". A phrase after "no" or "never" does not
count, unless its topic says ``even_negated``; one with ``across`` may run on from sentence to
sentence. Small slips of the thumb are forgiven, but an everyday word is never taken for a slip.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources

from rapidfuzz.distance import DamerauLevenshtein

from bot.errors import HandbookError
from bot.reading.lexicon import lexicon

_WORD = re.compile(r"[a-z0-9]+|\.")
_STOP = re.compile(r"[.!?;]+(?=[\s\"')]|$)|\n")
"""The end of a sentence, not the point within a number."""
_PHRASE_WORD = re.compile(r"\.\.\.|[a-z0-9*#|_]+")
_NEGATED = re.compile(
    r" (?:no|not|without|never|didnt|dont|doesnt|isnt|wasnt|arent|havent|hasnt|wont|nor)"
    r"(?: (?:any|a|an|the|be|been|get|see|have|use|used|put|add|added|got|really|actually|sure|of|it|in|is|its))*$"
)
_NOES = r"(?:no|not|without|never|nor|nothing|none|didnt|dont|doesnt|isnt|wasnt|arent|havent|hasnt)"
_GAP = rf"(?: (?!{_NOES} )[a-z0-9]+){{0,6}}?"
_ANY_GAP = r"(?: [a-z0-9]+){0,6}?"
_TEXT_LIMIT = 4096
_STEM = 3
"""Letters of a word's beginning that phrases are looked up by."""


@dataclass(frozen=True, slots=True)
class Topic:
    id: str
    pattern: re.Pattern[str]
    unless: re.Pattern[str] | None
    even_negated: bool
    across: bool
    keys: frozenset[str] | None
    """Words one of which a phrase begins with, or such a word's beginning and a star; None: any."""


@lru_cache(maxsize=64)
def topics(text: str) -> tuple[str, ...]:
    """The topics of a message, in the order of the handbook. Total and deterministic.

    >>> topics("my puppy licked the bowl")
    ('pet',)
    """
    said = spoken(text)
    run_on = said.replace(" .", "")
    words = said.split()
    keys = frozenset([*words, *[f"{word[:_STEM]}*" for word in words]])
    return tuple(
        t.id
        for t in _topics()
        if (t.keys is None or not t.keys.isdisjoint(keys))
        and _touches(t, run_on if t.across else said)
    )


def spoken(text: str) -> str:
    """The text as bare words with a blank on both sides, slips mended: what phrases are held to.

    A point of its own stands where a sentence ends.
    """
    plain = text[:_TEXT_LIMIT].casefold().replace("'", "").replace("\u2019", "")
    plain = _STOP.sub(" \n ", plain).replace(".", " ").replace("\n", ".")
    return " " + " ".join(_mended(word) for word in _WORD.findall(plain)) + " "


def listed(name: str) -> frozenset[str]:
    """A plain list of words of the handbook: ``questions`` open one, ``empty`` carry no subject."""
    words = _file()["words"][name]
    assert isinstance(words, list)
    return frozenset(words)


def topic_ids() -> tuple[str, ...]:
    """Every topic of the handbook."""
    return tuple(topic.id for topic in _topics())


def _touches(topic: Topic, said: str) -> bool:
    if topic.unless is not None and topic.unless.search(said):
        return False
    return any(
        topic.even_negated or not _NEGATED.search(said[: found.start()])
        for found in topic.pattern.finditer(said)
    )


@cache
def _topics() -> tuple[Topic, ...]:
    found = []
    for name, body in _file().items():
        if name == "words":
            continue
        match body:
            case {"phrases": [*phrases], **rest} if phrases:
                unless = rest.pop("unless", [])
                even = rest.pop("even_negated", False) is True
                across = rest.pop("across", False) is True
                if rest:
                    raise HandbookError(f"topics.toml: [{name}] does not know {sorted(rest)}")
                but = _pattern(unless, _ANY_GAP) if unless else None
                wanted = _pattern(phrases, _ANY_GAP if even else _GAP)
                found.append(Topic(name, wanted, but, even, across, _keys(phrases)))
            case _:
                raise HandbookError(f"topics.toml: [{name}] wants phrases")
    return tuple(found)


@cache
def _file() -> dict[str, dict[str, object]]:
    text = (resources.files("bot.handbook") / "en" / "topics.toml").read_text(encoding="utf-8")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise HandbookError(f"topics.toml: {wrong}") from wrong


def _pattern(phrases: object, between: str) -> re.Pattern[str]:
    if not isinstance(phrases, list):
        raise HandbookError(f"topics.toml: {phrases!r} is no list of phrases")
    return re.compile("|".join(_phrase(str(phrase), between) for phrase in phrases))


def _keys(phrases: list[object]) -> frozenset[str] | None:
    """What a text must hold for any of the phrases to be worth trying on it."""
    found: set[str] = set()
    for phrase in phrases:
        parts = _PHRASE_WORD.findall(str(phrase).casefold().replace("'", ""))
        first = next((part for part in parts if part != "..."), "")
        for option in first.split("|"):
            head, star, _ = option.split("_")[0].partition("*")
            if not head or "#" in head or (star and len(head) < _STEM):
                return None
            found.add(f"{head[:_STEM]}*" if star else head)
    return frozenset(found)


def _phrase(phrase: str, between: str) -> str:
    """One phrase as a pattern over ``spoken`` text, from the blank before its first word."""
    written = ""
    gap = False
    for part in _PHRASE_WORD.findall(phrase.casefold().replace("'", "")):
        if part == "...":
            gap = True
            continue
        options = "|".join(
            option.replace("*", "[a-z0-9]*").replace("#", "[0-9]+").replace("_", " ")
            for option in part.split("|")
        )
        written += (between if gap else "") + f" (?:{options})"
        gap = False
    return f"(?:{written}(?= ))"


@cache
def _vocabulary() -> tuple[frozenset[str], frozenset[str]]:
    """Words that phrases are made of, and words that are never a slip of one of them."""
    literal: set[str] = set()
    stems: set[str] = set()
    for name, body in _file().items():
        if name == "words":
            continue
        for field in ("phrases", "unless"):
            phrases = body.get(field, [])
            assert isinstance(phrases, list)
            for phrase in phrases:
                for part in _PHRASE_WORD.findall(phrase.casefold().replace("'", "")):
                    for option in part.replace("_", "|").split("|"):
                        (stems if option.endswith("*") else literal).add(option.strip("*."))
    return frozenset(literal | {stem for stem in stems if len(stem) >= 6}), listed("right")


@cache
def everyday() -> frozenset[str]:
    """Common words that are spelled right as they are."""
    return listed("everyday")


@cache
def _by_letter() -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for word in sorted(_vocabulary()[0]):
        if len(word) >= 5:
            found.setdefault(word[0], []).append(word)
    return {letter: tuple(words) for letter, words in found.items()}


@cache
def _mended(word: str) -> str:
    literal, right = _vocabulary()
    if len(word) < 5 or len(word) > 24 or not word.isalpha():
        return word
    if word in literal or word in right or word in everyday() or word in lexicon().vocabulary:
        return word
    allowed = 1 if len(word) < 9 else 2
    best, best_slips = word, allowed + 1
    for candidate in _by_letter().get(word[0], ()):
        if word.startswith(candidate) or abs(len(candidate) - len(word)) > allowed:
            continue
        slips = DamerauLevenshtein.distance(word, candidate, score_cutoff=allowed)
        if slips < best_slips:
            best, best_slips = candidate, slips
    return best
