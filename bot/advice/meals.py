"""What is known of a jar's feeds: the last one, what it was made of, and how long none came."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.advice.case import Case
from bot.culture.state import Culture, Deed
from bot.culture.vocabulary import Fed, Flour, Skipped, Started
from bot.reading.recipe import recipe, told_span
from bot.reading.topics import topics

DAY = timedelta(days=1)
_CLEAR_RISE = 1.4
"""From here on a rise shows that there was a feed before it."""


def feed_before(case: Case) -> Deed | None:
    """The last feed that what is told can be about: not one reported in this very message.

    "Doubled, fed it" tells of the rise before that feed.
    """
    if case.culture is None:
        return None
    told_now = {
        deed.number
        for deed in case.culture.feeds
        if deed.told_at == case.at and deed.at >= case.at - timedelta(minutes=30)
    }
    earlier = [deed for deed in case.culture.feeds if deed.number not in told_now]
    implied = _implied_feed(case.culture, case.at)
    if implied is not None and (not earlier or earlier[-1].at < implied.at):
        return implied
    if earlier:
        return earlier[-1]
    if case.culture.started_at is not None and case.culture.started_at < case.at:
        return Deed(
            at=case.culture.started_at,
            told_at=case.culture.started_at,
            act=Started(),
            number=0,
        )
    return None


def _implied_feed(culture: Culture, at: datetime) -> Deed | None:
    """A rise told earlier had a feed before it, told or not."""
    rises = [seen for seen in culture.sightings if seen.signs.rise is not None and seen.at < at]
    if not rises or rises[-1].signs.rise is None or rises[-1].signs.rise.low < _CLEAR_RISE:
        return None
    fed_at = rises[-1].at - timedelta(hours=rises[-1].signs.hours or 0)
    return Deed(at=fed_at, told_at=rises[-1].at, act=Fed(), number=0)


def plausible_hours(hours: float | None) -> float | None:
    """Hours since the feed, unless that is so long that feeds in between went untold."""
    return hours if hours is not None and 0 < hours <= 30 else None


def flour_of(case: Case) -> Flour | None:
    if "rye-starter" in topics(case.words):
        return "rye"
    if case.culture is None:
        return case.dossier.person.flour
    for deed in reversed(case.culture.feeds):
        if isinstance(deed.act, Fed | Started) and deed.act.flours:
            return deed.act.flours[0]
    return case.culture.flour


def feed_told(case: Case) -> tuple[float | None, float | None]:
    """Wetness and size of the feed this message tells of, as an act or as a habit."""
    for act in reversed(case.reading.acts):
        if not isinstance(act, Fed | Started):
            continue
        if act.flour_g is not None and act.flour_g.middle > 0:
            flour = act.flour_g.middle
            water = None if act.water_g is None else act.water_g.middle / flour
            starter = act.starter_g.middle if act.starter_g is not None else 0.0
            size = flour / starter if starter > 0 else None
            if water is not None or size is not None:
                return water, size
        if act.ratio is not None and act.ratio[0] > 0 and act.ratio[1] > 0:
            return act.ratio[2] / act.ratio[1], act.ratio[1] / act.ratio[0]
    told = recipe(case.words)
    return told.wetness, told.size


def feeds_today(case: Case) -> int:
    if case.culture is None:
        return 0
    zone = case.at.tzinfo
    return sum(deed.at.astimezone(zone).date() == case.at.date() for deed in case.culture.feeds)


def days_in_fridge(case: Case) -> float | None:
    """By the journal, else as told: "found it in the fridge after 3 months"."""
    culture = case.culture
    if culture is not None and culture.spot == "fridge" and culture.spot_since is not None:
        return max((case.at - culture.spot_since) / DAY, 0.0)
    return told_span(case.words) if "fridge" in topics(case.words) else None


def skipped_days(case: Case, since: float | None) -> float | None:
    for act in case.reading.acts:
        if isinstance(act, Skipped):
            if act.days is not None:
                return act.days
            if act.feeds is not None:
                return act.feeds
            return told_span(case.words) or max(_unfed_days(case, since) or 1.0, 1.0)
    touched = topics(case.words)
    if ("back-from" in touched or "missed-feed" in touched) and "fridge" not in touched:
        span = told_span(case.words)
        if span is not None or "back-from" in touched:
            return span
    return _unfed_days(case, since) if "missed" in case.reading.asks else None


def _unfed_days(case: Case, since: float | None) -> float | None:
    """Days without food by the journal, as far as its keeper reports feeds at all."""
    if case.culture is None or since is None:
        return None
    if all(deed.told_at == case.at for deed in case.culture.feeds):
        return None
    return max(since / 24 - 1, 0.0)
