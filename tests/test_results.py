"""The reading interface: a notebook's figures are those of the sheets, to the digit."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import numpy as np
import pytest

import specgen
from specgen.cli import main
from specgen.results import Figure, Results
from specgen.units import UnitError

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "site_src" / "pages" / "write" / "notebook.md"


@pytest.fixture(scope="module")
def shed() -> Results:
    """The demo, read by the door."""
    return specgen.read(ROOT / "builds")


def blocks() -> list[str]:
    """The code of the guide, block by block."""
    return re.findall(r"```python\n(.*?)```", GUIDE.read_text("utf-8"), re.DOTALL)


def printed(lines: str) -> str:
    """A block's output as it is promised behind "# "."""
    return "".join(f"{it[2:]}\n" for it in lines.splitlines() if it.startswith("# "))


def test_the_guides_example_runs_as_it_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each block runs after those before it, and prints what the guide says it prints."""
    pytest.importorskip("pandas", reason="the guide's last block shows a frame of pandas")
    monkeypatch.chdir(ROOT)
    names: dict[str, object] = {}
    told = []
    for block in blocks():
        out = StringIO()
        with redirect_stdout(out):
            exec(compile(block, str(GUIDE), "exec"), names)
        assert out.getvalue().startswith(printed(block)), block
        told.append(out.getvalue())
    assert len(told) == 5
    assert all(told)


def published(build: str, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """A build's data as the site publishes it."""
    with pytest.raises(SystemExit):
        main(["show", build, "--archive", str(ROOT / "builds"), "--format", "json"])
    return dict(json.loads(capsys.readouterr().out))


def figures_of(shed: Results, build: str) -> Iterator[Figure]:
    """Every figure of a build's engine, setups and pulls."""
    found = shed.builds[build]
    parts = [
        found.engine,
        *(it.figures for it in found.setups),
        *(it.figures for it in found.pulls),
    ]
    yield from (part[key] for part in parts for key in part)


@pytest.mark.parametrize("build", ["lark-hydroplane", "rope-tow-winch"])
def test_figures_are_those_that_the_sheet_publishes(
    shed: Results, build: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Value, unit and margin of every figure equal the sheet's data in its seven digits."""
    data = published(build, capsys)
    rows = {(row["scope"], row["key"]): row for row in data["figures"]}  # type: ignore[attr-defined]
    compared = 0
    for it in figures_of(shed, build):
        row = rows.get((it.row.scope, it.key))
        if row is None:
            continue
        assert it.basis == row["basis"], it
        if it.value is None:
            assert it.reason == row["reason"]
            continue
        assert row["unit"] == (it.unit or "1"), it
        assert np.allclose(it.value, np.array(row["value"], float), rtol=1e-6, equal_nan=True)
        if it.margin is not None:
            half = np.array(row["standard_uncertainty"], float)
            assert np.allclose(it.margin, 2 * half, rtol=1e-6, equal_nan=True), it
        compared += 1
    assert compared > 40


def test_headline_text_is_what_the_terminal_prints(
    shed: Results, capsys: pytest.CaptureFixture[str]
) -> None:
    """A figure as text has the digits of `specgen show`."""
    with pytest.raises(SystemExit):
        main(["show", "lark-hydroplane", "--archive", str(ROOT / "builds"), "--units", "metric"])
    told = " ".join(capsys.readouterr().out.split())
    for it in shed.builds["lark-hydroplane"].headline:
        assert " ".join(str(it).split()) in told


def test_curves_of_a_pull_have_one_length_and_their_units(shed: Results) -> None:
    """All curves of every pull are as long as its speeds, which rise, and are named with a unit."""
    seen = 0
    for build in shed.builds.values():
        for pull in (*build.pulls, *build.withdrawn):
            lengths = {len(curve) for curve in pull.curves.values()}
            assert len(lengths) <= 1, (build.id, pull.id)
            assert all(re.fullmatch(r"\w+ \[.+\]", name) for name in pull.curves)
            if pull.curves:
                assert (np.diff(pull.curves["engine_speed [rpm]"]) > 0).all()
                seen += 1
    assert seen > 30


def test_a_unit_of_another_kind_is_refused_with_those_there_are(shed: Results) -> None:
    """Power in newton metres is an error that says what would do."""
    with pytest.raises(UnitError):
        shed.builds["lark-hydroplane"].headline[0].to("N m")


def test_a_folder_without_an_archive_says_so(tmp_path: Path) -> None:
    """The one thing that raises is that there is nothing to read."""
    with pytest.raises(FileNotFoundError, match=r"archive\.yaml"):
        specgen.read(tmp_path)


def test_what_is_wrong_within_is_told_and_left_out(tmp_path: Path) -> None:
    """A faulty build is no exception: it is left out, and the findings say why."""
    (tmp_path / "archive.yaml").write_text(
        "format: 1\nname: Try\nunits: metric\ncorrection: iso-1585\n", "utf-8"
    )
    (tmp_path / "odd").mkdir()
    (tmp_path / "odd" / "build.yaml").write_text("format: 1\ntitle: Odd\nengine: none\n", "utf-8")
    found = specgen.read(tmp_path)
    assert list(found.builds) == []
    assert [it.place.file for it in found.findings if it.severity == "error"]
