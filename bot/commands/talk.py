"""``jarside talk``: the whole bot in this terminal, on a SQLite file of its own.

The same store, desk and outbox as on the messaging service; only the channel and the clock differ.
"""

from __future__ import annotations

import asyncio
import os
import shutil
import signal
import sys
from collections.abc import AsyncIterator
from contextlib import suppress
from datetime import datetime, time, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import uuid4

from bot.assembly import opened, terminal_service
from bot.channels.moves import FARTHEST, is_next_morning, move_asked
from bot.channels.terminal import Terminal, look_of
from bot.charts import FOLDER as PICTURES
from bot.charts import write_off_loop
from bot.culture.state import Dossier
from bot.delivery.clock import ShiftedClock
from bot.delivery.ports import Inbound, Store
from bot.delivery.ticker import SystemClock
from bot.logs import log_to
from bot.plan.mornings import local_day_at, morning_instant
from bot.plan.zones import zone_info
from bot.settings import Settings, data_folder, sqlite_file, sqlite_url
from bot.turn import Edited, Heard, Said, Tapped
from bot.voice.catalogue import say

CHAT = "terminal:you"
FIRST_WORD = "hello"
"""Said for a newcomer, so that the bot greets them as it greets everybody."""
EDIT = "/edit"
LEAVE = {"/quit", "/exit"}
MORNING = time(8)
"""Where "next morning" goes for somebody who has not chosen their hour yet."""
LOOK_EVERY_S = 1.0
PATIENCE = timedelta(seconds=5)


def run(settings: Settings, *, file: Path | None, fresh: bool) -> int:
    """Talk until the person leaves. Returns the exit code 0.

    Raises DatabaseError when the file cannot be used.
    """
    told = "log_level" in settings.model_fields_set
    log_to(None, level=settings.log_level if told else "ERROR", secrets=())
    if fresh:
        with TemporaryDirectory(prefix="jarside-") as folder:
            forgotten = Path(folder)
            return asyncio.run(_talk(sqlite_url(forgotten / "talk.db"), None, forgotten))
    url = sqlite_url(file) if file is not None else talk_url(settings)
    return asyncio.run(_talk(url, sqlite_file(url), data_folder()))


def talk_url(settings: Settings) -> str:
    """Where a talk is kept when nobody says where.

    With a token set, the database is the messaging service's: its people's mornings must not follow
    a clock that is moved here.
    """
    told = "database_url" in settings.model_fields_set
    if told and settings.telegram_token is None and settings.database_url.startswith("sqlite"):
        return settings.database_url
    return sqlite_url(data_folder() / "talk.db")


async def _talk(url: str, kept_in: Path | None, folder: Path) -> int:
    """``folder`` is where pictures are kept."""
    store = await opened(url)
    try:
        talk = await Talk.resumed(store, folder / PICTURES)
        await talk.welcome(kept_in)
        lines = _typed(talk) if sys.stdin.isatty() and sys.stdout.isatty() else _piped(talk)
        async for line in lines:
            if line.strip().casefold() in LEAVE:
                break
            await talk.take(line)
        talk.terminal.show_note(say("terminal.goodbye"))
    finally:
        await store.close()
    return 0


