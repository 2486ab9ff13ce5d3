"""What a painted picture holds: its words, whole and apart from one another, at a phone's width."""

from __future__ import annotations

import io
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.text import Text
from matplotlib.transforms import Bbox
from PIL import Image

from bot.charts.layout import SMALL
from bot.charts.paint import paint, sheet_of
from bot.charts.palette import contrast
from bot.charts.sheet import SCALE, WIDTH, Sheet, drawable
from bot.voice.chart import Chart, Lane, Mark, Stay, Warmth
from bot.voice.week_chart import week_chart
from tests.charts.weeks import Kitchen, first_week, grown_week, spoiled_week, untold_week


def chart_of(kitchen: Kitchen, day: int, clock: str) -> Chart:
    return week_chart(kitchen.dossier, kitchen.jar, kitchen.at(day, clock))


FIRST = chart_of(first_week(), 7, "18:00")
GROWN = chart_of(grown_week(), 30, "21:30")
SPOILED = chart_of(spoiled_week(), 7, "18:30")
UNTOLD = chart_of(untold_week(), 2, "18:00")
AMERICAN = chart_of(Kitchen(units="us"), 3, "10:00")
WEEKS = [
    pytest.param(FIRST, id="first"),
    pytest.param(GROWN, id="grown"),
    pytest.param(SPOILED, id="spoiled"),
    pytest.param(UNTOLD, id="untold"),
    pytest.param(AMERICAN, id="american"),
]


def texts(sheet: Sheet) -> list[Text]:
    return [text for text in sheet.figure.texts if text.get_text()]


def words(sheet: Sheet, role: str) -> list[str]:
    return [text.get_text() for text in texts(sheet) if text.get_gid() == role]


def boxes(sheet: Sheet) -> Iterator[tuple[str, Bbox]]:
    """Everything that was drawn, in phone pixels from the lower left."""
    for artist in sheet.figure.get_children():
        if artist is sheet.figure.patch or (isinstance(artist, Text) and not artist.get_text()):
            continue
        box = artist.get_window_extent(sheet.renderer)
        yield str(artist), Bbox(box.get_points() / SCALE)


def assert_whole(sheet: Sheet) -> None:
    for what, box in boxes(sheet):
        assert box.x0 >= 1.0 and box.x1 <= WIDTH - 1.0, what
        assert box.y0 >= 0.0 and box.y1 <= sheet.height, what


def assert_apart(sheet: Sheet) -> None:
    shown = [
        (text.get_text(), text.get_window_extent(sheet.renderer).padded(-SCALE / 2))
        for text in texts(sheet)
    ]
    for (one, here), (other, there) in combinations(shown, 2):
        assert not here.overlaps(there), f"{one!r} lies over {other!r}"


@pytest.mark.parametrize("chart", WEEKS)
def test_nothing_is_clipped(chart: Chart) -> None:
    assert_whole(sheet_of(chart))


@pytest.mark.parametrize("chart", WEEKS)
def test_no_words_lie_over_others(chart: Chart) -> None:
    assert_apart(sheet_of(chart))


@pytest.mark.parametrize("chart", WEEKS)
def test_no_letter_is_smaller_than_eleven_pixels_on_a_phone(chart: Chart) -> None:
    sizes = {
        text.get_fontsize() / 72 * sheet.figure.dpi / SCALE
        for sheet in [sheet_of(chart)]
        for text in texts(sheet)
    }

    assert min(sizes) == pytest.approx(SMALL)
    assert SMALL >= 11.0


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("chart", [FIRST, GROWN, SPOILED, UNTOLD])
def test_every_word_stands_out_from_what_is_really_behind_it(chart: Chart, dark: bool) -> None:
    sheet = sheet_of(chart, dark=dark)
    picture = np.asarray(Image.open(io.BytesIO(paint(chart, dark=dark))))

    for text in texts(sheet):
        box = text.get_window_extent(sheet.renderer)
        top = round(sheet.height * SCALE - box.y1)
        part = picture[top : round(top + box.height), round(box.x0) : round(box.x1)]
        (ground, _), *_ = Counter(map(tuple, part.reshape(-1, 3).tolist())).most_common()
        behind = "#" + "".join(f"{share:02x}" for share in ground)
        assert contrast(str(text.get_color()), behind) >= 4.5, text.get_text()


def test_the_picture_names_the_culture_its_days_and_its_rows() -> None:
    sheet = sheet_of(FIRST)

    assert words(sheet, "title") == ["Biscuit", "Days 1 to 7, 2–8 Mar"]
    assert words(sheet, "day") == ["1", "2", "3", "4", "5", "6", "7"]
    assert words(sheet, "weekday") == ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
    assert {"as fed", "doubled", "tripled", "fed", "bubbles", "smell", "kitchen"} <= set(
        words(sheet, "row")
    )
    assert words(sheet, "key") == ["what you saw", "what was expected"]
    assert words(sheet, "now") == ["now"]


def test_the_phases_of_the_week_are_all_named() -> None:
    assert words(sheet_of(FIRST), "phase") == ["soaking", "early gas", "quiet days", "yeast"]


