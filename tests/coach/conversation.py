"""A conversation with the coach, line by line, on a clock that the test moves."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from bot.coach import hear, next_prompt_at, speak
from bot.culture.fold import extend, fold
from bot.culture.journal import (
    Began,
    Entry,
    Event,
    FlourSet,
    KitchenSet,
    MorningsSet,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Dossier
from bot.turn import Edited, Heard, Located, Said, Sent, Tapped
from bot.voice.message import Message


class Chat:
    """One person's talk with the bot. Every method returns what the bot said to it."""

    def __init__(self, at: str, dossier: Dossier | None = None) -> None:
        self.now = datetime.fromisoformat(at)
        self.dossier = dossier or Dossier(person_key="p")
        self._count = 0

    def says(self, text: str, *, after: timedelta = timedelta(minutes=1)) -> list[Message]:
        """Write after some time; what falls due meanwhile is said, and not returned."""
        self.waits_until((self.now + after).isoformat())
        self._count += 1
        return self._hears(Said(text=text, at=self.now, message=f"m{self._count}"))

    def edits(self, number: int, text: str) -> list[Message]:
        self.now += timedelta(minutes=1)
        return self._hears(Edited(text=text, at=self.now, message=f"m{number}"))

    def taps(self, label: str, of: Message) -> list[Message]:
        """Tap the choice of that label on that message."""
        (key,) = [choice.key for choice in of.choices if choice.label == label]
        return self.taps_key(key)

    def taps_key(self, key: str) -> list[Message]:
        self.now += timedelta(minutes=1)
        return self._hears(Tapped(key=key, at=self.now))

    def shares_place(self, latitude: float, longitude: float) -> list[Message]:
        return self._hears(Located(latitude=latitude, longitude=longitude, at=self.now))

    def sends(self, sent: Sent) -> list[Message]:
        return self._hears(sent)

    def waits_until(self, at: str) -> list[Message]:
        """Let the time pass; everything due is said at its own moment."""
        until = datetime.fromisoformat(at)
        said: list[Message] = []
        while (due := next_prompt_at(self.dossier, self.now)) is not None and due <= until:
            turn = speak(self.dossier, due)
            assert turn is not None, "a prompt was due and nothing was said"
            self.dossier = extend(self.dossier, turn.entries)
            self.now = max(self.now, due)
            said.extend(turn.messages)
        self.now = until
        return said

    def _hears(self, heard: Heard) -> list[Message]:
        turn = hear(self.dossier, heard)
        self.dossier = extend(self.dossier, turn.entries)
        assert turn.next_prompt_at == next_prompt_at(self.dossier, self.now)
        return list(turn.messages)


def keeper(
    at: str,
    *,
    zone: str = "Europe/Oslo",
    jars: dict[str, str | None] | None = None,
    kitchen_c: float | None = 21.0,
) -> Chat:
    """Somebody who answered the first questions at ``at``; ``jars`` maps names to first mixes."""
    events: list[tuple[Event, str | None]] = [
        (ZoneSet(zone=zone), None),
        (UnitsSet(units="metric"), None),
        (KitchenSet(celsius=kitchen_c), None),
        (FlourSet(flour="white"), None),
        (MorningsSet(at=time(8)), None),
    ]
    for index, (name, started) in enumerate((jars or {"Biscuit": at}).items(), 1):
        mixed = None if started is None else datetime.fromisoformat(started)
        began = Began(name=name, flour="white", method="full", started_at=mixed)
        events.append((began, f"c{index}"))
    moment = datetime.fromisoformat(at)
    journal = [
        Entry(number=number, at=moment, event=event, culture=key)
        for number, (event, key) in enumerate(events, 1)
    ]
    return Chat(at, fold("p", journal))
