"""The door of the room: a message becomes a Reading, and never an error."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from bot.culture.vocabulary import Signs, Units
from bot.reading import floating, hazards, liquids, looks, rises, smells, warmth
from bot.reading.acts import acts
from bot.reading.amounts import amounts
from bot.reading.asks import asks
from bot.reading.clauses import Clause, Message
from bot.reading.lexicon import SIGN, Lexicon, Sense, lexicon
from bot.reading.moods import clauses
from bot.reading.marks import Mark, marks, mended
from bot.reading.reading import Doubt, Reading, Span
from bot.reading.text import tokens


def read(text: str, *, at: datetime, units: Units, cultures: tuple[str, ...] = ()) -> Reading:
    """What ``text``, written at the aware moment ``at`` in the writer's own zone, says.

    ``units`` settles a bare number ("it's 72 in here"); ``cultures`` are the names of the writer's
    cultures, the first being the one a message is about if it names none. Total: any text reads.
    """
    message = parse(text, lexicon())
    parts = clauses(message)
    found_signs, spans, doubts = _signs(message, parts, units)
    found_acts = acts(message, parts, at)
    found_asks = asks(message, parts)
    return Reading(
        signs=found_signs,
        acts=tuple(act for _, _, act in found_acts),
        asks=tuple(ask for _, ask in found_asks),
        spans=tuple(spans),
        doubts=tuple(doubts),
        corrects=any(one.says("correct") == "strong" for one in message.marks),
    )


def parse(text: str, words: Lexicon) -> Message:
    """The message's tokens, phrases and amounts in one language."""
    found = tokens(text, words.pictures)
    plain = mended(found, words)
    found_marks: list[Mark] = []
    starts: dict[str, Sequence[Mark | None]] = {}
    covered: set[int] = set()
    for group, phrases in words.tries.items():
        ones = marks(plain, phrases)
        if group in (SIGN, "act", "quantity"):
            for one in ones:
                covered.update(range(one.first, one.last) if one.last - one.first > 1 else ())
        found_marks += ones
        starts[group] = _starts(ones, len(found))
    # A negation inside a phrase of the kitchen ("hasnt moved", "not much") is that phrase's own.
    kept = [one for one in found_marks if one.first not in covered or not one.says("neg")]
    kept.sort(key=lambda one: one.first)
    single = _single(plain, words)
    return Message(
        text=text,
        tokens=found,
        words=plain,
        marks=kept,
        starts=starts,
        single=single,
        amounts=amounts(found, plain, starts),
    )


def _single(plain: list[str], words: Lexicon) -> list[tuple[Sense, ...]]:
    root = words.tries["small"].more
    return [root[word].senses if word in root else () for word in plain]


def _starts(found: list[Mark], length: int) -> list[Mark | None]:
    starts: list[Mark | None] = [None] * length
    for one in found:
        starts[one.first] = one
    return starts


def _signs(
    message: Message, parts: list[Clause], units: Units
) -> tuple[Signs, list[Span], list[Doubt]]:
    mould = hazards.mould(message, parts)
    streak = hazards.streak(message, parts)
    pests = hazards.pests(message, parts)
    film = hazards.film(message, parts)
    crust = list(looks.crust(message, parts))
    smell = smells.smells(message, parts)
    texture = looks.textures(message, parts)
    rise = rises.rise(message, parts)
    surface = looks.surface(message, parts)
    bubbles = looks.bubbles(message, parts)
    liquid = liquids.liquid(message, parts)
    floats = floating.floats(message, parts)
    temperature, impossible = warmth.temperature(message, parts, units)
    told = bool(rise or surface or bubbles or smell or texture or liquid)
    hours = rises.hours(message, parts, told)
    found = Signs(
        rise=rise.value if rise else None,
        hours=round(hours.value, 2) if hours else None,
        surface=surface.value if surface else None,
        bubbles=bubbles.value if bubbles else None,
        temperature=temperature.value if temperature else None,
        smell=tuple(dict.fromkeys(one.value for one in smell)),
        liquid=liquid.value if liquid else None,
        mould=any(one.value for one in mould) if mould else None,
        streak=next((one.value for one in streak if one.value), False) if streak else None,
        film=any(one.value for one in film) if film else None,
        crust=any(one.value for one in crust) if crust else None,
        texture=tuple(one.value for one in texture),
        floats=floats.value if floats else None,
        pests=any(one.value for one in pests) if pests else None,
    )
    doubts: list[Doubt] = ["temperature"] if impossible and temperature is None else []
    return found, [], doubts
