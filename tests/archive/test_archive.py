"""Reading whole archives: SI values with their texts and places, ids, curves, what is left out."""

from __future__ import annotations

import dataclasses
import datetime
from pathlib import Path

import numpy as np
import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive, Given, Number, Range
from specgen.archive.reading.folders import RESERVED, id_faults, is_id
from specgen.findings import Place
from tests.archive.cases import HERE, lay_out, read_case


@pytest.fixture(scope="module")
def everything(tmp_path_factory: pytest.TempPathFactory) -> Archive:
    """The archive that uses every key."""
    return read_case(HERE / "good" / "everything", tmp_path_factory.mktemp("everything"))


def test_quantities_are_si(everything: Archive) -> None:
    """Quantities are SI values (NIST SP 811: 1 rpm is 1/60 s-1), with their text and place."""
    engine = everything.builds["heron"].engine
    place = Place("heron/build.yaml", 9, 9)
    assert (engine.bore.text, engine.bore.place, engine.bore.quantity) == ("84 mm", place, "bore")
    values = {
        "bore": 0.084,
        "stroke": 0.090, "displacement": 3.0e-3, "compression_ratio": 9.0, "rod_length": 0.145,
        "max_speed": 6800 / 60, "deck_height": 0.211, "volumetric_efficiency": 0.92,
    }  # fmt: skip
    for name, value in values.items():
        assert getattr(engine, name).value == pytest.approx(value, rel=1e-12), name
    assert (engine.cylinders.value, engine.cylinders.quantity) == (6, None)
    assert isinstance(engine.cylinders.value, int)


def test_second_values_stand_behind_at(everything: Archive) -> None:
    """What stands behind " at " is a value of its own; without it there is none."""
    induction = everything.builds["heron"].induction
    assert induction.charge_cooler is not None
    drop = induction.charge_cooler.pressure_drop
    assert drop is not None
    assert (drop.quantity, drop.text) == ("cooler_pressure_drop", "4 kPa at 6500 rpm")
    assert drop.value == pytest.approx(4000)
    assert drop.at is not None
    assert (drop.at.quantity, drop.at.text) == ("engine_speed", "6500 rpm")
    assert drop.at.value == pytest.approx(6500 / 60)
    assert induction.inlet_pressure_drop is not None
    assert induction.inlet_pressure_drop.at is None


def test_what_a_blower_fits(everything: Archive) -> None:
    """Ranges keep both ends; lists and single words are tuples."""
    fits = everything.blowers["petrel-95"].fits
    deck, spacing = fits["deck_height"], fits["bore_spacing"]
    assert isinstance(deck, Given)
    assert isinstance(spacing, Given)
    assert isinstance(deck.value, Range)
    assert isinstance(spacing.value, Range)
    assert (deck.value.low, deck.value.high) == pytest.approx((0.210, 0.212))
    assert (spacing.value.low, spacing.value.high) == pytest.approx((0.096, 0.096))
    words = {key: fits[key] for key in ("cylinders", "layout", "mount")}
    assert {key: [item.value for item in part] for key, part in words.items()} == {  # type: ignore[union-attr]
        "cylinders": [4, 6], "layout": ["in-line"], "mount": ["side plate A", "side plate B"],
    }  # fmt: skip


def test_fuels_and_figures(everything: Archive) -> None:
    """A fuel is a name or a blend; figures are a state with a standard and factor, if corrected."""
    build = everything.builds["heron"]
    named, blend = (setup.fuel for setup in build.setups)
    assert named is not None
    assert named.name is not None
    assert named.name.value == "e85"
    assert blend is not None
    assert blend.name is None
    assert blend.ethanol is not None
    assert blend.ethanol.value == pytest.approx(0.4)
    figures = [session.figures for session in build.sessions]
    assert [item.state for item in figures] == ["corrected", "unknown", "corrected"]
    assert figures[0].standard is not None
    assert figures[0].factor is not None
    assert (figures[0].standard.value, figures[0].factor.value) == ("sae-j1349", 1.023)


def test_pulls_are_named_by_curve_or_by_day_and_setup(everything: Archive) -> None:
    """No two pulls of a build share an id, also over sessions of one day; dates are dates."""
    sessions = everything.builds["heron"].sessions
    assert [session.date.value for session in sessions] == [
        datetime.date(2025, 5, 14), datetime.date(2025, 5, 14), datetime.date(2026, 2, 28),
    ]  # fmt: skip
    assert [pull.id for session in sessions for pull in session.pulls] == [
        "2025-05-14-1", "2025-05-14-p85-blend", "2025-05-14-p85",
    ]  # fmt: skip