class Talk:
    """One person at this terminal, and the clock they move."""

    def __init__(self, store: Store, dossier: Dossier, pictures: Path) -> None:
        self.clock = ShiftedClock(SystemClock())
        self._store = store
        self._dossier = dossier
        look = look_of(sys.stdout, os.environ, shutil.get_terminal_size().columns)
        self.terminal = Terminal(_write, look, self.wall, partial(write_off_loop, folder=pictures))
        self._service = terminal_service(store, self.terminal, self.clock)
        self._one_at_a_time = asyncio.Lock()
        self._last_said: str | None = None

    @classmethod
    async def resumed(cls, store: Store, pictures: Path) -> Talk:
        """The talk as it was left; its clock never stands before the last thing that happened."""
        dossier = (await store.conversation(CHAT)).dossier
        talk = cls(store, dossier, pictures)
        if dossier.journal:
            talk.clock.move_to(dossier.journal[-1].at)
        return talk

    def wall(self) -> datetime:
        """The time on the person's wall; on this machine's while their zone is not known."""
        zone = self._dossier.person.zone
        now = self.clock.now()
        return now.astimezone() if zone is None else now.astimezone(zone_info(zone))

    async def welcome(self, kept_in: Path | None) -> None:
        """How to use the terminal; then a newcomer is greeted, and asked nothing yet."""
        where = (
            say("terminal.kept_nowhere")
            if kept_in is None
            else say("terminal.kept_in", file=kept_in)
        )
        self.terminal.show_note(f"{say('terminal.welcome')}\n{where}\n")
        self.terminal.show_time()
        if self._dossier.journal:
            self.terminal.show_note(say("terminal.goes_on"))
            await self._settle()
        else:
            await self._hear(Said(text=FIRST_WORD, at=self.clock.now()))

    async def take(self, line: str) -> None:
        """One line as typed: a move of the clock, a tap, an edit, or words for the bot."""
        text = line.strip()
        far = move_asked(text)
        now = self.clock.now()
        tapped = self.terminal.tapped(text)
        if not text:
            return
        if is_next_morning(text):
            await self._move_to(self._next_morning(now))
        elif far is not None and far > FARTHEST:
            self.terminal.show_note(say("terminal.too_far", days=FARTHEST.days))
        elif far is not None:
            await self._move_to(now + far)
        elif tapped is not None:
            await self._hear(Tapped(key=tapped, at=now))
        elif text == EDIT or text.startswith(f"{EDIT} "):
            await self._edit(text.removeprefix(EDIT).strip(), now)
        else:
            self._last_said = f"terminal:{uuid4().hex}"
            await self._hear(Said(text=text, at=now, message=self._last_said))

    async def look(self) -> None:
        """What falls due while the person only watches comes by itself."""
        due = await self._store.next_due()
        if due is not None and due <= self.clock.now():
            await self._settle()

    async def _edit(self, text: str, now: datetime) -> None:
        if self._last_said is None or not text:
            self.terminal.show_note(say("terminal.nothing_to_edit"))
        else:
            await self._hear(Edited(text=text, at=now, message=self._last_said))

    async def _hear(self, heard: Heard) -> None:
        self.terminal.new_breath()
        inbound = Inbound(
            key=f"terminal:{uuid4().hex}", chat=CHAT, heard=heard, received_at=heard.at
        )
        await self._service.receive([inbound])
        await self._settle()
        # Only what failed is waiting now: it is tried again a moment later.
        while (due := await self._store.next_due()) and due <= self.clock.now() + PATIENCE:
            await self.clock.sleep_until(due)
            await self._settle()

    async def _move_to(self, at: datetime) -> None:
        """Let the time pass: what falls due on the way comes at its own time, in order."""
        self.terminal.new_breath()
        await self._settle(at)
        self.terminal.show_time()

    async def _settle(self, until: datetime | None = None) -> None:
        async with self._one_at_a_time:
            await self._service.settle(until)
            self._dossier = (await self._store.conversation(CHAT)).dossier

    def _next_morning(self, now: datetime) -> datetime:
        person = self._dossier.person
        zone = zone_info(person.zone) if person.zone is not None else now.astimezone().tzinfo
        assert zone is not None
        at = person.morning_at or MORNING
        today = local_day_at(now, zone)
        mornings = (morning_instant(today + timedelta(days=ahead), at, zone) for ahead in range(3))
        return next(morning for morning in mornings if morning > now)


async def _piped(talk: Talk) -> AsyncIterator[str]:
    """Lines of a file or a pipe, each shown before it is answered. Nothing else goes on meanwhile."""
    # The loop's own handler would only ask the loop to stop, which is waiting for a line.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    while line := sys.stdin.readline():
        if line.strip():
            talk.terminal.show_echo(line.strip())
        yield line


async def _typed(talk: Talk) -> AsyncIterator[str]:
    """Lines of a person at the screen, until they close it; the clock runs while they think."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.patch_stdout import patch_stdout

    session: PromptSession[str] = PromptSession()
    watch = asyncio.create_task(_watch(talk))
    try:
        with patch_stdout(raw=True), suppress(EOFError, KeyboardInterrupt):
            while True:
                yield await session.prompt_async(lambda: f"{talk.wall():%a %H:%M} > ")
    finally:
        watch.cancel()


async def _watch(talk: Talk) -> None:
    while True:
        await asyncio.sleep(LOOK_EVERY_S)
        await talk.look()


def _write(text: str) -> None:
    sys.stdout.write(text)
    sys.stdout.flush()
