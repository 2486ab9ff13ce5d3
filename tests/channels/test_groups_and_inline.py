"""Asked where others read along: one answer to the question, and nobody's log."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime, timedelta

import pytest
from telegram import InlineQuery, User

from bot.channels.telegram.client import Client, new_client
from bot.channels.telegram.inline import CACHED_S, MOST_AT_ONCE, Inline
from bot.channels.telegram.poller import Poller
from bot.channels.telegram.webhook import Hook, Webhook
from bot.channels.web import Address
from bot.voice.catalogue import say
from storage import open_store
from tests.bot_api.faults import Hangs
from tests.bot_api.people import Group, Person
from tests.bot_api.pusher import push
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.channels.conftest import QUICK, Kept
from tests.channels.week import Kitchen, kitchen

MONDAY = datetime.fromisoformat("2026-03-02T08:00:00+01:00")
ASKER = User(5, "Ben", is_bot=False)
SECRETS = ("Juniper", "notebook", "1:3:3")


@pytest.fixture
async def home(sqlite_url: str) -> AsyncIterator[Kitchen]:
    """Ada, whose jar and whose words are her own affair."""
    store = await open_store(sqlite_url)
    async with kitchen(store, MONDAY) as home:
        for text in ("I want to start", "rye", "19", "grams", "8, Oslo", "Juniper", "mixed it"):
            await home.says(text)
        await home.says("the blue notebook says doubled after a feed 1:3:3, hooch on top")
        yield home
    await store.close()


@asynccontextmanager
async def webhook(api: BotApi, kept: Kept, *, sets_it: bool) -> AsyncIterator[Client]:
    """A process that listens; ``sets_it``: it is also the one that has itself called."""
    at = Address(host="127.0.0.1", port=0).bind()
    host, port = at.getsockname()
    async with serving(api) as service:
        client = new_client(api.token, service)
        hook = Hook(public_url=f"http://{host}:{port}", at=at)
        receiver = Webhook(client, token=api.token, hook=hook, clock=api.clock, patience=QUICK)
        async with receiver.receiving(kept.receive):
            work = asyncio.create_task(receiver.run(kept.receive)) if sets_it else None
            yield client
            if work is not None:
                work.cancel()
                await asyncio.gather(work, return_exceptions=True)
        await client.bot.shutdown()


@pytest.fixture
def group(home: Kitchen) -> Group:
    return Group(home.api, -500, "supergroup")


async def test_addressed_in_a_group_it_answers_that_message_without_choices(
    home: Kitchen, group: Group
) -> None:
    group.somebody_writes("what a day")
    group.somebody_writes("@jarside_test_bot there is fuzzy green mould on top")
    group.somebody_writes("and the weather!")
    await home.heard()

    (answer,) = group.received
    assert "mould" in answer.text.lower()
    assert "throw" in answer.text.lower()
    assert answer.reply_to == 2
    assert answer.rows == ()


@pytest.mark.parametrize(
    "text",
    ["/why@jarside_test_bot", "/week@jarside_test_bot", "@jarside_test_bot photos of Juniper"],
)
async def test_even_her_own_question_in_a_group_shows_nothing_of_a_persons_log(
    home: Kitchen, group: Group, text: str
) -> None:
    group.somebody_writes(text)
    await home.heard()

    (answer,) = group.received
    assert not any(secret in answer.text for secret in SECRETS)
    assert answer.photo is None


async def test_a_reply_to_the_bot_is_a_question_to_it(home: Kitchen, group: Group) -> None:
    group.somebody_writes("/help@jarside_test_bot")
    await home.heard()
    group.somebody_writes("grey liquid on top, is that bad?", in_reply_to=group.received[0])
    await home.heard()

    how, answer = group.received
    assert how.text == say("passing_by.how")
    assert "harmless" in answer.text


async def test_what_is_asked_in_a_group_joins_no_journal_and_no_morning_follows(
    home: Kitchen, group: Group
) -> None:
    log = await home.logged()
    group.somebody_writes("@jarside_test_bot doubled in 6 hours, 21 C, fed it 1:1:1")
    group.somebody_writes("@jarside_test_bot I want to start")
    await home.heard()
    said = len(group.received)
    assert await home.logged() == log

    await home.at(home.clock.now() + timedelta(days=3))

    assert len(group.received) == said == 2
    assert (await home.store.conversation("tg:-500")).dossier.journal == ()


async def test_an_inline_question_is_answered_at_once_for_anybody_and_kept_nowhere(
    home: Kitchen,
) -> None:
    log = await home.logged()
    home.person.asks_inline("grey liquid on top, normal? <b>&")
    await home.api.until(lambda: home.api.inline != [])

    (answer,) = home.api.inline
    (article,) = answer.articles
    assert article.title == say("passing_by.inline_title")
    assert article.text.startswith("grey liquid on top, normal? <b>&\n")
    assert article.description in article.text
    assert "harmless" in article.text
    assert not any(secret in article.text for secret in SECRETS)
    assert answer.cache_s == CACHED_S
    assert not answer.is_personal
    assert await home.logged() == log


@pytest.mark.parametrize("query", ["", "   ", "qwerty uiop", "today", "\ud800"])
async def test_an_inline_question_that_cannot_be_answered_tells_how_to_ask(
    api: BotApi, ada: Person, polling: Poller, query: str
) -> None:
    await api.until(lambda: api.inbox.polls > 0)
    ada.asks_inline(query)
    await api.until(lambda: api.inline != [])

    (article,) = api.inline[0].articles
    assert article.title == say("passing_by.inline_how_title")
    assert article.text == say("passing_by.how")


async def test_a_service_that_hangs_on_an_inline_answer_holds_nothing_up(
    api: BotApi, ada: Person, polling: Poller, kept: Kept
) -> None:
    api.faults.next("answerInlineQuery", Hangs())
    await api.until(lambda: api.inbox.polls > 0)
    ada.asks_inline("hooch?")
    ada.writes("doubled")

    assert [one.heard.kind for one in await kept.until(1)] == ["said"]


async def test_more_questions_than_can_be_answered_at_once_wait_for_their_next_letter(
    client: Client,
) -> None:
    inline = Inline(client.bot)
    queries = [InlineQuery(str(n), ASKER, "hooch?", "") for n in range(MOST_AT_ONCE + 8)]

    found = await asyncio.gather(*(inline.as_method(one, now=MONDAY) for one in queries))

    assert [one is None for one in found] == [False] * MOST_AT_ONCE + [True] * 8
    assert await inline.as_method(queries[-1], now=MONDAY) is not None


async def test_by_webhook_an_inline_question_is_answered_in_the_answer_to_the_call(
    api: BotApi, ada: Person, kept: Kept
) -> None:
    async with webhook(api, kept, sets_it=True):
        await api.until(lambda: api.webhook is not None and api.commands != [])
        ada.asks_inline("grey liquid on top, normal?")
        pushing = asyncio.create_task(push(api))
        await api.until(lambda: api.inline != [])
        pushing.cancel()

    assert "harmless" in api.inline[0].articles[0].text
    assert kept.all == []


async def test_a_process_that_only_receives_knows_its_name_in_groups(
    api: BotApi, kept: Kept
) -> None:
    async with webhook(api, kept, sets_it=False) as client:
        await api.until(lambda: "getMe" in api.calls)
        async with asyncio.timeout(10):
            while client.username is None:  # noqa: ASYNC110 - the library has no event for it
                await asyncio.sleep(0.01)

    assert client.username == api.username
