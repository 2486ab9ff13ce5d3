"""A person's own photos of one culture as one picture to be painted, with the same in words."""

from __future__ import annotations

from datetime import date

from babel.dates import format_date

from bot.culture.state import Culture, Dossier, Photo, day_of
from bot.plan.mornings import local_day_at
from bot.plan.zones import zone_info
from bot.voice.catalogue import say
from bot.voice.message import Kind, Message
from bot.voice.quantities import locale_of
from bot.voice.strip import Snapshot, Strip

MOST_DAYS = 7


def strip_message(dossier: Dossier, culture: Culture, *, kind: Kind = "reply") -> Message:
    """The strip with a line to go with it. The culture has at least one photo."""
    strip = photo_strip(dossier, culture)
    text = say("photos.strip", count=len(strip.snapshots), name=culture.name)
    return Message(kind=kind, text=text, strip=strip)


def photo_strip(dossier: Dossier, culture: Culture) -> Strip:
    """The last photo of each of the latest seven days that have one."""
    zone = zone_info(dossier.person.zone or "UTC")
    locale = locale_of(dossier.person.units or "metric")
    by_day: dict[date, Photo] = {}
    for photo in sorted(culture.photos, key=lambda photo: (photo.at, photo.number)):
        by_day[local_day_at(photo.at, zone)] = photo
    started = culture.started_at and local_day_at(culture.started_at, zone)
    snapshots = tuple(
        Snapshot(
            file=photo.file,
            day=say("photos.day", day=day_of(culture, day, started)) if started else "",
            date=format_date(day, "EEE d MMM", locale=locale),
        )
        for day, photo in list(by_day.items())[-MOST_DAYS:]
    )
    days = ", ".join(" ".join(filter(None, (one.day, one.date))) for one in snapshots)
    return Strip(
        culture=culture.key,
        alt=say("photos.alt", count=len(snapshots), name=culture.name, days=days),
        title=culture.name,
        subtitle=say("photos.subtitle"),
        missing=say("photos.missing"),
        snapshots=snapshots,
    )
