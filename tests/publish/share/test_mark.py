"""The workshop's mark and colour: its own, or letters on ours; readable on either ground."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from specgen.archive.archive import read_archive
from specgen.archive.phrases.colour import contrast, lightened
from specgen.publish import addresses
from specgen.publish.share.mark import accent_style, initials, mark, own_pixels
from specgen.publish.site import Site
from tests.analysis.small import BUILD, write


@pytest.mark.parametrize(
    ("first", "second", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48), ("#ff0000", "#ffffff", 4.0)],
)
def test_contrast_is_that_of_the_guidelines(first: str, second: str, ratio: float) -> None:
    """Black on white is 21 to 1; #777 on white is 4.48 to 1, the usual example of just too little.

    Source: WCAG 2.2, definition of contrast ratio; "Understanding 1.4.3" for #777777.
    """
    assert contrast(first, second) == pytest.approx(ratio, abs=0.01)
    assert contrast(second, first) == contrast(first, second)


@pytest.mark.parametrize("colour", ["#0a5a72", "#7a1f2b", "#000000", "#1b1b6f"])
def test_a_colour_has_a_tone_for_the_dark(colour: str) -> None:
    """However dark the workshop's colour, its lighter tone can be read on a dark ground."""
    assert contrast(lightened(colour, "#15191d", 7.0), "#15191d") >= 7.0


def test_letters_stand_where_there_is_no_picture() -> None:
    """Of the first two words; what stands in brackets is not part of a name."""
    assert initials("Hestmere Engine Shed (invented)") == "HE"
    assert initials("Harbour") == "H"
    assert initials("(invented)") == "·"
    assert initials("<b>&") == "B"


def test_mark_and_colour_come_from_the_settings(tmp_path: Path) -> None:
    """A picture stands inside the mark; the colour stands in the style."""
    root = write(tmp_path, BUILD)
    plain = mark(read_archive(root))
    assert "<text" in plain
    settings = root / "archive.yaml"
    settings.write_text(
        settings.read_text("utf-8") + 'mark: badge.png\naccent: "#7a1f2b"\n', "utf-8"
    )
    Image.new("RGB", (300, 300), "#7a1f2b").save(root / "badge.png")
    archive = read_archive(root)
    assert not archive.findings
    drawn = ET.fromstring(mark(archive))
    assert [it.tag.rpartition("}")[2] for it in drawn] == ["image"]
    assert "#7a1f2b" in accent_style(archive.settings)
    pixels = own_pixels(archive)
    assert pixels is not None
    assert pixels.shape == (160, 160, 4)
    assert abs(int(pixels[80, 80, 0]) - 0x7A) < 6
    items = {item.address: item for item in Site(archive).items()}
    assert "#7a1f2b" in str(items[addresses.LOOK].content)
    assert str(items[addresses.MARK].content) == mark(archive)
