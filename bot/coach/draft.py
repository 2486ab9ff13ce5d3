"""A turn in the making: entries are noted one by one, and the dossier is always up to date."""

from __future__ import annotations

from datetime import datetime

from bot.coach.waking import is_back, next_waking
from bot.culture.fold import extend
from bot.culture.journal import Entry, Event, ZoneSet
from bot.culture.state import Dossier
from bot.plan.zones import zone_info
from bot.turn import Turn
from bot.voice.message import Choice, Message


class Draft:
    """Lives for one ``hear`` or ``speak``; nothing outside ever sees it half done."""

    def __init__(self, dossier: Dossier, at: datetime) -> None:
        self.dossier = dossier
        self.at = at
        self.spoken_to: str | None = None
        """The key of the jar that the message opened with ("Ember: bake now")."""
        self._entries: list[Entry] = []
        self._messages: list[Message] = []

    @property
    def local_at(self) -> datetime:
        """The moment in the person's own zone; as it came when they never told one."""
        zone = self.dossier.person.zone
        return self.at if zone is None else self.at.astimezone(zone_info(zone))

    @property
    def is_empty(self) -> bool:
        return not self._entries and not self._messages

    def note(self, event: Event, culture: str | None = None) -> Entry:
        """Write one entry into the journal and fold it into the dossier."""
        entry = Entry(number=self.dossier.last_number + 1, at=self.at, event=event, culture=culture)
        self.dossier = extend(self.dossier, [entry])
        self._entries.append(entry)
        return entry

    def come_home(self) -> None:
        """Note the way back of somebody whose last day away has passed."""
        home = self.dossier.person.home_zone
        if home is not None and is_back(self.dossier, self.at):
            self.note(ZoneSet(zone=home))

    def say(self, *messages: Message) -> None:
        self._messages.extend(messages)

    def reply(self, text: str, *choices: Choice) -> None:
        """Say a plain answer, that judges nothing."""
        self.say(Message(kind="reply", text=text, choices=choices))

    def turn(self) -> Turn:
        return Turn(
            entries=tuple(self._entries),
            messages=tuple(self._messages),
            next_prompt_at=next_waking(self.dossier, self.at),
        )
