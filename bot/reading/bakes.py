"""A bake that somebody plans: when the dough or the levain is wanted, how much, how long it may take.

"want to mix dough sunday 5 pm", "levain ready by 9 tomorrow, need 200 g", "12 hours so I can sleep".
A plan needs a moment ahead or a number of hours wished for; without either, ``bake_wish`` is None and
the question is answered in general.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bot.culture.vocabulary import Ratio
from bot.reading.phrasebook import phrasebook

_BAKES = re.compile(
    r"\b(bak(?:e|es|ing)|dough|levain|loaf|loaves|bread|pizza|focaccia|rolls|build|ripe)\b", re.I
)
_WISHES = re.compile(
    r"\b(want|wanna|would like|'d like|id like|need|plan|planning|going to|gonna|hope|must|have to"
    r"|when (?:do|should|shall|must|can) i|feed when|when to feed|how (?:do|can|should) i|mix(?:ing)?"
    r"|ready (?:by|for|at|on)|ripe (?:by|for|at|on)|peaks? (?:by|at|after|around)|for)\b",
    re.I,
)
_TOLD = re.compile(
    r"\b(?:doubles?|doubling|peaks?|peaking)\s+(?:in|after|within|at about)?\s*(?:about|around|ca\.?)?\s*"
    r"(\d+(?:[.,]\d+)?)\s*(?:h\b|hr|hours?)",
    re.I,
)
_RATIO = re.compile(r"\b(\d+)\s*[:\-]\s*(\d+)\s*[:\-]\s*(\d+)\b")
_GRAMS = re.compile(r"\b(\d{2,4})\s*(?:g|gr|grams?)\b", re.I)
_FRIDGE = re.compile(r"\b(?:fridge|refrigerator)\b", re.I)
_HAVE = re.compile(
    r"\b(?:got|have|having|with)\s+(?:about |only |just |ca\.? )?(\d{1,4})\s*(?:g|gr|grams?)\b",
    re.I,
)
_WANT = re.compile(
    r"\b(?:needs?|wants?|wanted|calls? for|asks? for|requires?|makes?|get)\s+(?:me |about |some |ca\.? )?"
    r"(\d{2,4})\s*(?:g|gr|grams?)\s*(?:of\s+)?(?:\w+\s+){0,2}(?:starter|levain)\b",
    re.I,
)
_HOW_MUCH = re.compile(
    r"\b(?:how much|how many|what (?:amounts?|ratio|do i (?:feed|mix|add)))\b", re.I
)
_HOURS_WISHED = re.compile(
    r"\b(?:want|need|like|make it|take|last|for|peaks? (?:in|after|at)|slow(?:er)?|stretch)\D{0,25}?"
    r"(\d{1,2})(?:\s*(?:-|to)\s*\d{1,2})?\s*(?:h\b|hr|hours?)",
    re.I,
)
_CLOCK = re.compile(
    r"\b(?:at|by|for|around|about|before|@)?\s*"
    r"(\d{1,2}(?:[:.]\d{2})?\s*(?:a\.?m\.?|p\.?m\.?|o'?clock|h\b)?|noon|midday|midnight)(?![\d:g%])",
    re.I,
)
_PARTS = {"morning": time(9), "noon": time(12), "lunch": time(12), "afternoon": time(15),
          "evening": time(18), "dinner": time(17), "night": time(20), "tonight": time(20)}  # fmt: skip
_BARE_NUMBER = re.compile(r"(?:(?:on|at|about|around|by|for|before|the) )*\d+")
"""An hour or an amount, far more often than a day of the month."""
_TODAY = re.compile(r"\b(today|tonight|this (?:morning|afternoon|evening))\b", re.I)
FURTHEST = timedelta(days=21)
"""A plan further ahead than that is made nearer the day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """What they say their culture does: hours to the doubling or the peak at that ratio."""

    hours: float
    ratio: Ratio
    peak: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BakeWished:
    """``ripe_at`` is the moment wanted, in the writer's zone; ``in_hours`` how long a feed shall take.

    At most one of the two is set; with neither, only amounts are asked for and ``levain_g`` is set.
    ``have_g`` is the starter at hand. ``guessed_hour`` is true when only a day or a part of it was said.
    """

    ripe_at: datetime | None = None
    in_hours: float | None = None
    guessed_hour: bool = False
    levain_g: float | None = None
    have_g: float | None = None
    chilled: bool = False
    """The starter is said to be in the fridge."""
    usual: Usual | None = None


