"""Hearing what a person wants of the bot itself.

``wish(text, at)`` is precise before it is wide: a wish is the whole message, or all of it but a
few courtesies. Whatever reports on a jar is left to ``read``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import TypeAlias

from bot.culture.jar import LARGEST_ML, SMALLEST_ML
from bot.culture.measures import volume_ml
from bot.culture.quantities import Range
from bot.errors import InputError
from bot.reading.names import clean_name
from bot.reading.phrasebook import Phrasebook, phrasebook
from bot.reading.wanted import (
    AskAtPeak,
    Away,
    Begin,
    Choose,
    CountFlour,
    Done,
    FlourWish,
    Help,
    InZone,
    JarIs,
    MethodWish,
    MorningsAt,
    No,
    Pause,
    Rename,
    Resume,
    Retire,
    Show,
    ShowPhotos,
    Skip,
    Split,
    Stop,
    Thanks,
    Today,
    UnitsWish,
    Why,
    Wish,
    Yes,
)

__all__ = [
    "AskAtPeak",
    "Away",
    "Begin",
    "Choose",
    "CountFlour",
    "Done",
    "FindZone",
    "FlourWish",
    "Help",
    "InZone",
    "JarIs",
    "MethodWish",
    "MorningsAt",
    "No",
    "Pause",
    "Rename",
    "Resume",
    "Retire",
    "Show",
    "Skip",
    "Split",
    "Stop",
    "Thanks",
    "Today",
    "UnitsWish",
    "Why",
    "Wish",
    "Yes",
    "clean_name",
    "wish",
]

SLIPS_FROM = 6
"""Letters: in a shorter phrase one slip makes another word."""

MOST_PLACE_WORDS = 6

DARK = "dark"
"""Behind the command for a picture: one for the night."""

ALL_FRAMES: tuple[str, ...] = ()

_TAIL = re.compile(r"[\s.,!?:;\u2026)(*_~\-\u2013\u2014]+$")
_UNTIL = re.compile(r"^(?:until|till|til|for)\s+")
_TILL = re.compile(r"\s+(?:until|till|til|through|thru)\s+", re.IGNORECASE)
_FOR = re.compile(r"\s+for\s+", re.IGNORECASE)
_NOW = re.compile(
    r"\s+(?:now|right now|currently|at the moment|for now|these days)$", re.IGNORECASE
)
_OUNCES = re.compile(r"\b(?:fl\.?\s*)?(?:oz|ounces?)\b")


FindZone: TypeAlias = Callable[[str], str | None]
"""A place, spelt rightly, to its zone: ``bot.plan.zones.zone_called``."""

LONGEST = 160
"""Letters: whatever is longer is a story, and stories are read by the reader."""


def wish(text: str, at: datetime, find_zone: FindZone) -> Wish | None:
    """The wish that this message is, None when it is none. Never raises.

    ``at`` is the moment of writing in the writer's own zone; it settles "until Monday".
    """
    said = " ".join(text.replace("\u2019", "'").replace("\u2018", "'").split())
    if not said or len(said) > LONGEST:
        return None
    hearing = _Hearing(phrasebook(), at.date(), find_zone)
    return hearing.command(said) if said.startswith("/") else hearing.sentence(said)


class _Hearing:
    """One message being listened to on one day."""

    def __init__(self, book: Phrasebook, today: date, find_zone: FindZone) -> None:
        self._book = book
        self._today = today
        self._find_zone = find_zone

    def command(self, said: str) -> Wish | None:
        """A slash and a word, perhaps with the bot's own name behind it, and what follows."""
        word, _, rest = said[1:].partition(" ")
        topic = self._book.commands.get(word.partition("@")[0].casefold())
        rest = rest.strip()
        return None if topic is None else self._commanded(topic, rest)

    def _commanded(self, topic: str, rest: str) -> Wish | None:
        match topic:
            case "pause":
                return self._pause(rest)
            case "mornings":
                return MorningsAt(at=self._book.calendar.clock(rest.casefold()) if rest else None)
            case "zone":
                return self._elsewhere(rest, must_be_known=False) if rest else None
            case "begin":
                return Begin(name=clean_name(rest))
            case "rename":
                return Rename(new=clean_name(rest))
            case "units":
                return self._phrase(rest.casefold(), ("units_metric", "units_us"))
            case "flour":
                return self._flour(rest.casefold())
            case "jar":
                return _jar(f"{rest} ml" if rest.isdecimal() else rest)
            case "method":
                return self._phrase(rest.casefold(), self._book.methods)
            case "show" | "photos":
                return _show(topic, rest)
            case _:
                return _plain_wish(topic)

    def sentence(self, said: str) -> Wish | None:
        """The whole message as a phrase or a frame; if it is none, without its courtesies."""
        whole = _TAIL.sub("", said)
        bare = self._book.without_courtesies(whole)
        small = bare.casefold()
        if not small:
            return self._phrase(said, ("yes", "no", "help"))
        exact = self._book.phrases.get(whole.casefold())
        is_question = any(small.startswith(f"{start} ") for start in self._book.never_before)
        if is_question and exact is None:
            return None
        topics = self._book.topics
        found = (
            self._phrase(whole.casefold(), topics)
            or self._phrase(small, topics)
            or self._framed(bare, ALL_FRAMES)
            or self._framed(whole, ALL_FRAMES)
            or self._misspelt(small)
        )
        # "Start over?" and "less flour ok?" ask for advice; without the sign they are wishes.
        settles = isinstance(found, Begin | MethodWish | UnitsWish | JarIs | Rename)
        return None if settles and said.endswith("?") else found

    def _phrase(self, small: str, topics: tuple[str, ...]) -> Wish | None:
        """A whole phrase of the book, or one slip away from a longer one."""
        exact = self._book.phrases.get(small)
        if exact is not None:
            return _plain_wish(exact) if exact in topics else None
        if len(small) < SLIPS_FROM:
            return None
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extractOne

        near = extractOne(small, self._book.long_phrases, scorer=OSA.distance, score_cutoff=1)
        if near is None or (near[0][0] != small[0] and near[0][1:] != small[1:]):
            return None
        topic = self._book.phrases[near[0]]
        return _plain_wish(topic) if topic in topics else None

    def _misspelt(self, small: str) -> Wish | None:
        """The frames without names in them, once more, with each long word as the book spells it."""
        spelt = " ".join(self._book.spelt(word) for word in small.split())
        return None if spelt == small else self._framed(spelt, ("pause", "mornings"))

    def _framed(self, bare: str, topics: tuple[str, ...]) -> Wish | None:
        for frame in self._book.frames:
            if topics and frame.topic not in topics:
                continue
            found = frame.pattern.fullmatch(f" {bare}")
            if found is not None:
                wanted = self._from_frame(frame.topic, found.groupdict())
                if wanted is not None:
                    return wanted
        return None

    def _from_frame(self, topic: str, gaps: dict[str, str]) -> Wish | None:
        match topic:
            case "pause":
                until = self._until(gaps)
                return None if until is None else Pause(until=until)
            case "away":
                until = self._until(gaps)
                return None if until is None else Away(until=until)
            case "split":
                return Split(name=clean_name(gaps["name"]))
            case "retire":
                return self._retire(gaps)
            case "mornings":
                clock = self._book.calendar.clock(gaps["time"].casefold())
                return None if clock is None else MorningsAt(at=clock)
            case "zone":
                return self._elsewhere(gaps["place"], must_be_known=True)
            case "zone-brief":
                _, until = self._place_and_last_day(gaps["place"])
                return None if until is None else self._elsewhere(gaps["place"], must_be_known=True)
            case "zone-plain":
                return self._elsewhere(gaps["place"], must_be_known=False)
            case "begin":
                return Begin(name=clean_name(gaps["name"]))
            case "rename":
                return self._rename(gaps)
            case "flour":
                return self._flour(gaps["flour"].casefold())
            case "jar":
                return _jar(gaps["amount"])
            case "show" | "photos":
                return _show(topic, gaps["name"])
            case _:
                return None

    def _pause(self, rest: str) -> Pause | None:
        """ "/pause", "/pause until Monday", "/pause 3 days", "/pause Monday"."""
        small = _UNTIL.sub("", rest.casefold())
        if not small:
            return Pause(until=None)
        until = self._until({"when": small}) or self._until({"span": small})
        return None if until is None else Pause(until=until)

    def _until(self, gaps: dict[str, str]) -> date | None:
        """The first day with a morning again."""
        calendar = self._book.calendar
        if "when" in gaps:
            return calendar.day(gaps["when"].casefold(), self._today)
        days = calendar.days(gaps["span"].casefold(), self._today)
        return None if days is None else self._today + timedelta(days=days)

    def _elsewhere(self, words: str, *, must_be_known: bool) -> InZone | None:
        place, until = self._place_and_last_day(words)
        place = place.strip(" .,!")
        small = place.casefold()
        if not place or len(place.split()) > MOST_PLACE_WORDS:
            return None
        if must_be_known and small in self._book.no_places:
            return None
        zone = self._find_zone(place)
        if zone is None and must_be_known:
            return None
        return InZone(zone=zone, place=place, until=until)

    def _place_and_last_day(self, words: str) -> tuple[str, date | None]:
        """ "Lisbon this week" in two; the last local day away, if one was said."""
        calendar, today = self._book.calendar, self._today
        place, by, when = _partition(words, _TILL)
        if by and (last := calendar.day(when.casefold(), today)) is not None:
            return place, last
        place, by, span = _partition(words, _FOR)
        if by and (days := calendar.days(span.casefold(), today)) is not None:
            return place, today + timedelta(days=days - 1)
        parts = words.split()
        for cut in range(min(len(parts) - 1, 5), 0, -1):
            head, tail = " ".join(parts[:-cut]), " ".join(parts[-cut:]).casefold()
            days = calendar.days(tail, today)
            if days is not None:
                return head, today + timedelta(days=days - 1)
        return _NOW.sub("", words), None

    def _rename(self, gaps: dict[str, str]) -> Rename | None:
        new = clean_name(gaps["name"])
        if new is None or len(new.split()) > 4 or new.split()[0].casefold() in self._book.no_names:
            return None
        old = gaps.get("old")
        return Rename(new=new, old=None if old is None else clean_name(old))

    def _retire(self, gaps: dict[str, str]) -> Retire | None:
        name = clean_name(gaps["name"])
        if name is None or name.split()[0].casefold() in self._book.no_names:
            return None
        return Retire(name=name)

    def _flour(self, small: str) -> FlourWish | None:
        flour = self._book.flour_named(small)
        return None if flour is None else FlourWish(flour=flour)


