"""One message or one prompt: load, decide, keep. What to say is the coach's, all of it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bot.culture.state import Dossier
from bot.delivery.ports import Inbound, Store
from bot.delivery.throttle import Heed, Throttle
from bot.delivery.trouble import LOG, whereabouts
from bot.errors import DatabaseAway
from bot.turn import Heard, Turn
from bot.voice.catalogue import say
from bot.voice.message import Message

MOST_OVERTAKEN = 20
"""Loads in vain before a turn counts as failed: only two that never yield come near it."""

LATER = timedelta(minutes=15)
"""A prompt that could not be made is tried again after this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coach:
    """The core's doors. Pure functions: they may be called again for the same message."""

    hear: Callable[[Dossier, Heard], Turn]
    speak: Callable[[Dossier, datetime], Turn | None]
    next_prompt_at: Callable[[Dossier, datetime], datetime | None]


class Desk:
    def __init__(self, store: Store, coach: Coach) -> None:
        self._store = store
        self._coach = coach
        self._throttle = Throttle()

    async def hear(self, inbound: Inbound, *, now: datetime) -> None:
        """Answer one update. Handling, journal and reply become durable together, once."""
        heed: Heed = "read"
        if not inbound.tries:
            heed = self._throttle.heed(inbound.chat, inbound.heard.at, inbound.key)
        if heed != "read":
            await self._only_say(
                inbound,
                said=() if heed == "quiet" else (_reply(say("delivery.too-many")),),
                now=now,
                cause=inbound.key,
            )
            return
        for _ in range(MOST_OVERTAKEN):
            talk = await self._store.conversation(inbound.chat)
            # In a thread, so that one slow message does not hold up other people's.
            turn = await asyncio.to_thread(self._coach.hear, talk.dossier, inbound.heard)
            kept = await self._store.keep(talk, turn, now=now, cause=inbound.key)
            if kept != "overtaken":
                return
        raise RuntimeError("overtaken again and again")

    async def apologise(self, inbound: Inbound, *, now: datetime) -> None:
        """One kind line for an update that was set aside."""
        await self._only_say(
            inbound,
            said=(_reply(say("delivery.set-aside")),),
            now=now,
            cause=f"{inbound.key}/aside",
        )

    async def _only_say(
        self, inbound: Inbound, *, said: tuple[Message, ...], now: datetime, cause: str
    ) -> None:
        """Answer without the coach: the journal and the next prompt stay as they are."""
        for _ in range(MOST_OVERTAKEN):
            talk = await self._store.conversation(inbound.chat)
            turn = Turn(messages=said, next_prompt_at=talk.next_prompt_at)
            if await self._store.keep(talk, turn, now=now, cause=cause) != "overtaken":
                return
        raise RuntimeError("overtaken again and again")

    async def speak(self, person: str, *, now: datetime) -> bool:
        """Make the person's due prompt and set the next one's instant; False when none was due."""
        for _ in range(MOST_OVERTAKEN):
            talk = await self._store.conversation(person)
            if talk.next_prompt_at is None or talk.next_prompt_at > now:
                return False
            turn = self._prompt(talk.dossier, now)
            cause = f"prompt:{talk.person_key}:{talk.next_prompt_at.isoformat()}#{talk.version}"
            kept = await self._store.keep(talk, turn, now=now, cause=cause)
            if kept != "overtaken":
                return kept == "kept"
        return False

    def _prompt(self, dossier: Dossier, now: datetime) -> Turn:
        """The coach's turn; a silent one always lies in the future, so that it is not asked again."""
        try:
            turn = self._coach.speak(dossier, now)
            if turn is None:
                turn = Turn(next_prompt_at=self._coach.next_prompt_at(dossier, now))
        except DatabaseAway:
            raise
        except Exception as wrong:  # noqa: BLE001 - one person's prompt must not stop the others'
            LOG.error("prompt-failed", extra={"action": "speak", "why": whereabouts(wrong)})
            return Turn(next_prompt_at=now + LATER)
        at = turn.next_prompt_at
        if not turn.messages and at is not None and at <= now:
            LOG.error("prompt-in-the-past", extra={"action": "speak", "why": at.isoformat()})
            return replace(turn, next_prompt_at=now + LATER)
        return turn


def _reply(text: str) -> Message:
    return Message(kind="reply", text=text)
