"""What a person wants of the bot itself, done."""

from __future__ import annotations

from typing import assert_never

from bot.coach.beginning import begin, close
from bot.coach.draft import Draft
from bot.coach.hours import go_away, move_mornings, move_zone, pause, resume
from bot.coach.jars import (
    choose_method,
    choose_next,
    count_flour,
    rename,
    retire,
    set_jar,
    show_today,
    split,
    take_as_done,
    with_jar,
)
from bot.coach.photos import show_photos
from bot.coach.reminding import set_peak_check
from bot.coach.showing import show_week
from bot.culture.journal import (
    Concluded,
    Entry,
    FlourSet,
    Stopped,
    UnitsSet,
)
from bot.culture.state import Conclusion
from bot.reading.wanted import ShowPhotos
from bot.reading.wishes import (
    AskAtPeak,
    Away,
    Begin,
    Choose,
    CountFlour,
    Done,
    FlourWish,
    Help,
    InZone,
    JarIs,
    MethodWish,
    MorningsAt,
    No,
    Pause,
    Rename,
    Resume,
    Retire,
    Show,
    Skip,
    Split,
    Stop,
    Thanks,
    Today,
    UnitsWish,
    Why,
    Wish,
    Yes,
)
from bot.voice.catalogue import say
from bot.voice.why import why


def grant(draft: Draft, wanted: Wish) -> None:
    """Do it and say so in one message."""
    match wanted:
        case Stop():
            draft.note(Stopped())
            draft.reply(say("coach.stopped"))
        case Pause():
            pause(draft, wanted)
        case Resume():
            resume(draft)
        case MorningsAt():
            move_mornings(draft, wanted.at)
        case InZone():
            move_zone(draft, wanted)
        case Why():
            said = [e for e in draft.dossier.journal if isinstance(e.event, Concluded)]
            if said:
                explain(draft, said[-1])
            else:
                draft.reply(say("coach.no_reason_yet"))
        case Today():
            show_today(draft)
        case Show():
            show_week(draft, wanted)
        case ShowPhotos():
            show_photos(draft, wanted.name)
        case Help():
            draft.reply(say("coach.help"))
        case Begin():
            begin(draft, wanted.name)
        case Rename():
            rename(draft, wanted)
        case UnitsWish():
            draft.note(UnitsSet(units=wanted.units))
            draft.reply(say("coach.units_now", units=say(f"coach.units_{wanted.units}")))
        case FlourWish():
            draft.note(FlourSet(flour=wanted.flour))
            draft.reply(say("coach.flour_now", flour=say(f"coach.flour_{wanted.flour}")))
        case JarIs():
            set_jar(draft, wanted.jar_ml)
        case MethodWish():
            with_jar(draft, lambda jar: choose_method(draft, jar, wanted.method))
        case Skip() | No():
            close(draft)
            draft.reply(say("coach.left_as_it_is"))
        case Done():
            take_as_done(draft)
        case Away():
            go_away(draft, wanted)
        case Split():
            split(draft, wanted)
        case Retire():
            retire(draft, wanted)
        case Choose():
            with_jar(draft, lambda jar: choose_next(draft, jar, wanted.choice))
        case CountFlour():
            with_jar(draft, lambda jar: count_flour(draft, jar))
        case Thanks():
            draft.reply(say("coach.thanks", vary=draft.dossier.last_number))
        case AskAtPeak():
            with_jar(draft, lambda jar: set_peak_check(draft, jar))
        case Yes():
            draft.reply(say("coach.yes_to_what"))
        case _:
            assert_never(wanted)


def explain(draft: Draft, entry: Entry) -> None:
    """The facts, the rule and the source of something concluded earlier."""
    said = entry.event
    assert isinstance(said, Concluded)
    draft.say(
        why(
            Conclusion(
                at=entry.at,
                verdict=said.verdict,
                rules=said.rules,
                facts=said.facts,
                number=entry.number,
            )
        )
    )
