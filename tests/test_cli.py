"""The commands as a person or a program uses them: output, exit codes, help."""

from __future__ import annotations

import json
import os
import re
import shutil
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen.cli import main
from tests.analysis.small import BUILD, SESSION, write

ROOT = Path(__file__).parent.parent
COMMANDS = (
    *("check", "show", "chart", "site", "export", "air", "init", "rename", "report", "schema"),
    *("new build", "new blower", "new session"),
)


def run(*arguments: str) -> Result:
    """Run a command in this process; an exception is a failure of the test."""
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_ends_with_an_example_that_can_be_copied(command: str) -> None:
    """Each command's help shows examples, each on a line of its own."""
    text = run(*command.split(), "--help").output
    assert f"  specgen {command}" in text.partition("Examples:")[2]


def test_air_gives_the_published_factors() -> None:
    """101.325 kPa, 20 degC, 50 %: factors computed from the standards' formulas, within 1e-4."""
    result = run("air", "--pressure", "101.325 kPa", "--temperature", "20 degC",
                 "--humidity", "50 %", "--format", "json")  # fmt: skip
    assert result.exit_code == 0
    factors = json.loads(result.output)["factors"]
    expected = {"iso-1585": 0.97621, "sae-j1349": 0.97656, "din-70020": 0.99975,
                "sae-j607": 1.01939}  # fmt: skip
    assert set(factors) == set(expected)
    for standard, value in expected.items():
        assert factors[standard] == pytest.approx(value, abs=1e-4), standard


@pytest.mark.parametrize(
    ("pressure", "temperature", "humidity", "expected"),
    [
        ("100.8 kPa", "30 degC", "80 %", (1.02993, 1.02936, 1.02196, 1.06592)),
        ("29.92 inHg", "60 degF", "0 %", (0.95397, 0.95456, 0.99219, 1.0)),
        ("99 kPa", "25 degC", "0 %", (1.0, 1.0, None, 1.04005)),
    ],
)
def test_air_in_other_weather(
    pressure: str, temperature: str, humidity: str, expected: tuple[float | None, ...]
) -> None:
    """Further cells of the standards' tables (computed from the formulas)."""
    result = run("air", "--pressure", pressure, "--temperature", temperature,
                 "--humidity", humidity, "--format", "json")  # fmt: skip
    factors = json.loads(result.output)["factors"]
    for standard, value in zip(
        ("iso-1585", "sae-j1349", "din-70020", "sae-j607"), expected, strict=True
    ):
        if value is not None:
            assert factors[standard] == pytest.approx(value, abs=1e-4), standard


def test_air_turns_a_sea_level_barometer_back() -> None:
    """At 500 m the standard atmosphere has 954.608 hPa (ISO 2533)."""
    result = run(
        "air",
        "--pressure",
        "101.325 kPa",
        "--temperature",
        "15 degC",
        "--humidity",
        "0 %",
        "--barometer",
        "sea-level",
        "--elevation",
        "500 m",
        "--format",
        "json",
    )
    assert json.loads(result.output)["pressure_Pa"] == pytest.approx(95460.8, rel=1e-5)


SOUND = {"--pressure": "101.3 kPa", "--temperature": "20 degC", "--humidity": "50 %"}


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"--pressure": "101,3 kPa"}, "101.3 kPa"),
        ({"--pressure": "101.3"}, "kPa"),
        ({"--humidity": ""}, "--humidity"),
        ({"--barometer": "sea-level"}, "--elevation"),
        ({"--humidity": "140 %"}, "humidity"),
        ({"--pressure": "1 Pa"}, "pressure"),
    ],
)
def test_air_used_wrongly_says_what_to_write(changed: dict[str, str], words: str) -> None:
    """A wrong option ends with exit code 2 and a sentence, never a traceback."""
    options = {**SOUND, **changed}
    result = run("air", *(part for pair in options.items() for part in pair))
    assert result.exit_code == 2
    assert words in result.output


def test_air_in_words_shows_both_unit_systems() -> None:
    """The plain answer is a table a person reads."""
    text = run("air", "--pressure", "101.325 kPa", "--temperature", "20 degC",
               "--humidity", "50 %").output  # fmt: skip
    assert "ISO 1585" in text
    assert "29.92\u202finHg" in text


