"""The demo archive is what the simulator writes, and its YAML knows the same engines."""

from __future__ import annotations

import ast
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive, Build, Fuel, Session
from specgen.archive.model.build import Setup as WrittenSetup
from specgen.findings import as_text
from specgen.physics.air import station_pressure
from tests.generator.__main__ import BUILDS, EVERY_PULL, noted_peaks, write_curves, write_maps
from tests.generator.scenario import Day, Pull
from tests.generator.truth import FUELS, Displacer, Impeller

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def archive() -> Archive:
    """Read the demo archive once."""
    return read_archive(BUILDS)


def _days() -> list[Day]:
    days = {(pull.day.build, pull.day.date): pull.day for pull in EVERY_PULL}
    return list(days.values())


def _session(build: Build, date: str) -> Session:
    return next(session for session in build.sessions if session.date.text == date)


def test_regenerates_the_same_bytes(tmp_path: Path) -> None:
    """A second run writes every curve and map of the archive to the byte, and no other."""
    write_curves(tmp_path)
    write_maps(tmp_path)
    made = {path.relative_to(tmp_path): path.read_bytes() for path in tmp_path.rglob("*.csv")}
    kept = {path.relative_to(BUILDS): path.read_bytes() for path in BUILDS.rglob("*.csv")}
    assert sorted(made) == sorted(kept)
    assert [str(path) for path, text in kept.items() if made[path] != text] == []


def test_peaks_stand_in_the_yaml() -> None:
    """Figures that are only peaks are the simulator's, as the YAML writes them."""
    for line in noted_peaks():
        head, _, figures = line.partition(": ")
        text = (BUILDS / head.split()[0] / "build.yaml").read_text(encoding="utf-8")
        for figure in re.findall(r"\w+: ([^,]+)", figures):
            number = figure.partition(" at ")[0] if "tow-winch" in head else figure
            assert f": {number}" in text, f"{head} does not say {number}"


def test_every_pull_is_in_the_yaml(archive: Archive) -> None:
    """Each simulated pull stands in its build under its id and setup, and the reverse.

    A curve's pull is called as its file; one that is only peaks as its day and setup.
    """
    simulated = sorted(
        (
            pull.day.build,
            f"{pull.day.date}-{pull.number if pull.curve else pull.setup_id}",
            pull.setup_id,
        )
        for pull in EVERY_PULL
    )
    written = sorted(
        (build.id, pull.id, pull.setup.value)
        for build in archive.builds.values()
        for session in build.sessions
        for pull in session.pulls
    )
    assert simulated == written


@pytest.mark.parametrize("day", _days(), ids=lambda day: f"{day.build}-{day.date}")
def test_engine_and_blower_agree(archive: Archive, day: Day) -> None:
    """What the YAML says of engine and blower is what was simulated."""
    build, engine = archive.builds[day.build], day.truth.engine
    assert build.engine.cylinders.value == engine.cylinders
    assert build.engine.bore.value == pytest.approx(engine.bore)
    assert build.engine.stroke.value == pytest.approx(engine.stroke)
    for written, true in (
        (build.engine.compression_ratio, engine.compression_ratio),
        (build.engine.max_speed, engine.max_speed),
    ):
        assert written is None or written.value == pytest.approx(true)
    charger, named = day.truth.charger, build.induction.blower
    assert (named is not None) == isinstance(charger, Displacer | Impeller)
    if named and isinstance(charger, Displacer):
        blower = archive.blowers[named.value]
        assert blower.displacement
        assert blower.displacement.value == pytest.approx(charger.displacement)
        assert (blower.built_in_ratio.value if blower.built_in_ratio else 1.0) == pytest.approx(
            charger.built_in_ratio
        )
    if named and isinstance(charger, Impeller):
        blower = archive.blowers[named.value]
        assert blower.internal_ratio
        assert blower.rotor_diameter
        assert blower.internal_ratio.value == charger.internal_ratio
        assert blower.rotor_diameter.value == pytest.approx(charger.diameter)


@pytest.mark.parametrize("day", _days(), ids=lambda day: f"{day.build}-{day.date}")
def test_session_agrees(archive: Archive, day: Day) -> None:
    """Air, measuring point and the dyno's own correction are as simulated."""
    session = _session(archive.builds[day.build], day.date)
    assert session.dyno.measured_at.value == day.bench.measured_at
    said = session.figures.standard.value if session.figures.standard else None
    assert said == day.bench.standard
    if session.figures.factor:
        factor = next(pull for pull in EVERY_PULL if pull.day == day).sweep().factor
        assert session.figures.factor.value == pytest.approx(factor, abs=5e-4)
    air = session.air
    if air.pressure:
        station = air.pressure.value
        if air.barometer and air.barometer.value == "sea-level":
            assert air.elevation
            station = float(station_pressure(station, air.elevation.value))
        assert station == pytest.approx(day.air.pressure, abs=20.0)
    if air.temperature:
        assert air.temperature.value == pytest.approx(day.air.temperature, abs=0.06)
    if air.humidity:
        assert air.humidity.value == pytest.approx(day.air.humidity)


