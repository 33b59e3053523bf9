"""Misses by kind of build: signed, in every figure, and against the bands."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.accuracy import Accuracy, Miss, accuracy_of
from specgen.analysis.accuracy_groups import Judged, groups
from specgen.analysis.sheet import analyse
from specgen.archive.archive import read_archive

pytestmark = pytest.mark.slow

DEMO = Path(__file__).parents[2] / "builds"


def item(charge: str, off: float, z: float) -> Judged:
    """A setup whose boost alone was compared."""
    return Judged((("Charge", charge),), (("boost", off),), (("boost", z),))


def test_bias_keeps_its_sign_and_z_does_not_cancel() -> None:
    """Two misses either way have no bias, and bands that are as wide as they should be."""
    even, one_sided = groups([item("cooled", 0.01, 1.0), item("cooled", -0.01, -1.0),
                              item("not cooled", -0.02, -2.0)])  # fmt: skip
    assert (even.name, even.count) == ("cooled", 2)
    assert dict(even.marks)["boost"].bias == pytest.approx(0.0)
    assert dict(even.marks)["boost"].rms_z == pytest.approx(1.0)
    assert dict(one_sided.marks)["boost"].bias == pytest.approx(-0.02)
    assert "power" not in dict(even.marks)


@pytest.fixture(scope="module")
def demo() -> Accuracy[Miss]:
    """The misses of the demo archive."""
    return accuracy_of(analyse(read_archive(DEMO)).values())


def test_every_setup_counts_once_in_each_trait(demo: Accuracy[Miss]) -> None:
    """The kinds of one trait share the setups out; temperatures are among what is judged."""
    fair = len(demo.misses) - len(demo.named)
    for trait in ("Charge", "Blower", "Fuel", "Resting on"):
        assert sum(group.count for group in demo.groups if group.trait == trait) == fair
    assert any("temperature" in dict(group.marks) for group in demo.groups)
