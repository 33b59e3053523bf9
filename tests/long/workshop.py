"""A small site in two states, and the command that publishes it, in processes of its own."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from specgen.publish.delivery.manifest import MANIFEST, Manifest, faults, read

ROOT = Path(__file__).parents[2]
#: One build of the demo and the engine's lighter theme, so that a build takes few seconds.
FEW = ("ice-resurfacer",)
#: The file of the blower that it has.
BLOWER = ("wagtail-10.yaml",)


@dataclass(frozen=True)
class Workshop:
    """A folder with a published site, and sources of the two states that it is built from."""

    folder: Path

    @property
    def site(self) -> Path:
        """Where both states are published."""
        return self.folder / "public" / "site"

    def settings(self, state: str) -> Path:
        """The settings of a state."""
        return self.folder / state / "source" / "mkdocs.yml"

    def start(self, state: str) -> subprocess.Popen[str]:
        """Begin to build a state."""
        return started("site", "--config", str(self.settings(state)))

    def build(self, state: str) -> Manifest:
        """Build a state and give its manifest."""
        process = self.start(state)
        output, _ = process.communicate()
        assert process.returncode == 0, output
        manifest = read(self.site / MANIFEST)
        assert manifest is not None
        return manifest

    def unsound(self) -> list[str]:
        """What is not whole about the published site, or lies beside it."""
        beside = [path.name for path in self.site.parent.iterdir() if path != self.site]
        return [*faults(self.site), *(f"{name} was left behind" for name in beside)]


def started(
    *arguments: str, surroundings: Mapping[str, str | None] | None = None
) -> subprocess.Popen[str]:
    """Begin a command of specgen in a process of its own; a variable that is None is not there."""
    given = {**os.environ, "PYTHONPATH": str(ROOT), **(surroundings or {})}
    return subprocess.Popen(
        [sys.executable, "-c", "from specgen.cli import main; main()", *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=ROOT,
        env={name: value for name, value in given.items() if value is not None},
    )


@contextmanager
def workshop() -> Iterator[Workshop]:
    """Write both states: every page and a style differ."""
    with TemporaryDirectory(prefix="specgen-long-") as name:
        folder = Path(name).resolve()
        for state in ("one", "two"):
            _write(folder / state, state)
        yield Workshop(folder)


def _write(folder: Path, state: str) -> None:
    builds, pages = folder / "builds", folder / "source" / "pages"
    (builds / "blowers").mkdir(parents=True)
    for file in BLOWER:
        shutil.copy(ROOT / "builds" / "blowers" / file, builds / "blowers")
    for build in FEW:
        shutil.copytree(ROOT / "builds" / build, builds / build)
    settings = f"format: 1\nname: The {state} state\ninvented: true\nunits: metric\n"
    (builds / "archive.yaml").write_text(f"{settings}correction: iso-1585\n")
    pages.mkdir(parents=True)
    (pages / "index.md").write_text(f"# {state}\n\n<!-- specgen: builds -->\n")
    (pages / "own.css").write_text(f"/* {state} */\n")
    lines = [f"site_name: {state}", "docs_dir: pages", "site_dir: ../../public/site",
             "theme: mkdocs", "extra_css: [own.css]",
             "plugins: [specgen]"]  # fmt: skip
    (folder / "source" / "mkdocs.yml").write_text("\n".join(lines) + "\n")
