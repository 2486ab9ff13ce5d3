"""Who, when and whether: a message in clauses, each with its mood and the reach of its negations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from bot.reading.amounts import Amount
from bot.reading.lexicon import Sense
from bot.reading.marks import Mark
from bot.reading.text import Token

Mood: TypeAlias = Literal["told", "asked", "presumed"]
"""``asked`` leaves open what it names ("is there mould?"); ``presumed`` takes it for given ("why is
there mould?")."""

_STOPS = frozenset({".", "!", "?", ";", "\n", "..", "..."})
_PAUSES = frozenset({",", "(", ")", "->", "[", "]", "|", "&", "/"})


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
    mood: Mood = "told"
    queried: bool = False
    """A question mark ends it."""
    iffy_at: int = 10_000
    """From this token on it is hoped, feared, planned or supposed, not seen."""
    age: int = 0
    """0 is now, 1 may be now or a while ago ("was"), 2 is over ("yesterday", "used to")."""
    other: bool = False
    """Told of somebody else's jar, or of no jar at all."""
    culture: str | None = None
    _index: dict[str, list[tuple[Mark, str]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
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
    def words(self) -> Sequence[str]:
        return self.message.words[self.first : self.last]

    @property
    def text(self) -> str:
        return " ".join(self.words)

    def seen(self, at: int) -> bool:
        """Whether what stands at a token is reported of the writer's own jar, now or lately."""
        return self.mood != "asked" and at < self.iffy_at and self.age < 2 and not self.other

    def denied(self, mark: Mark | Amount) -> bool:
        """Whether a negation reaches the phrase."""
        at, last = mark.first, mark.last
        negated = False
        for neg, meaning in self._index.get("neg", _NONE):
            if meaning == "word" and neg.last <= at and not self._breaks(neg.last, at):
                negated = not negated
        if negated:
            return True
        return self._denied_behind(last)

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
        while at < self.last and words[at] in _FILLING:
            at += 1
        mark = self.message.at(at, "neg") if at < self.last else None
        if mark is None or not mark.means("neg", "after"):
            return False
        return mark.last >= self.last or words[mark.last] in _CLOSING


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
_FILLING = frozenset({":", "-", "=", "is", "are", "?", "there", "still", "was", "test", "top"})
_CLOSING = frozenset({"yet", "at", "today", "still", "that", "though", "really", ",", "now"})

_NONE: list[tuple[Mark, str]] = []


@dataclass(slots=True)
class Message:
    """A message's tokens with all that the lexicon and the numbers say of them."""

    text: str
    tokens: Sequence[Token]
    words: Sequence[str]
    marks: Sequence[Mark]
    small: Sequence[Mark | None]
    """The small phrase that begins at each token, if any."""
    things: Sequence[Mark | None]
    """The kitchen's phrase that begins at each token, if any."""
    single: Sequence[tuple[Sense, ...]]
    """What each word means by itself as a small word, whatever longer phrase it stands in."""
    amounts: Sequence[Amount]

    def at(self, at: int, category: str) -> Mark | None:
        """The phrase that begins at a token and has a meaning in the category."""
        if not 0 <= at < len(self.words):
            return None
        for mark in (self.things[at], self.small[at]):
            if mark is not None and mark.says(category) is not None:
                return mark
        return None

    def says(self, at: int, category: str) -> str | None:
        mark = self.at(at, category)
        return mark.says(category) if mark else None


def clauses(message: Message) -> list[Clause]:
    """The clauses of a message in order, their moods settled."""
    found = list(_split(message))
    carry_other = False
    sentence_iffy = -1
    for at, clause in enumerate(found):
        _settle_mood(clause)
        _settle_iffy(clause)
        if clause.sentence == sentence_iffy and clause.opener in (",", "", "then", "and"):
            clause.iffy_at = clause.first
        if (
            clause.one("iffy")
            and clause.words
            and clause.words[0] in ("if", "when", "once", "unless")
            and clause.iffy_at < 10_000
        ):
            sentence_iffy = clause.sentence
        _settle_age(clause)
        carry_other = _settle_other(clause, carry_other, found[at - 1] if at else None)
    return found


def _split(message: Message) -> Iterator[Clause]:
    tokens, words = message.tokens, message.words
    end = len(tokens)
    inside = [False] * (end + 1)
    for mark in message.marks:
        for at in range(mark.first + 1, mark.last):
            inside[at] = True
    for amount in message.amounts:
        for at in range(amount.first + 1, amount.last):
            inside[at] = True
    first, sentence, opener = 0, 0, ""
    at = 0
    while at <= end:
        word = words[at] if at < end else "."
        cut = ""
        if at == end:
            cut = "."
        elif inside[at]:
            pass
        elif tokens[at].kind == "sign" and word in _STOPS:
            cut = word
        elif (tokens[at].kind == "sign" and word in _PAUSES) or (
            word == "-" and tokens[at].spaced and at + 1 < end and tokens[at + 1].spaced
        ):
            cut = ","
        elif (joint := _joint(message, at)) and at > first:
            cut = joint
        if cut:
            if at > first:
                yield _clause(message, first, at, sentence, opener, cut == "?")
            elif cut == "?" and first:
                pass
            if cut in _STOPS:
                sentence += 1
                opener = ""
                first = at + 1
            elif cut == ",":
                opener = ","
                first = at + 1
            else:
                opener = word
                first = (
                    at
                    if cut == "but" and word in ("because", "cos", "just", "only", "while")
                    else at + 1
                )
        at += 1


def _joint(message: Message, at: int) -> str:
    """ "but" or "and" when a word there begins a new clause, else nothing."""
    mark = message.small[at]
    join = mark.says("join") if mark is not None else None
    if mark is None or join is None or join == "or":
        return ""
    word = message.words[at]
    before = message.words[at - 1] if at else ""
    if join == "but":
        if word in ("just", "only", "else", "instead"):
            negated = any(
                ("neg", "word") in message.single[back] for back in range(max(0, at - 5), at)
            )
            return (
                "but"
                if word in ("just", "only") and negated and before not in ("not", "its", "is")
                else ""
            )
        return "but"
    nxt = mark.last
    heads = (
        [meaning for category, meaning in message.single[nxt] if category == "head"]
        if nxt < len(message.words)
        else []
    )
    if word in ("so", "with", "w", "which", "where", "also"):
        if not heads or word in ("with", "w") or message.at(nxt, "quant"):
            return ""
        return "and"
    if word in ("and", "n", "plus"):
        for category in ("colour", "smell", "texture", "flour", "ingredient", "spot", "hedge"):
            if message.at(nxt, category) and _just_before(message, at, category):
                return ""
    return "and" if nxt < len(message.words) else ""


def _just_before(message: Message, at: int, category: str) -> bool:
    for back in range(1, 5):
        mark = message.at(at - back, category)
        if mark is not None and mark.last == at:
            return True
    return False


def _clause(
    message: Message, first: int, last: int, sentence: int, opener: str, queried: bool
) -> Clause:
    return Clause(
        message, first, last, sentence, opener,
        [one for one in message.marks if first <= one.first < last],
        [one for one in message.amounts if first <= one.last - 1 < last],
        queried=queried,
    )  # fmt: skip


def _settle_mood(clause: Clause) -> None:
    message = clause.message
    words = message.words
    at = clause.first
    end = clause.last
    indirect = clause.one("head", "indirect")
    if indirect is not None:
        clause.mood = "asked"
        return
    while at < end - 1:
        mark = message.small[at]
        if mark is not None and mark.means("head", "filler") and not _asks_at(message, at, end):
            at = mark.last
        else:
            break
    kind = _asks_at(message, at, end)
    if kind:
        clause.mood = "presumed" if kind == "why" else "asked"
        if words[at] in ("is", "are", "isnt") and _presumes(clause, at):
            clause.mood = "presumed"


def _asks_at(message: Message, at: int, end: int) -> str:
    """Whether a question begins at a token: "why", "yes" or nothing."""
    if at >= end:
        return ""
    word = message.words[at]
    nxt = message.words[at + 1] if at + 1 < end else ""
    heads = [meaning for category, meaning in message.single[at] if category == "head"]
    if not heads:
        return ""
    if "wh" in heads:
        if word in ("what", "which") and nxt in ("a", "an", "the"):
            return ""
        if word in ("why", "whys") or (word == "how" and nxt == "come"):
            return "why"
        if word == "who" and nxt not in ("made", "are", "is", "built"):
            return ""
        return "yes"
    follower = message.single[at + 1] if at + 1 < end else ()
    subject = ("head", "subject") in follower
    if "when" in heads:
        return "yes" if ("head", "aux") in follower else ""
    if "aux" in heads:
        if word in ("do", "did") and nxt in ("the", "a", "my") and word == "did":
            return ""
        if word == "have" and nxt not in ("i", "you", "we", "u"):
            return ""
        if word == "had" and nxt not in ("i", "you", "we", "it"):
            return ""
        if word in ("has", "was", "were") and nxt not in (
            "it",
            "my",
            "this",
            "that",
            "the",
            "i",
            "there",
            "she",
            "he",
        ):
            return ""
        if subject:
            return "yes"
        if word in ("is", "are", "does", "can", "should", "do", "will", "could") and _ends_asking(
            message, at, end
        ):
            return "yes"
    return ""


def _ends_asking(message: Message, at: int, end: int) -> bool:
    return end < len(message.words) and message.words[end] == "?"


def _presumes(clause: Clause, at: int) -> bool:
    """ "Is it normal that it smells of feet", "is this pink stuff bad" take the sign for given."""
    words = clause.message.words[at : clause.last]
    return bool(set(words[1:3]) & {"this", "the", "that", "these", "those"}) and len(words) > 3


def _settle_iffy(clause: Clause) -> None:
    for mark, _ in clause.all("iffy"):
        if mark.first < clause.iffy_at:
            clause.iffy_at = mark.first
            return


def _settle_age(clause: Clause) -> None:
    now = clause.has("now")
    if clause.has("past", "strong") and not now:
        clause.age = 2
    elif clause.has("past", "weak") and not now:
        clause.age = 1
    words = clause.words
    for at in range(len(words) - 1):
        if (
            words[at] == "day"
            and words[at + 1].isdigit()
            and not now
            and at
            and words[at - 1] == "on"
        ):
            clause.age = max(clause.age, 1)


def _settle_other(clause: Clause, carried: bool, before: Clause | None) -> bool:
    mine = clause.one("other", "mine")
    jar = clause.one("other", "jar")
    thing = clause.one("other", "thing")
    if jar is not None:
        clause.other = mine is None or mine.first > jar.first or True
    elif mine is not None and carried:
        carried = False
    elif carried:
        clause.other = True
    if thing is not None:
        clause.other = clause.other or not clause.has("act", "baked")
        return carried
    return clause.other if jar is not None else carried and mine is None and clause.opener != ""
