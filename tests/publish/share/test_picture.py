"""What a sheet takes along: the picture of a shared link, its words, and the code on paper."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import pytest
import segno
from PIL import Image

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Given
from specgen.publish.share import sharing as share
from specgen.publish.share.picture import HEIGHT, WIDTH, ShareFigure, name_lines, share_image
from specgen.vocabulary import QUANTITIES, Quantity

pytestmark = pytest.mark.slow

Sheets = Mapping[str, Sheet]


def pixels(picture: bytes) -> np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]:
    """The picture as an array of red, green and blue."""
    return np.asarray(Image.open(io.BytesIO(picture)).convert("RGB"))


def test_pictures_have_the_size_that_links_ask_for(sheets: Sheets) -> None:
    """1200 by 630 pixels, PNG, on white, light enough to send, and with something on it."""
    for sheet in sheets.values():
        picture = share.picture(sheet, "metric")
        assert picture.startswith(b"\x89PNG\r\n")
        drawn = pixels(picture)
        assert drawn.shape == (HEIGHT, WIDTH, 3) == (630, 1200, 3)
        assert tuple(drawn[0, 0]) == (255, 255, 255)
        inked = (drawn < 128).any(axis=2).mean()
        assert 0.01 < inked < 0.2, sheet.id
        assert len(picture) < 40_000


def test_pictures_repeat_byte_for_byte(sheets: Sheets) -> None:
    """The same sheet gives the same bytes, and other sheets others."""
    made = {name: share.picture(sheet, "metric") for name, sheet in list(sheets.items())[:4]}
    for name, picture in made.items():
        assert share.picture(sheets[name], "metric") == picture
    assert len(set(made.values())) == len(made)


def test_units_of_the_archive_lead_in_the_picture(sheets: Sheets) -> None:
    """An imperial archive has its figures in its own units."""
    sheet = sheets["lark-hydroplane"]
    assert share.picture(sheet, "metric") != share.picture(sheet, "imperial")


def test_a_curve_is_drawn_where_there_is_one(sheets: Sheets) -> None:
    """The power curve's colour is in the lower half for a curve, and not for peaks alone."""

    def coloured(name: str) -> int:
        drawn = pixels(share.picture(sheets[name], "metric")).astype(int)[330:560]
        red, green, blue = drawn[..., 0], drawn[..., 1], drawn[..., 2]
        return int(((blue - red > 90) & (green > red)).sum())

    assert coloured("lark-hydroplane") > 1000
    assert coloured("rope-tow-winch") == 0


@pytest.mark.parametrize(
    "title",
    ["A" * 200, "Überlänge " * 30, "$x_2$ \\frac{1}{2}", "発動機 🚤", "<b>&amp;</b>\n\t"],
)
def test_hard_titles_are_drawn_as_they_are(title: str) -> None:
    """No formula is read into them, no character stops the drawing, nothing leaves the paper."""
    figures = [ShareFigure("Power", "12\u202f345", "±\u202f123", "kW/L", "x " * 60)] * 6
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        drawn = pixels(share_image(title, title, figures, None, title))
    edge = 8
    assert (drawn[:edge, :] == 255).all()
    assert (drawn[60:560, -edge:] == 255).all()


def test_words_of_a_link_say_how_it_was_measured(sheets: Sheets) -> None:
    """Figures in both systems, measuring point and standing; planned is called planned."""
    said = share.description(sheets["lark-hydroplane"])
    for part in ("at the flywheel", "corrected, ISO 1585", "240\u202fkW (322\u202fhp)", "E85"):
        assert part in said
    assert "planned, not tested yet" in share.description(sheets["irrigation-pump"])


@dataclass(frozen=True)
class Page:
    """A page as a shared link knows it."""

    address: str = "builds/quiet/index.md"
    title: str = 'Quiet "six" <script>'
    description: str = "A & B"
    picture: str = "builds/quiet/share.png"
    linked: str = ""


def tagged(page: Page, site_url: str) -> dict[str, str]:
    """Names and contents of a page's tags."""
    text = share.tags(page, "Shed", site_url, folders=True)
    assert text.count("<") == text.count("<meta ") + text.count('<link rel="alternate feed" ')
    return dict(re.findall(r'<meta property="([^"]+)" content="([^"]*)">', text))


def test_tags_are_absolute_where_the_site_is_known() -> None:
    """Page and picture stand under the site's own address."""
    found = tagged(Page(), "https://shed.test/engines/")
    assert found["og:image"] == "https://shed.test/engines/builds/quiet/share.png"
    assert found["og:url"] == "https://shed.test/engines/builds/quiet/"
    assert found["og:image:width"] == "1200"
    assert found["og:title"] == "Quiet &quot;six&quot; &lt;script&gt;"
    assert found["og:description"] == "A &amp; B"


def test_tags_are_relative_where_it_is_not() -> None:
    """Without the site's address the picture is named beside the page; no address is made up."""
    found = tagged(Page(), "")
    assert found["og:image"] == "share.png"
    assert "og:url" not in found
    assert "og:image" not in tagged(replace(Page(), picture=""), "https://shed.test/")


def read(path: str, size: int) -> list[list[bool]]:
    """Paint a code's path on a grid again."""
    grid = [[False] * size for _ in range(size)]
    for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", path):
        for at in range(int(x), int(x) + int(width)):
            assert not grid[int(y)][at]
            grid[int(y)][at] = True
    return grid


@pytest.mark.parametrize(
    "address", ["https://shed.test/builds/lark/", "https://shed.test/" + "long-name/" * 20]
)
def test_the_code_is_that_of_the_address(address: str) -> None:
    """Painted again it is the code of the address, with the quiet zone that readers need."""
    drawn = share.code(address)
    box = re.search(r'viewBox="0 0 (\d+) \1"', drawn)
    path = re.search(r' d="([^"]+)"', drawn)
    assert box is not None
    assert path is not None
    grid = read(path.group(1), int(box.group(1)))
    inner = [row[4:-4] for row in grid[4:-4]]
    assert inner == [[bool(it) for it in row] for row in segno.make_qr(address, error="m").matrix]
    assert not any(any(row) for row in [*grid[:4], *grid[-4:]])
    assert not any(row[at] for row in grid for at in (*range(4), *range(-4, 0)))
    # finder patterns of ISO/IEC 18004 (from memory): a dark ring of seven in three corners
    for row, column in ((0, 0), (0, len(inner) - 7), (len(inner) - 7, 0)):
        assert all(inner[row][column : column + 7])
        assert not any(inner[row + 1][column + 1 : column + 6])
    assert "style" not in drawn


def test_pages_carry_their_words_as_given(sheets: Sheets) -> None:
    """A title of markup stays a title in the picture's words."""
    sheet = next(iter(sheets.values()))
    title = Given("<b>x</b>", "<b>x</b>", sheet.build.title.place)
    changed = replace(sheet, build=replace(sheet.build, title=title))
    assert share.picture(changed, "metric").startswith(b"\x89PNG")


@pytest.mark.parametrize("shown", list(QUANTITIES.values()), ids=lambda it: it.key)
def test_the_name_of_a_figure_is_never_cut(shown: Quantity) -> None:
    """Two lines of the narrowest column hold the name of every quantity."""
    assert " ".join(name_lines(shown.title, 4)) == shown.title
