"""A delivery: whole or not at all, kept files untouched, nothing left beside it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from specgen.publish.delivery import manifest, swap
from specgen.publish.delivery.delivery import Delivery
from specgen.publish.delivery.lock import Busy
from specgen.publish.delivery.manifest import faults
from specgen.publish.delivery.targets import Refused, survey
from tests.publish.delivery.folders import publish, quiet, site, target_at, texts, write

NO_EXCHANGE = ["exchange", "file by file"]


@pytest.fixture(params=NO_EXCHANGE)
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both ways of putting a folder in its place."""
    if request.param == "file by file":
        monkeypatch.setattr(swap, "exchange", lambda *_folders: False)
    return str(request.param)


def beside(folder: Path) -> list[str]:
    """What lies beside a folder."""
    return sorted(path.name for path in folder.parent.iterdir() if path != folder)


@pytest.mark.usefixtures("way")
def test_a_folder_is_whole_after_each_delivery(tmp_path: Path) -> None:
    """New, replaced and replaced again: sealed, with the styles of the build before, no others."""
    target = tmp_path / "site"
    for which in ("1", "2", "3"):
        publish(target, site(which))
        assert faults(target) == []
        assert texts(target)["index.html"] == f"home {which}"
        assert beside(target) == []
    assert {name for name in texts(target) if "look" in name} == {
        "assets/look.2.css",
        "assets/look.3.css",
    }
    sealed = manifest.read(target / manifest.MANIFEST)
    assert sealed is not None
    assert sealed.kept == {"assets/look.2.css"}
    assert not target.is_symlink()


def test_the_system_exchanges_folders_in_one_step(tmp_path: Path) -> None:
    """Where it says it can, both folders have changed places."""
    write(tmp_path / "one", {"a": "1"})
    write(tmp_path / "two", {"a": "2"})
    if not swap.exchange(tmp_path / "one", tmp_path / "two"):
        pytest.skip("this system cannot exchange two folders in one step")
    assert (tmp_path / "one" / "a").read_text() == "2"
    assert not swap.exchange(tmp_path / "one", tmp_path / "nowhere")


@pytest.mark.usefixtures("way")
def test_what_is_not_ours_stays_as_it_is(tmp_path: Path) -> None:
    """A checkout's folder, a host's files and files named in the settings are never touched."""
    target = tmp_path / "site"
    foreign = {".git/HEAD": "ref", "CNAME": "shed", ".nojekyll": "", "downloads/x.zip": "zip"}
    write(target, foreign)
    inode = target.stat().st_ino
    for which in ("1", "2"):
        publish(target, {**site(which), "CNAME": "another"}, keep=("downloads",))
    assert faults(target, ("downloads",)) == []
    assert target.stat().st_ino == inode, "a folder with a checkout in it stays the same folder"
    for name, text in foreign.items():
        assert (target / name).read_text() == text


@pytest.mark.usefixtures("way")
def test_a_lone_kept_file_comes_along(tmp_path: Path) -> None:
    """A host's file alone stays in the folder however it is replaced."""
    target = tmp_path / "site"
    write(target, {"CNAME": "shed"})
    publish(target, site("1"))
    publish(target, site("2"))
    assert (target / "CNAME").read_text() == "shed"
    assert faults(target) == []


def test_a_file_takes_the_place_of_a_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """File by file, a page that was a folder becomes a file, and the other way round."""
    monkeypatch.setattr(swap, "exchange", lambda *_folders: False)
    target = tmp_path / "site"
    publish(target, {"index.html": "1", "x/index.html": "1", "y": "1"})
    publish(target, {"index.html": "2", "x": "2", "y/index.html": "2"})
    assert texts(target) == {"index.html": "2", "x": "2", "y/index.html": "2"}
    assert faults(target) == []


def test_an_abandoned_delivery_leaves_nothing(tmp_path: Path) -> None:
    """The old folder stays byte for byte, and nothing lies beside it."""
    target = tmp_path / "site"
    publish(target, site("1"))
    delivery = Delivery(target_at(target), quiet)
    write(delivery.stage, site("2"))
    delivery.abandon()
    delivery.abandon()
    assert texts(target) == site("1")
    assert faults(target) == []
    assert beside(target) == []


def test_a_second_build_says_that_another_is_at_work(tmp_path: Path) -> None:
    """Without patience it is refused at once, and told so; with it, it waits."""
    target = tmp_path / "site"
    first = Delivery(target_at(target), quiet)
    told: list[str] = []
    with pytest.raises(Busy, match="still at work"):
        Delivery(target_at(target), told.append, wait=0.2)
    assert "waiting" in told[0]
    first.abandon()
    publish(target, site("1"))
    assert faults(target) == []


def test_a_file_that_came_meanwhile_stops_the_exchange(tmp_path: Path) -> None:
    """Somebody saves into the folder while the new one is made: the old one stays, with it."""
    target = tmp_path / "site"
    publish(target, site("1"))
    delivery = Delivery(target_at(target), quiet)
    write(delivery.stage, site("2"))
    write(target, {"notes.txt": "mine"})
    with pytest.raises(Refused, match=r"notes\.txt"):
        delivery.publish({})
    assert texts(target) == {**site("1"), "notes.txt": "mine"}
    assert beside(target) == []


_KILLED = """
import os, sys
from pathlib import Path
from tests.publish.delivery.folders import publish, site
from specgen.publish.delivery import swap
target, way, step = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
if way == "file by file":
    swap.exchange = lambda *folders: False
def dies(event, arguments):
    global step
    if event in ("os.rename", "os.mkdir", "os.remove", "os.rmdir", "open", "shutil.rmtree"):
        if any(str(target.parent) in str(part) for part in arguments):
            step -= 1
            if step == 0:
                os._exit(9)
sys.addaudithook(dies)
publish(target, site("2"))
"""


def killed_at(target: Path, way: str, step: int) -> bool:
    """Publish in a process of its own that dies at a step; whether it came so far."""
    command = [sys.executable, "-c", _KILLED, str(target), way, str(step)]
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(command, check=False, env=environment)
    assert done.returncode in (0, 9)
    return done.returncode == 9


@pytest.mark.parametrize("way_of", NO_EXCHANGE)
def test_killed_at_any_step_the_next_build_is_whole(tmp_path: Path, way_of: str) -> None:
    """Killed at many steps: pages old or new, with their styles; then all is mended."""
    steps = 0
    for step in range(1, 400, 9):
        target = tmp_path / str(step) / "site"
        publish(target, site("1"))
        died = killed_at(target, way_of, step)
        assert texts(target)["index.html"] in ("home 1", "home 2")
        for which in "12":
            if f"{which}" in texts(target)["index.html"]:
                assert f"assets/look.{which}.css" in texts(target)
        publish(target, site("3"))
        assert faults(target) == []
        assert beside(target) == []
        steps += 1
        if not died:
            break
    assert steps > 3, "it was killed at several steps"
    assert not died, "it was carried to the end"


def test_a_changed_file_of_ours_is_somebodys_work(tmp_path: Path) -> None:
    """What was edited by hand in the published folder is not deleted."""
    target = tmp_path / "site"
    publish(target, site("1"))
    os.utime(target / manifest.MANIFEST, ns=(1, 1))
    (target / "index.html").write_text("my own words")
    with pytest.raises(Refused, match=r"index\.html.*site_dir"):
        survey(target_at(target))
