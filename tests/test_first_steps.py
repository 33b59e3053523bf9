"""From an empty folder to a published site with the wheel alone, each command at its first try."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKED = ("specgen", "pyproject.toml", "README.md", "LICENSE")
EXPORT = """Date;2026-05-14
Drehzahl [1/min];Drehmoment [Nm];Ladedruck [mbar]
2400;380,5;410
3200;402,1;480
4000;421,0;560
4800;418,7;610
5600;401,2;660
6400;377,9;705
"""
#: What somebody types into the build's file for its one pull: the drive and a setup.
TYPED = """drive: {crank_pulley: 160 mm, blower_pulley: 86.6 mm}
setups:
  - {id: p87, blower_pulley: 86.6 mm, fuel: e10}
"""
MOST_LINES = 10

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The commands of an environment that has the wheel, and no source beside it.

    What the wheel depends on is that of the environment the tests run in; only what packs it may be
    fetched.
    """
    folder = tmp_path_factory.mktemp("wheel")
    for name in PACKED:
        copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
        copy(ROOT / name, folder / name)
    pack = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "-w", "made", "."]
    _done(pack, folder)
    (wheel,) = (folder / "made").glob("specgen-*.whl")
    venv.create(folder / "own", with_pip=False)
    (site,) = (folder / "own/lib").glob("python*/site-packages")
    outer = [path for path in sys.path if path.endswith("site-packages")]
    (site / "outer.pth").write_text("\n".join(outer), encoding="utf-8")
    python = str(folder / "own/bin/python")
    install = [python, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index"]
    own = ["--ignore-installed", "--prefix", str(folder / "own"), str(wheel)]
    _done([*install, *own], folder)
    return folder / "own/bin"


def _done(command: list[str], folder: Path) -> str:
    """Run a command in a folder, without our source on its path; it must end well."""
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    ran = subprocess.run(
        command, cwd=folder, env=kept, capture_output=True, text=True, check=False, timeout=300
    )
    assert ran.returncode == 0, f"{' '.join(command)}\n{ran.stdout}\n{ran.stderr}"
    return ran.stdout + ran.stderr


def test_an_empty_folder_becomes_a_site(
    installed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Init, a blower, a build, an import, a check, a site; the seconds of each are printed."""
    shop = tmp_path / "shop"
    seconds: list[str] = []

    def specgen(*words: str, folder: Path = shop) -> str:
        started = time.perf_counter()
        said = _done([str(installed / "specgen"), *words], folder)
        seconds.append(f"specgen {words[0]}: {time.perf_counter() - started:.1f} s")
        return said

    specgen("init", "shop", "--yes", folder=tmp_path)
    where = _done(
        [str(installed / "python"), "-c", "import specgen; print(specgen.__file__)"], shop
    )
    assert str(installed.parent) in where, "the wheel's own files are used"
    specgen("check")
    specgen("new", "blower", "mine", "--kind", "lobe", "--displacement", "1.3 L")
    specgen("new", "build", "tug", "--cylinders", "6", "--bore", "84 mm", "--stroke", "90 mm",
            "--blower", "mine")  # fmt: skip
    file = shop / "builds/tug/build.yaml"
    with file.open("a", encoding="utf-8") as stream:
        stream.write(TYPED)
    assert TYPED.count("\n") <= MOST_LINES
    (shop / "run 7.csv").write_bytes(EXPORT.encode("cp1252"))
    specgen(
        "import",
        "run 7.csv",
        "--build",
        "tug",
        "--setup",
        "p87",
        "--kind",
        "engine",
        "--measured-at",
        "flywheel",
        "--figures",
        "observed",
        "--boost",
        "gauge",
        "--yes",
    )
    specgen("check", "--fail-on", "error")
    assert "kW" in specgen("show", "tug")
    specgen("site")
    page = (shop / "site/builds/tug/index.html").read_text("utf-8")
    assert re.search(r"2\d\d.{0,80}kW", page)
    assert (shop / "site/schemas/build.schema.json").is_file()
    with capsys.disabled():
        print("\n" + "\n".join(seconds))
