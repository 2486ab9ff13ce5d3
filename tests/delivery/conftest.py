"""Live parts on a clock that is moved by hand."""

from __future__ import annotations

import pytest

from bot.delivery.clock import HandClock
from bot.delivery.ports import Pace
from bot.delivery.service import Service
from storage.store import SqlStore
from tests.mailbox import Mailbox
from tests.parrot import PARROT
from tests.post import MONDAY


@pytest.fixture
def clock() -> HandClock:
    return HandClock(MONDAY)


@pytest.fixture
def mailbox(clock: HandClock) -> Mailbox:
    return Mailbox(clock)


@pytest.fixture
def service(store: SqlStore, clock: HandClock, mailbox: Mailbox) -> Service:
    return Service(store=store, coach=PARROT, channel=mailbox, clock=clock, pace=Pace(), seed=7)
