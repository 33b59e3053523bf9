"""What correction means for an engine, by how its boost is set; and which figure leads."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.physics.correction import STANDARDS
from tests.analysis.small import ARCHIVE, BUILD, SESSION, sheet

#: Of the small archive's session: 99.1 kPa, 27 degC, 41 %.
FACTOR = float(STANDARDS["iso-1585"].factor(99100.0, 300.15, 0.41))


def controlled(word: str) -> str:
    """The small build with its boost set in some way."""
    return BUILD.replace("{blower: test-blower,", f"{{blower: test-blower, boost_control: {word},")


def without_blower(induction: str) -> str:
    """The small build with another induction and no blower's drive."""
    plain = BUILD.replace(
        "induction: {blower: test-blower, inlet_pressure_drop: 3 kPa at 6500 rpm}", induction
    )
    plain = plain.replace("drive: {crank_pulley: 205 mm, blower_pulley: 80 mm}\n", "")
    return plain.replace("blower_pulley: 80 mm, fuel", "fuel")


def said(folder: Path, build: str, session: str = SESSION, archive: str = ARCHIVE) -> str:
    """All words of the one session."""
    found = sheet(folder, build + session, archive=archive)
    return " ".join(found.correction_words_of(found.sessions[0]))


@pytest.mark.parametrize(
    ("build", "words", "not_words"),
    [
        (controlled("fixed-ratio"), "drive ratio alone sets the boost", "count"),
        (controlled("absolute"), "may count that twice. The observed figure leads", "applies"),
        (controlled("gauge"), "changes by as much as the barometer", "twice"),
        (BUILD, "How the boost is set is not recorded", "drive ratio alone"),
        (
            without_blower("induction: {natural: true}"),
            "Naturally aspirated: the case that the standards",
            "boost",
        ),
        (
            without_blower("induction: {turbocharger: {title: A}, boost_control: gauge}"),
            "Turbocharged: SAE J245",
            "drive ratio alone",
        ),
    ],
    ids=["fixed", "absolute", "gauge", "silent", "natural", "turbo"],
)
def test_each_case_has_its_words(tmp_path: Path, build: str, words: str, not_words: str) -> None:
    """Every way in which boost is set has a sentence of its own, and no other's."""
    session = SESSION.replace(", boost: 71 kPa", "") if "natural" in build else SESSION
    found = said(tmp_path, build, session)
    assert words in found
    assert not_words not in found


def test_a_turbochargers_control_is_told_too(tmp_path: Path) -> None:
    """Held absolutely, a turbocharged engine is the clearest case of counting twice."""
    build = without_blower("induction: {turbocharger: {title: A}, boost_control: absolute}")
    found = said(tmp_path, build)
    assert "Turbocharged" in found
    assert "held at an absolute pressure" in found


def test_a_setups_own_control_stands_before_the_builds(tmp_path: Path) -> None:
    """A setup that changes the control changes the words, and which figure leads."""
    build = controlled("fixed-ratio").replace(
        "fuel: petrol-98}", "fuel: petrol-98, boost_control: absolute}"
    )
    found = sheet(tmp_path, build + SESSION)
    assert "absolute pressure" in " ".join(found.correction_words_of(found.sessions[0]))
    assert found.pulls[0].rows["power"].standing == "observed"


def test_two_controls_in_one_session_have_two_sentences(tmp_path: Path) -> None:
    """Each pull's case is said once."""
    build = controlled("fixed-ratio") + (
        "  - {id: held, blower_pulley: 80 mm, fuel: petrol-98, boost_control: absolute}\n"
        "  - {id: held-2, blower_pulley: 80 mm, fuel: e85, boost_control: absolute}\n"
    )
    pulls = "".join(
        f"      - {{setup: {name}, peaks: {{power: 300 kW at 6400 rpm}}}}\n"
        for name in ("held", "held-2")
    )
    both = sheet(tmp_path, build + SESSION + pulls)
    words = both.correction_words_of(both.sessions[0])
    assert sum("drive ratio alone" in sentence for sentence in words) == 1
    assert sum("held at an absolute" in sentence for sentence in words) == 1


