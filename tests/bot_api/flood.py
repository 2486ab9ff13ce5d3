"""How fast a bot may send: overall and to one chat. Arithmetic on given times."""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, field

from tests.bot_api.refusals import Refusal


@dataclass(slots=True, kw_only=True)
class Flood:
    """``per_second`` messages in any one second overall, ``per_chat`` to each; None: no limit.

    A bot that is told to wait and does not is told so again: a refused call counts for nothing.
    """

    per_second: int | None = None
    per_chat: int | None = None
    wait_s: int = 1
    refused: int = 0
    _overall: deque[float] = field(default_factory=deque)
    _chats: dict[int, deque[float]] = field(default_factory=dict)

    def admit(self, chat_id: int, now_s: float) -> None:
        """Count one message, or refuse it with the seconds to wait."""
        if self.per_second is not None:
            self._check(self._overall, self.per_second, now_s)
        if self.per_chat is not None:
            self._check(self._chats.setdefault(chat_id, deque()), self.per_chat, now_s)
            self._chats[chat_id].append(now_s)
        if self.per_second is not None:
            self._overall.append(now_s)

    def _check(self, recent: deque[float], most: int, now_s: float) -> None:
        while recent and recent[0] <= now_s - 1.0:
            recent.popleft()
        if len(recent) >= most:
            self.refused += 1
            wait_s = max(self.wait_s, math.ceil(recent[0] + 1.0 - now_s))
            what = f"Too Many Requests: retry after {wait_s}"
            raise Refusal(429, what, retry_after=wait_s)
