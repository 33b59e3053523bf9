"""The preview: it shows a change of the YAML, and outlives one that is wrong."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.site.conftest import ROOT

PROGRAM = """
import sys
from specgen.publish.plugin import serve_site
serve_site(sys.argv[1], progress=lambda text: print(text, flush=True), address=sys.argv[2])
"""


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """A small archive with the two lines that ask for the plugin."""
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Ours\n", encoding="utf-8")
    for name in ("archive.yaml", "harbour-ferry", "blowers"):
        source, target = ROOT / "builds" / name, tmp_path / "builds" / name
        if source.is_dir():
            shutil.copytree(source, target)
        else:
            target.parent.mkdir()
            shutil.copy(source, target)
    text = "site_name: Ours\ntheme: mkdocs\nplugins:\n  - specgen\n"
    (tmp_path / "mkdocs.yml").write_text(text, encoding="utf-8")
    return tmp_path


@pytest.fixture
def preview(shed: Path) -> Iterator[tuple[str, Path]]:
    """The running preview: address of the sheet, and the file that all it said goes to."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    said = shed / "said.txt"
    with said.open("w") as output:
        server = subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(shed / "mkdocs.yml"), f"127.0.0.1:{port}"],
            stdout=output,
            stderr=subprocess.STDOUT,
        )
        yield f"http://127.0.0.1:{port}/builds/harbour-ferry/", said
        server.terminate()
        server.wait(20)


def until(condition: Callable[[], bool], what: str, seconds: float = 60) -> None:
    """Wait for something that another process does."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, f"waited in vain for {what}"
        time.sleep(0.2)


def page(address: str) -> str:
    """The served page; empty while the server is not up."""
    try:
        with urllib.request.urlopen(address, timeout=20) as answer:
            return str(answer.read().decode("utf-8"))
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return ""


def test_preview_follows_changes_and_outlives_faults(preview: tuple[str, Path], shed: Path) -> None:
    """A fault is told with its place, there and in the page; all else stays; mended, it shows.

    Only the edited build is made again, and then what sums up: the engine builds once in all.
    """
    address, said = preview
    file = shed / "builds" / "harbour-ferry" / "build.yaml"
    right = file.read_text("utf-8")
    until(lambda: "Harbour ferry" in page(address), "the first page")
    assert "script-src 'self' 'unsafe-inline'" in page(address), "its reload script is allowed"
    file.write_text(right.replace("bore: 92 mm", "bore: 92"), encoding="utf-8")
    until(lambda: "harbour-ferry/build.yaml:" in said.read_text(), "the finding")
    until(lambda: "This build is left out." in page(address), "the finding's page")
    assert "harbour-ferry/build.yaml" in page(address).partition("<h1")[2], "where it stands"
    assert "Ours" in page(address + "../../"), "the rest of the site stays"
    mended = right.replace("title: Harbour ferry", "title: Mended ferry")
    file.write_text(mended, encoding="utf-8")
    until(lambda: "Mended ferry" in page(address), "the mended page")
    assert "script-src 'self' 'unsafe-inline'" in page(address)
    until(lambda: "Mended ferry" in page(address + "../"), "the index")
    assert said.read_text().count("Building documentation") == 1
    assert "Made again: harbour-ferry" in said.read_text()


def test_preview_builds_all_for_any_other_change(preview: tuple[str, Path], shed: Path) -> None:
    """A page by hand, the settings, a new build: the engine's own answer."""
    address, said = preview
    until(lambda: "Harbour ferry" in page(address), "the first page")
    (shed / "docs" / "index.md").write_text("# Renewed\n", encoding="utf-8")
    until(lambda: "Renewed" in page(address + "../../"), "the page by hand")
    shutil.copytree(shed / "builds" / "harbour-ferry", shed / "builds" / "second-ferry")
    second = shed / "builds" / "second-ferry" / "build.yaml"
    kept = [it for it in second.read_text("utf-8").splitlines() if not it.startswith("formerly")]
    second.write_text("\n".join(kept) + "\n", encoding="utf-8")
    until(lambda: "Harbour ferry" in page(address + "../second-ferry/"), "the new build")
    assert said.read_text().count("Building documentation") >= 3
