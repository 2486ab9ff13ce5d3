"""The photo diary over the Bot API: sent by phone, kept by name, fetched only to be drawn."""

from __future__ import annotations

import io
import logging
from collections.abc import AsyncIterator, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image

from bot.channels.telegram import photos
from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import Client
from bot.charts import paint_off_loop
from bot.voice.catalogue import say
from bot.voice.message import Message
from bot.voice.strip import Snapshot, Strip
from storage import open_store
from tests.bot_api.faults import Hangs, Resets
from tests.bot_api.people import Person
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi
from tests.channels.sending import send
from tests.channels.week import Kitchen, kitchen
from tests.charts.photos import jar_photo

MONDAY = datetime.fromisoformat("2026-03-02T18:00:00+01:00")
SET_UP = ("I want to start", "white", "21", "grams", "8, Oslo", "Juniper", "mixed it")


@pytest.fixture
async def home(sqlite_url: str) -> AsyncIterator[Kitchen]:
    store = await open_store(sqlite_url)
    async with kitchen(store, MONDAY) as home:
        for text in SET_UP:
            await home.says(text)
        yield home
    await store.close()


async def test_a_week_of_photos_comes_back_on_day_seven_as_one_picture_in_words_too(
    home: Kitchen, sqlite_url: str
) -> None:
    for day in range(2, 8):
        home.person.sends_photo(f"day-{day}", jar_photo())
        await home.heard()
        await home.at(datetime.fromisoformat(f"2026-03-{day + 1:02}T20:00:00+01:00"))

    strips = [
        one for one in home.person.received if "photos of Juniper, one of each day" in one.text
    ]
    assert len(strips) == 1
    assert strips[0].photo is not None
    assert Image.open(io.BytesIO(strips[0].photo)).size[0] == 1080
    assert "day 1 Mon 2 Mar" in strips[0].text
    assert home.api.calls.count("download") == 6
    stored = b"".join(file.read_bytes() for file in _files(sqlite_url))
    assert b"day-3" in stored
    assert b"JFIF" not in stored
    assert b"\x89PNG" not in stored


async def test_an_album_gets_one_answer_and_its_late_words_another(home: Kitchen) -> None:
    before = len(home.person.received)
    for name in ("a", "b"):
        home.person.sends_photo(name, jar_photo(), media_group_id="9")
    home.person.sends_photo("c", jar_photo(), media_group_id="9", caption="few bubbles, 21 C")
    await home.heard()

    kept, answer = home.person.received[before:]
    assert kept.text.startswith("In Juniper's diary, day 1.")
    assert "bubbles" in answer.text
    log = (await home.store.conversation("tg:77")).dossier
    assert [photo.file for photo in log.living[0].photos] == ["a", "b", "c"]


async def test_a_file_of_thirty_megabytes_is_refused_in_one_sentence(home: Kitchen) -> None:
    document = {"file_id": "d", "file_unique_id": "d", "file_size": 30_000_000}
    home.person.sends(document={**document, "mime_type": "image/jpeg"})
    await home.heard()

    assert home.person.last.text == say("photos.too_large")


STRIP = Strip(
    culture="c1",
    alt="2 photos of Juniper.",
    title="Juniper",
    subtitle="your photos",
    missing="gone",
    snapshots=tuple(Snapshot(file=name, day="day 1", date="Mon") for name in ("one", "two")),
)
SHOWN = Message(kind="reply", text="Your photos.", strip=STRIP)


@pytest.fixture
def shot(api: BotApi, ada: Person) -> Person:
    api.files |= {"one": jar_photo(), "two": jar_photo()}
    return ada


@pytest.mark.parametrize(
    "fault", [Refusal(500, "oh"), Resets(), Hangs()], ids=["500", "reset", "hang"]
)
async def test_a_photo_that_cannot_be_fetched_leaves_a_gap_and_holds_nothing_up(
    channel: TelegramChannel,
    api: BotApi,
    shot: Person,
    fault: Refusal | Resets | Hangs,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(photos, "FETCH_WITHIN_S", 1.0)
    api.faults.next("getFile", fault)

    await send(channel, SHOWN)

    assert shot.last.photo is not None
    assert shot.last.text == SHOWN.plain


async def test_a_service_that_has_forgotten_every_photo_is_said_in_words(
    channel: TelegramChannel, api: BotApi, shot: Person
) -> None:
    api.files.clear()

    await send(channel, SHOWN)

    assert shot.last.photo is None
    assert shot.last.text == say("photos.away", name="Juniper")


async def test_what_is_no_picture_after_all_leaves_a_gap(
    channel: TelegramChannel, api: BotApi, shot: Person
) -> None:
    api.files["two"] = b"%PDF-1.7 not a picture"

    await send(channel, SHOWN)

    assert shot.last.photo is not None


@pytest.fixture
def everything() -> Iterator[io.StringIO]:
    heard = io.StringIO()
    handler, root = logging.StreamHandler(heard), logging.getLogger()
    before = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield heard
    root.removeHandler(handler)
    root.setLevel(before)


async def test_the_token_in_a_files_address_reaches_no_log(
    client: Client, api: BotApi, shot: Person, everything: io.StringIO
) -> None:
    api.faults.next("download", Resets())

    await send(TelegramChannel(client.bot, paint_off_loop), SHOWN)

    assert "photo-not-fetched" in everything.getvalue()
    assert "a-token-of-the-tests" not in everything.getvalue()


def _files(url: str) -> list[Path]:
    """The database's file and those beside it."""
    path = Path(url.partition(":///")[2])
    return sorted(path.parent.glob(f"{path.name}*"))
