"""A choice was tapped. Every key a message ever carried is understood, or answered as stale."""

from __future__ import annotations

from bot.coach.beginning import begin, take_answer
from bot.coach.draft import Draft
from bot.coach.granting import explain, grant
from bot.coach.jars import choose_method, choose_next
from bot.coach.photos import drop_photo
from bot.coach.reminding import remind_of_bake, set_peak_check
from bot.coach.reports import forget, report, report_for, understand
from bot.culture.journal import Concluded, Reported
from bot.culture.state import Culture
from bot.culture.vocabulary import Binned
from bot.plan.mornings import local_day_at
from bot.plan.zones import zone_info
from bot.reading.wanted import Done
from bot.voice.catalogue import lines, say
from bot.voice.message import Choice


def tap(draft: Draft, key: str) -> None:
    """Do what the choice says; a key of another day, another jar or no meaning changes nothing."""
    match key.split(":"):
        case ["begin"]:
            begin(draft, None)
        case ["q", question, *_] if question == draft.dossier.person.waiting_for:
            take_answer(draft, question, key, patient=False)
        case ["say", what, jar, day]:
            _say_for(draft, what, jar, day)
        case ["which", jar] if draft.dossier.person.waiting_for == "which-culture":
            report_for(draft, jar)
        case ["fix", number] if number.isdecimal():
            undo = Choice(label=say("coach.choice_forget"), key=f"undo:{number}")
            draft.reply(say("coach.fix_how"), undo)
        case ["undo", number] if number.isdecimal() and forget(draft, int(number)):
            draft.reply(say("coach.forgotten"))
        case ["unphoto", number] if number.isdecimal() and drop_photo(draft, int(number)):
            draft.reply(say("photos.dropped"))
        case ["why", number] if number.isdecimal():
            _explain_entry(draft, int(number))
        case ["binned", jar] if _living(draft, jar) is not None:
            draft.note(Reported(text=say("coach.choice_binned"), acts=(Binned(),)), jar)
            again = Choice(label=say("coach.choice_again"), key=f"again:{jar}")
            draft.reply(say("coach.binned"), again)
        case ["again", jar]:
            _start_again(draft, jar)
        case ["next", ("bake" | "rest" | "counter") as choice, jar]:
            found = _living(draft, jar)
            if found is None:
                _stale(draft)
            else:
                choose_next(draft, found, choice)
        case ["peak", jar, _] if _living(draft, jar) is not None:
            set_peak_check(draft, draft.dossier.culture(jar))
        case ["remind", jar] if _living(draft, jar) is not None:
            remind_of_bake(draft, draft.dossier.culture(jar))
        case ["method", method, jar] if _living(draft, jar) is not None:
            choose_method(draft, draft.dossier.culture(jar), method)
        case _:
            _stale(draft)


def _say_for(draft: Draft, what: str, key: str, day: str) -> None:
    """A morning's quick answer is the report that its words would be, on its own day only."""
    zone = draft.dossier.person.zone
    line = f"morning.choice_{what.replace('-', '_')}"
    jar = _living(draft, key)
    if jar is None or zone is None or line not in lines():
        _stale(draft)
        return
    if what == "mixed" and jar.started_at is None:
        # Whenever it is tapped: the first mix has no day of its own.
        draft.spoken_to = jar.key
        grant(draft, Done())
        return
    if day != local_day_at(draft.at, zone_info(zone)).isoformat():
        _stale(draft)
        return
    text = say(line)
    names = text if len(draft.dossier.living) == 1 else f"{jar.name}: {text}"
    report(draft, text, understand(draft.dossier, draft, names), message=None)


def _start_again(draft: Draft, key: str) -> None:
    """The old jar is gone when a new one takes its place."""
    if (old := _living(draft, key)) is not None:
        draft.note(Reported(text=say("coach.choice_again"), acts=(Binned(),)), old.key)
    begin(draft, None)


def _explain_entry(draft: Draft, number: int) -> None:
    for entry in draft.dossier.journal:
        if entry.number == number and isinstance(entry.event, Concluded):
            explain(draft, entry)
            return
    _stale(draft)


def _living(draft: Draft, key: str) -> Culture | None:
    return next((jar for jar in draft.dossier.living if jar.key == key), None)


def _stale(draft: Draft) -> None:
    draft.reply(say("coach.stale_tap"))
