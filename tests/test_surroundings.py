"""What lies around the program: terminals, variables, homes, themes. None of it ends a command."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen.cli import main
from specgen.cli.letters import _INSTEAD
from tests.analysis.small import BUILD, SESSION, write

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent
NAME = "test-build"
SETTINGS = "site_name: Shed\nsite_dir: ../site\ndocs_dir: pages\ntheme: {name: mkdocs}\n"


def command(
    *arguments: str, folder: Path, **surroundings: str | None
) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a process of its own; a variable that is None is not there."""
    usual = os.environ | {"PYTHONPATH": str(ROOT)} | surroundings
    kept = {key: value for key, value in usual.items() if value is not None}
    return subprocess.run(
        [sys.executable, "-c", "from specgen.cli import main; main()", *arguments],
        cwd=folder, env=kept, capture_output=True, check=False, timeout=100,
    )  # fmt: skip


def run(*arguments: str) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False)


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """A folder with an archive of one build and the settings of a site."""
    root = write(tmp_path / "builds", BUILD + SESSION)
    assert root.name == "builds"
    (tmp_path / "site_src" / "pages").mkdir(parents=True)
    (tmp_path / "site_src" / "mkdocs.yml").write_text(SETTINGS + "plugins: [specgen]\n")
    return tmp_path


@pytest.mark.parametrize("encoding", ["cp1252", "latin-1", "cp437", "utf-8"])
@pytest.mark.parametrize("layout", ["text", "json"])
def test_every_terminal_is_spoken_to(shed: Path, encoding: str, layout: str) -> None:
    """Letters that it lacks come as the nearest that it has; figures lose nothing."""
    words = ["show", NAME, "--all", "--format", layout, "--archive", str(shed / "builds")]
    told = CliRunner(charset=encoding).invoke(main, words, catch_exceptions=False)
    assert told.exit_code == 0
    assert "301" in told.stdout
    assert "\\u202f" not in told.stdout
    assert layout == "json" or "±" in told.stdout


def test_a_pipe_of_another_encoding(shed: Path) -> None:
    """The same in a process of its own, whose output goes into a pipe."""
    done = command("show", NAME, folder=shed, PYTHONIOENCODING="cp1252", PYTHONUTF8="0")
    assert done.returncode == 0, done.stderr.decode()
    assert "301 ± " in done.stdout.decode("cp1252")


def test_nearest_letters_are_plain() -> None:
    """What stands instead can be printed anywhere."""
    assert all(instead.isascii() for instead in _INSTEAD.values())


@pytest.mark.parametrize("stamp", ["abc", "", "-1", "1e9", "99999999999999999", "\u0661"])
def test_a_wrong_stamp_is_told(shed: Path, stamp: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One sentence with what to write; the site stays as it was."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", stamp)
    told = run("site", "--config", str(shed / "site_src" / "mkdocs.yml"))
    assert told.exit_code == 1
    assert "SOURCE_DATE_EPOCH" in told.output
    assert "Traceback" not in told.output
    assert not (shed / "site").exists()


@pytest.mark.parametrize("address", ["127.0.0.1:70000", "127.0.0.1:0", "nonsense", ":80", "a:b"])
def test_a_wrong_address_is_a_usage_error(shed: Path, address: str) -> None:
    """A port that no machine has, or no port at all."""
    config = str(shed / "site_src" / "mkdocs.yml")
    told = run("site", "--serve", "--address", address, "--config", config)
    assert told.exit_code == 2
    assert "127.0.0.1:8000" in told.output


@pytest.mark.parametrize(
    ("before", "after", "named"),
    [
        ("theme: {name: mkdocs}", "theme: {name: nosuch}", "nosuch"),
        ("[specgen]", "[specgen, nosuchplugin]", "nosuchplugin"),
        ("site_name: Shed", "site_name: [", "parsing"),
        ("docs_dir: pages", "docs_dir: nowhere", "nowhere"),
        ("docs_dir: pages", "docs_dir: pages\nmarkdown_extensions: [nosuch]", "nosuch"),
    ],
)
def test_wrong_settings_are_named(shed: Path, before: str, after: str, named: str) -> None:
    """A theme, plugin, extension or folder that is not there: the output says what is wrong."""
    config = shed / "site_src" / "mkdocs.yml"
    config.write_text(config.read_text().replace(before, after))
    told = run("site", "--config", str(config))
    assert told.exit_code == 1
    assert named in told.output
    assert "Traceback" not in told.output


@pytest.mark.parametrize("home", [None, "/proc"])
def test_no_home_is_needed(shed: Path, home: str | None) -> None:
    """What is kept for the next time is kept nowhere, and everything else works."""
    done = command("export", "out", folder=shed, HOME=home, XDG_CACHE_HOME=None, MPLCONFIGDIR=None)
    assert done.returncode == 0, done.stderr.decode()
