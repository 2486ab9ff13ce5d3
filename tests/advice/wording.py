"""What a good reply must and must not say, as patterns with names: the histories use the names."""

from __future__ import annotations

import re

_NEGATED = (
    r"(?:^|[.!?\n])(?![^.!?\n]*(?:\bnot\b|n't\b|\bno\b|\bnever\b|\bwithout\b|\bunless\b|\bif\b|\bwhen\b"
    r"|\buntil\b|\bonce\b|\bbefore\b|\bonly\b|\brather\b|\balmost\b|\bnearly\b|\byet\b|\bnor\b|\binstead\b"
    r"|\bwhether\b|\bwould\b|\banything\b|\bmeans?\b))[^.!?\n]*"
)
"""From the start of a sentence that denies and supposes nothing."""

MUST: dict[str, str] = {
    "normal": r"normal|usual|common|expected|nothing (is )?wrong|lull|\bfine\b|healthy|good sign|alive|harmless|nothing is ruined",
    "normal_or_good": r"normal|usual|common|fine|good|just right|well|harmless|no harm",
    "no_harm": r"no harm|harmless|nothing is ruined|fine|not (dead|ruined)|forgives|alive",
    "feed": r"\bfeed|\bfed\b",
    "more_food": r"1:2:2|rich|more|twice|50 g of flour",
    "wait": r"wait|more days|patien|carry on",
    "wait_or_warm": r"wait|warm|carry on",
    "warmer": r"warm|2[3-8] ?°C|2[3-8]\u20132[3-8]",
    "warmer_f": r"7[4-9] ?°F|7\d\u20137\d ?°F",
    "cooler": r"cool|off the heat|2[2-6]\u20132[4-6]",
    "cooler_or_middle": r"cool|middle",
    "temp_range": r"\d\d\u2013\d\d ?°C",
    "throw": r"throw (it|all|this|that|away|everything)|has to go|it goes",
    "made": r"made with it|bread|loaf|dough",
    "cover": r"cover|lid|cloth",
    "not_taste": r"not taste|no tasting|taste nothing|not .{0,20}tast",
    "age_question": r"how (many days|old)",
    "colour_question": r"colou?r|tint",
    "look_close": r"look|fuzz",
    "stir_or_pour": r"stir|pour",
    "thicker": r"thick|equal weights|less water|more flour",
    "facts_question": r"\?",
    "question": r"\?",
    "fresh": r"fresh|afresh|new jar|begin",
    "fresh_or_throw": r"start again|throw|fresh",
    "not_yet": r"not (quite |yet )?(ready|yet)|not yet|too young|wait|three (feeds|doublings)",
    "again": r"three (feeds|doublings)|again|in a row",
    "bake": r"\bready\b|bake",
    "strengthen": r"warm|wholegrain|24\u201326|highest",
    "fell": r"fell|sunk|sank|sink|fall",
    "skin": r"skin|lift|cover",
    "float_alone": r"float|gas|alone",
    "fuzz": r"fuzz|hair|colou?r",
    "take_out": r"take it out|not yet|too young",
    "not_yet_fridge": r"not yet|better off|carry|kitchen|cold stops",
    "no_need": r"not needed|no need",
    "no_need_or_carry": r"no need|not needed|carry on|flour and water only",
    "feed_or_water": r"feed|water",
    "plain": r"plain",
    "feed_or_wait": r"feed|bubbles|stand",
    "discard_word": r"discard",
    "glass": r"glass",
    "middle": r"middle",
    "loose": r"loose|loosen|never be sealed|never sealed",
    "fine": r"fine|no harm",
    "bran": r"bran",
    "vet": r"\bvet\b",
    "doctor": r"doctor|midwife|health line",
    "gluten": r"gluten",
    "authority": r"authority",
    "not_food_yet": r"not as food|bin|compost",
    "recipe": r"pancakes|crackers",
    "bin": r"bin|compost",
    "food_share": r"share|triple|threefold|starves|food",
    "overnight": r"overnight|filter",
    "tap": r"tap",
    "mineral": r"minerals",
    "feeds": r"feeds",
    "rye": r"rye",
    "yes_ok": r"fine|yes|works|ok",
    "size": r"\d{3}( to \d{3})? ml|three to four times",
    "g125": r"12\d ?g|130 ?g",
    "grams": r"\d+ g",
    "days": r"\d+ to \d+ days|weeks",
    "hours": r"hours",
    "fridge_word": r"fridge",
    "dry_or_loose": r"dry|loose|flakes",
    "months": r"months",
    "spread": r"spread|dry",
    "question_or_fine": r"\?|fine|harmless|throw",
    "question_or_middle": r"\?|middle",
    "slowly": r"slowly|little at a time|towel",
    "normal_or_good_or_feed": r"normal|good|fine|well|feed",
    "filter": r"filter|bottled",
    "yeast": r"yeast",
    "bigger": r"bigger|larger|too small|[6-9]\d0 ml|litre",
    "scope": r"only know|outside|starters",
}

NEVER_REASSURING = (
    _NEGATED + r"(?:\b(it|starter|culture|yeast)('s| is| has| have)? (probably |likely |now )?"
    r"(dead|died|killed)(?! (down|back|off)))",
    _NEGATED + r"(?:start (over|again|from scratch|afresh))",
    _NEGATED + r"(?:(throw|toss|bin) (it|this|the (jar|starter|culture|lot|whole \w+))\b)",
)
"""A reply that says carry on, or change this, condemns nothing."""

NEVER_CONDEMNING = (
    _NEGATED + r"(?:(scrape|skim|peel|wipe) (it|that|this|them|the [\w ]{2,20}) (off|away))",
    _NEGATED + r"(?:stir (it|that|this|them|the \w+) (in|back|down))",
    _NEGATED + r"(?:keep feeding)",
    _NEGATED + r"(?:carry on (feeding|as))",
    _NEGATED
    + r"(?:(it|that|this)('s| is| should be| will be) (perfectly |totally |still |probably |all )?"
    r"(safe|fine|ok|okay) to (use|bake|keep|eat|feed))",
)
"""A reply that condemns rescues nothing."""

NEVER: dict[str, tuple[str, ...]] = {
    "ready": (
        _NEGATED + r"(?:\b(it|starter|culture|you)('s| is|'re| are) (now )?ready\b)",
        _NEGATED + r"(?:\b(go ahead and|you can|time to) bake\b)",
    )
}


def says(pattern: str, text: str) -> bool:
    """Whether a pattern is found, whatever the case and the curl of the quotes."""
    plain = text.replace("\u2019", "'").replace("\u2018", "'")
    return re.search(pattern, plain, re.IGNORECASE | re.DOTALL) is not None
