"""The laws, and the books read against them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.endurance.rig import Books


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    kills: int
    reports: int
    reports_in_journal: int
    reports_kept_twice: int
    set_aside: int
    people_to_prompt: int
    people_prompted: int
    messages_decided: int
    messages_taken: int
    chats_short_of_a_message: int
    sent_twice: int
    in_flight_at_the_kills: int
    seconds: float

    def broken_laws(self) -> list[str]:
        """The laws: each report once, each person prompted, doubles only what was in flight."""
        laws = {
            "every report is in the journal": self.reports_in_journal == self.reports,
            "no report is there twice": self.reports_kept_twice == 0,
            "no report was set aside": self.set_aside == 0,
            "every person was prompted": self.people_prompted == self.people_to_prompt,
            "every message decided has arrived": self.chats_short_of_a_message == 0,
            "only what was in flight is sent twice": (
                self.sent_twice <= self.in_flight_at_the_kills
            ),
        }
        return [law for law, holds in laws.items() if not holds]


async def count(
    books: Books,
    api: BotApi,
    *,
    kills: int,
    reports: int,
    sleepers: list[Person],
    in_flight: int,
    seconds: float,
) -> Figures:
    """What became of ``reports`` updates and of the prompts to ``sleepers``."""
    in_journal = await books.reports()
    taken = Counter(f"tg:{sent.chat_id}" for sent in api.sent)
    decided = dict(
        await books.rows("SELECT chat, count(*) FROM outbox WHERE state = 'sent' GROUP BY chat")
    )
    return Figures(
        kills=kills,
        reports=reports,
        reports_in_journal=len(in_journal),
        reports_kept_twice=sum(count > 1 for count in in_journal.values()),
        set_aside=await books.count("SELECT count(*) FROM inbox WHERE state = 'aside'"),
        people_to_prompt=len(sleepers),
        people_prompted=sum(taken[f"tg:{one.id}"] > 0 for one in sleepers),
        messages_decided=sum(decided.values()),
        messages_taken=sum(taken.values()),
        chats_short_of_a_message=sum(taken[chat] < count for chat, count in decided.items()),
        sent_twice=sum(taken.values()) - sum(decided.values()),
        in_flight_at_the_kills=in_flight,
        seconds=round(seconds, 1),
    )
