"""The rule book: TOML a baker can read, checked at load. A wrong word stops the start.

``safety.toml`` is the safety layer, everything else the everyday book. ``book.py`` opens the handbook's.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias, get_args

from rapidfuzz import fuzz, process

from bot.advice.conditions import Condition, parse
from bot.advice.facts import fact_sorts
from bot.culture.vocabulary import Verdict
from bot.errors import HandbookError

LANGUAGE = "en"

Layer: TypeAlias = Literal["safety", "everyday", "answer"]
Look: TypeAlias = Literal["now", "soon", "hours", "next-feed", "tomorrow", "peak", "never"]

LOOKS: tuple[str, ...] = get_args(Look)
VERDICTS: tuple[str, ...] = (*get_args(Verdict), "none")


@dataclass(frozen=True, slots=True)
class Test:
    """One line of ``when`` or ``unless``: the fact, the condition, and how it was written."""

    fact: str
    condition: Condition
    written: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """When it applies, what it concludes, what it says, and on whose word.

    Everything in ``when`` must certainly hold and nothing in ``unless`` may certainly hold.
    ``strength`` 1..9 orders rules of one verdict; ``instead_of`` names rules it silences.
    ``answer`` is a direct answer that opens the reply in place of the usual one. ``say`` are
    wordings of the meaning, ``next`` the one thing to do, ``aside`` what it adds in one short
    sentence when another rule leads. ``question`` is asked when only unknown facts hold it back.
    """

    id: str
    layer: Layer
    about: str
    subject: str
    when: tuple[Test, ...]
    unless: tuple[Test, ...]
    verdict: Verdict | None
    strength: int
    answer: str | None
    say: tuple[str, ...]
    next: str
    look: Look
    look_hours: float | None
    aside: str | None
    question: str | None
    why: str
    sources: tuple[str, ...]
    limits: str
    instead_of: tuple[str, ...]
    reviewed_by: str
    reviewed_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Rulebook:
    safety: tuple[Rule, ...]
    everyday: tuple[Rule, ...]

    @property
    def rules(self) -> tuple[Rule, ...]:
        return (*self.safety, *self.everyday)

    def rule(self, rule_id: str) -> Rule:
        """The rule with that id; KeyError when there is none."""
        for rule in self.rules:
            if rule.id == rule_id:
                return rule
        raise KeyError(rule_id)


def load(texts: Mapping[str, str]) -> Rulebook:
    """A rule book from the texts of its files, by file name. Raises HandbookError."""
    rules: list[Rule] = []
    for name in sorted(texts):
        try:
            table = tomllib.loads(texts[name])
        except tomllib.TOMLDecodeError as wrong:
            raise HandbookError(f"rules/{name}: {wrong}") from wrong
        layer: Layer = "safety" if name == "safety.toml" else "everyday"
        for rule_id, body in table.items():
            rule = read_rule(f"rules/{name}: [{rule_id}]", rule_id, body, layer=layer)
            if not rule.when:
                raise HandbookError(f"rules/{name}: [{rule_id}] has no when: it would always speak")
            rules.append(rule)
    ids = [rule.id for rule in rules]
    for rule in rules:
        if ids.count(rule.id) > 1:
            raise HandbookError(f"two rules are called '{rule.id}'")
        for other in rule.instead_of:
            if other not in ids:
                raise HandbookError(
                    f"[{rule.id}] instead_of: no rule is called '{other}'{near(other, ids)}"
                )
    return Rulebook(
        safety=tuple(rule for rule in rules if rule.layer == "safety"),
        everyday=tuple(rule for rule in rules if rule.layer == "everyday"),
    )


def near(word: str, words: list[str]) -> str:
    """A hint with the nearest known word, or nothing."""
    found = process.extractOne(word, words, scorer=fuzz.ratio, score_cutoff=60)
    return f"; did you mean '{found[0]}'?" if found else ""


def tests(where: str, table: object) -> tuple[Test, ...]:
    """The conditions of a ``when`` or ``unless`` table. Raises HandbookError."""
    if not isinstance(table, dict):
        raise HandbookError(f'{where}: wants fact = "condition"')
    sorts = fact_sorts()
    found: list[Test] = []
    for fact, written in table.items():
        if fact not in sorts:
            raise HandbookError(f"{where}: no fact is called '{fact}'{near(fact, list(sorts))}")
        sort = sorts[fact]
        if not isinstance(written, str):
            raise HandbookError(f"{where}.{fact}: a condition is written in quotes")
        try:
            condition = parse(written, sort.sort, sort.words)
        except ValueError as wrong:
            hint = ""
            if sort.words is not None:
                bad = str(wrong).split("'")[1]
                hint = near(bad, sorted(sort.words))
            raise HandbookError(f"{where}.{fact}: {wrong}{hint}") from wrong
        found.append(Test(fact, condition, written))
    return tuple(found)


def read_rule(where: str, rule_id: str, body: object, *, layer: Layer) -> Rule:
    """One rule from its table; ``where`` opens every error. Raises HandbookError."""
    return _RuleReader(where, body).rule(rule_id, layer)


class _RuleReader:
    """Takes the fields of one rule out of its table, one by one, and refuses what is left."""

    def __init__(self, where: str, body: object) -> None:
        if not isinstance(body, dict):
            raise HandbookError(f"{where} is no table")
        self._where = where
        self._body = dict(body)

    def rule(self, rule_id: str, layer: Layer) -> Rule:
        verdict = self._choice("verdict", VERDICTS)
        look, look_hours = self._look()
        review = self._body.pop("review", {})
        if not isinstance(review, dict) or not isinstance(review.get("on"), date):
            raise HandbookError(f'{self._where} wants review = {{ by = "...", on = 2026-01-31 }}')
        rule = Rule(
            id=rule_id,
            layer=layer,
            about=self._text("about"),
            subject=self._text("subject"),
            when=tests(f"{self._where} when", self._body.pop("when", {})),
            unless=tests(f"{self._where} unless", self._body.pop("unless", {})),
            verdict=None if verdict == "none" else verdict,  # type: ignore[arg-type]
            strength=self._strength(),
            answer=self._optional("answer"),
            say=self._texts("say"),
            next=self._text("next"),
            look=look,
            look_hours=look_hours,
            aside=self._optional("aside"),
            question=self._optional("question"),
            why=self._text("why"),
            sources=self._texts("sources"),
            limits=self._text("limits"),
            instead_of=self._texts("instead_of") if "instead_of" in self._body else (),
            reviewed_by=str(review.get("by", "")),
            reviewed_on=review["on"],
        )
        if self._body:
            raise HandbookError(f"{self._where} does not know the field '{min(self._body)}'")
        return rule

    def _text(self, name: str) -> str:
        found = self._body.pop(name, None)
        if not isinstance(found, str) or not found.strip():
            raise HandbookError(f"{self._where} wants {name} as text")
        return " ".join(found.split())

    def _optional(self, name: str) -> str | None:
        return self._text(name) if name in self._body else None

    def _texts(self, name: str) -> tuple[str, ...]:
        found = self._body.pop(name, None)
        found = [found] if isinstance(found, str) else found
        if not isinstance(found, list) or not found or not all(isinstance(t, str) for t in found):
            raise HandbookError(f"{self._where} wants {name} as a text or a list of texts")
        return tuple(" ".join(text.split()) for text in found)

    def _choice(self, name: str, words: tuple[str, ...]) -> str:
        found = self._text(name)
        if found not in words:
            raise HandbookError(
                f"{self._where} {name}: '{found}' is none of {', '.join(words)}"
                f"{near(found, list(words))}"
            )
        return found

    def _strength(self) -> int:
        found = self._body.pop("strength", None)
        if not isinstance(found, int) or not 1 <= found <= 9:
            raise HandbookError(f"{self._where} wants strength from 1 to 9")
        return found

    def _look(self) -> tuple[Look, float | None]:
        found = self._text("look")
        head, _, rest = found.partition(" ")
        if head.replace(".", "", 1).isdigit() and rest in ("h", "hours"):
            return "hours", float(head)
        if found not in LOOKS or found == "hours":
            raise HandbookError(
                f"{self._where} look: '{found}' is no hours ('4 h') and none of {', '.join(LOOKS)}"
            )
        return found, None  # type: ignore[return-value]
