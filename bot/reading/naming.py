"""Which culture a message or a clause is about, when a name may be a word of the lexicon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.reading.clauses import Clause
from bot.reading.lexicon import Lexicon
from bot.reading.text import Token

_STAND_IN = "it"
"""Read in place of a name, so that "Bubbles has risen" and "it has risen" are one sentence."""

_JOINS = frozenset({"and", "&", "n", "+", ","})
_FILLS = frozenset({"of", "no", "some", "few", "many", "any", "the", "more", "tiny", "big", "little", "small", "with", "nice", "see", "good", "several", "large", "lovely", "these", "those", "zero", "not", "without", "and", "or"})  # fmt: skip
_ADDRESSED = frozenset({"fed", "feed", "for", "poor", "named", "stirred", "discarded", "my", "put", "moved", "dear", "binned", "skipped", "baked"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Named:
    """The token that stands for a name, once its words are one."""

    at: int
    name: str


def mask(
    text: str, tokens: Sequence[Token], cultures: Sequence[str], lexicon: Lexicon
) -> tuple[list[Token], list[Named]]:
    """The tokens with every culture's name made one stand-in word, and where those are."""
    if not cultures:
        return list(tokens), []
    wanted = [(name, _words(name)) for name in cultures if _words(name)]
    wanted.sort(key=lambda one: -len(one[1]))
    out: list[Token] = []
    found: list[Named] = []
    at = 0
    while at < len(tokens):
        for name, words in wanted:
            end = at + len(words)
            if not _spells(tokens[at:end], words):
                continue
            joined = bool(found) and found[-1].at == len(out) - 2 and out[-1].word in _JOINS
            listed = (
                end < len(tokens)
                and tokens[end].word in _JOINS
                and any(_spells(tokens[end + 1 : end + 1 + len(more)], more) for _, more in wanted)
            )
            if joined or listed or _is_name(text, tokens, at, end, name, lexicon):
                found.append(Named(len(out), name))
                first, last = tokens[at], tokens[end - 1]
                word = "its" if last.word == words[-1] + "s" else _STAND_IN
                out.append(Token(word, first.start, last.end, "word", first.spaced))
                at = end
                break
        else:
            out.append(tokens[at])
            at += 1
    return out, found


def _words(name: str) -> list[str]:
    return [one.strip("'’.,!?") for one in name.lower().replace("-", " ").split()]


def _spells(tokens: Sequence[Token], words: Sequence[str]) -> bool:
    if len(tokens) != len(words):
        return False
    said = [one.word for one in tokens]
    return said == list(words) or (said[:-1] == list(words[:-1]) and said[-1] == words[-1] + "s")


def _is_name(
    text: str, tokens: Sequence[Token], at: int, end: int, name: str, lexicon: Lexicon
) -> bool:
    """Whether the words are the name; when they are everyday words, the place and case decide."""
    if not any(one.word in lexicon.vocabulary for one in tokens[at:end]):
        return True
    before = tokens[at - 1].word if at else ""
    after = tokens[end].word if end < len(tokens) else ""
    if before in _FILLS and before not in ("and", "or"):
        return False
    if before in _ADDRESSED or tokens[end - 1].word == _words(name)[-1] + "s" != _words(name)[-1]:
        return True
    said = text[tokens[at].start : tokens[end - 1].end]
    opens = not at or before in (".", "!", "?", "\n", ",", ":", "but", "and", "while")
    acts = any(
        category in ("head", "rise", "smellcue", "act", "surface", "float", "other", "past", "now")
        for category, _ in lexicon.senses(after)
    ) and after not in ("on", "in", "and", "all", "everywhere", "the", "a")
    capital = said[:1].isupper() and not text.isupper()
    if opens and after == ":":
        return True
    if opens:
        return acts and (
            capital or after in ("is", "has", "was", "doubled", "smells", "looks", "got")
        )
    return capital


def spread(named: Sequence[Named], parts: Sequence[Clause]) -> list[tuple[str, ...]]:
    """For each clause the names it is about.

    A clause without a name goes on about the one before it; "Bubbles and Rye Guy both rose" is
    about both, and so is "fed Bubbles and Rye Guy". Clauses before the first name are about it.
    """
    told: list[tuple[str, ...]] = []
    pending: tuple[str, ...] = ()
    for at, clause in enumerate(parts):
        here = tuple(
            dict.fromkeys(one.name for one in named if clause.first <= one.at < clause.last)
        )
        begins = any(one.at == clause.first for one in named)
        before = parts[at - 1] if at else None
        ends = before is not None and any(one.at == before.last - 1 for one in named)
        if here and len(clause.words) == len(here):
            pending = (*pending, *here)
            told.append(here)
        elif here and begins and ends and clause.opener in _JOINS and not pending:
            both = (*told[-1], *here)
            told[-1] = both
            told.append(both)
        else:
            everyone = tuple(dict.fromkeys(one.name for one in named))
            shared = "both" in clause.words and len(everyone) > 1
            told.append(everyone if shared else (*pending, *here) or (told[-1] if told else ()))
            pending = ()
    first_named = (named[0].name,) if named else ()
    return [one or first_named for one in told]
