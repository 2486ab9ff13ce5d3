"""A message and its clauses: what each says, in what mood, and how far its negations reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from bot.reading.amounts import Amount
from bot.reading.lexicon import Sense
from bot.reading.marks import Mark
from bot.reading.text import Token

Mood: TypeAlias = Literal["told", "asked", "presumed"]
"""``asked`` leaves open what it names ("is there mould?"); ``presumed`` takes it for given ("why is
there mould?")."""


@dataclass(slots=True)
class Clause:
    """Tokens ``first..last`` (end excluded) of a message, with what its small words decide."""

    message: Message
    first: int
    last: int
    sentence: int
    opener: str
    marks: list[Mark]
    amounts: list[Amount]
    number: int = 0
    """Its place among the message's clauses."""
    mood: Mood = "told"
    queried: bool = False
    """A question mark ends it."""
    iffy_at: int = 10_000
    """From this token on it is hoped, feared, planned or supposed, not seen."""
    age: int = 0
    """0 is now, 1 may be now or a while ago ("was"), 2 is over ("yesterday", "used to")."""
    other: bool = False
    """Told of somebody else's jar, or of no jar at all."""
    bread: bool = False
    """About something baked, not the culture."""
    retracted: bool = False
    """What it said is taken back by the next one."""
    listed_to: int = -1
    """Up to this token it is part of a list that the clause before opened with a denial."""
    words: Sequence[str] = ()
    """Its words; taken from the message."""
    _index: dict[str, list[tuple[Mark, str]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.words = self.message.words[self.first : self.last]
        index = self._index
        for mark in self.marks:
            for category, meaning in mark.senses:
                index.setdefault(category, []).append((mark, meaning))

    def all(self, category: str) -> list[tuple[Mark, str]]:
        return self._index.get(category, _NONE)

    def has(self, category: str, meaning: str = "") -> bool:
        if not meaning:
            return category in self._index
        return any(one == meaning for _, one in self._index.get(category, _NONE))

    def one(self, category: str, meaning: str = "") -> Mark | None:
        for mark, one in self._index.get(category, _NONE):
            if not meaning or one == meaning:
                return mark
        return None

    @property
    def text(self) -> str:
        return " ".join(self.words)

    def seen(self, at: int) -> bool:
        """Whether what stands at a token is reported of the writer's own jar, now or lately."""
        return (
            self.mood != "asked"
            and at < self.iffy_at
            and self.age < 2
            and not self.other
            and not self.retracted
        )

    @property
    def left_out(self) -> bool:
        """Whether it denies what the clause before told, without saying it again: "mine didnt"."""
        words = self.words
        denies = words[-1] in _BARE_DENIALS or list(words[-2:]) == ["its", "not"]
        return len(words) <= 4 and denies and not self.other

    def did(self, mark: Mark) -> bool:
        """Whether an act is told as done: not planned, not denied, not only nearly done."""
        nearly = self.message.says(mark.first - 1, "hedgenum") == "under"
        return mark.first < self.iffy_at and not self.denied(mark) and not nearly

    def denied(self, mark: Mark | Amount) -> bool:
        """Whether a negation reaches the phrase."""
        at, last = mark.first, mark.last
        if at < self.listed_to:
            return True
        # The nearest negation decides: what ends its reach ends that of every one before it.
        nearest: Mark | None = None
        for neg, meaning in self._index.get("neg", _NONE):
            if neg.last > at:
                break
            if meaning == "word" and not self._answers(neg):
                nearest = neg
        if nearest is not None and not self._breaks(nearest.last, at):
            return True
        return self._denied_behind(last)

    def compared(self, mark: Mark) -> bool:
        """Whether the phrase is only what something is compared with: "thicker than a batter"."""
        words = self.message.words
        at = mark.first - 1
        if at >= self.first and words[at] in ("a", "an", "the", "my"):
            at -= 1
        return at >= self.first and (
            words[at] in ("than", "unlike") or words[at - 1 : at + 1] == ["instead", "of"]
        )

    def _answers(self, neg: Mark) -> bool:
        """Whether a "no" at the front only answers: "no it hasnt collapsed"."""
        words = self.message.words
        if words[neg.first] == "no" and neg.first - 1 in self.message.amount_lasts:
            # "21, no 22 degrees": it mends the number before.
            return True
        if words[neg.first] == "no" and neg.last < self.last and words[neg.last] in _AFTER_A_CRY:
            # "Oh no it smells", "no theres mould on it": a cry or an answer, no denial.
            return neg.first == self.first or words[neg.first - 1] in _CRIES
        if words[neg.first - 1 : neg.last] == ["oh", "no"] and neg.first > self.first:
            # "Oh no mould": in doubt it is there.
            return any(self.message.at(neg.last, one) for one in ("mould", "colour", "pest"))
        return (
            neg.first == self.first
            and words[neg.first] in ("no", "nope")
            and neg.last < self.last
            and words[neg.last] in ("it", "its", "i", "im", "the", "my", "this", "that", "not")
        )

    def _breaks(self, start: int, end: int) -> bool:
        """Whether something between a negation and a phrase ends the negation's reach."""
        message = self.message
        for at in range(start, end):
            if at > start:
                many = message.at(at, "quant")
                if (
                    many is not None
                    and many.means("quant", "many")
                    and message.words[at] not in _ADVERBS
                ):
                    return True
            join = message.says(at, "join")
            if join == "but" and at > start:
                return True
            if join == "and" and message.words[at] not in ("with", "w", "also", "which", "where"):
                return True
        return False

    def _denied_behind(self, last: int) -> bool:
        words = self.message.words
        at = last
        while at < self.last:
            mark = self.message.at(at, "neg")
            if mark is not None and mark.means("neg", "after"):
                return mark.last >= self.last or words[mark.last] in _CLOSING
            if words[at] not in _FILLING:
                return False
            at += 1
        return False


_BARE_DENIALS = frozenset({"didnt", "hasnt", "isnt", "doesnt", "havent", "wont", "wasnt", "arent"})
_CRIES = frozenset({"oh", "ohh", "ah", "ahh", "argh", "aargh", "ugh", "eek", "gah", "omg", "god", "hell", "dear"})  # fmt: skip
_AFTER_A_CRY = frozenset({"it", "its", "i", "im", "ive", "we", "weve", "the", "my", "this", "that", "thats", "theres", "there", "he", "hes", "she", "shes", "they", "mine", "some"})  # fmt: skip
_ADVERBS = frozenset(
    {
        "very",
        "really",
        "so",
        "super",
        "all",
        "many",
        "big",
        "huge",
        "active",
        "massive",
        "well",
        "giant",
    }
)
_FILLING = frozenset(
    {
        "has",
        "have",
        "smell",
        "count",
        "activity",
        "situation",
        "status",
        "level",
        "wise",
        "all",
        "mostly",
        "completely",
        "finally",
        "now",
        "seems",
        "to",
        "be",
        ":",
        "-",
        "=",
        "is",
        "are",
        "?",
        "there",
        "still",
        "was",
        "test",
        "top",
    }
)
_CLOSING = frozenset(
    {
        "yet",
        "since",
        "for",
        "again",
        "this",
        "completely",
        "thank",
        "thankfully",
        "lol",
        "when",
        "after",
        "by",
        "at",
        "today",
        "still",
        "that",
        "though",
        "really",
        ",",
        "now",
    }
)

_NONE: list[tuple[Mark, str]] = []


@dataclass(slots=True)
class Message:
    """A message's tokens with all that the lexicon and the numbers say of them."""

    text: str
    tokens: Sequence[Token]
    words: Sequence[str]
    marks: Sequence[Mark]
    starts: Mapping[str, Sequence[Mark | None]]
    """Per group of categories, the phrase that begins at each token, if any."""
    single: Sequence[tuple[Sense, ...]]
    """What each word means by itself as a small word, whatever longer phrase it stands in."""
    amounts: Sequence[Amount]
    clauses: list[Clause] = field(default_factory=list)
    categories: frozenset[str] = frozenset()
    """The categories that any phrase of the message has a meaning in."""
    places: Mapping[str, Mapping[int, Mark]] = field(default_factory=dict)
    """Per category, the phrases with a meaning in it by the token each begins at."""
    amount_firsts: frozenset[int] = frozenset()
    amount_lasts: frozenset[int] = frozenset()
    """Tokens that begin an amount, and that end one."""

    def __post_init__(self) -> None:
        self.categories = frozenset(category for mark in self.marks for category, _ in mark.senses)
        self.amount_firsts = frozenset(one.first for one in self.amounts)
        self.amount_lasts = frozenset(one.last - 1 for one in self.amounts)

    def has(self, category: str) -> bool:
        return category in self.categories

    def before(self, clause: Clause) -> Sequence[Clause]:
        """The clauses before one, the nearest last."""
        return self.clauses[: clause.number]

    def at(self, at: int, category: str) -> Mark | None:
        """The phrase that begins at a token and has a meaning in the category."""
        placed = self.places.get(category)
        return placed.get(at) if placed is not None else None

    def begins(self, at: int) -> bool:
        """Whether any phrase of the lexicon begins at a token."""
        return any(marks[at] is not None for marks in self.starts.values())

    def says(self, at: int, category: str) -> str | None:
        placed = self.places.get(category)
        mark = placed.get(at) if placed is not None else None
        return mark.says(category) if mark is not None else None
