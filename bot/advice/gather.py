"""From a case to its facts: what the message says, what the journal and the science add."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import get_args

from bot.advice import history, meals
from bot.advice.case import Case
from bot.advice.facts import Done, Facts
from bot.culture.quantities import Range
from bot.culture.state import Culture
from bot.culture.vocabulary import Ask, Moved, Signs
from bot.reading.recipe import told_day
from bot.reading.topics import listed, topics

_QUIET_RISE_YOUNG, _QUIET_RISE = 1.35, 1.15
"""Up to here a rise is none to speak of: in the lull 1.0..1.3 (F-218, common practice), later less."""
_YOUNG_UNTIL_DAY = 7
_CLEAR_RISE = 1.4


def gather(case: Case) -> Facts:
    """The facts of a case. Total: a case that says nothing has few facts."""
    signs = case.reading.signs
    culture = case.culture
    person = case.dossier.person
    words = case.words
    heat = signs.temperature
    kitchen = heat.celsius if heat is not None and heat.of == "kitchen" else person.kitchen_c
    starter = heat.celsius if heat is not None and heat.of == "starter" else None
    day = history.day_of(culture, case.at) if culture is not None else None
    if day is None or culture is None:
        day = told_day(words) if culture is None or culture.started_at is None else day
    days_cold = meals.days_in_fridge(case)
    spot = culture.spot if culture is not None else None
    warmth = 4.0 if spot == "fridge" and starter is None else (starter or kitchen)
    rise = None if signs.rise is None else Range(signs.rise.low, signs.rise.high)
    last_feed = meals.feed_before(case)
    since = None if last_feed is None else (case.at - last_feed.at) / timedelta(hours=1)
    hours = (
        signs.hours if signs.hours is not None else (meals.plausible_hours(since) if rise else None)
    )
    flour = meals.flour_of(case)
    feed = meals.feed_told(case)
    near = history.standings(culture, case.at)
    return Facts(
        has_jar=culture is not None,
        mixed=None if culture is None else culture.started_at is not None,
        day=day,
        age=history.age(day, kitchen),
        told=not signs.is_empty or bool(case.reading.acts),
        kitchen_c=kitchen,
        starter_c=starter,
        warmth_c=warmth,
        water_c=heat.celsius if heat is not None and heat.of == "water" else None,
        heat_told=heat is not None and heat.of in ("kitchen", "starter"),
        rise=rise,
        hours=hours,
        rise_in_time=history.in_time(culture, case.at),
        quiet=_quiet(case, day),
        quiet_long=_quiet_long(case),
        lively=_lively(signs),
        surface=signs.surface,
        bubbles=signs.bubbles,
        smell=signs.smell or None,
        liquid=None if signs.liquid is None else signs.liquid.present,
        liquid_colour=None if signs.liquid is None else signs.liquid.colour,
        liquid_where=None if signs.liquid is None else signs.liquid.where,
        mould=signs.mould,
        streak="none" if signs.streak is False else signs.streak,
        film=signs.film,
        film_before=history.seen_before(culture, case.at, lambda seen: seen.film is True),
        crust=signs.crust,
        texture=signs.texture or None,
        floats=signs.floats,
        pests=signs.pests,
        danger_now=history.danger_in(signs, day),
        done=tuple(_done(act.act) for act in case.reading.acts),
        moved_to=next(
            (act.to for act in reversed(case.reading.acts) if isinstance(act, Moved)), None
        ),
        feed_wetness=feed[0],
        feed_size=feed[1],
        flour=flour,
        hours_since_feed=since,
        days_since_feed=None if since is None else since / 24,
        feeds_today=meals.feeds_today(case),
        spot="fridge" if days_cold is not None else spot,
        days_in_fridge=days_cold,
        skipped_days=meals.skipped_days(case, since),
        doubles_in_a_row=0 if near is None else near.in_a_row,
        gate=None if near is None or history.is_untold(culture, day) else near.ready,
        was_ready=history.was_ready(culture, case.at),
        rose_before=history.seen_before(
            culture, case.at, lambda seen: seen.rise is not None and seen.rise.low >= 1.45
        )
        or "used-to" in topics(words),
        danger_before=history.danger_before(culture, case.at),
        fresh_look=_fresh_look(culture, case.at, signs),
        at_odds=_at_odds(case),
        overheated=_overheated(case),
        is_question=_is_question(case),
        asks=_asks(case),
        topics=case.reading.topics or topics(words),
        doubts=case.reading.doubts,
    )


def _lively(signs: Signs) -> bool | None:
    if signs.rise is not None and signs.rise.low >= 1.4:
        return True
    if signs.bubbles in ("some", "many"):
        return True
    return None if signs.rise is None and signs.bubbles is None else False


def _quiet(case: Case, day: float | None) -> bool | None:
    """Told, or meant: "nothing", "flat again", "why is it not rising" are words for it too."""
    signs = case.reading.signs
    if _lively(signs):
        return False
    if signs.rise is not None:
        young = day is None or day < _YOUNG_UNTIL_DAY
        return signs.rise.high <= (_QUIET_RISE_YOUNG if young else _QUIET_RISE)
    if signs.bubbles is not None or "slow" in case.reading.asks:
        return True
    if signs.surface == "flat" and (day is None or day < _YOUNG_UNTIL_DAY or not _has_risen(case)):
        return True
    return True if {"give-up", "nothing", "sluggish"} & set(topics(case.words)) else None


def _asks(case: Case) -> tuple[Ask, ...]:
    """What was read as asked, and "so it's ready, right?", which is no question by its form."""
    asks = case.reading.asks
    found = topics(case.words)
    if "ready" not in asks and "ready-claim" in found:
        asks = (*asks, "ready")
    if "alive" not in asks and "alive-claim" in found:
        asks = (*asks, "alive")
    return asks


def _is_question(case: Case) -> bool:
    """Asked rather than told: a question mark, a question word in front, or an ask that was read."""
    words = case.words.casefold().split()
    asked = bool(words) and words[0].strip(",.") in listed("questions")
    return asked or "?" in case.words or bool(case.reading.asks)


def _quiet_long(case: Case) -> bool:
    before = history.seen_before(
        case.culture,
        case.at,
        lambda seen: (
            seen.bubbles == "none" or (seen.rise is not None and seen.rise.high <= _QUIET_RISE)
        ),
    )
    return before or "long-quiet" in topics(case.words)


def _has_risen(case: Case) -> bool:
    """Level on top is the peak of a jar that rises, and stillness in one that never did."""
    culture = case.culture
    if culture is None or history.was_ready(culture, case.at):
        return True
    rises = [seen.signs.rise for seen in culture.sightings if seen.signs.rise is not None]
    return any(rise.low >= _CLEAR_RISE for rise in rises)


def _done(act: str) -> Done:
    assert act in get_args(Done)
    return act  # type: ignore[return-value]


def _fresh_look(culture: Culture | None, at: datetime, signs: Signs) -> bool | None:
    match history.danger_before(culture, at):
        case "mould":
            return None if signs.mould is None else not signs.mould
        case "streak":
            return None if signs.streak is None else signs.streak is False
        case "pests":
            return None if signs.pests is None else not signs.pests
        case "rotten":
            return None if not signs.smell else "rotten" not in signs.smell
        case "none":
            return None


def _at_odds(case: Case) -> bool:
    signs = case.reading.signs
    if "rise" in case.reading.doubts or "odds" in topics(case.words):
        return True
    return signs.rise is not None and signs.rise.low >= 1.8 and signs.bubbles == "none"


def _overheated(case: Case) -> bool | None:
    """Told as the jar's or its water's warmth, or as a number beside a thermometer."""
    heat = case.reading.signs.temperature
    if heat is None:
        hot = case.units == "metric" and "hot-reading" in topics(case.words)
        return True if hot else None
    return None if heat.of == "fridge" else heat.celsius > 45
