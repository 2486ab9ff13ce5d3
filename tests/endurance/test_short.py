"""The endurance runs, short: real processes, real kills. ``kill9.py`` and ``three.py`` are the long
ones."""

from __future__ import annotations

import pytest

from tests.endurance import kill9, three, year


@pytest.mark.timeout(180)
async def test_five_kills_lose_nothing_and_double_only_what_was_on_its_way(
    sqlite_url: str,
) -> None:
    plan = kill9.Plan(kills=5, reports=50, prompts=50, seed=5, between_s=(1.5, 3.5))

    figures = await kill9.endure(sqlite_url, plan)

    assert figures.broken_laws() == [], figures


@pytest.mark.timeout(180)
async def test_of_three_processes_one_killed_and_one_frozen_nothing_is_lost(
    postgres_url: str,
) -> None:
    plan = three.Plan(reports=60, prompts=60, lasts_s=12)

    figures = await three.endure(postgres_url, plan)

    assert figures.broken_laws() == [], figures


async def test_a_season_of_a_small_crowd_keeps_the_laws_every_day(sqlite_url: str) -> None:
    figures = await year.a_year(sqlite_url, people=6, days=25, seed=11)

    assert figures["deaths"], "the seed must bring deaths for the laws to mean anything"


async def test_a_broken_law_names_the_seed_and_the_day(sqlite_url: str) -> None:
    life = year.Year(sqlite_url, people=1, seed=4)
    life.weather.strangers = 1  # as if somebody had been told of another's jar

    with pytest.raises(year.BrokenLaw, match="seed 4, day 0: nobody hears of another's jar"):
        await life.live(1)