_PLAIN: dict[str, Wish] = {
    "stop": Stop(),
    "pause": Pause(until=None),
    "resume": Resume(),
    "mornings": MorningsAt(at=None),
    "why": Why(),
    "today": Today(),
    "show": Show(),
    "show_dark": Show(dark=True),
    "photos": ShowPhotos(),
    "help": Help(),
    "begin": Begin(),
    "rename": Rename(new=None),
    "units_metric": UnitsWish(units="metric"),
    "units_us": UnitsWish(units="us"),
    "skip": Skip(),
    "done": Done(),
    "split": Split(),
    "retire": Retire(),
    "ask_at_peak": AskAtPeak(),
    "yes": Yes(),
    "no": No(),
    "count_flour": CountFlour(),
    "thanks": Thanks(),
    "choose.bake": Choose(choice="bake"),
    "choose.rest": Choose(choice="rest"),
    "choose.counter": Choose(choice="counter"),
}
"""The wish of a topic that has nothing to fill in."""


def _plain_wish(topic: str) -> Wish | None:
    if topic.startswith("method."):
        return MethodWish(method=topic.removeprefix("method."))
    return _PLAIN.get(topic)


def _show(topic: str, rest: str) -> Show | ShowPhotos:
    """ "/week", "/week dark", "/week Biscuit", "/photos Biscuit"."""
    if topic == "photos":
        return ShowPhotos(name=clean_name(rest))
    words = [word for word in rest.split() if word.casefold() != DARK]
    return Show(name=clean_name(" ".join(words)), dark=len(words) < len(rest.split()))


def _jar(amount: str) -> JarIs | None:
    """ "500 ml", "1 litre", "a quart"; ounces of a jar are fluid ones."""
    said = _OUNCES.sub("fl oz", amount.casefold())
    told = _volume(said) or _volume(f"1 {said}")
    if told is None:
        return None
    if not SMALLEST_ML <= told.middle <= LARGEST_ML:
        return None
    return JarIs(jar_ml=told.middle)


def _volume(amount: str) -> Range | None:
    try:
        return volume_ml(amount, "water")
    except InputError:
        return None


def _partition(words: str, by: re.Pattern[str]) -> tuple[str, str, str]:
    """Before, the word itself, after: at the last such word; all before when there is none."""
    found = list(by.finditer(words))
    if not found:
        return words, "", ""
    return words[: found[-1].start()], found[-1][0], words[found[-1].end() :]
