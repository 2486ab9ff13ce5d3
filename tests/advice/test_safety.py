"""The safety sentences against the published guidance they rest on; sources stand in each test."""

from __future__ import annotations

import re

import pytest

from bot.advice.answers import answers
from bot.advice.book import rulebook
from bot.advice.rulebook import Rule

BOOK = rulebook()
EVERY_TEXT = {
    rule.id: " ".join((rule.answer or "", *rule.say, rule.next, rule.aside or ""))
    for rule in (*BOOK.rules, *(answer.rule for answer in answers()))
}
CONDEMNING = [rule for rule in BOOK.safety if rule.verdict == "discard"]


@pytest.mark.parametrize("rule", CONDEMNING, ids=lambda rule: rule.id)
def test_what_is_condemned_goes_whole_and_nothing_of_it_is_rescued(rule: Rule) -> None:
    """Moist food with mould is thrown away whole (USDA FSIS, Molds on Food; F-112)."""
    text = EVERY_TEXT[rule.id]

    assert re.search(r"[Tt]hrow (it |all |away )|Throw away", text)
    assert not re.search(r"(?<!not )(scrape|skim|lift) ", text)


def test_mould_is_not_sniffed_and_no_spoonful_is_saved() -> None:
    """Do not sniff mouldy food; wrap it (USDA FSIS, Molds on Food; F-113). Baking does not help (OSU HYG-5592; F-114)."""
    text = EVERY_TEXT["mould"]

    assert "without sniffing" in text and "wrapped" in text
    assert "not even from the bottom" in text
    assert "baking does not undo" in text


def test_pink_orange_and_red_go_whatever_else_is_seen() -> None:
    """A public baking helpline, 2019-2022: pink or orange means throw it away (F-115)."""
    assert "whatever the smell or the rise" in EVERY_TEXT["streak"]


def test_a_pet_is_sent_to_a_vet_and_not_made_to_vomit() -> None:
    """Means 2003, J Vet Emerg Crit Care 13:39-41; veterinary poison lists on uncooked dough (F-133)."""
    text = EVERY_TEXT["pet-ate-it"]

    assert "vet" in text and "Do not make the animal vomit" in text
    assert "whatever the amount" in text


def test_people_at_risk_are_sent_to_a_doctor() -> None:
    """CDC, Say No to Raw Dough: graver in young children, older people, weak immunity (F-108)."""
    for rule in ("ate-raw", "felt-ill", "frail", "allergy"):
        assert re.search(r"doctor|midwife", EVERY_TEXT[rule])


def test_wheat_rye_and_spelt_are_never_called_gluten_free() -> None:
    """21 CFR 101.91: 20 parts per million (F-139); coeliac guidance, from memory (F-138)."""
    text = EVERY_TEXT["gluten"]

    assert text.startswith("No")
    assert "20 parts per million" in text


def test_no_sentence_invites_to_taste_anything_raw() -> None:
    """Flour is a raw food (FDA, handling flour safely; F-103); nor raw starter (Colorado State; F-104)."""
    for rule_id, text in EVERY_TEXT.items():
        for sentence in re.split(r"(?<=[.!?;:])\s", text):
            if re.search(r"\btast(e|ing)\b", sentence):
                assert re.search(
                    r"\bnot\b|\bno\b|without|nothing|nobody|only what has been baked|instead|of metal|when the bread",
                    sentence,
                    re.IGNORECASE,
                ), f"{rule_id}: {sentence}"


def test_no_sentence_calls_raw_starter_safe_at_any_acidity() -> None:
    """FDA Food Code, table B: not without a product assessment (F-119, F-120)."""
    for text in EVERY_TEXT.values():
        assert not re.search(r"\bpH\b.*safe|safe to eat raw", text)


def test_a_sealed_jar_is_always_warned_of() -> None:
    """Colorado State University: loosely covered (F-135); 5 g of sugar make 1.36 litres of gas (F-136)."""
    for rule in ("lid", "sealed-jar"):
        assert re.search(r"never (be )?(sealed|seal)", EVERY_TEXT[rule])


def test_early_discard_is_no_food() -> None:
    """A public baking helpline: not for the first several days; we use seven (F-130)."""
    assert "bin or on the compost" in EVERY_TEXT["use-discard-young"]


def test_selling_is_left_to_the_local_authority() -> None:
    """Rules differ by place (F-142, from memory): no ruling is given."""
    assert "authority" in EVERY_TEXT["sell"] and "cannot" in EVERY_TEXT["sell"]


def test_nobody_is_blamed() -> None:
    for text in EVERY_TEXT.values():
        assert not re.search(r"your (own )?fault(?! )|you should have|you must have", text)