def test_check_is_quiet_about_a_sound_archive(tmp_path: Path) -> None:
    """Nothing found: exit code 0 and one plain sentence."""
    result = run("check", str(write(tmp_path)))
    assert (result.exit_code, result.output) == (0, "Nothing wrong was found.\n")


@pytest.mark.parametrize("layout", ["text", "json", "annotations"])
def test_check_reports_every_fault_in_every_layout(tmp_path: Path, layout: str) -> None:
    """Faults end with exit code 1; each has its file, line and column."""
    faulty = (BUILD + SESSION).replace("84 mm", "84 mmm").replace("setup: p80", "setup: p08")
    result = run("check", str(write(tmp_path, faulty)), "--format", layout)
    assert result.exit_code == 1
    assert "test-build/build.yaml" in result.output
    if layout == "json":
        found = json.loads(result.output)["findings"]
        assert {item["code"] for item in found} >= {"unknown-unit"}
        assert all(
            {"place", "found", "expected", "hint", "severity"} <= set(item) for item in found
        )
    if layout == "annotations":
        here = os.path.relpath(tmp_path / "test-build" / "build.yaml")
        assert f"::error file={here},line=5" in result.output


JUSTIFIED = """accepted:
  - {finding: beyond-limit, because: the maker allows it for one second}
"""


def test_a_justified_warning_passes_once_it_is_accepted(tmp_path: Path) -> None:
    """A blower beyond its limit fails the strictest check until somebody answers for it."""
    fast = (BUILD + SESSION).replace("6500 rpm", "7400 rpm")
    archive = write(tmp_path, fast)
    refused = run("check", str(archive), "--fail-on", "warning")
    assert (refused.exit_code, "[beyond-limit]" in refused.output) == (1, True)
    write(tmp_path, fast + JUSTIFIED)
    passed = run("check", str(archive), "--fail-on", "warning")
    accepted = sum("beyond-limit" in line for line in refused.output.splitlines())
    assert passed.output == f"Nothing wrong was found; {accepted} accepted.\n"
    assert passed.exit_code == 0


def test_check_without_an_archive_says_what_is_missing(tmp_path: Path) -> None:
    """A folder that is no archive is wrong usage."""
    result = run("check", str(tmp_path))
    assert result.exit_code == 2
    assert "archive.yaml" in result.output


def test_show_prints_a_sheet_with_where_figures_come_from(tmp_path: Path) -> None:
    """The sheet in a terminal: headline, figures, and the line each stands on."""
    result = run("show", "test-build", "--archive", str(write(tmp_path)))
    assert result.exit_code == 0
    for words in ("Test build", "invented", "at the flywheel", "test-build/build.yaml:5:", "±"):
        assert words in result.output, words


def test_show_in_imperial_and_with_what_is_missing(tmp_path: Path) -> None:
    """Other units on request; with --all the absent figures say why."""
    folder = str(write(tmp_path))
    imperial = run("show", "test-build", "--archive", folder, "--units", "imperial").output
    assert "hp" in imperial
    assert "kW" not in imperial.partition("Uncertainties")[0].replace("g/kWh", "")
    everything = run("show", "test-build", "--archive", folder, "--all").output
    assert "not recorded" in everything


def test_show_as_json_carries_every_scope(tmp_path: Path) -> None:
    """A program gets the same figures in SI."""
    result = run("show", "test-build", "--archive", str(write(tmp_path)), "--format", "json")
    assert json.loads(result.output)["format"] == 1


def test_show_knows_a_near_miss_and_a_former_name(tmp_path: Path) -> None:
    """An unknown build is wrong usage, with what was probably meant."""
    folder = str(
        write(
            tmp_path, (BUILD + SESSION).replace("title: Test", "formerly: [old-one]\ntitle: Test")
        )
    )
    near = run("show", "test-biuld", "--archive", folder)
    assert (near.exit_code, 'did you mean "test-build"?' in near.output) == (2, True)
    former = run("show", "old-one", "--archive", folder)
    assert (former.exit_code, '"test-build" now' in former.output) == (2, True)


def test_show_of_a_faulty_build_prints_its_findings(tmp_path: Path) -> None:
    """A build with errors has no sheet: its findings are printed instead."""
    faulty = (BUILD + SESSION).replace("84 mm", "84 mmm")
    result = run("show", "test-build", "--archive", str(write(tmp_path, faulty)))
    assert result.exit_code == 1
    assert "unknown-unit" in result.output


