"""What is done with is let go of in the end; the journal, and what still waits, never is."""

from __future__ import annotations

from datetime import timedelta

from bot.delivery.ports import Receipt
from storage.store import SqlStore
from tests.post import CLAIM, MONDAY, UNPACED, inbound, keep

LATER = MONDAY + timedelta(days=31)


async def test_old_updates_and_messages_go_and_the_journal_stays(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    await keep(store, cause="u:1")
    (outgoing,) = await store.take_outgoing(now=MONDAY, claim_for=CLAIM, limit=9, pace=UNPACED)
    await store.sent(outgoing, Receipt(message="1"), now=MONDAY, pace=UNPACED)

    assert await store.tidy(now=LATER) == 2

    assert (await store.conversation("ada")).dossier.last_number == 1


async def test_what_still_waits_is_kept_however_old(store: SqlStore) -> None:
    await store.receive([inbound(1), inbound(2, chat="ben")])
    await keep(store, cause="u:1")

    await store.tidy(now=LATER)

    taken = await store.take_inbound(now=LATER, claim_for=CLAIM, limit=9)
    assert [one.key for one in taken] == ["u:2"]
    assert await store.take_outgoing(now=LATER, claim_for=CLAIM, limit=9, pace=UNPACED)


async def test_what_is_fresh_is_kept(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    await keep(store, cause="u:1")

    assert await store.tidy(now=MONDAY + timedelta(days=1)) == 0