def bake_wish(text: str, at: datetime) -> BakeWished | None:
    """The bake planned in this message, None when none is. ``at`` is in the writer's zone. Total."""
    said = " ".join(text.split())
    if len(said) > 600:
        return None
    if (wanted := _WANT.search(said)) is not None and _HOW_MUCH.search(said):
        timed = _planned(said, at)
        if timed is None or timed.guessed_hour:
            return BakeWished(levain_g=float(wanted[1]), have_g=_have(said))
        return timed
    return _planned(said, at)


def _planned(said: str, at: datetime) -> BakeWished | None:
    if not (_BAKES.search(said) or _TOLD.search(said)):
        return None
    if not _WISHES.search(said):
        return None
    usual = _usual(said)
    rest = _TOLD.sub(" ", _RATIO.sub(" ", said))
    have_g = _have(rest)
    rest = _HAVE.sub(" ", rest)
    grams = _GRAMS.search(rest)
    levain_g = None if grams is None else float(grams[1])
    rest = _GRAMS.sub(" ", rest)
    wished = _HOURS_WISHED.search(rest)
    if wished is not None and 3 <= int(wished[1]) <= 24:
        return BakeWished(in_hours=float(wished[1]), levain_g=levain_g, have_g=have_g, usual=usual)
    if not _BAKES.search(said):
        return None
    day = _day(rest, at)
    clock = _clock(rest, named_day=day is not None)
    part = next((word for word in _PARTS if re.search(rf"\b{word}\b", rest, re.I)), None)
    if clock is None and part is None and day is None:
        return None
    if (
        clock is None
        and part is None
        and not re.search(r"\bbak|\bmix|\bdough|\blevain", said, re.I)
    ):
        return None
    hour = clock or (_PARTS[part] if part is not None else time(10))
    if (
        clock is not None
        and clock.hour < 12
        and part in ("afternoon", "evening", "dinner", "night")
    ):
        hour = clock.replace(hour=clock.hour + 12) if clock.hour != 12 else clock
    ripe_at = datetime.combine(day or at.date(), hour, tzinfo=at.tzinfo)
    if day is None and ripe_at <= at:
        ripe_at += timedelta(days=1)
    if ripe_at - at > FURTHEST:
        return None
    return BakeWished(
        ripe_at=ripe_at,
        guessed_hour=clock is None,
        levain_g=levain_g,
        have_g=have_g,
        chilled=_FRIDGE.search(said) is not None,
        usual=usual,
    )


def _have(said: str) -> float | None:
    found = _HAVE.search(said)
    return None if found is None or float(found[1]) <= 0 else float(found[1])


def _usual(said: str) -> Usual | None:
    told = _TOLD.search(said)
    if told is None:
        return None
    hours = float(told[1].replace(",", "."))
    if not 1 <= hours <= 48:
        return None
    found = _RATIO.search(said)
    parts = (1.0, 1.0, 1.0) if found is None else tuple(float(part) for part in found.groups())
    if not all(0 < part <= 100 for part in parts):
        return None
    ratio: Ratio = (parts[0], parts[1], parts[2])
    return Usual(hours=hours, ratio=ratio, peak=told[0].lower().startswith("peak"))


def _day(said: str, at: datetime) -> date | None:
    """The first day named, today included; None when none is."""
    calendar = phrasebook().calendar
    if _TODAY.search(said):
        return at.date()
    words = re.findall(r"[\w']+", said.lower())
    for size in (4, 3, 2, 1):
        for start in range(len(words) - size + 1):
            phrase = " ".join(words[start : start + size])
            if _BARE_NUMBER.fullmatch(phrase):
                continue
            found = calendar.day(phrase, at.date())
            if found is not None:
                return found
    return None


def _clock(said: str, *, named_day: bool) -> time | None:
    """The last hour of the clock that is named; "5 pm (17:00)" names it twice."""
    found: time | None = None
    for match in _CLOCK.finditer(said):
        text = (
            match[1].lower().replace(".", ":", 1)
            if re.fullmatch(r"\d{1,2}\.\d{2}.*", match[1])
            else match[1].lower()
        )
        bare = re.fullmatch(r"\d{1,2}", text.strip())
        if bare and not re.search(
            r"\b(?:at|by|for|around|about|before|@)\s*$", said[: match.start(1)], re.I
        ):
            continue
        hour = phrasebook().calendar.clock(text.strip())
        if hour is None:
            continue
        if found is None or (hour.hour % 12 == found.hour % 12):
            found = hour
    return found