def test_what_was_reported_is_marked_with_its_word() -> None:
    assert sorted(words(sheet_of(SPOILED), "mark")) == [
        "cheesy", "cheesy", "floury", "fruity", "liquid", "mould", "sour", "sour",
    ]  # fmt: skip


def test_an_alarm_is_never_crowded_out() -> None:
    crowd = [Mark(at_h=160.0, symbol="dot", word="cool spot") for _ in range(20)]
    alarms = [Mark(at_h=160.0, symbol="alarm", word="mould") for _ in range(6)]

    sheet = sheet_of(replace(UNTOLD, lanes=(Lane(label="also", marks=(*crowd, *alarms)),)))

    assert words(sheet, "mark").count("mould") == 6
    assert_whole(sheet)
    assert_apart(sheet)


def test_warmth_is_shown_in_the_measure_of_the_person() -> None:
    assert words(sheet_of(FIRST), "warmth") == ["23 °C", "20 °C", "21 °C"]
    assert words(sheet_of(AMERICAN), "warmth") == ["70 °F"]


def test_an_unknown_warmth_is_asked_for_in_its_place() -> None:
    (words_there,) = words(sheet_of(UNTOLD), "warmth")

    assert "how warm" in words_there


def test_a_stay_in_the_fridge_is_named() -> None:
    assert words(sheet_of(GROWN), "stay") == ["fridge"]


@given(
    name=st.text(max_size=120)
    | st.sampled_from(
        [
            "$x^2$",
            "\\frac",
            "🍞🍞",
            "Ünïcödé",
            "عجين",
            "发酵",
            "a" * 200,
            "W " * 90,
            "",
            "_x_",
            "\x00",
        ]
    )
)
@settings(max_examples=25, deadline=None)
def test_any_name_at_all_stays_on_the_paper(name: str) -> None:
    sheet = sheet_of(replace(UNTOLD, title=name))

    assert_whole(sheet)
    assert drawable(sheet.figure.texts[-1].get_text()) == sheet.figure.texts[-1].get_text()


@given(
    marks=st.lists(
        st.builds(
            Mark,
            at_h=st.floats(0, 168),
            symbol=st.sampled_from(["feed", "bubbles", "dot", "alarm", "loaf", "word"]),
            level=st.integers(-1, 9),
            word=st.sampled_from(["", "sour", "mould", "cool spot"]),
        ),
        max_size=40,
    )
)
@settings(max_examples=25, deadline=None)
def test_any_number_of_marks_stays_whole_and_apart(marks: list[Mark]) -> None:
    crowded = replace(UNTOLD, lanes=(Lane(label="also", marks=tuple(marks)),))

    sheet = sheet_of(crowded)

    assert_whole(sheet)
    assert_apart(sheet)


@given(
    steps=st.lists(st.tuples(st.floats(0, 168), st.floats(-5, 45)), min_size=1, max_size=30),
    stay=st.tuples(st.floats(0, 168), st.floats(0, 168)),
)
@settings(max_examples=25, deadline=None)
def test_any_course_of_warmth_stays_whole_and_apart(
    steps: list[tuple[float, float]], stay: tuple[float, float]
) -> None:
    at = sorted({hour for hour, _ in steps})
    warmth = tuple(
        Warmth(from_h=start, to_h=end, celsius=celsius, label=f"{celsius:.0f} °C")
        for start, end, (_, celsius) in zip(at, [*at[1:], 168.0], steps, strict=False)
    )
    cold = Stay(from_h=min(stay), to_h=max(stay))

    sheet = sheet_of(replace(UNTOLD, warmth=warmth, stays=(cold,)))

    assert_whole(sheet)
    assert_apart(sheet)


def test_a_chart_without_anything_in_it_is_still_a_picture() -> None:
    picture = paint(Chart(name="week", culture="c1", alt="Nothing yet."))

    assert Image.open(io.BytesIO(picture)).size[0] == WIDTH * SCALE


def test_the_picture_is_a_png_that_carries_its_alternative_text_and_no_date() -> None:
    picture = Image.open(io.BytesIO(paint(FIRST)))

    assert picture.format == "PNG"
    assert picture.info == {"Description": FIRST.alt}


def test_the_same_chart_gives_the_same_bytes_in_another_process() -> None:
    painting = (
        "import sys;"
        "from bot.charts.paint import paint;"
        "from tests.charts.test_paint import FIRST;"
        "import hashlib;"
        "sys.stdout.write(hashlib.sha256(paint(FIRST)).hexdigest())"
    )

    hashes = {
        subprocess.run(
            [sys.executable, "-c", painting], capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    }

    assert len(hashes) == 1


def test_light_and_dark_show_the_same_in_other_colours() -> None:
    light, dark = sheet_of(FIRST), sheet_of(FIRST, dark=True)

    assert [text.get_text() for text in texts(light)] == [text.get_text() for text in texts(dark)]
    assert paint(FIRST) != paint(FIRST, dark=True)