def test_curves_are_si_and_cannot_be_changed(everything: Archive) -> None:
    """Columns become read-only SI arrays (psi, lb ft, hp, degF by NIST SP 811, appendix B)."""
    pull = everything.builds["heron"].sessions[0].pulls[0]
    assert pull.curve is not None
    assert pull.curve_file is not None
    assert pull.curve_file.value == "pulls/2025-05-14-1.csv"
    assert pull.curve.place == Place("heron/pulls/2025-05-14-1.csv")
    firsts = {
        "engine_speed": 2000 / 60,
        "torque": 323.1 * 1.355818,
        "power": 123.0 * 745.6999,
        "boost": 5.5 * 6894.757,
        "manifold_pressure": 19.9 * 6894.757,
        "air_fuel_ratio": 8.6,
        "lambda": 0.88,
        "intake_temperature": (81 + 459.67) / 1.8,
        "discharge_temperature": (160 + 459.67) / 1.8,
        "charge_temperature": (100 + 459.67) / 1.8,
        "blower_speed": 13550 / 60,
        "inlet_pressure_drop": 2.0 * 249.0889,
        "fuel_mass_flow": 60 * 1.259979e-4,
        "air_mass_flow": 8.7 * 7.559873e-3,
        "ignition_advance": 18 * 1.745329e-2,
    }
    assert set(pull.curve.columns) == set(firsts)
    for key, value in firsts.items():
        assert pull.curve.columns[key][0] == pytest.approx(value, rel=1e-6), key
    assert np.isnan(pull.curve.columns["air_fuel_ratio"][2])
    assert pull.curve.headers["boost"] == "boost [psi]"
    with pytest.raises(ValueError, match="read-only"):
        pull.curve.columns["torque"][0] = 0.0


def test_settings(everything: Archive) -> None:
    """What the archive shares is read, with its uncertainties."""
    settings = everything.settings
    assert (settings.name.value, settings.units.value, settings.correction.value) == (
        "Test harbour (invented)", "imperial", "none",
    )  # fmt: skip
    assert settings.invented is not None
    assert settings.invented.value is True
    noted = {
        item.name: getattr(settings.repeatability, item.name).value
        for item in dataclasses.fields(settings.repeatability)
    }
    assert noted == {
        key: pytest.approx(value)
        for key, value in {
            "power": 0.01, "torque": 0.01, "engine_speed": 0.002, "boost": 700, "temperature": 2,
            "air_pressure": 100, "humidity": 0.03, "length": 0.001,
        }.items()
    }  # fmt: skip


def test_every_place_is_where_the_text_stands(everything: Archive) -> None:
    """The text of each value stands in its file at its place, perhaps in quotes."""
    seen = 0
    for item in _givens((everything.settings, everything.blowers, everything.builds)):
        line = everything.sources[item.place.file].split("\n")[item.place.line - 1]
        assert line[item.place.column - 1 :].lstrip("\"'").startswith(item.text), item
        seen += 1
    assert seen > 120


def _givens(item: object) -> list[Number]:
    """Find all values within an object."""
    if isinstance(item, Given):
        return [item]
    if isinstance(item, dict):
        return [given for part in item.values() for given in _givens(part)]
    if isinstance(item, tuple):
        return [given for part in item for given in _givens(part)]
    if dataclasses.is_dataclass(item):
        return [
            given
            for part in dataclasses.fields(item)
            for given in _givens(getattr(item, part.name))
        ]
    return []


def test_forms_of_yaml(tmp_path: Path) -> None:
    """Words that other readers take for something else arrive as they were written."""
    build = read_case(HERE / "good" / "yaml-forms", tmp_path).builds["heron"]
    assert build.title.value == "no"
    assert build.summary is not None
    assert build.summary.value == "A folded text over two lines: with a colon."
    assert build.engine.mount is not None
    assert build.engine.mount.value == "12:30"
    assert [setup.id.value for setup in build.setups] == ["p85", "080"]
    assert build.setups[1].ignition is not None
    assert build.setups[1].ignition.value == "0123456"


