"""What an operator may want to count, in Prometheus's words. No person, text or token among it."""

from __future__ import annotations

import time
from collections.abc import Sequence

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, ProcessCollector

from bot.delivery.ports import Channel, Inbound, Receipt, Receive, Source
from bot.errors import (
    ChannelError,
    ChatMoved,
    GoneForGood,
    Malformed,
    Refused,
    TryLater,
)
from bot.voice.message import Message

OUTCOMES: dict[type[ChannelError], str] = {
    TryLater: "try-later",
    GoneForGood: "gone",
    ChatMoved: "moved",
    Malformed: "malformed",
    Refused: "refused",
}


class Meters:
    """The counters of one process, in a registry of their own."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        self.received = Counter(
            "jarside_updates_received", "Updates kept durably", registry=self.registry
        )
        self.sends = Counter(
            "jarside_sends", "Tries to send a message", ["outcome"], registry=self.registry
        )
        self.send_seconds = Histogram(
            "jarside_send_seconds", "How long one try to send took", registry=self.registry
        )
        self.waiting_prompts = Gauge(
            "jarside_prompts_waiting", "Prompts kept and not sent yet", registry=self.registry
        )
        self.set_aside = Gauge(
            "jarside_updates_set_aside",
            "Updates that failed three times and wait for an operator (counted up to 100)",
            registry=self.registry,
        )
        self.silence_seconds = Gauge(
            "jarside_fetch_silence_seconds",
            "Seconds since the service last answered a fetch; -1 before the first answer",
            registry=self.registry,
        )


class MeteredChannel:
    """A Channel that counts."""

    def __init__(self, channel: Channel, meters: Meters) -> None:
        self._channel = channel
        self._meters = meters

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        began_s = time.perf_counter()
        outcome = "cut-short"
        try:
            receipt = await self._channel.send(chat, message, plain=plain)
            outcome = "sent"
            return receipt
        except ChannelError as error:
            outcome = next(word for kind, word in OUTCOMES.items() if isinstance(error, kind))
            raise
        finally:
            self._meters.sends.labels(outcome).inc()
            self._meters.send_seconds.observe(time.perf_counter() - began_s)


class MeteredSource:
    """A Source that counts what was kept."""

    def __init__(self, source: Source, meters: Meters) -> None:
        self._source = source
        self._meters = meters

    async def run(self, receive: Receive) -> None:
        await self._source.run(counted(receive, self._meters))


def counted(receive: Receive, meters: Meters) -> Receive:
    """``receive``, counting what it has kept."""

    async def receive_counted(inbounds: Sequence[Inbound]) -> None:
        await receive(inbounds)
        meters.received.inc(len(inbounds))

    return receive_counted
