"""How much flour a culture has taken so far: what was told, and the method's amount where nothing was."""

from __future__ import annotations

from dataclasses import dataclass

from bot.culture.state import Culture
from bot.culture.vocabulary import Fed, Started
from bot.plan.method import method


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Feeds, the first mix among them, and their flour in grams; ``guessed`` feeds told no mass."""

    feeds: int
    flour_g: float
    guessed: int


def flour_tally(culture: Culture) -> Tally:
    """The flour of all logged feeds of one culture."""
    written = method(culture.method)
    total_g, feeds, guessed = 0.0, 0, 0
    for deed in culture.feeds:
        act = deed.act
        if not isinstance(act, Fed | Started):
            continue
        feeds += 1
        if act.flour_g is not None:
            total_g += act.flour_g.middle
        else:
            guessed += 1
            total_g += written.on(2).flour_g if culture.chosen is None else written.kept.flour_g
    return Tally(feeds=feeds, flour_g=total_g, guessed=guessed)
