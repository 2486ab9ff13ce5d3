"""The words for wishes, from the handbook: phrases, frames with gaps, commands. Read once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import get_args

from bot.culture.vocabulary import Flour
from bot.errors import HandbookError
from bot.reading.when import Calendar

LANGUAGE = "en"

LONG_WORD = 5
LONG_PHRASE = 6
"""Letters: a slip is forgiven in phrases of at least so many."""


_NO_WISHES = ("courtesies", "everyone", "when", "flours", "warmth")
"""Tables of words that wishes are made of."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A sentence with gaps; the pattern's groups are named after them."""

    topic: str
    pattern: re.Pattern[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrasebook:
    phrases: dict[str, str]
    """Topic by phrase, in small letters."""
    long_phrases: tuple[str, ...]
    frames: tuple[Frame, ...]
    frame_words: tuple[str, ...]
    """Long words of frames, and of days."""
    commands: dict[str, str]
    flours: dict[str, Flour]
    warmths: dict[str, float]
    """°C by word: "cool"."""
    before: tuple[str, ...]
    after: tuple[str, ...]
    never_before: tuple[str, ...]
    no_names: frozenset[str]
    no_name_at_all: frozenset[str]
    no_places: frozenset[str]
    everyone: re.Pattern[str]
    """Words that mean every jar on the shelf."""
    calendar: Calendar

    @property
    def topics(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self.phrases.values()))

    @property
    def methods(self) -> tuple[str, ...]:
        return tuple(topic for topic in self.topics if topic.startswith("method."))

    def without_courtesies(self, said: str) -> str:
        """The sentence without "please" and the like at its ends, unless that is all it is."""
        bare = said
        while True:
            small = bare.casefold()
            if small in self.phrases:
                return bare
            first = next((word for word in self.before if _starts(small, word)), None)
            last = next((word for word in self.after if _ends(small, word)), None)
            if first is not None:
                bare = bare[len(first) :].lstrip(" ,.!:-")
            elif last is not None:
                bare = bare[: -len(last)].rstrip(" ,.!:-")
            else:
                return bare

    def spelt(self, word: str) -> str:
        """The word of a frame that is one slip away, or the word itself."""
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extractOne

        if len(word) < LONG_WORD or word in self.frame_words:
            return word
        near = extractOne(word, self.frame_words, scorer=OSA.distance, score_cutoff=1)
        return word if near is None else str(near[0])

    def flour_named(self, small: str) -> Flour | None:
        return self.flours.get(small) or self.flours.get(small.removesuffix(" flour"))


@cache
def phrasebook() -> Phrasebook:
    """Raises HandbookError for a file of another form, or a phrase that stands for two wishes."""
    file = resources.files("bot.handbook") / LANGUAGE / "wishes.toml"
    return phrasebook_from(file.read_text(encoding="utf-8"))


def phrasebook_from(text: str) -> Phrasebook:
    where = "wishes.toml"
    try:
        table = tomllib.loads(text)
        phrases: dict[str, str] = {}
        commands: dict[str, str] = {}
        frames: list[Frame] = []
        for topic, body in _topics(table):
            for phrase in body.get("phrases", ()):
                if phrases.setdefault(phrase, topic) != topic:
                    raise HandbookError(f"{where}: {topic}: {phrase!r} is in {phrases[phrase]} too")
            for word in body.get("command", ()):
                if commands.setdefault(word, topic) != topic:
                    raise HandbookError(f"{where}: {topic}: /{word} is in {commands[word]} too")
            for kind, suffix in (
                ("frames", ""),
                ("plain_frames", "-plain"),
                ("brief_frames", "-brief"),
            ):
                frames += (Frame(topic + suffix, _pattern(line)) for line in body.get(kind, ()))
        return Phrasebook(
            phrases=phrases,
            long_phrases=tuple(phrase for phrase in phrases if len(phrase) >= LONG_PHRASE),
            frames=tuple(frames),
            frame_words=_frame_words(table),
            commands=commands,
            flours=_flours(table["flours"]),
            warmths={
                word: float(celsius) for celsius, words in table["warmth"].items() for word in words
            },
            before=_longest_first(table["courtesies"]["before"]),
            after=_longest_first(table["courtesies"]["after"]),
            never_before=tuple(table["courtesies"]["never_before"]),
            no_names=frozenset(table["rename"]["no_names"]),
            no_name_at_all=frozenset(table["rename"]["no_name_at_all"]),
            no_places=frozenset(table["zone"]["no_places"]),
            everyone=_any_of(table["everyone"]["words"]),
            calendar=_calendar(table["when"]),
        )
    except (tomllib.TOMLDecodeError, KeyError, TypeError, AttributeError, ValueError) as wrong:
        raise HandbookError(f"{where}: {type(wrong).__name__}: {wrong}") from wrong


def _topics(table: dict[str, dict[str, list[str]]]) -> Iterator[tuple[str, dict[str, list[str]]]]:
    return ((topic, body) for topic, body in table.items() if topic not in _NO_WISHES)


def _frame_words(table: dict[str, dict[str, list[str]]]) -> tuple[str, ...]:
    lines = [line for topic in ("pause", "mornings") for line in table[topic]["frames"]]
    lines += [word for words in table["when"]["weekdays"] for word in words]
    words = {word for line in lines for word in re.findall(r"(?<!\{)\b[a-z]+\b", line)}
    return tuple(sorted(word for word in words if len(word) >= LONG_WORD))


def _pattern(frame: str) -> re.Pattern[str]:
    """ "pause/snooze [it] until {when}" as a pattern; a gap takes at least one letter.

    Frames are short and messages shorter than a line, so nothing here can take long.
    """
    parts: list[str] = []
    for token in frame.split():
        optional = token.startswith("[") and token.endswith("]")
        word = token.strip("[]")
        gap = re.fullmatch(r"\{(\w+)\}", word)
        if gap is not None:
            parts.append(f" (?P<{gap[1]}>\\S(?:.*?\\S)??)")
            continue
        choice = "|".join(re.escape(either) for either in word.split("/"))
        parts.append(f"(?: (?:{choice}))?" if optional else f" (?:{choice})")
    # Every part brings the space before it; the message is met with one in front of it.
    return re.compile("".join(parts), re.IGNORECASE)


def _flours(kinds: dict[str, list[str]]) -> dict[str, Flour]:
    flours: dict[str, Flour] = {}
    for flour in get_args(Flour):
        flours |= dict.fromkeys(kinds[flour], flour)
    return flours


def _calendar(table: dict[str, list[list[str]]]) -> Calendar:
    tens = (str(word) for word in table["tens"])
    return Calendar(
        weekdays={word: day for day, words in enumerate(table["weekdays"]) for word in words},
        months={word: month for month, words in enumerate(table["months"], 1) for word in words},
        numbers={
            word: number for number, words in enumerate(table["numbers"], 1) for word in words
        },
        tens={word: ten * 10 for ten, word in enumerate(tens, 1)},
    )


def _any_of(phrases: list[str]) -> re.Pattern[str]:
    choice = "|".join(re.escape(phrase) for phrase in _longest_first(phrases))
    return re.compile(rf"\b(?:{choice})\b", re.IGNORECASE)


def _longest_first(words: list[str]) -> tuple[str, ...]:
    return tuple(sorted(words, key=len, reverse=True))


def _starts(small: str, word: str) -> bool:
    return small.startswith(word) and not small[len(word) : len(word) + 1].isalnum()


def _ends(small: str, word: str) -> bool:
    return small.endswith(word) and not small[: -len(word)][-1:].isalnum()