def _shares(fuel: Fuel) -> tuple[float, float, float]:
    if fuel.name:
        known = FUELS[fuel.name.value]
        return known.petrol, known.ethanol, known.methanol
    petrol, ethanol, methanol = (
        share.value if share else 0.0 for share in (fuel.petrol, fuel.ethanol, fuel.methanol)
    )
    return petrol, ethanol, methanol


@pytest.mark.parametrize(
    "pull", EVERY_PULL, ids=lambda pull: f"{pull.day.build}-{pull.day.date}-{pull.number}"
)
def test_setup_agrees(archive: Archive, pull: Pull) -> None:
    """Pulleys, fuel and mixture of each pull are those of the setup it names."""
    build = archive.builds[pull.day.build]
    written: WrittenSetup = next(item for item in build.setups if item.id.value == pull.setup_id)
    crank = written.crank_pulley or build.drive.crank_pulley
    blower = written.blower_pulley or build.drive.blower_pulley
    assert (crank.value if crank else 0.0) == pytest.approx(pull.setup.crank_pulley)
    assert (blower.value if blower else 0.0) == pytest.approx(pull.setup.blower_pulley)
    if written.fuel:
        fuel = pull.setup.fuel
        assert _shares(written.fuel) == pytest.approx((fuel.petrol, fuel.ethanol, fuel.methanol))
    if written.mixture:
        assert written.mixture.value == pytest.approx(pull.setup.mixture)


def test_archive_has_no_finding(archive: Archive) -> None:
    """The demo archive passes every check."""
    assert as_text(archive.findings) == "Nothing wrong was found."


def test_archive_says_that_it_is_invented(archive: Archive) -> None:
    """Nobody can take the demo's figures for real ones."""
    assert archive.settings.invented
    assert archive.settings.invented.value is True
    assert "(invented)" in archive.settings.name.value


def test_archive_is_varied(archive: Archive) -> None:
    """Engines, blowers, dynos and kinds of result that the product must show all occur."""
    builds, blowers = archive.builds.values(), archive.blowers.values()
    assert len(builds) >= 14
    assert {build.engine.cylinders.value for build in builds} >= {2, 3, 4, 6, 8}
    layouts = {build.engine.layout.value for build in builds if build.engine.layout}
    assert layouts == {"in-line", "flat", "vee"}
    assert {blower.kind.value for blower in blowers} == {"lobe", "screw", "vane", "centrifugal"}
    sessions = [session for build in builds for session in build.sessions]
    assert {session.dyno.kind.value for session in sessions} == {"engine", "hub", "roller"}
    assert {session.figures.state for session in sessions} == {"observed", "corrected", "unknown"}
    assert {int(session.date.text[:4]) for session in sessions} == {2022, 2023, 2024, 2025, 2026}
    assert any(build.induction.natural for build in builds)
    assert any(build.induction.turbocharger for build in builds)
    assert any(not build.sessions for build in builds)


def test_curves_have_the_usual_length(archive: Archive) -> None:
    """Every curve has 30 to 70 rows and figures in every cell but those that were not recorded."""
    for build in archive.builds.values():
        for session in build.sessions:
            for pull in session.pulls:
                if pull.curve:
                    assert 30 <= len(pull.curve.engine_speed) <= 70
                    cells = np.concatenate(list(pull.curve.columns.values()))
                    assert np.count_nonzero(np.isnan(cells)) <= 10


def test_simulator_stands_apart() -> None:
    """No room of the simulator but its tests imports the product."""
    for path in sorted(Path(__file__).parents[1].glob("*.py")):
        if path.name.startswith("test_"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            if isinstance(node, ast.Import):
                names = [item.name for item in node.names]
            assert not [name for name in names if name.split(".")[0] == "specgen"], path.name


@pytest.mark.parametrize(
    "pull", EVERY_PULL, ids=lambda pull: f"{pull.day.build}-{pull.day.date}-{pull.number}"
)
def test_engines_pass_their_peak(pull: Pull) -> None:
    """True power falls before the last row, as real engines' does; a slipping belt takes more."""
    power = pull.sweep().true["power"]
    assert np.argmax(power) < len(power) - 1
    assert 0.8 * np.max(power) < power[-1] < 0.995 * np.max(power)


def test_ladders_have_steps_of_their_own(archive: Archive) -> None:
    """On most ladders a step is about 3 % of ratio; fuels are mixed over some of them."""
    mixed = 0
    for build in archive.builds.values():
        pulleys = [item.blower_pulley.value for item in build.setups if item.blower_pulley]
        steps = [larger / smaller - 1 for larger, smaller in pairwise(sorted({*pulleys})[::-1])]
        if build.id != "narrow-gauge-railcar":  # a pulley a year, not a ladder
            assert all(0.02 < step < 0.04 for step in steps), (build.id, steps)
        fuels = {str(item.fuel.name.value) for item in build.setups if item.fuel and item.fuel.name}
        mixed += bool(steps) and len(fuels) > 1
    assert mixed >= 4
