"""The reasons of the last advice: the facts, the rule, the source, in two or three lines."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from bot.advice.answers import answers
from bot.advice.book import rulebook
from bot.advice.rulebook import Rule
from bot.culture.state import Conclusion
from bot.errors import HandbookError
from bot.voice.catalogue import say
from bot.voice.message import Message


def why(conclusion: Conclusion | None) -> Message:
    """Why the bot said what it said; kind words when there is nothing to explain yet."""
    rules = [] if conclusion is None else _known(conclusion.rules)
    if conclusion is None or not rules:
        return Message(kind="reply", text=say("why.nothing"))
    lead = rules[0]
    parts = []
    if conclusion.facts:
        parts.append(say("why.facts", facts=", ".join(conclusion.facts)))
    parts.append(say("why.rule", why=lead.why))
    cited = "; ".join(sources()[key] for key in lead.sources)
    parts.append(say("why.source", source=cited))
    return Message(kind="reply", text="\n".join(parts), rules=(lead.id,))


def _known(ids: tuple[str, ...]) -> list[Rule]:
    """The rules of these ids; one that has left the book since explains nothing."""
    book = {rule.id: rule for rule in rulebook().rules}
    book |= {answer.id: answer.rule for answer in answers()}
    return [book[rule_id] for rule_id in ids if rule_id in book]


@cache
def sources() -> dict[str, str]:
    """Every source by its key, as it is cited. Raises HandbookError."""
    text = (resources.files("bot.handbook") / "sources.toml").read_text(encoding="utf-8")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise HandbookError(f"sources.toml: {wrong}") from wrong
    found: dict[str, str] = {}
    for key, body in table.items():
        match body:
            case {"cite": str(cite)}:
                found[key] = cite
            case _:
                raise HandbookError(f"sources.toml: [{key}] wants cite")
    return found
