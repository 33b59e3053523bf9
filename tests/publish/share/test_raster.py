"""A canvas as pixels: lines cover what they should, and what is not known is refused."""

from __future__ import annotations

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.papers.letters import advance
from specgen.publish.share.raster import png

BLACK = "#000000"


def darkness(canvas: Canvas) -> NDArray[np.float64]:
    """How dark each pixel is, 0 to 1."""
    picture = Image.open(io.BytesIO(png(canvas))).convert("L")
    return 1.0 - np.asarray(picture) / 255.0


def test_a_level_line_covers_its_pixels_and_no_others() -> None:
    """Four wide around y = 20: rows 18 to 21, with round ends beyond."""
    canvas = Canvas(100, 40)
    canvas.line([10, 90], [20, 20], BLACK, width=4)
    drawn = darkness(canvas)
    assert (drawn[18:22, 10:90] > 0.95).all()
    assert not drawn[:17].any()
    assert not drawn[23:].any()
    assert not drawn[:, :7].any()


@pytest.mark.parametrize("end", [(90.0, 90.0), (90.0, 31.0), (12.0, 90.0)])
def test_a_slanting_line_is_as_dark_as_it_is_long_and_wide(end: tuple[float, float]) -> None:
    """The inked area is length times width and a disc's for the two ends."""
    canvas = Canvas(100, 100)
    canvas.line([10, end[0]], [10, end[1]], BLACK, width=4)
    length = np.hypot(end[0] - 10, end[1] - 10)
    assert darkness(canvas).sum() == pytest.approx(4 * length + np.pi * 4, rel=0.02)


def test_a_dot_is_a_disc() -> None:
    """Its area is that of its width."""
    canvas = Canvas(60, 60)
    canvas.dots([30], [30], BLACK, size=20)
    assert darkness(canvas).sum() == pytest.approx(np.pi * 100, rel=0.02)


def test_a_gap_parts_a_line_and_the_paper_ends_it() -> None:
    """Nothing is drawn over a NaN, and what leaves the paper leaves no trace of failing."""
    canvas = Canvas(100, 40)
    canvas.line([-50, 40, float("nan"), 60, 400], [20] * 5, BLACK, width=2)
    drawn = darkness(canvas)[19:21].max(axis=0)
    assert drawn[0] > 0.9
    assert not drawn[44:56].any()
    assert drawn[99] > 0.9
    canvas.line([200, 300], [20, 20], BLACK)
    assert (darkness(canvas)[19:21].max(axis=0) == drawn).all()


@pytest.mark.parametrize("bold", [False, True])
def test_words_take_the_room_that_was_reckoned(bold: bool) -> None:
    """The letters are those that the table of widths was measured from."""
    canvas = Canvas(1200, 100)
    canvas.words(10, 60, "H12 345 kW, an engine of 3.0 LH", size=50, colour=BLACK, bold=bold)
    inked = np.flatnonzero(darkness(canvas).max(axis=0) > 0.5)
    reckoned = advance("H12 345 kW, an engine of 3.0 LH", 50, bold=bold)
    assert inked[-1] - inked[0] == pytest.approx(reckoned, abs=0.1 * 50 + 8)


@pytest.mark.parametrize(("anchor", "side"), [("left", 0), ("center", 1), ("right", 2)])
def test_words_stand_on_their_place(anchor: str, side: int) -> None:
    """At the left end, in the middle or at the right end."""
    canvas = Canvas(400, 60)
    canvas.words(200, 40, "HHHH", size=30, colour=BLACK, anchor=anchor)  # type: ignore[arg-type]
    columns = np.flatnonzero(darkness(canvas).max(axis=0) > 0.5)
    ends = (columns[0], (columns[0] + columns[-1]) / 2, columns[-1])
    assert ends[side] == pytest.approx(200, abs=5)


def test_what_it_cannot_draw_is_refused() -> None:
    """A dashed line would come out solid: nobody is told a measured line for an estimate."""
    canvas = Canvas(100, 40)
    canvas.line([10, 90], [20, 20], BLACK, dash=(4, 4))
    with pytest.raises(TypeError, match="no Stroke"):
        png(canvas)
