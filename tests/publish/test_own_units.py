"""Units that a workshop chose, as a third system: in pages, data, terminal, charts and pictures.

1 PS is 0.735 498 75 kW (DIN 66036), 1 hp 0.745 699 87 kW, 1 lb·ft 1.355 817 9 N·m, 1 bar 100 kPa
(NIST SP 811, appendix B): 301 kW are 409.2 PS and 403.6 bhp, 512 N·m are 377.6 lb·ft.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.charts.words import both
from specgen.publish.site import Site
from specgen.publish.terminal import sheet_text
from specgen.publish.typesetting.figures import value_figure
from specgen.publish.web.handover import figure_text
from specgen.vocabulary import (
    CHOICES,
    QUANTITIES,
    System,
    own_units,
    printed_in,
    quantity,
    systems,
)
from tests.analysis.small import ARCHIVE, write
from tests.publish.pages import sheets_of, text_of

OWN = ARCHIVE.replace("units: metric", "units: {power: PS, boost: bar, torque: lb·ft}")
SHOP = own_units({"power": "PS", "boost": "bar", "torque": "lb·ft"}, "metric")
#: What only a page or style with a third system has.
_THIRD = re.compile(r"sg-own|sg-o\b|axis-own")
THIN = "\u202f"


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Archive:
    """An archive whose workshop chose three units."""
    return read_archive(write(tmp_path_factory.mktemp("own"), archive=OWN))


@pytest.fixture(scope="module")
def pages(archive: Archive) -> Mapping[str, str]:
    """Every text of its site by address."""
    return {it.address: str(it.content) for it in Site(archive).items()}


@pytest.mark.parametrize(
    ("choice", "symbol", "key", "si", "shown"),
    [
        ("power", "PS", "power", 301e3, "409\u202fPS"),
        ("power", "bhp", "power", 301e3, "404\u202fbhp"),
        ("power", "bhp", "specific_power", 100e6, "134\u202fbhp/L"),
        ("torque", "lb·ft", "torque", 512.0, "378\u202flb·ft"),
        ("torque", "Nm", "torque", 512.0, "512\u202fN·m"),
        ("boost", "bar", "boost", 71e3, "0.71\u202fbar"),
        ("boost", "inHg", "boost", 71e3, "21.0\u202finHg"),
        ("air_pressure", "mbar", "air_pressure", 99.13e3, "991\u202fmbar"),
        ("displacement", "cc", "swept_volume", 2.993e-3, "2\u202f993\u202fcc"),
        ("temperature", "degF", "charge_temperature", 331.15, "136\u202f°F"),
    ],
)
def test_figures_in_chosen_units(choice: str, symbol: str, key: str, si: float, shown: str) -> None:
    """The unit keeps the name that was chosen, with as many decimals as metric ones have."""
    with printed_in(own_units({choice: symbol}, "metric")):
        assert quantity(key).text(si, "own") == shown


def test_what_was_not_chosen_is_as_the_others() -> None:
    """All other figures are metric, or imperial where that was said."""
    both_systems: tuple[System, ...] = ("metric", "imperial")
    for others in both_systems:
        with printed_in(own_units({"power": "PS"}, others)):
            for item in QUANTITIES.values():
                if item.key not in (*CHOICES["power"], "specific_power"):
                    assert item.text(1.0, "own") == item.text(1.0, others), item.key


def test_nothing_is_left_behind() -> None:
    """Where the workshop's printing has ended there are two systems again."""
    with printed_in(SHOP):
        assert len(systems()) == 3
    assert len(systems()) == 2


def test_a_figure_stands_once_for_systems_that_read_alike() -> None:
    """One span for each text, with the classes of the systems that read so."""
    with printed_in(SHOP):
        three, own_is_imperial = value_figure("power", 301e3), value_figure("torque", 512.0)
        own_is_metric, one = value_figure("bore", 0.084), value_figure("engine_speed", 100.0)
    assert re.findall(r'class="(sg-[mio][^"]*)"', three) == ["sg-m", "sg-i", "sg-o"]
    assert re.findall(r'class="(sg-[mio][^"]*)"', own_is_imperial) == ["sg-m", "sg-i sg-o"]
    assert re.findall(r'class="(sg-[mio][^"]*)"', own_is_metric) == ["sg-m sg-o", "sg-i"]
    assert re.findall(r'class="(sg-[mio][^"]*)"', one) == []


def test_scripts_get_the_third_system() -> None:
    """A figure's text has three numbers, the last left out where it reads as the first."""
    with printed_in(SHOP):
        assert figure_text(quantity("power"), 301e3) == "301||404||409"
        assert figure_text(quantity("bore"), 0.084) == "84.0||3.307"
        assert figure_text(quantity("torque"), 512.0) == "512||378||378"
        assert both(quantity("power"), 301e3) == f"409{THIN}PS (404{THIN}hp)"


def test_pages_show_the_workshops_units_first(pages: Mapping[str, str]) -> None:
    """Every page of figures is wrapped in them, and its switch names them."""
    sheet = pages["builds/test-build/index.md"]
    assert '<div class="sg sg-own">' in sheet
    assert 'data-sg-own="PS, lb·ft"' in sheet.replace("&#183;", "·")
    assert re.search(r'class="sg-o"> 4\d\d.{0,80}PS', sheet)
    assert "0.71" in text_of(sheet)
    assert "sg-c-axis-own" in sheet
    for address in ("builds/index.md", "compare/index.md", "find/index.md", "accuracy/index.md"):
        assert "sg-own" in pages[address], address
    assert '"PS"' in pages["compare/builds.js"]
    assert ".sg-o" in pages["assets/specgen/specgen.css"]


def test_other_sites_carry_nothing_of_it(tmp_path: Path) -> None:
    """Pages, scripts and style of a workshop without units of its own have no third system."""
    bare = Site(read_archive(write(tmp_path)))
    kinds = (".md", ".css")
    texts = {it.address: str(it.content) for it in bare.items() if it.address.endswith(kinds)}
    assert not [name for name, text in texts.items() if _THIRD.search(text)]


def test_terminal_prints_them(archive: Archive) -> None:
    """A sheet in the terminal is in the workshop's own units."""
    sheet = sheets_of(Site(archive))["test-build"]
    with printed_in(archive.settings.units.own):
        text = sheet_text(sheet, "own")
    assert "PS" in text
    assert "0.71" in text
    assert " kW" not in text.replace(THIN, " ")
