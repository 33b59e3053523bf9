"""Whatever a check passes can be shown and published: archives typed by chance."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from specgen.publish.export import export
from specgen.publish.making.build import Parts, made_build
from specgen.publish.sheet.page import Surroundings
from specgen.publish.terminal import sheet_text

Draw = Callable[[st.SearchStrategy[Any]], Any]

SETTINGS = "format: 1\nname: Typed by chance (invented)\ninvented: true\n"
#: Kinds of blower with the keys that each must have, and some that it may have.
BLOWERS = {
    "lobe": ("displacement: {size} L",),
    "vane": ("displacement: {size} L", "built_in_ratio: 1.2"),
    "screw": ("displacement: {size} L", "built_in_ratio: 1.4", "max_speed: 16000 rpm"),
    "centrifugal": ("internal_ratio: 3.5", "rotor_diameter: 90 mm"),
}
FUELS = ("petrol-98", "e50", "e85", "methanol", "{petrol: 30 %, ethanol: 70 %}")


class Typist:
    """Somebody who types a build by chance."""

    def __init__(self, draw: Draw) -> None:
        self.draw = draw
        self.top = self.number(30, 95) * 100
        self.kind = draw(st.sampled_from([*BLOWERS, "", "turbo"]))
        self.sizes = draw(st.lists(st.integers(55, 140), min_size=1, max_size=3, unique=True))

    def number(self, low: int, high: int) -> int:
        """A whole number."""
        return int(self.draw(st.integers(low, high)))

    def maybe(self, text: str) -> list[str]:
        """A key that is there or not."""
        return [text] if self.draw(st.booleans()) else []

    def archive(self) -> dict[str, str]:
        """All files by their path."""
        units, air = st.sampled_from(["metric", "imperial"]), st.sampled_from(["iso-1585", "none"])
        rest = f"units: {self.draw(units)}\ncorrection: {self.draw(air)}\n"
        files = {"archive.yaml": SETTINGS + rest, "odd/build.yaml": "\n".join(self.build()) + "\n"}
        if self.kind in BLOWERS:
            keys = [key.format(size=self.number(1, 40) / 10) for key in BLOWERS[self.kind]]
            blower = ["format: 1", "title: One", f"kind: {self.kind}", *keys]
            files["blowers/one.yaml"] = "\n".join(blower) + "\n"
        return files

    def build(self) -> Iterator[str]:
        """The lines of build.yaml."""
        yield from ("format: 1", "title: Typed by chance")
        yield f"engine: {{{', '.join(self.engine())}}}"
        yield f"induction: {{{', '.join(self.induction())}}}"
        if self.kind in BLOWERS:
            crank = self.number(90, 200)
            yield f"drive: {{crank_pulley: {crank} mm, blower_pulley: {self.sizes[0]} mm}}"
        yield "setups:"
        for at, size in enumerate(self.sizes):
            pulley = f", blower_pulley: {size} mm" if self.kind in BLOWERS else ""
            yield f"  - {{id: s{at}, fuel: {self.draw(st.sampled_from(FUELS))}{pulley}}}"
        yield from self.session()

    def engine(self) -> Iterator[str]:
        """Sizes from the usual to the odd."""
        yield f"cylinders: {self.number(1, 12)}"
        yield f"bore: {self.number(45, 110)} mm"
        yield f"stroke: {self.number(40, 120)} mm"
        yield from self.maybe(f"compression_ratio: {self.number(70, 130) / 10}")
        yield from self.maybe(f"max_speed: {self.top} rpm")
        yield from self.maybe(f"valves_per_cylinder: {self.number(2, 5)}")

    def induction(self) -> Iterator[str]:
        """One of the three ways of feeding, with its losses or without."""
        if self.kind == "":
            yield "natural: true"
        elif self.kind == "turbo":
            yield "turbocharger: {title: Some turbocharger}"
        else:
            yield "blower: one"
            loss = f"{self.number(0, 90) / 10} kPa at {self.top} rpm"
            yield from self.maybe(f"inlet_pressure_drop: {loss}")
            yield from self.maybe("charge_cooler: {kind: air-to-water, effectiveness: 70 %}")

    def session(self) -> Iterator[str]:
        """A visit to a dyno with peaks of some setups; or none."""
        places = st.integers(0, len(self.sizes) - 1)
        tested = self.draw(st.lists(places, max_size=len(self.sizes), unique=True))
        if not tested:
            return
        point = self.draw(st.sampled_from(["flywheel", "hub", "roller"]))
        figures = self.draw(st.sampled_from(["observed", "unknown", "{corrected: sae-j607}"]))
        yield from ("sessions:", "  - date: 2025-05-14")
        kind = "engine" if point == "flywheel" else point
        yield f"    dyno: {{kind: {kind}, measured_at: {point}}}"
        yield f"    figures: {figures}"
        air = "pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %"
        yield from self.maybe(f"    air: {{{air}}}")
        yield "    pulls:"
        for at in tested:
            power, boost = self.number(20, 900), self.number(0, 180)
            peaks = f"power: {power} kW at {self.top} rpm, boost: {boost} kPa"
            yield f"      - {{setup: s{at}, peaks: {{{peaks}}}}}"


@st.composite
def archives(draw: Draw) -> dict[str, str]:
    """Files of an archive with one build."""
    return Typist(draw).archive()


@pytest.mark.slow
@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(files=archives())
def test_what_a_check_passes_is_shown_and_made(files: dict[str, str]) -> None:
    """A sheet in the terminal and all pages of the build, without a fault of ours."""
    with tempfile.TemporaryDirectory() as name:
        archive = read_archive(_written(Path(name), files))
        errors = [it for it in archive.findings if it.severity == "error"]
        event("passed" if not errors else f"left out: {errors[0].code}")
        assert bool(errors) != ("odd" in archive.builds)
        if errors:
            return
        sheet_text(sheet_of(archive, archive.builds["odd"]), "metric", everything=True)
        made = made_build(Parts(archive).of("odd"), Surroundings())
        assert made.fault is None, (made.fault, files["odd/build.yaml"])


@pytest.mark.slow
@settings(max_examples=2, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(files=archives())
def test_what_a_check_passes_is_exported(files: dict[str, str]) -> None:
    """The whole way out, with all that sums up."""
    with tempfile.TemporaryDirectory() as name:
        root = _written(Path(name, "builds"), files)
        archive = read_archive(root)
        told: list[Any] = []
        assert export(archive, Path(name, "out"), faults=told.extend) > 20
        assert "not-made" not in [it.code for it in told]


def _written(root: Path, files: dict[str, str]) -> Path:
    for file, text in files.items():
        (root / file).parent.mkdir(parents=True, exist_ok=True)
        (root / file).write_text(text, encoding="utf-8")
    return root
