"""Colours: contrast by WCAG 2.2 (1.4.3 text 4.5 to 1, 1.4.11 graphics 3 to 1), and for colour-blind eyes.

Colour blindness is simulated with the matrices for full dichromacy of Machado, Oliveira and Fernandes,
"A physiologically-based model for simulation of color vision deficiency", IEEE Trans. Vis. Comput.
Graph. 15 (2009) 1291 (values from memory). Differences are CIE 1976 distances in L*a*b*, D65.
"""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from bot.charts.palette import DARK, LIGHT, Palette, contrast, luminance

PALETTES = [pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark")]

DICHROMATS = {
    "no red": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "no green": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "no blue": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}  # fmt: skip


def linear(colour: str) -> NDArray[np.float64]:
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def lab(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    share = to_xyz @ np.clip(rgb, 0.0, 1.0) / np.array([0.9505, 1.0, 1.089])
    root = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


def distance(one: str, other: str, seen: NDArray[np.float64]) -> float:
    return float(np.linalg.norm(lab(seen @ linear(one)) - lab(seen @ linear(other))))


def test_luminance_and_contrast_are_those_of_the_standard() -> None:
    assert luminance("#ffffff") == pytest.approx(1.0)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(
        4.48, abs=0.01
    )  # WCAG's well-known near miss


@pytest.mark.parametrize("palette", PALETTES)
def test_words_stand_out_on_every_ground_they_stand_on(palette: Palette) -> None:
    grounds = (palette.paper, palette.column)

    assert all(contrast(palette.ink, ground) >= 7.0 for ground in grounds)
    assert all(contrast(palette.muted, ground) >= 4.5 for ground in grounds)
    assert all(contrast(palette.alarm, ground) >= 4.5 for ground in grounds)
    assert all(contrast(palette.ink, phase) >= 7.0 for phase in palette.phases.values())
    assert contrast(palette.ink, palette.cold) >= 4.5


@pytest.mark.parametrize("palette", PALETTES)
def test_marks_and_lines_stand_out(palette: Palette) -> None:
    for ground in (palette.paper, palette.column):
        for mark in (palette.expected_line, palette.seen, palette.warmth, palette.alarm):
            assert contrast(mark, ground) >= 3.0
    assert contrast(palette.seen, palette.expected) >= 3.0
    assert contrast(palette.expected_line, palette.expected) >= 3.0


@pytest.mark.parametrize("palette", PALETTES)
@pytest.mark.parametrize("eyes", DICHROMATS)
def test_the_four_kinds_of_things_stay_apart_for_colour_blind_eyes(
    palette: Palette, eyes: str
) -> None:
    things = (palette.expected_line, palette.seen, palette.warmth, palette.alarm)
    seen = np.array(DICHROMATS[eyes])

    nearest = min(distance(one, other, seen) for one, other in combinations(things, 2))

    assert nearest >= 20.0  # 2.3 is the least difference that eyes can see side by side


@pytest.mark.parametrize("palette", PALETTES)
def test_phases_that_follow_one_another_look_different(palette: Palette) -> None:
    grounds = list(palette.phases.values())

    for before, after in pairwise(grounds):
        assert (
            min(distance(before, after, np.array(matrix)) for matrix in DICHROMATS.values()) >= 6.0
        )
