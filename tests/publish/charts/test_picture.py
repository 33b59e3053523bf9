"""Charts as files: the same drawing, whole, with its words, and the same bytes every time."""

from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
import warnings

import matplotlib as mpl
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from specgen.publish.charts.door import power_and_torque
from specgen.publish.charts.frame import framed
from specgen.publish.charts.papers import inks
from specgen.publish.charts.papers.canvas import Arc, Canvas
from specgen.publish.charts.papers.letters import advance
from specgen.publish.charts.papers.picture import Layout, file_of, pixels
from tests.publish.charts.samples import SVG, charts, pull, tree

pytestmark = pytest.mark.slow

LAYOUTS: dict[Layout, bytes] = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}
#: One chart of each kind.
KINDS = ("usual", "boost", "limits-planned", "air", "belt", "valves", "timing", "misses")


def inked(canvas: Canvas) -> NDArray[np.bool_]:
    """Where a drawing is not white, shape (height, width)."""
    dark: NDArray[np.bool_] = pixels(canvas)[:, :, :3].min(axis=2) < 200
    return dark


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("key", KINDS)
def test_every_kind_is_drawn_in_every_layout(key: str, layout: Layout) -> None:
    """Each kind of chart becomes a file of each kind, its size as asked."""
    chart = charts()[key]
    data = file_of(chart.broad, layout, 900, chart.title)
    assert data.startswith(LAYOUTS[layout])
    height = 900 * chart.broad.height / chart.broad.width
    if layout == "png":
        image = Image.open(io.BytesIO(data))
        assert image.width == 900
        assert image.height == pytest.approx(height, abs=1)
    if layout == "svg":
        root = tree(data.decode())
        assert [float(root.get(it, "").removesuffix("pt")) for it in ("width", "height")] == [
            900,
            pytest.approx(height, abs=0.01),
        ]
        assert root.tag == f"{SVG}svg"
    if layout == "pdf":
        box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+) ?\]", data)
        assert box is not None
        assert [float(box[1]), float(box[2])] == [900, pytest.approx(height, abs=0.01)]


def test_marks_stand_where_the_canvas_has_them() -> None:
    """Strokes, dots, areas, circles and arcs cover the pixels they should, counted from the top."""
    canvas = Canvas(100, 60)
    canvas.line([10, 50], [10, 10], inks.INK, width=4)
    canvas.dots([80], [20], inks.INK, size=10)
    canvas.area([(10, 30), (30, 30), (30, 50), (10, 50)], inks.INK)
    canvas.circle((50, 40), 8, fill=inks.INK)
    arc = Arc((80, 45), 10, (90, 45), large=False, clockwise=True)
    canvas.curve((70, 45), [arc], inks.INK, width=3, blunt=True)
    canvas.segments([((0, 58), (100, 58))], inks.INK, opacity=0.0, role="grid-imperial")
    found = inked(canvas)
    for y, x in ((10, 30), (20, 80), (40, 20), (40, 50), (35, 80)):
        assert found[y, x], (x, y)
    for y, x in ((50, 30), (55, 80), (20, 20), (58, 50), (45, 80), (30, 50)):
        assert not found[y, x], (x, y)
    assert found[12:28, 72:88].sum() == pytest.approx(np.pi * 25, rel=0.15)


@pytest.mark.parametrize("bold", [False, True])
def test_words_are_as_broad_as_the_table_says(bold: bool) -> None:
    """A line of text, drawn, is as long as the table of letters has it."""
    text = "HEAT 1234 mm over the cooler H"
    canvas = Canvas(1200, 60)
    canvas.words(20, 40, text, size=30, bold=bold)
    columns = np.flatnonzero(inked(canvas).any(axis=0))
    # Kerning draws some pairs nearer, and the first and last letter have white at their sides.
    assert columns[-1] - columns[0] == pytest.approx(advance(text, 30, bold=bold), rel=0.025)


def test_a_file_has_its_finding_and_whose_it_is() -> None:
    """On a sheet of its own a drawing keeps its marks, between a title and a foot."""
    chart = charts()["usual"]
    sheet = framed(chart.broad, chart.title, "Whose, where")
    texts = [mark.text for mark in sheet.marks if hasattr(mark, "text")]
    assert (texts[0], texts[-1]) == (chart.title, "Whose, where")
    assert len(sheet.marks) == len(chart.broad.marks) + 3
    found = inked(sheet)
    assert not found[:10].any()
    assert not found[-10:].any()
    assert not found[:, :10].any()
    assert not found[:, -10:].any()


def test_letters_the_font_lacks_do_not_warn() -> None:
    """A character that the font does not have is drawn as a box."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        file_of(power_and_torque(pull("漢字 🚤")).broad, "png", 400)


def test_settings_of_the_library_are_left_alone() -> None:
    """Drawing a file changes no setting that others in the process would notice."""
    before = dict(mpl.rcParams)
    file_of(charts()["belt"].broad, "pdf", 400)
    assert dict(mpl.rcParams) == before


def digest() -> str:
    """One number for the bytes of a chart in every layout."""
    drawn = [file_of(charts()["timing"].broad, layout, 500, "A title") for layout in LAYOUTS]
    return hashlib.sha256(b"".join(drawn)).hexdigest()


def test_bytes_repeat() -> None:
    """Drawn again, and in another process on another day, every byte is the same."""
    code = "from tests.publish.charts.test_picture import digest; print(digest())"
    surroundings = {**os.environ, "PYTHONHASHSEED": "7", "SOURCE_DATE_EPOCH": "86400"}
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=surroundings, check=True
    )
    assert digest() == digest() == result.stdout.strip()


def test_pages_need_no_drawing_library() -> None:
    """A chart for a page is drawn and written without matplotlib."""
    code = (
        "import sys; from tests.publish.charts.samples import charts\n"
        "text = ''.join(it.wide + it.narrow for it in charts().values())\n"
        "print(len(text) > 1000, [it for it in sys.modules if it.startswith('matplotlib')])"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert result.stdout.strip() == "True []"
