"""An archive in a repository of its own, for tests of how its figures came to be."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.archive.published import published
from specgen.findings import as_text
from specgen.past.chronicle import Event
from specgen.past.past import Past
from tests.analysis.small import write
from tests.archive.repository import begun, commit_all

BUILD = "test-build"


@dataclass(frozen=True)
class Shop:
    """A repository with an archive in its folder `builds`."""

    root: Path

    @property
    def builds(self) -> Path:
        """The archive's folder."""
        return self.root / "builds"

    def change(self, file: str, old: str, new: str, subject: str = "", day: str = "") -> None:
        """Change a text in a file, and commit it if something is to be said of it."""
        path = self.builds / file
        text = path.read_text("utf-8")
        assert old in text, f"{old!r} is not in {file}"
        path.write_text(text.replace(old, new, 1), "utf-8")
        if subject:
            self.commit(subject, day or "2025-06-01")

    def commit(self, subject: str, day: str = "2025-06-01") -> None:
        """Commit whatever lies there."""
        commit_all(self.root, subject, day)

    def archive(self) -> Archive:
        """The archive as it lies there, without errors."""
        found = read_archive(self.builds)
        errors = [it for it in found.findings if it.severity == "error"]
        assert not errors, as_text(errors)
        return published(found)

    def events(self, build: str = BUILD) -> tuple[Event, ...]:
        """The changes of a build, oldest first."""
        archive = self.archive()
        return Past(archive).events(archive.builds[build])


def opened(folder: Path) -> Shop:
    """Begin a shop with one build and one blower, committed."""
    shop = Shop(begun(folder))
    shop.builds.mkdir()
    write(shop.builds)
    shop.commit("Take in the test build", "2025-05-14")
    return shop


def told(event: Event) -> dict[str, tuple[str, str]]:
    """The figures that a change moved, as they were printed, by title."""
    return {
        f"{it.told.title} {it.told.of}".strip(): (
            it.before.text("metric") if it.before else "",
            it.after.text("metric") if it.after else "",
        )
        for it in event.moved
    }
