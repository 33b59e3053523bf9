"""A small archive written as text, for tests that change one thing in it."""

from __future__ import annotations

from pathlib import Path

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.findings import as_text

ARCHIVE = """\
format: 1
name: Test archive (invented)
invented: true
units: metric
correction: iso-1585
"""

BLOWER = """\
format: 1
title: Test blower
kind: lobe
displacement: 0.9 L
max_speed: 18000 rpm
pulleys: [85 mm, 80 mm]
fits:
  deck_height: 210.0 to 212.0 mm
  cylinders: 6
"""

BUILD = """\
format: 1
title: Test build
engine:
  cylinders: 6
  bore: 84 mm
  stroke: 90 mm
  compression_ratio: 9.0
  max_speed: 6500 rpm
  valves_per_cylinder: 4
  deck_height: 211.0 mm
induction: {blower: test-blower, inlet_pressure_drop: 3 kPa at 6500 rpm}
drive: {crank_pulley: 205 mm, blower_pulley: 80 mm}
fuel_system:
  injectors: {count: 6, flow: 850 cm3/min, at: 300 kPa}
  pressure: 300 kPa
  pressure_reference: manifold
setups:
  - {id: p80, blower_pulley: 80 mm, fuel: petrol-98}
"""

SESSION = """\
sessions:
  - date: 2025-05-14
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    air: {pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}
    pulls:
      - {setup: p80, peaks: {power: 301 kW at 6400 rpm, torque: 512 N m at 4300 rpm, boost: 71 kPa}}
"""


def write(
    folder: Path, build: str = BUILD + SESSION, blower: str = BLOWER, archive: str = ARCHIVE
) -> Path:
    """Write an archive of one build and one blower; give its folder."""
    (folder / "blowers").mkdir(parents=True, exist_ok=True)
    (folder / "test-build").mkdir(exist_ok=True)
    (folder / "archive.yaml").write_text(archive, encoding="utf-8")
    (folder / "blowers" / "test-blower.yaml").write_text(blower, encoding="utf-8")
    (folder / "test-build" / "build.yaml").write_text(build, encoding="utf-8")
    return folder


def sheet(
    folder: Path, build: str = BUILD + SESSION, blower: str = BLOWER, archive: str = ARCHIVE
) -> Sheet:
    """Read such an archive and make the build's sheet; its files must be free of errors."""
    read = read_archive(write(folder, build, blower, archive))
    errors = [item for item in read.findings if item.severity == "error"]
    assert not errors, as_text(errors)
    return analyse(read)["test-build"]
