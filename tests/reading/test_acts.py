"""What was done: recipes with and without a verb, units, corrections, skips; and what was not done."""

from __future__ import annotations

import pytest
from reads import reads

from bot.culture.numbers import section
from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Discarded, Fed, Place, Skipped, Started, Temperature


def acts(text: str) -> tuple[Act, ...]:
    return reads(text).acts


def fed(text: str) -> Fed:
    (found,) = [act for act in acts(text) if isinstance(act, Fed)]
    return found


def grams(
    starter: float | None, flour: float | None, water: float | None
) -> tuple[Range | None, ...]:
    return tuple(None if one is None else Range.exact(one) for one in (starter, flour, water))


def masses(text: str) -> tuple[Range | None, ...]:
    found = fed(text)
    return found.starter_g, found.flour_g, found.water_g


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("25g starter, 50g bread flour, 50g water", grams(25, 50, 50)),
        ("starter 25 flour 50 water 45", grams(25, 50, 45)),
        ("40g bread flour and 40g water", grams(None, 40, 40)),
        ("kept 25g added 50 flour 50 water", grams(25, 50, 50)),
        ("took it down to 10g and fed 50g rye and 50g water", grams(10, 50, 50)),
        ("binned all but 20g, 60 flour 60 water", grams(20, 60, 60)),
        ("fed 15g with 45 and 45", grams(15, 45, 45)),
        ("fed with 30 and 30", grams(None, 30, 30)),
        ("fed 50g/50g", grams(None, 50, 50)),
        ("equal parts all three, 60g each", grams(60, 60, 60)),
        ("40g of each, starter flour and water", grams(40, 40, 40)),
        ("half rye half white, 30g total, and 30 of water", grams(None, 30, 30)),
        ("fed 30g rye plus 20g white plus 50g water", grams(None, 50, 50)),
    ],
)
def test_a_recipe_is_read_whatever_order_it_is_told_in(
    text: str, expected: tuple[Range | None, ...]
) -> None:
    assert masses(text) == expected


@pytest.mark.parametrize("mend", ["sorry", "oops", "no wait", "no,", "i meant", "make that"])
def test_a_mended_mass_takes_the_place_of_the_one_before(mend: str) -> None:
    assert masses(f"fed 30g flour, {mend} 50g, and 50 water") == grams(None, 50, 50)


@pytest.mark.parametrize(
    ("text", "flours"),
    [
        ("ran out of bread flour so used plain", ("white",)),
        ("had no rye left so went with wholemeal", ("wholewheat",)),
        ("fed spelt instead of rye", ("spelt",)),
        ("fed it rye, actually no, spelt", ("spelt",)),
    ],
)
def test_a_flour_that_was_out_is_not_what_it_was_fed(text: str, flours: tuple[str, ...]) -> None:
    assert fed(text).flours == flours


def test_a_decilitre_is_a_tenth_of_a_litre() -> None:
    found = fed("1 dl flour 1 dl water")

    assert found.water_g == Range.exact(100.0)
    assert found.flour_g == Range(47.0, 61.0)  # bulk flour, 0.47-0.61 g/mL: F-163, F-166


def test_a_heaped_spoon_holds_more_than_a_level_one_by_the_heap_of_the_handbook() -> None:
    level, heaped = fed("fed 1 tbsp flour").flour_g, fed("fed 1 heaped tbsp flour").flour_g

    assert level is not None and heaped is not None
    # F-176, common practice: 25-35 g of starter in a heaping tablespoon, 15-17 g in a level one.
    assert heaped.middle == pytest.approx(level.middle * section("heap")["spoon"], rel=0.01)
    assert heaped.high / heaped.low > level.high / level.low


def test_a_heaped_spoon_of_water_is_a_spoon() -> None:
    assert fed("fed 20g flour, 2 heaped tbsp water").water_g == fed("fed 20g flour, 2 tbsp water").water_g  # fmt: skip


