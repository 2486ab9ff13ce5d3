"""Whatever a journal may hold comes back from its row as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.culture.journal import Event
from bot.culture.quantities import Range
from bot.turn import Heard
from bot.voice.message import Message
from storage.payload import (
    as_stored,
    entry_values,
    heard_of,
    heard_text,
    message_of,
    message_text,
)
from tests.post import MONDAY, report

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
TIMES = st.datetimes(
    min_value=datetime(2000, 1, 1),  # noqa: DTZ001
    max_value=datetime(2100, 1, 1),  # noqa: DTZ001
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=-3, minutes=-30))]),
)
NUMBERS = st.floats(min_value=-1e9, max_value=1e9)
RANGES = st.tuples(NUMBERS, NUMBERS).map(lambda pair: Range(min(pair), max(pair)))

st.register_type_strategy(str, TEXTS)
st.register_type_strategy(datetime, TIMES)
st.register_type_strategy(float, NUMBERS)
st.register_type_strategy(Range, RANGES)
GENEROUS = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@pytest.mark.parametrize("kind", get_args(Event), ids=lambda kind: kind.__name__)
def test_an_event_comes_back_as_it_was(kind: type) -> None:
    @GENEROUS
    @given(event=st.from_type(kind))
    def comes_back(event: Event) -> None:
        entry = replace(report(1, at=MONDAY), event=event)

        assert as_stored(entry) == entry
        assert entry_values("ada", entry)["kind"] == event.kind

    comes_back()


@pytest.mark.parametrize("kind", get_args(Heard), ids=lambda kind: kind.__name__)
def test_what_was_heard_comes_back_as_it_was(kind: type) -> None:
    @GENEROUS
    @given(heard=st.from_type(kind))
    def comes_back(heard: Heard) -> None:
        assert heard_of(heard_text(heard)) == heard

    comes_back()


@GENEROUS
@given(message=st.from_type(Message))
def test_a_message_comes_back_as_it_was(message: Message) -> None:
    assert message_of(message_text(message)) == message
