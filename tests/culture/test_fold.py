"""The fold: what a journal comes to."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from bot.culture.fold import extend, fold
from bot.culture.journal import Began, Entry, Prompted, Reported, Wrote
from bot.culture.state import Dossier
from bot.culture.vocabulary import Binned, Fed, Moved, Rise, Signs, Temperature

T0 = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def began(number: int = 1) -> Entry:
    event = Began(name="Biscuit", flour="white", method="full", started_at=T0)
    return Entry(number=number, at=T0, event=event, culture="c1")


def reported(number: int, hours: float, **fields: object) -> Entry:
    event = Reported(text="", **fields)  # type: ignore[arg-type]
    return Entry(number=number, at=T0 + timedelta(hours=hours), event=event, culture="c1")


def test_a_reported_kitchen_warmth_holds_from_then_on() -> None:
    warm = reported(2, 5, signs=Signs(temperature=Temperature(celsius=24.0)))

    dossier = fold("p", [began(), warm, reported(3, 30, signs=Signs(bubbles="few"))])

    assert dossier.person.kitchen_c == 24.0
    assert dossier.cultures[0].sightings[-1].kitchen_c == 24.0


def test_a_correction_changes_what_the_first_report_meant_and_keeps_its_moment() -> None:
    wrong = reported(2, 5, signs=Signs(temperature=Temperature(celsius=34.0)))
    right = reported(3, 6, signs=Signs(temperature=Temperature(celsius=24.0)), replaces=2)

    dossier = fold("p", [began(), wrong, right])

    assert dossier.person.kitchen_c == 24.0
    assert [seen.number for seen in dossier.cultures[0].sightings] == [2]


def test_a_correction_of_a_correction_wins() -> None:
    first = reported(2, 1, signs=Signs(rise=Rise(ratio=2, low=2, high=2)))
    second = reported(3, 2, signs=Signs(rise=Rise(ratio=3, low=3, high=3)), replaces=2)
    third = reported(4, 3, signs=Signs(rise=Rise(ratio=1.5, low=1.5, high=1.5)), replaces=3)

    dossier = fold("p", [began(), first, second, third])

    (seen,) = dossier.cultures[0].sightings
    assert seen.signs.rise is not None and seen.signs.rise.ratio == 1.5


def test_a_feed_told_later_stands_at_the_moment_it_was_done() -> None:
    at_three = reported(2, 5, acts=(Fed(at=T0 + timedelta(hours=3)),))
    told_in_the_future = reported(3, 6, acts=(Fed(at=T0 + timedelta(hours=9)),))

    dossier = fold("p", [began(), at_three, told_in_the_future])

    assert [feed.at for feed in dossier.cultures[0].feeds] == [
        T0 + timedelta(hours=3),
        T0 + timedelta(hours=6),
    ]


def test_a_binned_culture_no_longer_lives() -> None:
    dossier = fold("p", [began(), reported(2, 5, acts=(Binned(),))])

    assert dossier.living == ()


def test_a_jar_in_the_fridge_is_known_to_be_there() -> None:
    dossier = fold("p", [began(), reported(2, 5, acts=(Moved(to="fridge"),))])

    assert dossier.cultures[0].spot == "fridge"


def test_mornings_without_an_answer_are_counted_until_the_person_writes() -> None:
    day = T0.date()
    prompts = [
        Entry(
            number=n,
            at=T0 + timedelta(days=n),
            event=Prompted(prompt="morning", local_day=day + timedelta(days=n)),
            culture="c1",
        )
        for n in (2, 3)
    ]

    silent = fold("p", [began(), *prompts])
    spoke = extend(silent, [Entry(number=4, at=T0 + timedelta(days=4), event=Wrote())])

    assert silent.person.silent_mornings == 2
    assert spoke.person.silent_mornings == 0


@given(
    kinds=st.lists(st.sampled_from(["fed", "warm", "fix", "wrote"]), max_size=12),
    cut=st.integers(min_value=0, max_value=13),
)
def test_extending_a_fold_equals_folding_the_whole_journal(kinds: list[str], cut: int) -> None:
    journal = [began()]
    for kind in kinds:
        number = len(journal) + 1
        match kind:
            case "fed":
                journal.append(reported(number, number, acts=(Fed(),)))
            case "warm":
                heat = Temperature(celsius=20.0 + number)
                journal.append(reported(number, number, signs=Signs(temperature=heat)))
            case "fix":
                journal.append(
                    reported(number, number, signs=Signs(bubbles="few"), replaces=number - 1)
                )
            case _:
                journal.append(Entry(number=number, at=T0, event=Wrote()))

    in_two: Dossier = extend(fold("p", journal[:cut]), journal[cut:])

    assert in_two == fold("p", journal)
