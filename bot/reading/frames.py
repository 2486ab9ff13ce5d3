"""Patterns with gaps: what no list of phrases can hold ("how long ... peak").

In a pattern words stand apart by blanks. ``a|b`` is either word, ``word*`` any word that begins so,
``*word`` any that ends so, ``a_b`` two words as one of the choices, ``<name>`` a set of words, ``[a|b]`` may be missing,
``...`` stands for up to five words, ``^`` for the first word of the text and ``$`` for its end.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from bot.errors import HandbookError

SETS = "sets"
_GAP = "(?: [^ ]+){0,5}?"
_ANY = "[^ ]+"
_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class Found:
    """Words ``first..last`` (end excluded) fit a pattern of ``parts`` parts."""

    first: int
    last: int
    parts: int


@dataclass(frozen=True, eq=False)
class Frame:
    """One pattern. ``keys`` are the words of which its first needed part wants one, those it wants
    only the beginning of cut short with a star; None: any.

    No two are alike, so each is only itself: comparing what they hold would cost more than trying them.
    """

    written: str
    keys: frozenset[str] | None
    parts: int

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        return re.compile(self.written)


@dataclass(frozen=True, slots=True)
class Frames:
    """Patterns that mean the same, tried by the words they need."""

    _open: tuple[Frame, ...] = ()
    _by_key: Mapping[str, tuple[Frame, ...]] = field(default_factory=dict)
    """Patterns by a word they want, or by the beginning of one and a star."""
    _keys: frozenset[str] = frozenset()

    def find(self, text: str) -> Found | None:
        """The match with the most parts in a text of words with one blank between; the earliest."""
        said, in_order = _keys_of(text)
        tried: Iterable[Frame] = self._open
        if not self._keys.isdisjoint(said):
            by_key = self._by_key
            wanted = [one for key in in_order if key in by_key for one in by_key[key]]
            tried = dict.fromkeys((*tried, *wanted))
        elif not tried:
            return None
        spaced = f" {text} "
        best: Found | None = None
        for frame in tried:
            if best is not None and frame.parts < best.parts:
                continue
            found = frame.pattern.search(spaced)
            if found is None:
                continue
            first = spaced.count(" ", 0, found.start())
            one = Found(first, first + max(1, found.group().count(" ")), frame.parts)
            if best is None or (one.parts, -one.first) > (best.parts, -best.first):
                best = one
        return best


_STEM = 3
"""Letters of a word's beginning that patterns are looked up by."""


@lru_cache(maxsize=64)
def _keys_of(text: str) -> tuple[frozenset[str], tuple[str, ...]]:
    """What patterns are looked up by in a text, as a set and in order; many are held to one text."""
    words = text.split()
    keys = tuple(dict.fromkeys([*words, *[f"{word[:_STEM]}*" for word in words]]))
    return frozenset(keys), keys


def compiled(patterns: Iterable[str], sets: Mapping[str, str]) -> Frames:
    """Raises HandbookError for a set that is not there or a pattern of nothing but gaps."""
    free: list[Frame] = []
    by_key: dict[str, list[Frame]] = {}
    for line in patterns:
        frame = _frame(line, sets)
        if frame.keys is None:
            free.append(frame)
        else:
            for key in frame.keys:
                by_key.setdefault(key, []).append(frame)
    fixed = {key: tuple(frames) for key, frames in by_key.items()}
    return Frames(tuple(free), fixed, frozenset(fixed))


def literal_words(tables: Mapping[str, object]) -> Iterator[str]:
    """Every whole word that patterns and sets are made of, for the lexicon to know."""
    for body in tables.values():
        if not isinstance(body, Mapping):
            raise HandbookError("patterns stand in tables")
        for listed in body.values():
            for line in [listed] if isinstance(listed, str) else listed:
                for part in re.sub(r"<\w+>", " ", line).split():
                    for option in part.strip("[]").split("|"):
                        if "*" not in option:
                            yield from _WORD.findall(option.replace("_", " "))


def _frame(line: str, sets: Mapping[str, str]) -> Frame:
    written = ""
    keys: frozenset[str] | None = None
    parts = 0
    for part in line.split():
        match part:
            case "...":
                written += _GAP
            case "^":
                written += r"\A"
            case "$":
                written += r"(?= \Z)"
            case _:
                options = _options(line, part.strip("[]"), sets)
                choice = f"(?:{'|'.join(_option(one) for one in options)})"
                if part.startswith("["):
                    written += f"{choice}?"
                    continue
                if not parts:
                    keys = _keys(options)
                parts += 1
                written += choice
    if not parts and r"\A" not in written and r"\Z" not in written:
        raise HandbookError(f"{line!r} has no word in it")
    return Frame(written + r"(?= )", keys, parts)


def _options(line: str, part: str, sets: Mapping[str, str], depth: int = 0) -> Sequence[str]:
    out: list[str] = []
    for option in part.split("|"):
        if not (option.startswith("<") and option.endswith(">")) or option == "<any>":
            out.append(option)
        elif option[1:-1] in sets and depth < 4:
            out += _options(line, sets[option[1:-1]], sets, depth + 1)
        else:
            raise HandbookError(f"{line!r}: no set is called {option}")
    return out


def _option(option: str) -> str:
    if option == "$":
        return r"(?= \Z)"
    if option == "<any>":
        return f" {_ANY}"
    return "".join(" " + re.escape(one).replace(r"\*", "[^ ]*") for one in option.split("_"))


def _keys(options: Sequence[str]) -> frozenset[str] | None:
    found: set[str] = set()
    for option in options:
        head, star, _ = option.split("_")[0].partition("*")
        if option in ("$", "<any>") or (star and len(head) < _STEM):
            return None
        found.add(f"{head[:_STEM]}*" if star else head)
    return frozenset(found)
