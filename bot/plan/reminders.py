"""What falls due between mornings: the look at the peak that was wished for, a planned bake's steps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Literal

from bot.culture.curve import Feeding
from bot.culture.outcomes import flours_of, observations, outcomes, ratio_told
from bot.culture.rise import forecast
from bot.culture.state import Culture, Deed, Dossier
from bot.culture.vigour import learn
from bot.culture.vocabulary import Fed
from bot.errors import InputError
from bot.plan.zones import zone_info

QUIET_FROM = time(22)
USUAL_MORNING = time(8)
USUAL_KITCHEN_C = 21.0
"""Taken when nobody told (common practice, no source)."""
STALE = timedelta(hours=4)
"""A reminder later than that helps nobody: it is passed over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """``culture`` is its key; a ``bake`` reminder is for the stage of that number, or the last: ripe."""

    at: datetime
    culture: str
    about: Literal["peak", "bake"]
    stage: int = 0


def next_reminder(dossier: Dossier) -> Reminder | None:
    """The earliest reminder not sent yet, in the past when it is overdue. None: none was wished for."""
    if dossier.person.rest == "stopped":
        return None
    found: list[Reminder] = []
    for culture in dossier.living:
        if culture.peak_check_at is not None:
            found.append(Reminder(at=culture.peak_check_at, culture=culture.key, about="peak"))
        bake = culture.bake
        if bake is not None and bake.next_reminder_at is not None:
            at, stage = bake.next_reminder_at, bake.reminded
            found.append(Reminder(at=at, culture=culture.key, about="bake", stage=stage))
    return min(found, key=lambda reminder: (reminder.at, reminder.culture), default=None)


def peak_of(dossier: Dossier, culture: Culture, feed: Deed) -> datetime | None:
    """When that feed will most likely stand highest; None for a warmth or a feed that cannot be timed."""
    ratio = ratio_told(feed) or (1.0, 1.0, 1.0)
    kitchen_c = dossier.person.kitchen_c
    try:
        feeding = Feeding(
            ratio=ratio,
            celsius=USUAL_KITCHEN_C if kitchen_c is None else kitchen_c,
            flours=flours_of(culture, feed),
        )
    except InputError:
        return None
    vigour = learn(observations(outcomes(culture)))
    return feed.at + timedelta(hours=forecast(feeding, vigour).peak_h.median)


def is_quiet(dossier: Dossier, at: datetime) -> bool:
    """Whether that instant falls into the person's night, between ten and their morning."""
    person = dossier.person
    local = at if person.zone is None else at.astimezone(zone_info(person.zone))
    morning = person.morning_at or USUAL_MORNING
    clock = local.time().replace(tzinfo=None)
    if morning < QUIET_FROM:
        return clock >= QUIET_FROM or clock < morning
    return QUIET_FROM <= clock < morning


def last_feed(culture: Culture) -> Deed | None:
    fed = [deed for deed in culture.feeds if isinstance(deed.act, Fed)]
    return fed[-1] if fed else None