def test_export_writes_pages_that_name_their_next_step(tmp_path: Path) -> None:
    """Markdown and assets in a folder, and how to build them."""
    result = run("export", str(tmp_path / "out"), "--archive", str(write(tmp_path / "in")))
    assert result.exit_code == 0
    assert (tmp_path / "out" / "pages" / "builds" / "test-build" / "index.md").is_file()
    assert "mkdocs build" in result.output


@pytest.mark.slow
def test_site_builds_and_prints_its_address(tmp_path: Path) -> None:
    """The site's folder is told as an address a browser opens."""
    write(tmp_path / "builds")
    shutil.copytree(ROOT / "site_src", tmp_path / "site_src")
    result = run("site", "--config", str(tmp_path / "site_src" / "mkdocs.yml"))
    assert result.exit_code == 0, result.output
    assert f"file://{tmp_path}/site/index.html" in result.output
    assert (tmp_path / "site" / "builds" / "test-build" / "index.html").is_file()


@pytest.mark.slow
def test_site_of_a_faulty_archive_prints_all_findings(tmp_path: Path) -> None:
    """Errors stop the site: exit code 1, every finding, no traceback."""
    write(tmp_path / "builds", (BUILD + SESSION).replace("84 mm", "84 mmm"))
    shutil.copytree(ROOT / "site_src", tmp_path / "site_src")
    result = run("site", "--config", str(tmp_path / "site_src" / "mkdocs.yml"))
    assert result.exit_code == 1
    assert "unknown-unit" in result.output


@pytest.mark.slow
def test_from_an_empty_folder_to_a_site(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Init, new, check, site, each at first try and told how long it took."""
    monkeypatch.chdir(tmp_path)
    steps = (
        ("init", "shed", "--name", "A shed", "--units", "metric", "--correction", "iso-1585"),
        ("new", "blower", "mine", "--kind", "screw", "--displacement", "1.6 L"),
        ("new", "build", "tug", "--cylinders", "4", "--bore", "84 mm", "--stroke", "90 mm",
         "--blower", "mine"),
        ("new", "session", "tug", "--date", "2026-05-14", "--dyno", "hub", "--measured-at", "hub"),
        ("rename", "tug", "harbour-tug"),
        ("check",),
        ("site", "--strict"),
    )  # fmt: skip
    for step in steps:
        begun = time.perf_counter()
        result = run(*step)
        with capsys.disabled():
            print(f"specgen {step[0]}: {time.perf_counter() - begun:.1f} s")
        assert result.exit_code == 0, (step, result.output)
        if step[0] == "init":
            monkeypatch.chdir(tmp_path / "shed")
    site = tmp_path / "shed" / "site"
    assert (site / "builds" / "first-build" / "index.html").is_file()
    assert "harbour-tug" in (site / "builds" / "tug" / "index.html").read_text("utf-8")


def test_init_asks_nobody_without_a_terminal(tmp_path: Path) -> None:
    """A missing name is told with the option to add; with --yes nothing is asked."""
    result = run("init", str(tmp_path / "a"))
    assert result.exit_code == 2
    assert 'add --name "My workshop", or --yes' in result.output
    assert not (tmp_path / "a").exists()
    assert run("init", str(tmp_path / "a"), "--yes").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("blower", "b", "--kind", "lobe"), 'add --displacement "1.3 L"'),
        (("blower", "b", "--kind", "lobe", "--displacement", "1.3"), "--displacement"),
        (("build", "b", "--cylinders", "4", "--bore", "84", "--stroke", "9 cm"), "--bore"),
        (("session", "b", "--date", "2026-05-14", "--dyno", "hub", "--measured-at", "hub"),
         'there is no build "b"; there are: first-build'),
    ],
)  # fmt: skip
def test_new_says_what_to_write(tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    """What is missing or cannot be read is a usage error with the remedy; nothing is written."""
    run("init", str(tmp_path), "--yes")
    before = sorted(tmp_path.rglob("*"))
    result = run("new", *arguments, "--archive", str(tmp_path / "builds"))
    assert result.exit_code == 2
    assert says in result.output
    assert sorted(tmp_path.rglob("*")) == before


def test_site_says_where_it_looked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a configuration the usual places are named, and how to start."""
    monkeypatch.chdir(tmp_path)
    result = run("site")
    assert result.exit_code == 2
    assert "no mkdocs.yml and no site_src/mkdocs.yml" in result.output
    assert "specgen init DIR" in result.output


def test_warnings_fail_only_if_asked(tmp_path: Path) -> None:
    """A warning is told either way; with --fail-on error only an error gives exit code 1."""
    doubtful = write(
        tmp_path / "a", BUILD.replace("compression_ratio: 9.0", "compression_ratio: 21")
    )
    faulty = write(tmp_path / "b", BUILD.replace("cylinders: 6", "cylinders: six"))
    told = run("check", str(doubtful))
    assert "0 errors, 1 warning" in told.output, told.output
    assert told.exit_code == 1
    passed = run("check", str(doubtful), "--fail-on", "error")
    assert (passed.output, passed.exit_code) == (told.output, 0)
    assert run("check", str(faulty), "--fail-on", "error").exit_code == 1


@pytest.mark.parametrize("layout", ["text", "annotations"])
@pytest.mark.parametrize("where", [".", "heron/..", "deep/inside"])
def test_places_lead_to_files_from_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, layout: str, where: str
) -> None:
    """Wherever the command is run, the place that it tells is a file that opens from there."""
    archive = write(tmp_path / "data", BUILD.replace("cylinders: 6", "cylinders: six"))
    (tmp_path / where.replace("/..", "")).mkdir(parents=True, exist_ok=True)
    monkeypatch.chdir(tmp_path / where)
    output = run("check", str(archive), "--format", layout).output
    told = re.search(r"(?:^|file=)([^\s:,]+build\.yaml)[:,]", output, re.M)
    assert told is not None, output
    assert Path(told[1]).is_file()
    assert not Path(told[1]).is_absolute()


