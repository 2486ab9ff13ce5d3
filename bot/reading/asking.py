"""The patterns of asking, from the handbook: forms of a question, and what each kind is about."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal, TypeAlias, get_args

from bot.culture.vocabulary import Ask
from bot.errors import HandbookError
from bot.reading.frames import SETS, Frames, compiled
from bot.reading.lexicon import ENGLISH

Strength: TypeAlias = Literal[
    "sure", "about", "weak", "raise", "told", "nottold", "unless", "never"
]
_FORMS = ("asks", "bare", "tails", "tells", "greets", "told_verb", "told_start", "told_or")


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """``asks`` from where it stands; ``bare`` fragments ask unless a ``told_verb`` stands with
    them; ``greets`` is no more than a greeting; ``tails`` ask all before them; ``tells`` looks like asking and is not. A choice of two
    ("tap or bottled") neither begins with ``told_start`` nor has ``told_or`` in it."""

    asks: Frames
    bare: Frames
    tails: Frames
    tells: Frames
    greets: Frames
    told_verb: Frames
    told_start: Frames
    told_or: Frames


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    form: Form
    topics: Mapping[str, Ask]
    """What a topic of the handbook asks about, where nothing else says so."""
    core: tuple[str, ...]
    """Words of questions that are mended more boldly than others."""
    kinds: Mapping[Strength, Mapping[Ask, Frames]]


@cache
def asking() -> Asking:
    """Raises HandbookError for a file of another form."""
    file = resources.files("bot.handbook") / ENGLISH / "words" / "asking.toml"
    return asking_from(file.read_text(encoding="utf-8"))


def asking_from(text: str) -> Asking:
    try:
        table = dict(tomllib.loads(text)["asking"])
        sets = {name: str(words) for name, words in table.pop(SETS).items()}
        form, core, topics = table.pop("form"), table.pop("core"), table.pop("topics")
        return Asking(
            form=Form(**{name: compiled(form[name], sets) for name in _FORMS}),
            topics={topic: kind for kind, ids in topics.items() for topic in ids},
            core=tuple(core["words"]),
            kinds={
                strength: dict(_kinds(table, strength, sets)) for strength in get_args(Strength)
            },
        )
    except (tomllib.TOMLDecodeError, KeyError, TypeError, AttributeError) as wrong:
        raise HandbookError(f"words/asking.toml: {type(wrong).__name__}: {wrong}") from wrong


def _kinds(
    table: Mapping[str, Mapping[str, list[str]]], strength: Strength, sets: Mapping[str, str]
) -> Iterator[tuple[Ask, Frames]]:
    for kind in table:
        if kind not in get_args(Ask):
            raise HandbookError(f"words/asking.toml: no ask is called {kind}")
    for kind in get_args(Ask):
        if patterns := table.get(kind, {}).get(strength):
            yield kind, compiled(patterns, sets)
