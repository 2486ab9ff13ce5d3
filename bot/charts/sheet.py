"""A sheet of paper measured in phone pixels: 360 wide, x to the right, y down from the top.

Everything is placed by hand on a bare figure: a phone leaves no room for a margin that a plotting
library guesses, and a picture without axes takes a third of the time.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Literal, TypeAlias

import matplotlib
import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, get_font
from matplotlib.lines import Line2D
from matplotlib.patches import FancyBboxPatch, PathPatch, Polygon, Rectangle
from matplotlib.path import Path as Outline
from matplotlib.text import Text
from matplotlib.transforms import Affine2D
from numpy.typing import NDArray
from PIL import Image
from PIL.PngImagePlugin import PngInfo

WIDTH = 360.0
SCALE = 3
"""A phone's screen has about three dots to a pixel: the picture is 1080 dots wide."""

Point: TypeAlias = tuple[float, float]
Align: TypeAlias = Literal["left", "center", "right"]

_PX_PER_INCH = 100.0
_PT = 72.0 / _PX_PER_INCH
"""Points to a phone pixel: the library counts sizes in points."""


class Sheet:
    """One picture in the making."""

    def __init__(self, height: float, paper: str) -> None:
        self.height = height
        self.figure = Figure(
            figsize=(WIDTH / _PX_PER_INCH, height / _PX_PER_INCH),
            dpi=_PX_PER_INCH * SCALE,
            facecolor=paper,
            edgecolor=paper,
            linewidth=0.0,
        )
        canvas = FigureCanvasAgg(self.figure)
        self.renderer: RendererAgg = canvas.get_renderer()  # type: ignore[no-untyped-call]
        self._drawn = 0
        self._place = Affine2D().scale(1.0, -1.0).translate(0.0, height).scale(SCALE)

    def text(
        self,
        at: Point,
        words: str,
        *,
        size: float,
        colour: str,
        bold: bool = False,
        align: Align = "left",
        role: str = "",
    ) -> Text:
        """Words on the line that y gives, without what the font cannot draw."""
        text = self.figure.text(
            *at,
            drawable(words),
            transform=self._place,
            fontproperties=_font(bold),
            fontsize=size * _PT,
            color=colour,
            ha=align,
            va="baseline",
            parse_math=False,
            usetex=False,
        )
        text.set_gid(role)
        text.set_zorder(self._above())
        return text

    def box(self, corner: Point, size: Point, colour: str, *, round_px: float = 0.0) -> None:
        """A filled rectangle; ``corner`` is its upper left."""
        if round_px:
            style = f"round,pad=0,rounding_size={min(round_px, size[0] / 2, size[1] / 2):g}"
            patch: Artist = FancyBboxPatch(corner, *size, boxstyle=style, fc=colour, ec="none")
        else:
            patch = Rectangle(corner, *size, fc=colour, ec="none")
        self._add(patch)

    def area(self, outline: Sequence[Point], colour: str) -> None:
        self._add(Polygon(outline, closed=True, fc=colour, ec="none"))

    def line(
        self, points: Sequence[Point], colour: str, *, width: float, dashes: Point | None = None
    ) -> None:
        line = Line2D(
            [x for x, _ in points],
            [y for _, y in points],
            color=colour,
            linewidth=width * _PT,
            solid_capstyle="round",
            solid_joinstyle="round",
            marker="None",
        )
        if dashes is not None:
            # Counted in line widths.
            line.set_linestyle((0.0, (dashes[0] / width, dashes[1] / width)))
            line.set_dash_capstyle("butt")
        else:
            line.set_linestyle("-")
        self._add(line)

    def shape(
        self, outline: Sequence[Point], colour: str, *, edge: str = "none", width: float = 0.0
    ) -> None:
        """A closed shape, filled, with an edge perhaps."""
        self._add(
            Polygon(
                outline, closed=True, fc=colour, ec=edge, linewidth=width * _PT, joinstyle="round"
            )
        )

    def disc(
        self, centre: Point, radius: float, colour: str, *, edge: str = "none", width: float = 0.0
    ) -> None:
        circle = Outline.circle(centre, radius)
        self._add(PathPatch(circle, fc=colour, ec=edge, linewidth=width * _PT))

    def picture(self, corner: Point, dots: NDArray[np.uint8]) -> None:
        """Rows of red, green and blue, one dot of the sheet each; ``corner`` is the upper left."""
        x, y = corner[0], self.height - corner[1] - dots.shape[0] / SCALE
        image = self.figure.figimage(
            dots, round(x * SCALE), round(y * SCALE), origin="upper", zorder=self._above()
        )
        image.set_gid("picture")

    def width_of(self, words: str, *, size: float, bold: bool = False) -> float:
        """How wide the words will be, in pixels."""
        text = Text(
            0.0, 0.0, drawable(words), fontproperties=_font(bold), fontsize=size * _PT,
            parse_math=False, usetex=False,
        )  # fmt: skip
        text.set_figure(self.figure)
        return float(text.get_window_extent(self.renderer).width) / SCALE

    def fitted(self, words: str, room: float, *, size: float, bold: bool = False) -> str:
        """The words, cut short with an ellipsis where they need more than ``room`` pixels."""
        words = drawable(words)
        if self.width_of(words, size=size, bold=bold) <= room:
            return words
        fits, too_long = 0, len(words)
        while too_long - fits > 1:
            half = (fits + too_long) // 2
            if self.width_of(words[:half].rstrip() + "…", size=size, bold=bold) <= room:
                fits = half
            else:
                too_long = half
        return words[:fits].rstrip() + "…" if fits else ""

    def png(self, about: str) -> bytes:
        """The picture with ``about`` as its description; no date and no maker, so that it stays the same."""
        self.figure.draw(self.renderer)
        image = Image.fromarray(np.asarray(self.renderer.buffer_rgba()))  # type: ignore[no-untyped-call]
        noted = PngInfo()
        noted.add_itxt("Description", about)
        written = io.BytesIO()
        image.convert("RGB").save(written, "PNG", compress_level=6, pnginfo=noted)
        return written.getvalue()

    def _add(self, artist: Artist) -> None:
        artist.set_transform(self._place)
        artist.set_zorder(self._above())
        self.figure.add_artist(artist)

    def _above(self) -> int:
        """What is drawn later lies above what was drawn before."""
        self._drawn += 1
        return self._drawn


def drawable(words: str) -> str:
    """Without the characters that the font has no form for: a name may hold any."""
    known = _known()
    return " ".join("".join(c for c in words if ord(c) in known or c.isspace()).split())


@cache
def _font(bold: bool) -> FontProperties:
    """The font that comes with the library, by its file: no look round this machine's fonts."""
    return FontProperties(fname=_file(bold))


@cache
def _file(bold: bool) -> Path:
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name


@cache
def _known() -> frozenset[int]:
    """What both weights can draw."""
    plain, bold = (get_font(str(_file(weight))).get_charmap() for weight in (False, True))
    return frozenset(plain) & frozenset(bold)