def test_a_build_that_was_not_tested_has_its_case(tmp_path: Path) -> None:
    """A planned build knows how its boost is set, and no factor yet."""
    words = sheet(tmp_path, controlled("gauge")).correction_words
    assert len(words) == 1
    assert "barometer" in words[0]


def test_under_absolute_control_the_observed_figure_leads(tmp_path: Path) -> None:
    """Power and torque are shown as read; corrected they are rows still."""
    rows = sheet(tmp_path / "held", controlled("absolute") + SESSION).pulls[0].rows
    assert rows["power"].scalar == 301e3
    assert rows["power"].standing == "observed"
    assert rows["torque"].scalar == 512.0
    assert rows["corrected_power"].scalar == pytest.approx(301e3 * FACTOR)
    fixed = sheet(tmp_path / "fixed", controlled("fixed-ratio") + SESSION).pulls[0].rows
    assert fixed["power"].standing == "corrected, ISO 1585"


def test_under_absolute_control_the_headline_is_observed(tmp_path: Path) -> None:
    """The sheet leads with what was read."""
    found = sheet(tmp_path, controlled("absolute") + SESSION)
    assert found.headline[0].title == "Power, observed"
    assert [row.key for row in found.headline].count("observed_power") == 1


def test_what_cannot_be_undone_stays_as_reported(tmp_path: Path) -> None:
    """Absolute control does not make an unknown correction an observed figure."""
    session = SESSION.replace("figures: observed", "figures: unknown")
    rows = sheet(tmp_path, controlled("absolute") + session).pulls[0].rows
    assert rows["power"].standing == "as reported, correction unknown"


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ("observed", f"From observed to ISO 1585 the factor is {FACTOR:.3f}."),
        ("unknown", "is unknown: they stand as reported"),
        ("{corrected: sae-j607, factor: 1.05}", "to SAE J607, which is undone first"),
        ("{corrected: iso-1585}", "to ISO 1585: they stay as they are"),
    ],
)
def test_what_the_dyno_had_done_comes_first(tmp_path: Path, figures: str, words: str) -> None:
    """How the figures stood, and what was done to them, before which case applies."""
    session = SESSION.replace("figures: observed", f"figures: {figures}")
    whole = sheet(tmp_path, controlled("fixed-ratio") + session)
    found = whole.correction_words_of(whole.sessions[0])
    assert any(words in sentence for sentence in found[:2])
    assert any("drive ratio" in sentence for sentence in found[1:])


@pytest.mark.parametrize(
    ("air", "words"),
    [
        ("pressure: 91.0 kPa, barometer: station, temperature: 27 degC",
         "lies outside 0.93 to 1.07, which ISO 1585 permits (from memory)"),
        ("pressure: 106.5 kPa, barometer: station, temperature: 16 degC",
         "lies outside 0.93 to 1.07"),
        ("pressure: 99.1 kPa, barometer: station, temperature: 9 degC",
         "lies outside 15.0\u202f°C to 35.0\u202f°C"),
        ("pressure: 99.1 kPa, barometer: station, temperature: 38 degC",
         "lies outside 15.0\u202f°C to 35.0\u202f°C"),
    ],
    ids=["thin", "dense", "cold", "hot"],
)  # fmt: skip
def test_outside_the_range_the_conditions_are_given(tmp_path: Path, air: str, words: str) -> None:
    """A factor, or air, that the standard does not permit goes with the test's air."""
    session = SESSION.replace("pressure: 99.1 kPa, barometer: station, temperature: 27 degC", air)
    found = said(tmp_path, controlled("fixed-ratio"), session)
    assert words in found
    assert "41\u202f% relative humidity" in found


def test_within_the_range_nothing_is_said_of_it(tmp_path: Path) -> None:
    """27 degC and 99.1 kPa are what the standard was written for."""
    found = said(tmp_path, controlled("fixed-ratio"))
    assert "outside" not in found.replace("air outside", "")
    assert "relative humidity" not in found