@pytest.mark.parametrize("measure", ["a mug", "a handful", "a glug", "two scoops", "a fistful"])
def test_a_measure_of_no_known_size_is_a_feed_without_a_mass(measure: str) -> None:
    assert fed(f"fed it {measure} of flour").flour_g is None


def test_a_third_of_a_cup_is_no_cup() -> None:
    assert fed("fed a third of a cup of flour").flour_g == fed("fed 1/3 cup flour").flour_g


@pytest.mark.parametrize(
    "text",
    [
        "fed?",
        "bin it?",
        "start over?",
        "put it in the fridge?",
        "bin it or carry on",
        "worth saving or start again",
        "nearly fed it twice",
        "almost binned it",
        "I used to feed it rye",
        "the previous one went mouldy so I binned it",
        "my first one died and I chucked it",
        "my friend's jar was hungry so I fed it",
        "was going to feed it but fell asleep",
        "it started at 200 and is at the 400 mark",
        "raspberry jam got on the outside of the jar",
        "rye or bread flour?",
        "fed the kids at 6",
        "I was told to feed 1:1:1",
        "the packet says 100g flour",
    ],
)
def test_what_was_asked_nearly_done_or_done_to_another_jar_is_no_act(text: str) -> None:
    assert [act for act in acts(text) if act.act != "skipped"] == []


@pytest.mark.parametrize("text", ["fed 1:2:2, ok?", "I binned it, right?", "fed it at 8 ok?"])
def test_an_act_told_in_search_of_a_nod_is_an_act(text: str) -> None:
    assert len(acts(text)) == 1


@pytest.mark.parametrize("who", ["nobody", "noone", "no one"])
def test_fed_by_nobody_is_missed(who: str) -> None:
    assert acts(f"away for 5 days and {who} fed it") == (Skipped(days=5.0),)


@pytest.mark.parametrize(
    ("text", "missed"),
    [
        ("missed friday", Skipped(days=1.0)),
        ("missed friday and saturday", Skipped(days=2.0)),
        ("no feed for a week and a half", Skipped(days=10.5)),
        ("no food for a fortnight", Skipped(days=14.0)),
        ("left it 5 days", Skipped(days=5.0)),
        ("forgot to feed it twice", Skipped(feeds=2.0)),
        ("missed both feeds yesterday", Skipped(feeds=2.0)),
    ],
)
def test_what_was_missed_is_counted(text: str, missed: Skipped) -> None:
    assert acts(text) == (missed,)


@pytest.mark.parametrize("text", ["left it 5 days in the fridge", "missed the saturday market"])
def test_what_was_not_a_feed_is_not_missed(text: str) -> None:
    assert not any(isinstance(act, Skipped) for act in acts(text))


def test_what_was_kept_is_not_what_was_taken_out() -> None:
    found = acts("discarded to 20g, fed 60g flour and 60g water")

    assert [act.grams for act in found if isinstance(act, Discarded)] == [None]


def test_the_first_mix_of_all_has_its_flours_behind_it() -> None:
    (found,) = acts("mixed my very first one an hour ago!! whole wheat + tap water")

    assert isinstance(found, Started)
    assert found.flours == ("wholewheat",)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("doubled at hour 6", 6),
        ("doubled by hour six", 6),
        ("five hrs in and its nearly at the lid", 5),
        ("doubled between 8am and 2pm", 6),
        ("doubled from 9 to 3", 6),
        ("tripled 7am till 3pm", 8),
        ("after half a day it doubled", 12),
        ("took all morning to double, 5 hrs", 5),
        ("4.5 hrs, doubled", 4.5),
        ("rise: double / hours: 7 / temp: 23", 7),
    ],
)
def test_the_wait_is_counted_in_hours_however_it_is_told(text: str, hours: float) -> None:
    assert reads(text).signs.hours == hours


