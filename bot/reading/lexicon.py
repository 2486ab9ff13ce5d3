"""The words of one language: phrases to meanings, wrong spellings to right ones, pictures to words.

The files of ``handbook/<language>/words`` hold ``[category.meaning]`` tables with ``say``, a list of
phrases. ``(a|b|)`` in a phrase is a choice; the last one may be empty. ``[spelling]`` maps a right
word to its usual misspellings, ``[pictures]`` an emoji to words, ``[plain]`` lists words that mean
nothing here and must not be taken for a misspelling of one that does.
"""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

from rapidfuzz import process
from rapidfuzz.distance import OSA

from bot.errors import HandbookError
from bot.reading.frames import literal_words

ENGLISH = "en"

_INNERMOST = re.compile(r"\(([^()]*)\)")
_PARTS = re.compile(r"\d+|[^\W\d_]+|[^\w\s]")

_GROUPS = {
    "act": "act act_word",
    "quantity": "quant",
    "texture": "texture",
    "place": "place tempcue",
    "spot": "spot outof",
    "about": "elsewhere jarplace",
    "object": "objects harmless",
    "where": "where layer",
    "number": "hedgenum unit number fraction count",
    "time": "clock day part ago weekday since later within overnight past now",
    "small": "neg yes double join head tag hedge other correct said habit same each equal",
    "supposing": "iffy",
    "question": "ask",
}
GROUPS: Mapping[str, str] = {
    category: group for group, names in _GROUPS.items() for category in names.split()
}
"""The group of each category that is not simply a sign. Groups are matched apart, so that no phrase
of one hides a word of another ("put it in the fridge?" asks, tells, and names a place)."""

SIGN = "sign"


def group_of(category: str) -> str:
    return GROUPS.get(category, SIGN)


Sense = tuple[str, str]
"""A category and a meaning within it: ("smell", "cheesy")."""


