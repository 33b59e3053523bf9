"""The table of letters' widths, against the font it was measured from."""

from __future__ import annotations

from importlib.resources import as_file, files

import pytest
from fontTools.ttLib import TTFont

from specgen.publish.charts.papers import letters
from specgen.publish.charts.scale import width_of

FONTS = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}


@pytest.mark.parametrize("bold", FONTS)
def test_every_width_is_the_font_s(bold: bool) -> None:
    """Each letter's advance is the font's own, to a thousandth of the type size."""
    resource = files("matplotlib") / "mpl-data" / "fonts" / "ttf" / FONTS[bold]
    with as_file(resource) as path:
        font = TTFont(path)
    names, metrics, em = font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
    table = letters.widths(bold=bold)
    assert {letter: round(1000 * metrics[names[ord(letter)]][0] / em) for letter in table} == table
    assert set(map(chr, range(0x20, 0x7F))) | set("°±·×−–…\u202f") <= set(table)


def test_a_broader_font_has_room() -> None:
    """What is laid out for a page leaves fifteen hundredths more than the measured font takes."""
    assert letters.advance("10", 100) == pytest.approx(2 * 63.6)
    assert width_of("10", 100) == pytest.approx(1.15 * 2 * 63.6)
    assert letters.advance("漢", 10) == 10