def test_site_says_what_is_wrong_with_its_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A theme that is not there is told by its name; nothing refers to lines that are not there."""
    run("init", str(tmp_path), "--yes")
    settings = tmp_path / "mkdocs.yml"
    settings.write_text(settings.read_text("utf-8").replace("material\n", "nosuch\n", 1), "utf-8")
    monkeypatch.chdir(tmp_path)
    result = run("site")
    assert result.exit_code == 1
    assert "nosuch" in result.output
    assert "stands above" not in result.output


def test_fits_judges_an_engine_given_by_flags(tmp_path: Path) -> None:
    """A blower against a customer's engine in inches, then against the archive's builds."""
    folder = ["--archive", str(write(tmp_path))]
    told = run("fits", "test-blower", "--deck-height", "8.4 in", "--cylinders", "6", *folder)
    assert (told.exit_code, "does not fit" in told.output) == (0, True)
    assert "1.360\u202fmm too large" in told.output
    over = run("fits", "test-blower", *folder)
    assert over.output.split() == ["test-build", "fits"]
    wrong = run("fits", "test-blowr", *folder)
    assert (wrong.exit_code, 'did you mean "test-blower"?' in wrong.output) == (2, True)


def test_plan_seeks_a_goal_and_prints_it_both_ways(tmp_path: Path) -> None:
    """A boost sought in psi: the pulley, what stops it, the pairs; the same as data."""
    folder = ["--archive", str(write(tmp_path))]
    told = run("plan", "test-build", "--boost", "7 psi", "--pulley", "83 mm", *folder)
    assert told.exit_code == 0
    assert "48\u202fkPa of boost asks for a ratio of" in told.output
    assert "205 mm to 83 mm *" in told.output
    data = json.loads(run("plan", "test-build", "--format", "json", *folder).output)
    assert [pair["blower_pulley"]["value"] for pair in data["pairs"]] == [85, 80]
    assert {"boost", "power", "grip_used", "octane_asked"} <= set(data["pairs"][0]["figures"])


def test_plan_takes_another_air_and_refuses_what_is_none(tmp_path: Path) -> None:
    """Air told by its units, an elevation for its pressure; a length is no air."""
    folder = ["--archive", str(write(tmp_path))]
    hot = run("plan", "test-build", "--air", "35 degC, 80 %", "--elevation", "900 m", *folder)
    assert (hot.exit_code, "90.97" in hot.output or "91.0" in hot.output) == (0, True)
    wrong = run("plan", "test-build", "--air", "3 mm", *folder)
    assert (wrong.exit_code, "no pressure, temperature or humidity" in wrong.output) == (2, True)
    assert run("plan", "test-build", "--fuel", "tea", *folder).exit_code == 2