@dataclass(slots=True)
class Node:
    """What may follow the words so far, and what they mean if the phrase ends here."""

    more: dict[str, Node] = field(default_factory=dict)
    senses: tuple[Sense, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lexicon:
    """Immutable once built; ``lexicon()`` keeps one per language."""

    groups: tuple[str, ...]
    heads: Mapping[str, tuple[tuple[str, Node], ...]]
    """For the first word of a phrase, per group, the tree of what may follow."""
    small: Mapping[str, tuple[Sense, ...]]
    """What a word means by itself as one of the small words ("no", "is", "and")."""
    vocabulary: frozenset[str]
    spelling: Mapping[str, str]
    pictures: Mapping[str, str]
    _shelves: Mapping[tuple[str, int], tuple[str, ...]]
    _mended: dict[str, str] = field(default_factory=dict)

    def senses(self, word: str, group: str | None = None) -> tuple[Sense, ...]:
        """What a word means by itself, in one group or in all."""
        return tuple(
            sense
            for one, node in self.heads.get(word, ())
            if group is None or one == group
            for sense in node.senses
        )

    def mend(self, word: str) -> str:
        """The word of the lexicon that ``word`` is a misspelling of, or ``word`` itself.

        A word that the lexicon knows is never changed; short words only by the spelling list, for
        too many of them are one slip from each other ("fed", "bed").
        """
        if word in self.vocabulary:
            return word
        if word in self.spelling:
            return self.spelling[word]
        known = self._mended.get(word)
        if known is None:
            known = self._guess(word)
            if len(self._mended) < 20_000:
                self._mended[word] = known
        return known

    def _guess(self, word: str) -> str:
        if len(word) > 24:
            return word
        squeezed = _squeezed(word, 2)
        if squeezed != word and (mended := self._exact(squeezed)):
            return mended
        once = _squeezed(word, 1)
        if squeezed != word and (mended := self._exact(once)):
            return mended
        if len(word) < 4 or not word.isalpha():
            return word
        if word.endswith("s") and word[:-1] in self.vocabulary:
            return word
        best, best_cost = word, 90.0
        bones = _bones(word)
        for length in range(len(word) - 2, len(word) + 3):
            shelf = self._shelves.get((word[0], length), ())
            near = process.extract_iter(word, shelf, scorer=OSA.distance, score_cutoff=2)
            for candidate, away, _ in near:
                cost = _slip(word, candidate, bones, int(away))
                # Of two equal slips the one that keeps the length is the likelier: "flaot", "float".
                cost += 0.05 * abs(len(candidate) - len(word))
                if cost < best_cost:
                    best, best_cost = candidate, cost
        return best

    def _exact(self, word: str) -> str | None:
        if word in self.vocabulary:
            return word
        return self.spelling.get(word)


def _slip(word: str, candidate: str, bones: str, away: int) -> float:
    """How far a slip of the thumb is from a word ``away`` letters off; 99: too far to be one."""
    same_bones = _bones(candidate) == bones
    shortest = min(len(word), len(candidate))
    if away == 1:
        if shortest == 4 and sorted(word) == sorted(candidate):
            return 1.0
        if shortest == 4 and len(word) == 5 and same_bones:
            return 1.0
        return (1.0 if same_bones else 1.2) if shortest >= 5 else 99.0
    if away == 2 and same_bones and shortest >= 5:
        return 2.0
    if away == 2 and shortest >= 9 and OSA.distance(bones, _bones(candidate), score_cutoff=1) < 2:
        return 2.2
    return 99.0


def _squeezed(word: str, most: int) -> str:
    """At most ``most`` of the same letter in a row, where three or more stood: "sooo" is "so"."""
    out: list[str] = []
    run = 0
    stretches = any(word[i] == word[i + 1] == word[i + 2] for i in range(len(word) - 2))
    if not stretches:
        return word
    for letter in word:
        run = run + 1 if out and out[-1] == letter else 1
        if run <= most:
            out.append(letter)
    return "".join(out)


def _bones(word: str) -> str:
    """The consonants in order, doubles as one: what survives most misspellings."""
    out = ""
    for letter in word:
        if letter not in "aeiou" and not out.endswith(letter):
            out += letter
    return out


@cache
def lexicon(language: str = ENGLISH) -> Lexicon:
    """The lexicon of a language. Raises HandbookError when a file is not of the form above."""
    folder = resources.files("bot.handbook") / language / "words"
    return build(
        (file.name, file.read_text(encoding="utf-8"))
        for file in sorted(folder.iterdir(), key=lambda one: one.name)
        if file.name.endswith(".toml")
    )


def build(files: Iterable[tuple[str, str]]) -> Lexicon:
    """A lexicon from (name, TOML text) pairs."""
    tries = {group: Node() for group in (SIGN, *_GROUPS)}
    words: set[str] = set()
    plain: set[str] = set()
    spelling: dict[str, str] = {}
    pictures: dict[str, str] = {}
    for name, text in files:
        try:
            table = tomllib.loads(text)
        except tomllib.TOMLDecodeError as wrong:
            raise HandbookError(f"words/{name}: {wrong}") from wrong
        for category, meanings in table.items():
            match category, meanings:
                case "spelling", dict():
                    spelling.update(
                        (wrong, right) for right, wrongs in meanings.items() for wrong in wrongs
                    )
                case "pictures", dict():
                    pictures.update(meanings)
                case "asking", dict():
                    # Patterns of questions, not phrases: only their words are learnt here.
                    words.update(literal_words(meanings))
                case "plain", {"words": str(listed)}:
                    plain.update(listed.split())
                case _, dict():
                    root = tries[group_of(category)]
                    for meaning, body in meanings.items():
                        for phrase in _said(name, category, meaning, body):
                            parts = _PARTS.findall(phrase)
                            words.update(parts)
                            _plant(root, parts, (category, meaning))
                case _:
                    raise HandbookError(f"words/{name}: [{category}] wants tables with say")
    shelves: dict[tuple[str, int], list[str]] = defaultdict(list)
    for word in sorted(words):
        if len(word) >= 4 and word.isalpha():
            shelves[word[0], len(word)].append(word)
    heads = {
        word: tuple((group, tree.more[word]) for group, tree in tries.items() if word in tree.more)
        for word in {one for tree in tries.values() for one in tree.more}
    }
    return Lexicon(
        groups=tuple(tries),
        heads=heads,
        small={word: node.senses for word, node in tries["small"].more.items() if node.senses},
        vocabulary=frozenset(words | plain),
        spelling=spelling,
        pictures=pictures,
        _shelves={shelf: tuple(kept) for shelf, kept in shelves.items()},
    )


def _said(name: str, category: str, meaning: str, body: object) -> Iterable[str]:
    match body:
        case {"say": [*phrases]} if all(isinstance(phrase, str) for phrase in phrases):
            for phrase in phrases:
                yield from _choices(str(phrase))
        case _:
            raise HandbookError(
                f"words/{name}: [{category}.{meaning}] wants say, a list of phrases"
            )


def _choices(phrase: str) -> Iterable[str]:
    """Every phrase that ``(a|b|)`` choices spell out, the innermost first."""
    inner = _INNERMOST.search(phrase)
    if inner is None:
        yield phrase
        return
    for choice in inner.group(1).split("|"):
        yield from _choices(phrase[: inner.start()] + choice + phrase[inner.end() :])


def _plant(root: Node, words: list[str], sense: Sense) -> None:
    node = root
    for word in words:
        node = node.more.setdefault(word, Node())
    if sense not in node.senses:
        node.senses = (*node.senses, sense)
