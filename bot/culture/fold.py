"""From journal to state: a person, their cultures, what is known of each. A pure fold.

``fold`` is total over any journal, and ``extend(fold(a), b)`` equals ``fold(a + b)``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeAlias, assert_never

from bot.culture.journal import (
    BakeDropped,
    BakePlanned,
    Began,
    Concluded,
    Ended,
    Entry,
    FlourSet,
    JarSet,
    KitchenSet,
    MethodChosen,
    MorningsSet,
    NextChosen,
    Paused,
    PeakCheckSet,
    Photographed,
    PhotosDropped,
    Prompted,
    QuestionAsked,
    QuestionClosed,
    Renamed,
    Reported,
    Resumed,
    Stopped,
    UnitsSet,
    Wrote,
    ZoneSet,
)
from bot.culture.state import (
    Bake,
    Conclusion,
    Culture,
    Deed,
    Dossier,
    Person,
    Photo,
    Sighting,
)
from bot.culture.vocabulary import Act, Binned, Fed, Moved, Started


def fold(person_key: str, entries: Iterable[Entry]) -> Dossier:
    """The state after these entries, which are one person's, in the order of their numbers."""
    journal = tuple(entries)
    final = _final_reports(journal)
    dossier = Dossier(person_key=person_key)
    for entry in journal:
        dossier = _after(dossier, entry, final)
    return replace(dossier, journal=journal)


def extend(dossier: Dossier, entries: Iterable[Entry]) -> Dossier:
    """The state after some more entries.

    A correction changes what an earlier entry meant, so it folds the whole journal again.
    """
    new = tuple(entries)
    journal = (*dossier.journal, *new)
    if any(isinstance(entry.event, Reported) and entry.event.replaces for entry in new):
        return fold(dossier.person_key, journal)
    for entry in new:
        dossier = _after(dossier, entry, {})
    return replace(dossier, journal=journal)


def _after(dossier: Dossier, entry: Entry, final: dict[int, Reported]) -> Dossier:
    """One entry more; ``final`` holds what corrected reports came to say, by their number."""
    event = entry.event
    match event:
        case Reported():
            if event.replaces is not None:
                return dossier
            return _with_report(dossier, entry, final.get(entry.number, event))
        case Began():
            assert entry.culture is not None
            begun = Culture(
                key=entry.culture,
                name=event.name,
                flour=event.flour,
                method=event.method,
                began_at=entry.at,
                started_at=event.started_at,
                jar_ml=event.jar_ml,
            )
            return replace(dossier, cultures=(*dossier.cultures, begun))
        case (
            Renamed() | MethodChosen() | JarSet() | Concluded() | NextChosen()
            | PeakCheckSet() | BakePlanned() | BakeDropped()
            | Photographed() | PhotosDropped() | Ended()
        ):  # fmt: skip
            return _with_culture(dossier, entry, lambda c: _culture_after(c, entry, event))
        case Prompted(prompt="peak-check"):
            return _with_culture(dossier, entry, lambda c: replace(c, peak_check_at=None))
        case Prompted(prompt="reminder"):
            return _with_culture(dossier, entry, _reminded)
        case Prompted(prompt="morning"):
            person = _person_after(dossier.person, entry, event)
            dossier = replace(dossier, person=person)
            return _with_culture(
                dossier, entry, lambda c: replace(c, mornings=(*c.mornings, event.local_day))
            )
        case _:
            return replace(dossier, person=_person_after(dossier.person, entry, event))


def _reminded(culture: Culture) -> Culture:
    if culture.bake is None:
        return culture
    return replace(culture, bake=replace(culture.bake, reminded=culture.bake.reminded + 1))


def _with_culture(dossier: Dossier, entry: Entry, change: Callable[[Culture], Culture]) -> Dossier:
    """The dossier with one culture changed; an entry about a culture never begun changes nothing."""
    return replace(
        dossier,
        cultures=tuple(
            change(culture) if culture.key == entry.culture else culture
            for culture in dossier.cultures
        ),
    )


def _final_reports(journal: tuple[Entry, ...]) -> dict[int, Reported]:
    """For each corrected report, by the number of the first one in its chain, the last correction."""
    first_of: dict[int, int] = {}
    final: dict[int, Reported] = {}
    for entry in journal:
        event = entry.event
        if isinstance(event, Reported) and event.replaces is not None:
            first = first_of.get(event.replaces, event.replaces)
            first_of[entry.number] = first
            final[first] = event
    return final


