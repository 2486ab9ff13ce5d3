"""Photos join the diary of their day and their jar. Nothing is ever read off them."""

from __future__ import annotations

from dataclasses import replace

from bot.coach.draft import Draft
from bot.coach.shelf import (
    STILL_TALKING,
    Everyone,
    addressed,
    last_spoken_of,
    named,
    waiting_for_a_jar,
)
from bot.coach.speaking import condemned_choices, was_condemned
from bot.culture.journal import Photographed, PhotosDropped, QuestionAsked, QuestionClosed
from bot.culture.state import Culture, Dossier, Photo, day_of
from bot.plan.mornings import local_day_at
from bot.plan.zones import zone_info
from bot.reading.reading import Reading
from bot.turn import Sent
from bot.voice.catalogue import say
from bot.voice.message import Choice
from bot.voice.photo_strip import strip_message


def keep_photo(draft: Draft, sent: Sent, file: str, caption: Reading) -> None:
    """Put it into the diary of the jar it is of; with several jars and no word of which, keep it
    waiting; with none, let it go."""
    event = Photographed(file=file, sent_at=draft.at, album=sent.album)
    jars = _jars_of(draft, sent, caption)
    for jar in jars:
        draft.note(event, jar.key)
    if not jars and draft.dossier.living:
        draft.note(event)
    elif jars and sent.album is not None:
        _take_in(draft, jars[0].key, album=sent.album)


def is_later_of_album(dossier: Dossier, sent: Sent) -> bool:
    """Whether a picture of the same album came before: it has been answered already."""
    return sent.album is not None and any(
        isinstance(entry.event, Photographed) and entry.event.album == sent.album
        for entry in dossier.journal
    )


def answer_photo(draft: Draft) -> None:
    """Say where the photo just kept went, or ask whose it is."""
    entry = draft.dossier.journal[-1]
    if not draft.dossier.living:
        begin = Choice(label=say("coach.choice_begin"), key="begin")
        draft.reply(f"{say('photos.no_jar')}\n\n{say('coach.sent_photo')}", begin)
    elif entry.culture is None:
        draft.note(QuestionAsked(question="which-culture"))
        choices = (Choice(label=jar.name, key=f"which:{jar.key}") for jar in draft.dossier.living)
        draft.reply(say("photos.which"), *choices)
    else:
        answer_kept(draft, draft.dossier.culture(entry.culture))


def answer_kept(draft: Draft, jar: Culture) -> None:
    """Where the newest photo of that jar went; for a jar to be thrown away, that comes first."""
    if was_condemned(jar):
        draft.reply(say("coach.after_discard"), *condemned_choices(jar))
        return
    photo = jar.photos[-1]
    zone = zone_info(draft.dossier.person.zone or "UTC")
    if jar.started_at is None:
        kept = say("photos.kept_before_mix", name=jar.name)
    else:
        day = day_of(jar, local_day_at(photo.at, zone), local_day_at(jar.started_at, zone))
        kept = say("photos.kept", name=jar.name, day=day)
    first = len(_together(jar, photo)) == len(jar.photos)
    words = say("coach.sent_photo") if first else say("photos.in_words")
    drop = Choice(label=say("photos.choice_drop"), key=f"unphoto:{photo.number}")
    draft.reply(f"{kept}\n\n{words}", drop)


def claim_photos(draft: Draft, key: str) -> bool:
    """The photos that waited to be told their jar belong to this one. False: there were none."""
    return _take_in(draft, key, album=None)


def drop_photo(draft: Draft, number: int) -> bool:
    """Take a photo, and those sent together with it, out of the diary. False: it is not in any."""
    for jar in draft.dossier.living:
        for photo in jar.photos:
            if photo.number == number:
                numbers = tuple(one.number for one in _together(jar, photo))
                draft.note(PhotosDropped(numbers=numbers), jar.key)
                return True
    return False


def show_photos(draft: Draft, name: str | None) -> None:
    """A picture of each jar's photos by day, or of the jar of that name."""
    living = draft.dossier.living
    if not living:
        draft.reply(say("photos.no_jar"), Choice(label=say("coach.choice_begin"), key="begin"))
        return
    wanted = None if name is None else named(draft.dossier, name)
    if name is not None and wanted is None:
        names = ", ".join(jar.name for jar in living)
        draft.reply(say("chart.no_such_jar", name=name, names=names))
        return
    shown = living if wanted is None else (wanted,)
    if not any(jar.photos for jar in shown):
        draft.reply(say("photos.none", name=shown[0].name if len(shown) == 1 else living[0].name))
        return
    for jar in shown:
        if jar.photos:
            message = strip_message(draft.dossier, jar)
            if was_condemned(jar):
                choices = condemned_choices(jar)
                message = replace(message, text=say("coach.after_discard"), choices=choices)
            draft.say(message)


def _jars_of(draft: Draft, sent: Sent, caption: Reading) -> tuple[Culture, ...]:
    """Whose photo it is: of the only jar, the jar that its words name, that of the rest of its album,
    or the one being spoken of."""
    dossier, said = draft.dossier, sent.caption.strip()
    if len(dossier.living) <= 1:
        return dossier.living
    if (bare := named(dossier, said.strip(" .!?"))) is not None:
        return (bare,)
    about = addressed(dossier, said, caption, draft.at) if said else None
    if isinstance(about, Everyone):
        return about.jars
    if isinstance(about, Culture) and about.name == caption.about:
        return (about,)
    for jar in dossier.living:
        if sent.album is not None and any(photo.album == sent.album for photo in jar.photos):
            return (jar,)
    recent = last_spoken_of(dossier, since=draft.at - STILL_TALKING)
    return () if recent is None else (recent,)


def _take_in(draft: Draft, key: str, *, album: str | None) -> bool:
    """Give waiting photos to that jar: those of one album, or all. Nothing waits on: no question."""
    waiting = waiting_for_a_jar(draft.dossier)
    photos = [
        entry.event
        for entry in waiting
        if isinstance(entry.event, Photographed) and album in (None, entry.event.album)
    ]
    for photo in photos:
        draft.note(photo, key)
    is_asked = draft.dossier.person.waiting_for == "which-culture"
    if photos and len(photos) == len(waiting) and is_asked:
        draft.note(QuestionClosed(question="which-culture"))
    return bool(photos)


def _together(jar: Culture, photo: Photo) -> tuple[Photo, ...]:
    """The photo and those of its album."""
    if photo.album is None:
        return (photo,)
    return tuple(one for one in jar.photos if one.album == photo.album)
