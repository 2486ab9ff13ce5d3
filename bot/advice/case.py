"""What is to be judged, and what was concluded: the two values at the room's door."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bot.advice.answers import Answer
from bot.advice.facts import Facts
from bot.advice.rulebook import Rule
from bot.culture.journal import Reported
from bot.culture.state import Culture, Dossier
from bot.culture.vocabulary import Units, Verdict
from bot.reading.reading import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One message about one culture, at a moment of the person's own clock.

    ``dossier`` and ``culture`` already hold what the message reported. ``culture`` is None for
    somebody without a jar. ``text`` is what was written; left empty, it is the last report's text.
    """

    dossier: Dossier
    culture: Culture | None
    reading: Reading
    at: datetime
    text: str = ""

    @property
    def words(self) -> str:
        """What was written, as written; empty when only something was tapped."""
        if self.text or not self.dossier.journal:
            return self.text
        for entry in reversed(self.dossier.journal):
            if entry.at != self.at:
                break
            if isinstance(entry.event, Reported):
                return entry.event.text
        return ""

    @property
    def units(self) -> Units:
        return self.dossier.person.units or "metric"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What the coach concludes: one lead, a little beside it, at most one question back.

    ``verdict`` is the contract's word, None when the message is not about the state of a jar.
    ``rules`` are the ids of everything that speaks; ``reasons`` the facts that made it speak, in
    words ("day 4", "no bubbles"). ``question`` is the one fact wanted next, as a sentence.
    """

    verdict: Verdict | None
    rules: tuple[str, ...]
    reasons: tuple[str, ...]
    facts: Facts
    lead: Rule | None = None
    asides: tuple[Rule, ...] = ()
    answer: Answer | None = None
    question: str | None = None