def _with_report(dossier: Dossier, entry: Entry, report: Reported) -> Dossier:
    person = dossier.person
    heat = report.signs.temperature
    if heat is not None and heat.of == "kitchen":
        person = replace(person, kitchen_c=heat.celsius, kitchen_since=entry.at, kitchen_told=True)
        dossier = replace(dossier, person=person)

    def told(culture: Culture) -> Culture:
        if heat is not None and heat.of == "starter":
            culture = replace(culture, starter_c=heat.celsius)
        if not report.signs.is_empty:
            seen = Sighting(
                at=entry.at, signs=report.signs, kitchen_c=person.kitchen_c, number=entry.number
            )
            culture = replace(culture, sightings=(*culture.sightings, seen))
        for act in report.acts:
            culture = _with_act(culture, entry, act)
        return culture

    return _with_culture(dossier, entry, told)


def _with_act(culture: Culture, entry: Entry, act: Act) -> Culture:
    told = act.at if isinstance(act, Fed | Started) else None
    at = min(told, entry.at) if told is not None else entry.at
    deed = Deed(at=at, told_at=entry.at, act=act, number=entry.number)
    culture = replace(culture, deeds=(*culture.deeds, deed))
    match act:
        case Started() | Fed():
            # The first feed of a jar that was never said to be mixed is its first mix.
            return replace(culture, started_at=culture.started_at or at)
        case Moved():
            return replace(culture, spot=act.to, spot_since=at)
        case Binned():
            return replace(culture, ended="binned", ended_at=at)
        case _:
            return culture


def _culture_after(
    culture: Culture,
    entry: Entry,
    event: Renamed
    | MethodChosen
    | JarSet
    | Concluded
    | NextChosen
    | PeakCheckSet
    | BakePlanned
    | BakeDropped
    | Photographed
    | PhotosDropped
    | Ended,
) -> Culture:
    match event:
        case Renamed():
            return replace(culture, name=event.name)
        case MethodChosen():
            return replace(culture, method=event.method)
        case JarSet():
            return replace(culture, jar_ml=event.jar_ml)
        case Concluded():
            said = Conclusion(
                at=entry.at,
                verdict=event.verdict,
                rules=event.rules,
                facts=event.facts,
                number=entry.number,
            )
            return replace(culture, conclusions=(*culture.conclusions, said))
        case NextChosen(choice="rest"):
            at = entry.at
            return replace(culture, chosen=event, chosen_at=at, spot="fridge", spot_since=at)
        case NextChosen():
            return replace(culture, chosen=event, chosen_at=entry.at)
        case PeakCheckSet():
            return replace(culture, peak_check_at=event.at)
        case BakePlanned():
            return replace(culture, bake=Bake(stages=event.stages, agreed=event.agreed))
        case BakeDropped():
            return replace(culture, bake=None)
        case Photographed():
            photo = Photo(at=event.sent_at, file=event.file, number=entry.number, album=event.album)
            return replace(culture, photos=(*culture.photos, photo))
        case PhotosDropped():
            kept = (photo for photo in culture.photos if photo.number not in event.numbers)
            return replace(culture, photos=tuple(kept))
        case Ended():
            return replace(culture, ended=event.reason, ended_at=entry.at)
        case _:
            assert_never(event)


_PersonEvent: TypeAlias = (
    ZoneSet | UnitsSet | KitchenSet | FlourSet | MorningsSet | QuestionAsked | QuestionClosed
    | Paused | Resumed | Stopped | Prompted | Wrote
)  # fmt: skip


def _person_after(person: Person, entry: Entry, event: _PersonEvent) -> Person:
    match event:
        case ZoneSet(until=None):
            return replace(person, zone=event.zone, home_zone=None, away_until=None)
        case ZoneSet():
            home = person.home_zone or person.zone
            return replace(person, zone=event.zone, home_zone=home, away_until=event.until)
        case UnitsSet():
            return replace(person, units=event.units)
        case KitchenSet():
            return replace(
                person, kitchen_c=event.celsius, kitchen_since=entry.at, kitchen_told=True
            )
        case FlourSet():
            return replace(person, flour=event.flour)
        case MorningsSet():
            return replace(person, morning_at=event.at)
        case QuestionAsked():
            return replace(person, waiting_for=event.question)
        case QuestionClosed():
            if person.waiting_for == event.question:
                return replace(person, waiting_for=None)
            return person
        case Paused():
            return replace(person, rest="paused", paused_until=event.until)
        case Resumed():
            return replace(person, rest="none", paused_until=None)
        case Stopped():
            return replace(person, rest="stopped", paused_until=None)
        case Prompted():
            if event.prompt == "morning":
                return replace(person, silent_mornings=person.silent_mornings + 1)
            return person
        case Wrote():
            return replace(person, silent_mornings=0, last_wrote_at=entry.at)
        case _:
            assert_never(event)