def test_no_limit_is_claimed_where_editions_differ(tmp_path: Path) -> None:
    """SAE J1349: a large factor is called large, with the air, and no limit is invented."""
    session = SESSION.replace("99.1 kPa", "90.0 kPa")
    archive = ARCHIVE.replace("iso-1585", "sae-j1349")
    found = said(tmp_path, controlled("fixed-ratio"), session, archive)
    assert "no limit is claimed here" in found
    assert "which SAE J1349 (1990) permits (from memory)" in found
    assert "The factor" not in found.split("no limit is claimed here")[1]
    assert "90.0\u202fkPa" in found


@pytest.mark.parametrize(
    ("standard", "pressure", "words"),
    [
        ("iso-1585", "79.0 kPa", "lies outside 80.0\u202fkPa to 110.0\u202fkPa, which ISO 1585"),
        ("sae-j1349", "90.5 kPa", "lies outside 90.0\u202fkPa to 105.0\u202fkPa, which SAE J1349"),
        ("sae-j1349", "99.1 kPa", ""),
        ("din-70020", "79.0 kPa", ""),
    ],
)
def test_pressure_is_held_against_the_standards_range(
    tmp_path: Path, standard: str, pressure: str, words: str
) -> None:
    """Dry pressure: 90.5 kPa with some 1.4 kPa of vapour in it lies below 90; DIN has no range."""
    session = SESSION.replace("99.1 kPa", pressure)
    archive = ARCHIVE.replace("iso-1585", standard)
    found = said(tmp_path, controlled("fixed-ratio"), session, archive)
    assert (words in found) if words else ("The dry pressure of" not in found)


def test_a_standards_ranges_are_stated_beside_its_factor(tmp_path: Path) -> None:
    """Air, pressure and factor that it is meant for, in the archive's own units."""
    found = said(tmp_path / "a", controlled("fixed-ratio"))
    assert (
        "is meant for air of 15.0\u202f°C to 35.0\u202f°C, a dry pressure of 80.0\u202fkPa" in found
    )
    assert "a factor of 0.93 to 1.07 (from memory)" in found
    inches = said(tmp_path / "b", controlled("fixed-ratio"), SESSION,
                  ARCHIVE.replace("metric", "imperial"))  # fmt: skip
    assert "air of 59\u202f°F to 95\u202f°F" in inches


def test_conditions_are_in_the_archives_units(tmp_path: Path) -> None:
    """A reader of inches of mercury gets inches of mercury."""
    session = SESSION.replace("temperature: 27 degC", "temperature: 9 degC")
    found = said(
        tmp_path, controlled("fixed-ratio"), session, ARCHIVE.replace("metric", "imperial")
    )
    assert "29.26\u202finHg" in found
    assert "59\u202f°F to 95\u202f°F" in found


def test_an_archive_without_correction_says_so(tmp_path: Path) -> None:
    """Where nothing is corrected there is no factor and no range to speak of."""
    found = said(tmp_path, controlled("fixed-ratio"), archive=ARCHIVE.replace("iso-1585", "none"))
    assert "shows figures as observed" in found
    assert "factor is" not in found


def test_a_factor_that_is_not_there_has_its_reason(tmp_path: Path) -> None:
    """Without humidity there is no dry pressure, and the words say that."""
    found = said(tmp_path, BUILD, SESSION.replace(", humidity: 41 %", ""))
    assert "There is no factor to ISO 1585" in found
    assert "humidity" in found


def test_a_blower_of_fixed_ratio_has_a_factor_of_its_own(tmp_path: Path) -> None:
    """On a cold day the model's own factor stands beside the standard's, and is another one.

    A supply and demand balance with a fixed ratio gives 0.9645 at 15 °C against 25 °C, where the
    standard has 0.980 (own computation).
    """
    cold = SESSION.replace("temperature: 27 degC", "temperature: 5 degC").replace(
        "boost: 71 kPa", "boost: 71 kPa at 6400 rpm"
    )
    words = said(tmp_path / "fixed", controlled("fixed-ratio"), cold)
    assert "the fitted model gives" in words
    own = float(words.split("the fitted model gives ")[1].split(",")[0])
    standard = float(STANDARDS["iso-1585"].factor(99100.0, 278.15, 0.41))
    assert own < standard - 0.003
    held = said(tmp_path / "held", controlled("absolute"), cold)
    assert "the fitted model gives" not in held
