"""What was withdrawn stays to be read, and nothing is worked out, ranked or averaged from it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.analysis.accuracy import accuracy_of
from specgen.archive.archive import read_archive
from specgen.publish.site import Site
from specgen.publish.terminal import sheet_text
from tests.analysis.small import BUILD, SESSION, write
from tests.publish.pages import sheets_of, text_of

pytestmark = pytest.mark.slow

SETUPS = BUILD.replace(
    "fuel: petrol-98}\n",
    "fuel: petrol-98}\n  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n",
)
OTHER = "      - {setup: p85, peaks: {power: 280 kW at 6400 rpm, boost: 60 kPa}%s}\n"
WHY = ", withdrawn: {on: 2025-06-01, because: the torque arm was found bent}"
VISIT = """  - date: 2025-05-16
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    air: {pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}
"""
LATER = VISIT + "    pulls:\n" + OTHER % ""
#: Each way to withdraw the second pull, beside the same build without it.
PULL = (SETUPS + SESSION + OTHER % WHY, SETUPS + SESSION)
SESSIONS = (
    SETUPS + SESSION + LATER.replace("figures", f"withdrawn: {WHY[12:].lstrip(': ')}\n    figures"),
    SETUPS + SESSION,
)


def site(folder: Path, build: str) -> Site:
    """An archive of one build on its way to becoming pages."""
    return Site(read_archive(write(folder, build)))


@pytest.mark.parametrize(("withdrawn", "without"), [PULL, SESSIONS], ids=["pull", "session"])
def test_nothing_rests_on_what_was_withdrawn(withdrawn: str, without: str, tmp_path: Path) -> None:
    """Fit, ladder, comparison and finder are those of the same build without the pull."""
    sites = [site(tmp_path / name, text) for name, text in (("a", withdrawn), ("b", without))]
    sheets = [sheets_of(it)["test-build"] for it in sites]
    assert sheets[0].calibration is not None
    for name in ("boost_at_top", "estimated_power", "rotor_ratio"):
        first, second = (sheet.setups[1].rows[name] for sheet in sheets)
        assert first.present, name
        assert repr(first.value) == repr(second.value), name
    made = [{item.address: item.content for item in it.items()} for it in sites]
    for address in ("find/combos.js", "builds/test-build/compare.js"):
        assert made[0][address] == made[1][address], address
    page = text_of(str(made[0]["builds/test-build/index.md"]))
    assert "withdrawn on 1 June 2025" in page
    assert "The torque arm was found bent." in page
    assert re.search(r"280.{0,20}kW", page), "its figures stay to be read"
    assert "the torque arm was found bent" in str(made[0]["builds/test-build/sheet.json"])
    assert "withdrawn on 2025-06-01" in sheet_text(sheets[0], "metric")


def test_a_withdrawn_build_leaves_every_ranking(tmp_path: Path) -> None:
    """Its page stays with the reason; newest results, finder and accuracy leave it out."""
    build = SETUPS + SESSION + OTHER % "" + f"{WHY[2:]}\n".replace("}\n", "}\n")
    made = site(tmp_path, build)
    items = {item.address: str(item.content) for item in made.items()}
    page = text_of(items["builds/test-build/index.md"])
    assert "This build was withdrawn on 1 June 2025." in page
    assert "301" in page
    assert "Test build" not in text_of(items["index.md"])
    index = text_of(items["builds/index.md"])
    assert "Test build (withdrawn)" in index
    assert "301" not in index
    assert '"build":[]' in items["find/combos.js"]
    assert "Test build (withdrawn)" in items["compare/builds.js"]
    assert accuracy_of(sheets_of(made).values()).misses == ()
