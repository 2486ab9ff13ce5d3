"""A message as Telegram shows it. Limits: the Bot API's page (4,096 characters after parsing)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bot.channels.telegram.markup import LONGEST_TEXT, cut, parts, plain_parts, rows
from bot.voice.message import Chart, Choice, Message
from tests.bot_api.markup import parse_html, units

ANY = st.text(st.characters(codec=None), max_size=200)
LONG = st.lists(
    st.sampled_from(["flour ", "water. ", "<b>&", "\n\n", "\n", "\U0001f35e", "x" * 500]),
    max_size=120,
).map("".join)


def shown(message: Message) -> list[str]:
    return [parse_html(part.text)[0] for part in parts(message)]


def bold(message: Message) -> list[str]:
    text, entities = parse_html(parts(message)[0].text)
    raw = text.encode("utf-16-le")
    return [
        raw[2 * one.offset : 2 * (one.offset + one.length)].decode("utf-16-le") for one in entities
    ]


def test_the_heading_is_bold_and_the_text_is_as_it_was_said() -> None:
    message = Message(kind="prompt", heading="Day 3 & on", text="1 < 2 > 0 <b>&amp;</b>")

    assert shown(message) == ["Day 3 & on\n1 < 2 > 0 <b>&amp;</b>"]
    assert bold(message) == ["Day 3 & on"]


def test_without_a_heading_nothing_is_bold() -> None:
    assert bold(Message(kind="reply", text="Fine.")) == []


def test_plain_has_no_markup_and_no_choices() -> None:
    choice = Choice(label="Fed", key="fed")
    message = Message(kind="reply", heading="<b>", text="a & b", choices=(choice,))

    (part,) = plain_parts(message)

    assert (part.text, part.html, part.rows) == ("<b>\na & b", False, ())


def test_a_picture_that_cannot_be_shown_is_told_in_words() -> None:
    chart = Chart(name="rise", culture="c1", alt="It rose to twice its height.")

    assert shown(Message(kind="reply", text="See:", chart=chart)) == [
        "See:\n\nIt rose to twice its height."
    ]


@given(heading=st.none() | ANY, text=ANY | LONG)
def test_any_message_is_well_formed_markup_within_the_limit(heading: str | None, text: str) -> None:
    message = Message(kind="reply", heading=heading, text=text)

    for part in parts(message):
        assert units(parse_html(part.text)[0]) <= LONGEST_TEXT


@given(text=LONG, heading=st.none() | st.just("Day <3>"))
def test_cutting_a_long_message_loses_no_letter_and_repeats_none(
    text: str, heading: str | None
) -> None:
    message = Message(kind="reply", heading=heading, text=text)

    letters = "".join("".join(shown(message)).split())

    assert letters == "".join(message.plain.split())


@given(text=LONG, longest=st.integers(min_value=2, max_value=900))
def test_every_piece_is_within_its_length(text: str, longest: int) -> None:
    assert all(units(piece) <= longest for piece in cut(text, longest))


def test_a_long_text_is_cut_between_paragraphs_if_it_can_be() -> None:
    first, second = "one. " * 500, "two. " * 500

    assert cut(f"{first}\n\n{second}", 4096) == (first.strip(), second.strip())


def test_choices_come_under_the_last_piece() -> None:
    choice = Choice(label="Fed", key="fed")

    pieces = parts(Message(kind="reply", text="word " * 2000, choices=(choice,)))

    assert [part.rows for part in pieces] == [(), (), ((choice,),)]


def test_short_choices_share_a_row_and_long_ones_have_their_own() -> None:
    labels = ["Yes", "No", "Later", "Why?", "I put it in the fridge overnight", "Done"]
    choices = [Choice(label=label, key=label[:3]) for label in labels]

    assert [[choice.label for choice in row] for row in rows(choices)] == [
        ["Yes", "No", "Later"],
        ["Why?"],
        ["I put it in the fridge overnight"],
        ["Done"],
    ]
