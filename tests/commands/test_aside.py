"""What was set aside can be seen, and handled once more."""

from __future__ import annotations

import asyncio
import io
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.commands.aside import run
from bot.delivery.ports import Inbound
from bot.errors import InputError
from bot.settings import Settings
from bot.turn import Said
from storage import open_store

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)


async def fail_three_times(url: str) -> None:
    store = await open_store(url)
    said = Said(text="secret words", at=NOW, message="tg:1:1")
    await store.receive([Inbound(key="tg:9", chat="tg:1", heard=said, received_at=NOW)])
    for _ in range(3):
        await store.take_inbound(now=NOW, claim_for=timedelta(seconds=1), limit=1)
        await store.fail_inbound("tg:9", now=NOW, why="ValueError", retry_at=NOW)
    await store.close()


def test_an_operator_sees_what_was_set_aside_without_anybody_s_words(tmp_path: Path) -> None:
    settings = Settings.from_environ({"JARSIDE_DATABASE_URL": f"sqlite:///{tmp_path}/j.db"})
    asyncio.run(fail_three_times(settings.database_url))
    paper = io.StringIO()

    assert run(settings, paper, again=None) == 0

    assert paper.getvalue() == "tg:9\ttg:1\t2026-03-02T08:00:00+00:00\tValueError\n"


def test_one_that_was_set_aside_can_be_handled_again_once(tmp_path: Path) -> None:
    settings = Settings.from_environ({"JARSIDE_DATABASE_URL": f"sqlite:///{tmp_path}/j.db"})
    asyncio.run(fail_three_times(settings.database_url))

    assert run(settings, io.StringIO(), again="tg:9") == 0

    with pytest.raises(InputError):
        run(settings, io.StringIO(), again="tg:9")
