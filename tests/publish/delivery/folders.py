"""Small folders to publish, and what is asked of them."""

from __future__ import annotations

from pathlib import Path

from specgen.publish.delivery.delivery import Delivery
from specgen.publish.delivery.targets import Earlier, Target

EARLIER = Earlier(("assets/specgen/specgen.js",), frozenset({"assets", "index.html", "builds"}))
PAGES = {"index.html": "home {0}", "builds/a/index.html": "a {0}", "assets/look.{0}.css": "css {0}"}


def quiet(_message: str) -> None:
    """Take a message that nobody waits for."""


def write(folder: Path, files: dict[str, str]) -> None:
    """Write files of text into a folder."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def site(which: object) -> dict[str, str]:
    """A site of three files that say which they are of."""
    return {name.format(which): text.format(which) for name, text in PAGES.items()}


def target_at(folder: Path, keep: tuple[str, ...] = ()) -> Target:
    """A target with an archive beside it."""
    away = {"the archive": folder.parent / "archive"}
    return Target(folder, away, "Write site_dir: ../site", keep, EARLIER)


def publish(folder: Path, files: dict[str, str], keep: tuple[str, ...] = ()) -> None:
    """Deliver files to a folder."""
    delivery = Delivery(target_at(folder, keep), quiet, wait=0)
    write(delivery.stage, files)
    delivery.publish({"specgen": "1"}, "r")


def texts(folder: Path) -> dict[str, str]:
    """What a folder holds that is not hidden, by name."""
    return {
        path.relative_to(folder).as_posix(): path.read_text("utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }
