"""What a person said, tapped, sent or shared: one door, one path for each."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from bot.coach.baking import is_old_enough, plan
from bot.coach.beginning import ask_next, take_answer, take_place
from bot.coach.draft import Draft
from bot.coach.granting import grant
from bot.coach.passing_by import answer, how_to_ask
from bot.coach.photos import answer_photo, is_later_of_album, keep_photo
from bot.coach.reports import edit, is_danger, report, report_for, says_something, understand
from bot.coach.shelf import may_choose, meant, named, spoken_to
from bot.coach.tapping import tap
from bot.coach.waking import next_waking
from bot.culture.journal import Question, QuestionClosed, Wrote
from bot.culture.state import Dossier
from bot.culture.vocabulary import Ask
from bot.plan.zones import zone_called
from bot.reading.bakes import bake_wish
from bot.reading.reading import Reading
from bot.reading.wishes import (
    Choose,
    FlourWish,
    InZone,
    MorningsAt,
    No,
    Rename,
    Skip,
    UnitsWish,
    Wish,
    Yes,
    wish,
)
from bot.reading.wishes_within import wish_within
from bot.turn import Asked, Edited, Heard, Located, Said, Sent, Tapped, Turn
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message

PLANNING: frozenset[Ask] = frozenset(
    {"bake", "timing", "amounts", "next", "warmth", "cold", "other"}
)
"""What is asked about when a bake is planned."""


def hear(dossier: Dossier, heard: Heard) -> Turn:
    """What to keep and what to answer. Total: anything a channel can deliver gets a fitting turn."""
    if isinstance(heard, Asked):
        said = answer(heard) or how_to_ask(heard)
        return Turn(messages=(said,), next_prompt_at=next_waking(dossier, heard.at))
    draft = Draft(dossier, heard.at)
    draft.note(Wrote())
    draft.come_home()
    match heard:
        case Said():
            _hear_text(draft, heard.text, heard.message)
        case Edited():
            edit(draft, heard.text, heard.message)
        case Tapped():
            tap(draft, heard.key)
        case Located():
            take_place(draft, heard.latitude, heard.longitude)
        case Sent():
            _look_at(draft, heard)
        case _:
            assert_never(heard)
    return draft.turn()


def _hear_text(draft: Draft, text: str, message: str | None) -> None:
    if not text.strip():
        draft.reply(say("coach.empty"))
        return
    waiting = draft.dossier.person.waiting_for
    addressed, words = spoken_to(draft.dossier, text)
    wanted = wish(words, draft.local_at, zone_called)
    draft.spoken_to = None if addressed is None else addressed.key
    if isinstance(wanted, Choose):
        jar = meant(draft)
        # Of a jar that is not at the gate, the same words report where it stands.
        wanted = wanted if jar is not None and may_choose(jar) else None
    if wanted is not None and not (waiting is not None and _may_answer(wanted)):
        grant(draft, wanted)
        return
    within = None if waiting is not None else wish_within(text, draft.local_at, zone_called)
    if within is not None:
        grant(draft, within[0])
        text = within[1]
        if not says_something(understand(draft.dossier, draft, text)):
            return
    reading = understand(draft.dossier, draft, text)
    if waiting is not None and _take_as_answer(draft, waiting, text, reading):
        return
    bake = bake_wish(text, draft.local_at)
    if bake is not None and is_old_enough(draft) and _only_plans(reading):
        draft.say(plan(draft, bake, reading))
    elif says_something(reading):
        report(draft, text, reading, message=message)
    elif draft.dossier.living or waiting is not None:
        draft.reply(say("coach.nothing_understood"))
    else:
        draft.say(_greeting(draft.dossier))
    if waiting is not None and draft.dossier.person.waiting_for == waiting:
        ask_next(draft)


def _may_answer(wanted: Wish) -> bool:
    """Whether words that are a wish by themselves may be the answer to what was just asked."""
    return isinstance(
        wanted, Skip | Yes | No | MorningsAt | InZone | UnitsWish | FlourWish | Rename
    )


def _take_as_answer(draft: Draft, waiting: Question, text: str, reading: Reading) -> bool:
    """Take the text as the answer that was asked for; False when it plainly is something else."""
    if waiting == "which-culture":
        jar = named(draft.dossier, text.strip().strip(".!?"))
        if jar is None:
            draft.note(QuestionClosed(question=waiting))
            return False
        report_for(draft, jar.key)
        return True
    if _is_pressing(reading):
        return False
    return take_answer(draft, waiting, text, patient=says_something(reading))


def _is_pressing(reading: Reading) -> bool:
    """A question or a sign of danger is never taken for the answer to one of ours."""
    return bool(reading.asks or is_danger(reading))


def _only_plans(reading: Reading) -> bool:
    """Whether a message with a bake in it tells and asks of nothing else that wants an answer first."""
    seen = replace(reading.signs, temperature=None, rise=None, hours=None)
    return seen.is_empty and not reading.doubts and set(reading.asks) <= PLANNING


def _look_at(draft: Draft, sent: Sent) -> None:
    """A picture with words under it is heard as the words; a photo joins the diary besides."""
    if sent.what == "photo" and sent.file is not None:
        _look_at_photo(draft, sent, sent.file)
        return
    if sent.caption.strip():
        _hear_text(draft, sent.caption, sent.message)
        return
    match sent.what:
        case "photo":
            draft.reply(say("coach.sent_photo"))
        case "too-large":
            draft.reply(say("photos.too_large"))
        case "voice" | "video":
            draft.reply(say("coach.sent_voice"))
        case "sticker":
            draft.reply(say("coach.sent_sticker"))
        case "document":
            draft.reply(say("coach.sent_document"))
        case "contact" | "other":
            draft.reply(say("coach.sent_other"))
        case _:
            assert_never(sent.what)


def _look_at_photo(draft: Draft, sent: Sent, file: str) -> None:
    """One answer to an album; words under any of its pictures are heard."""
    caption = understand(draft.dossier, draft, sent.caption)
    is_answered = is_later_of_album(draft.dossier, sent)
    keep_photo(draft, sent, file, caption)
    if _means_something(draft, sent.caption, caption):
        _hear_text(draft, sent.caption, sent.message)
    elif not is_answered:
        waiting = draft.dossier.person.waiting_for
        answer_photo(draft)
        if waiting is not None:
            ask_next(draft)


def _means_something(draft: Draft, text: str, reading: Reading) -> bool:
    """Whether words under a photo are more than its title."""
    return says_something(reading) or any(
        found is not None
        for found in (
            wish(text, draft.local_at, zone_called),
            wish_within(text, draft.local_at, zone_called),
            bake_wish(text, draft.local_at),
        )
    )


def _greeting(dossier: Dossier) -> Message:
    line = "coach.greeting_again" if len(dossier.journal) > 1 else "coach.greeting"
    begin = Choice(label=say("coach.choice_begin"), key="begin")
    return Message(kind="reply", text=say(line), choices=(begin,))
