"""The terminal as a messaging service."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.channels.terminal import Look, Terminal, look_of
from bot.voice.message import Chart, Choice, Message, Strip

FED = Choice(label="Fed it", key="act:fed:c1")
DOUBLED = Choice(label="Doubled", key="sign:doubled:c1")
MORNING = Message(
    kind="reply", heading="Day 2", text="Feed it today.\nThen cover it.", choices=(FED, DOUBLED)
)
BRIGHT = Look(bold="<b>", dim="<d>", plain="</>", columns=40)


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


class Wall:
    local = datetime(2026, 3, 3, 8, 5, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.local


def terminal(look: Look | None = None, wall: Wall | None = None) -> tuple[Terminal, io.StringIO]:
    paper = io.StringIO()
    return Terminal(paper.write, look or Look(), wall or Wall(), in_a_file), paper


async def in_a_file(chart: Chart) -> Path:
    return Path("pictures") / f"{chart.name}.png"


async def on_a_full_disk(chart: Chart) -> Path:
    raise OSError("no space left on device")


async def test_a_message_shows_heading_text_and_numbered_answers() -> None:
    channel, paper = terminal()

    await channel.send("terminal:you", MORNING, plain=False)

    assert paper.getvalue() == (
        "  Day 2\n  Feed it today.\n  Then cover it.\n    1 Fed it   2 Doubled\n\n"
    )


async def test_the_heading_is_bold_on_a_screen() -> None:
    channel, paper = terminal(BRIGHT)

    await channel.send("terminal:you", MORNING, plain=False)

    assert "<b>Day 2</>" in paper.getvalue()


async def test_lines_are_folded_between_words_on_a_screen_and_never_in_a_file() -> None:
    long = Message(kind="reply", text="word " * 30 + "end")
    screen, folded = terminal(BRIGHT)
    file, whole = terminal()

    await screen.send("terminal:you", long, plain=False)
    await file.send("terminal:you", long, plain=False)

    assert max(map(len, folded.getvalue().splitlines())) <= 40
    assert len(whole.getvalue().splitlines()) == 2


async def test_a_number_is_never_folded_away_from_its_answer() -> None:
    channel, paper = terminal(BRIGHT)
    many = tuple(Choice(label=f"About {c} °C", key=f"k:{c}") for c in range(15, 30))

    await channel.send(
        "terminal:you", Message(kind="reply", text="How warm?", choices=many), plain=False
    )

    rows = paper.getvalue().splitlines()[1:-1]
    assert len(rows) > 1
    assert all(re.match(r" {4}\d+ About", row) and row.endswith("°C") for row in rows)


@pytest.mark.parametrize("said", ["2", " 2 ", "doubled", "DOUBLED"])
async def test_a_number_or_the_wording_taps_the_answer_it_stands_before(said: str) -> None:
    channel, _ = terminal()
    await channel.send("terminal:you", MORNING, plain=False)

    assert channel.tapped(said) == DOUBLED.key


@pytest.mark.parametrize("said", ["0", "3", "21", "2C", "fed", "", "-1", "2."])
async def test_anything_else_is_words(said: str) -> None:
    channel, _ = terminal()
    await channel.send("terminal:you", MORNING, plain=False)

    assert channel.tapped(said) is None


async def test_two_messages_in_one_breath_number_their_answers_on() -> None:
    channel, paper = terminal()
    asked = Message(kind="reply", text="Which jar?", choices=(Choice(label="Rye", key="jar:c2"),))

    await channel.send("terminal:you", MORNING, plain=False)
    await channel.send("terminal:you", asked, plain=False)

    assert "3 Rye" in paper.getvalue()
    assert channel.tapped("3") == "jar:c2"
    assert channel.tapped("1") == FED.key


async def test_the_numbers_hold_only_until_the_next_answer() -> None:
    channel, _ = terminal()
    await channel.send("terminal:you", MORNING, plain=False)

    channel.new_breath()

    assert channel.tapped("1") is None


async def test_plain_means_without_answers() -> None:
    channel, paper = terminal()

    await channel.send("terminal:you", MORNING, plain=True)

    assert "Fed it" not in paper.getvalue()


WEEK = Message(
    kind="reply",
    text="Your week.",
    chart=Chart(name="week", culture="c1", alt="It doubled on three days."),
)


async def test_a_picture_is_written_to_a_file_and_its_path_shown_beside_the_words() -> None:
    channel, paper = terminal(BRIGHT)

    await channel.send("terminal:you", WEEK, plain=False)

    lines = paper.getvalue().splitlines()
    assert f"  {Path('pictures', 'week.png')}" in lines
    assert "It doubled on three days." in " ".join(line.strip() for line in lines)


async def test_a_picture_that_cannot_be_written_is_told_in_words() -> None:
    paper = io.StringIO()
    channel = Terminal(paper.write, Look(), Wall(), on_a_full_disk)

    await channel.send("terminal:you", WEEK, plain=False)

    assert "could not be written" in paper.getvalue()
    assert "It doubled on three days." in paper.getvalue()


async def test_photos_that_a_terminal_cannot_show_are_told_in_words() -> None:
    channel, paper = terminal()
    strip = Strip(
        culture="c1", alt="2 photos of Juniper.", title="Juniper", subtitle="", missing="",
        snapshots=(),
    )  # fmt: skip

    await channel.send(
        "terminal:you", Message(kind="reply", text="Your photos.", strip=strip), plain=False
    )

    assert "Your photos." in paper.getvalue()
    assert "In words: 2 photos of Juniper." in paper.getvalue()


async def test_no_character_of_a_name_gives_the_terminal_an_order() -> None:
    channel, paper = terminal()
    sly = Message(kind="reply", heading="\x1b[2JBoo\x07", text="a\x9b31mb\r\ud800c")

    await channel.send("terminal:you", sly, plain=False)

    assert paper.getvalue() == "  [2JBoo\n  a31mbc\n\n"


async def test_what_the_bot_says_unasked_stands_under_the_time_on_the_persons_wall() -> None:
    channel, paper = terminal()

    await channel.send("terminal:you", Message(kind="prompt", text="Feed it."), plain=False)

    assert paper.getvalue() == "-- Tuesday 3 March, 08:05 --\n  Feed it.\n\n"


def test_the_same_minute_is_shown_once() -> None:
    wall = Wall()
    channel, paper = terminal(wall=wall)

    channel.show_time()
    channel.show_time()
    wall.local += timedelta(hours=8)
    channel.show_time()

    assert paper.getvalue() == "-- Tuesday 3 March, 08:05 --\n-- Tuesday 3 March, 16:05 --\n"


def test_a_screen_gets_emphasis_unless_it_is_not_wanted() -> None:
    assert look_of(Screen(), {}, 80).bold
    assert look_of(Screen(), {"NO_COLOR": ""}, 80).bold, "an empty NO_COLOR is none (no-color.org)"
    assert not look_of(Screen(), {"NO_COLOR": "1"}, 80).bold
    assert not look_of(Screen(), {"TERM": "dumb"}, 80).bold
    assert look_of(io.StringIO(), {}, 80) == Look()