@pytest.mark.parametrize(
    "text", ["grew from 3 to 6 cm", "fed at 18h, doubled", "it doubled from 2 to 4"]
)
def test_heights_and_hours_of_the_day_are_no_wait(text: str) -> None:
    assert reads(text).signs.hours is None


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("kitchens 19", 19.0),
        ("the kitchen's 23", 23.0),
        ("it was 26 yesterday but 18 today", 18.0),
        ("20-22", 21.0),
        ("low 20s in the kitchen", 22.0),
        ("mid twenties in here", 25.0),
        ("temp: 23 / bubbles: few", 23.0),
    ],
)
def test_a_kitchen_tells_its_warmth_in_many_ways(text: str, celsius: float) -> None:
    temperature = reads(text).signs.temperature

    assert temperature is not None
    assert temperature.celsius == celsius


def test_the_hour_of_a_feed_is_no_warmth_of_its_water() -> None:
    assert reads("fed 60g rye n 60g water round 7 last nite").signs.temperature is None


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("it peaked at around 5 hours then sank", 5.0),
        ("peaked about 4 hours after feeding", 4.0),
        ("hit its peak in 6 hrs", 6.0),
    ],
)
def test_a_peak_tells_how_long_it_took(text: str, hours: float) -> None:
    assert reads(text).signs.hours == hours


@pytest.mark.parametrize("text", ["peaked 2 hours ago", "it peaked for 2 hours", "it should peak in 5 hours"])  # fmt: skip
def test_since_for_and_to_come_are_no_wait(text: str) -> None:
    assert reads(text).signs.hours is None


@pytest.mark.parametrize("text", ["3 in at feeding, 4.5 in now", "was 2 in, now 3 in"])
def test_in_behind_a_height_is_inches(text: str) -> None:
    rise = reads(text).signs.rise

    assert rise is not None
    assert rise.ratio == pytest.approx(1.5)


def test_not_once_is_no_count_of_feeds() -> None:
    told = reads("got back from a week in spain, husband didnt feed it once").acts

    assert told == (Skipped(days=7.0),)
    assert reads("forgot to feed it once").acts == (Skipped(feeds=1.0),)


@pytest.mark.parametrize(
    ("text", "celsius", "of"),
    [
        ("kitchen's about 18 this morning", 18.0, "kitchen"),
        ("32 in the flat", 32.0, "kitchen"),
        ("thermometer in the dough says 36", 36.0, "starter"),
        ("water straight from the hot tap, it was like 45C when i checked", 45.0, "water"),
        ("used the hot tap, it was like 45C", 45.0, "water"),
    ],
)
def test_a_figure_is_of_what_it_was_measured_in(text: str, celsius: float, of: Place) -> None:
    assert reads(text).signs.temperature == Temperature(celsius=celsius, of=of)


def test_what_a_jar_does_on_a_ratio_is_no_feed() -> None:
    assert reads("it peaks after 4 on 1:1:1 and is flat when im home").acts == ()


@pytest.mark.parametrize("text", ["fed it without taking any out", "oh no i fed it without taking any out"])  # fmt: skip
def test_a_feed_without_a_discard_is_no_missed_feed(text: str) -> None:
    assert not any(act.act == "skipped" for act in reads(text).acts)


@pytest.mark.parametrize("text", ["fed with 40C water", "its 40C water"])
def test_forty_c_of_water_is_its_warmth_and_no_cups(text: str) -> None:
    told = reads(text)

    assert told.signs.temperature == Temperature(celsius=40.0, of="water")
    assert all(act.water_g is None for act in told.acts if isinstance(act, Fed))


def test_a_kitchen_told_after_warm_water_stays_a_kitchen() -> None:
    told = reads("fed with warm water, it was 22C today").signs.temperature

    assert told == Temperature(celsius=22.0, of="kitchen")


def test_a_feed_after_a_bare_so_is_told_beside_the_missed_one() -> None:
    told = reads("forgot to feed it last night so fed it at 7 this morning").acts

    assert [act.act for act in told] == ["skipped", "fed"]


def test_a_feed_that_was_only_not_mentioned_was_given() -> None:
    assert [act.act for act in reads("forgot to say i fed it at 8").acts] == ["fed"]


def test_grams_kept_in_the_jar_are_no_warmth_of_it() -> None:
    assert reads("kept 20 in the jar and fed 40 40").signs.temperature is None