def test_byte_order_mark_and_line_ends_do_not_matter(tmp_path: Path) -> None:
    """A file saved by another editor gives the same build, values, texts and places."""
    plain = read_case(None, tmp_path / "plain").builds["heron"]
    other = read_case(HERE / "good" / "bom-and-crlf", tmp_path / "other").builds["heron"]
    assert repr(plain) == repr(other)


def test_one_fault_leaves_the_others(tmp_path: Path) -> None:
    """A faulty build is left out, and the blower and the other builds are there."""
    root = lay_out(HERE / "good" / "natural", tmp_path)
    (root / "heron" / "build.yaml").write_text("format: 1\n", encoding="utf-8")
    archive = read_archive(root)
    assert set(archive.builds) == {"gull"}
    assert set(archive.blowers) == {"tern-13"}
    assert {item.place.file for item in archive.findings} == {"heron/build.yaml"}


def test_faulty_blower_takes_its_builds_along(tmp_path: Path) -> None:
    """A build whose blower is left out is left out too, so that nobody looks for it in vain."""
    archive = read_case(HERE / "bad" / "blower-faulty", tmp_path)
    assert (dict(archive.blowers), dict(archive.builds)) == ({}, {})


def test_warnings_keep_the_build(tmp_path: Path) -> None:
    """A build with warnings only is there."""
    assert "heron" in read_case(HERE / "bad" / "air-pressure", tmp_path).builds


def test_no_archive_at_all(tmp_path: Path) -> None:
    """A folder that is not there gives a finding and an empty archive with plain settings."""
    archive = read_archive(tmp_path / "nowhere")
    assert [item.code for item in archive.findings] == ["missing-file"]
    assert (dict(archive.builds), archive.settings.units.value) == ({}, "metric")


def test_progress_names_each_file_once(tmp_path: Path) -> None:
    """Progress is told each file, relative to the archive, before it is read."""
    told: list[str] = []
    root = lay_out(None, tmp_path)
    archive = read_archive(str(root), told.append)
    assert told == [
        "archive.yaml", "blowers/tern-13.yaml", "heron/build.yaml", "heron/pulls/2025-05-14-1.csv",
    ]  # fmt: skip
    assert set(archive.sources) == set(told)
    assert archive.root == str(root)


def test_hidden_and_other_folders_are_passed_over(tmp_path: Path) -> None:
    """Hidden folders and folders without a build file are nobody's business."""
    root = lay_out(None, tmp_path)
    for name in (".cache", "pictures"):
        (root / name).mkdir()
    (root / ".cache" / "build.yaml").write_text("nonsense", encoding="utf-8")
    (root / "pictures" / "front.jpg").write_bytes(b"\xff\xd8")
    archive = read_archive(root)
    assert archive.findings == ()
    assert set(archive.builds) == {"heron"}


def test_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    """A symbolic link does not lead a curve out of its build's folder."""
    root = lay_out(None, tmp_path)
    curve = root / "heron" / "pulls" / "2025-05-14-1.csv"
    curve.rename(tmp_path / "elsewhere.csv")
    curve.symlink_to(tmp_path / "elsewhere.csv")
    assert [item.code for item in read_archive(root).findings] == ["wrong-value"]


def test_ids_that_differ_in_capitals_only() -> None:
    """Two ids that one file system would hold for the same are refused, both faults told."""
    places = [Place("heron/build.yaml"), Place("Heron/build.yaml")]
    found = list(id_faults(zip(("heron", "Heron"), places, strict=True)))
    assert [item.code for item in found] == ["reserved-id", "duplicate-id"]


@pytest.mark.parametrize("name", sorted(RESERVED))
def test_reserved_ids(name: str) -> None:
    """Each name the site needs is refused as an id; one letter more is free."""
    assert [item.code for item in id_faults([(name, Place(name))])] == ["reserved-id"]
    assert list(id_faults([(f"{name}s-boat", Place(name))])) == []


def test_demo_archive_is_silent() -> None:
    """The archive that comes with specgen has no finding."""
    archive = read_archive(HERE.parents[1] / "builds")
    assert archive.findings == ()
    assert archive.builds


@pytest.mark.parametrize("name", ["con", "nul", "com1", "constructor", "a" * 61])
def test_ids_that_systems_or_scripts_stumble_over(name: str) -> None:
    """Folders that some systems cannot check out, words that every object has, endless names."""
    assert [item.code for item in id_faults([(name, Place(name))])] == ["reserved-id"]
    assert not is_id(name)
    assert is_id(f"{name[:50]}-1")
