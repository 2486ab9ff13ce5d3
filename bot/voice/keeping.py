"""A grown culture's morning in words: the week in the fridge, the revival after a long neglect."""

from __future__ import annotations

from datetime import date

from bot.culture.keeping import Keeping, keeping, revival
from bot.culture.state import Culture, Person
from bot.plan.keeping import RevivalProgress, standing
from bot.plan.reminders import USUAL_KITCHEN_C
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.quantities import feed

KEEP_G = 20.0


def fridge_message(
    culture: Culture, days: int, keeps: Keeping, local_day: date, person: Person
) -> Message:
    """What a jar in the cold wants after so many days."""
    units = person.units or "metric"
    kitchen_c = USUAL_KITCHEN_C if person.kitchen_c is None else person.kitchen_c
    every = f"{revival(keeps, kitchen_c).every_h:.0f}"
    meal = feed(KEEP_G, 2 * KEEP_G, 2 * KEEP_G, units)
    low, high = round(keeps.feeds.low), round(keeps.feeds.high)
    match keeps.action:
        case "leave" | "feed-now":
            text = say("keeping.fridge_week", feed=meal)
        case "feed-before-baking":
            text = say("keeping.fridge_fortnight", feed=meal)
        case "revive" | "feed-twice":
            text = say("keeping.fridge_revive", feed=meal, low=low, high=high, every=every)
        case "check-and-revive" | "check-and-cool":
            text = say("keeping.fridge_check", feed=meal, low=low, high=high, every=every)
        case "take-out":
            text = say("keeping.fridge_young", feed=meal)
        case "check-or-restart" | "thaw-and-revive" | "soak-and-feed":
            text = say("keeping.fridge_very_long")
    fed = Choice(
        label=say("morning.choice_fed"), key=f"say:fed:{culture.key}:{local_day.isoformat()}"
    )
    heading = say("keeping.heading", count=days, name=culture.name)
    return Message(kind="prompt", heading=heading, text=text, choices=(fed,))


def away_line(culture: Culture, days: int) -> str:
    """What to do with a jar before its keeper is away for so many days, and on the way back."""
    if standing(culture) == "growing":
        line = "keeping.away_young_short" if days <= 2 else "keeping.away_young"
        return say(line, name=culture.name)
    back = keeping("fridge", float(max(0, days))).feeds
    low, high = max(1, round(back.low)), max(1, round(back.high))
    return say("keeping.away", name=culture.name, low=low, high=high)


def revival_line(progress: RevivalProgress) -> str:
    """Where a revival stands, for a morning on the counter."""
    return say("keeping.revival", feed=progress.feed, low=progress.low, high=progress.high)
