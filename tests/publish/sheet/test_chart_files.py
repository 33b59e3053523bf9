"""Charts of a sheet by name: in the terminal as files, and beside the sheet where asked for."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from specgen.archive.archive import read_archive
from specgen.cli import main
from specgen.publish.sheet.charts import LAYOUTS, charts_of_all
from specgen.publish.site import Site

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[3]
#: What all charts of the demo are called.
NAMES = {
    "power",
    "observed",
    "boost",
    "limits",
    "air-path",
    "plan",
    "belt",
    "valves",
    "timing",
    "misfit-1",
}


def run(*arguments: str) -> Result:
    """Run `specgen chart` on the demo archive."""
    words = ["chart", "--archive", str(ROOT / "builds"), *arguments]
    return CliRunner().invoke(main, words, catch_exceptions=False)


def test_charts_are_listed_with_their_findings() -> None:
    """Without a name each chart of the build is told, with what it finds."""
    result = run("lark-hydroplane")
    assert result.exit_code == 0
    lines = result.output.splitlines()
    assert {line.split()[0] for line in lines} == NAMES - {"misfit-1"}
    assert all(len(line.split()) > 3 for line in lines)


def test_a_name_that_is_none_is_told_with_those_there_are() -> None:
    """A near name is proposed, and all are listed."""
    result = run("lark-hydroplane", "limit")
    assert result.exit_code == 2
    assert 'no chart "limit"; did you mean "limits"?' in result.output
    assert (
        "there are: power, observed, boost, limits, plan, air-path, belt, valves, timing"
        in result.output
    )


@pytest.mark.parametrize(
    ("layout", "size", "start", "width"),
    [("png", "900 px", b"\x89PNG", 900), ("png", "4 in", b"\x89PNG", 1200),
     ("pdf", "160 mm", b"%PDF", 0), ("svg", "480 px", b"<?xml", 0)],
)  # fmt: skip
def test_a_chart_is_written_as_wide_as_asked(
    tmp_path: Path, layout: str, size: str, start: bytes, width: int
) -> None:
    """Pixels and lengths are widths of a PNG at 300 to the inch; the rest carry their size."""
    path = tmp_path / f"out.{layout}"
    result = run("lark-hydroplane", "belt", "--format", layout, "--size", size,
                 "--output", str(path))  # fmt: skip
    assert result.exit_code == 0, result.output
    assert result.output.startswith(f"{path}: The belt wraps")
    data = path.read_bytes()
    assert data.startswith(start)
    if width:
        assert Image.open(io.BytesIO(data)).width == width
    elif layout == "svg":
        assert b'width="360pt"' in data  # 480 pixels of 1/96 inch
    else:
        assert b"/MediaBox [ 0 0 453.5433" in data  # 160 mm


@pytest.mark.parametrize(
    ("size", "words"),
    [("5 mm", "the width is 5 mm on paper; expected 20 to 1200 mm"), ("3", "write it as 1600 px"),
     ("90000 px", "236 to 14173 px"), ("wide", "expected a width")],
)  # fmt: skip
def test_a_size_out_of_reason_says_what_to_write(size: str, words: str) -> None:
    """What is no width, or one that nobody wants, is refused before anything is read."""
    result = run("lark-hydroplane", "belt", "--size", size)
    assert result.exit_code == 2
    assert words in " ".join(result.output.split())


def test_a_folder_that_is_not_there_is_a_usage_error(tmp_path: Path) -> None:
    """A file that cannot be written is told without a traceback."""
    result = run("lark-hydroplane", "belt", "--output", str(tmp_path / "none" / "x.png"))
    assert result.exit_code == 2
    assert "cannot be written: No such file or directory" in " ".join(result.output.split())


def test_the_whole_archive_has_its_chart(tmp_path: Path) -> None:
    """How far predictions missed belongs to no build; its title is the accuracy page's."""
    path = tmp_path / "misses.png"
    result = run("accuracy", "misses", "--output", str(path))
    assert result.exit_code == 0
    title = charts_of_all(read_archive(ROOT / "builds"))["misses"].title
    assert result.output.strip() == f"{path}: {title}"


@pytest.mark.parametrize("asked", ["", "chart_files: [svg]\n"])
def test_sheets_offer_files_where_the_archive_asks(tmp_path: Path, asked: str) -> None:
    """Every chart lies beside its sheet and is linked from it; nothing without the setting."""
    base = ROOT / "tests" / "archive" / "good" / "everything"
    for source in base.rglob("*"):
        if source.is_file():
            target = tmp_path / source.relative_to(base)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(source.read_bytes())
    settings = tmp_path / "archive.yaml"
    kept = [it for it in settings.read_text("utf-8").splitlines() if "chart_files" not in it]
    settings.write_text("\n".join(kept) + "\n" + asked, encoding="utf-8")
    items = {item.address: item.content for item in Site(read_archive(tmp_path)).items()}
    sheets = {it.removesuffix("index.md") for it in items if it.endswith("/index.md")}
    files = {it for it in items if "/charts/" in it and it.partition("charts/")[0] in sheets}
    assert bool(files) == bool(asked)
    assert all(address.endswith(".svg") for address in files)
    for address in files:
        build, _, name = address.removeprefix("builds/").partition("/")
        assert f'href="{name}"' in str(items[f"builds/{build}/index.md"])


def test_the_demo_offers_its_charts() -> None:
    """The demo's settings ask for files, of a kind that there is."""
    asked = read_archive(ROOT / "builds").settings.chart_files
    assert asked
    assert {word.value for word in asked} <= set(LAYOUTS)
