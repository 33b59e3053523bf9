"""One-character slips in the demo's and in generated archives, through check, show and plan."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from specgen.analysis.judging.trouble import troubles
from specgen.analysis.planning.pairs import Question
from specgen.analysis.planning.plan import plan_of
from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from specgen.findings import as_text
from specgen.publish.planned.text import plan_text
from specgen.publish.terminal import sheet_text
from tests.long.measured import Measured
from tests.long.mutating import mistyped

ROOT = Path(__file__).parents[2]
_TOLD = 200


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Make slips one after the other; what `check`, `show` and `plan` make raises nothing."""
    measured = Measured()
    with TemporaryDirectory(prefix="specgen-slips-") as name:
        shops = [_alone(source, Path(name)) for source in sorted((ROOT / "builds").iterdir())
                 if (source / "build.yaml").is_file()]  # fmt: skip
        for number in range(1, count + 1):
            root = chance.choice(shops)
            files = sorted(it for it in root.rglob("*") if it.suffix in (".yaml", ".csv"))
            yamls = [file for file in files if file.suffix == ".yaml"]
            file = chance.choice(yamls if chance.random() < 0.8 else files)
            before = file.read_text("utf-8")
            file.write_text(mistyped(before, chance), "utf-8")
            about = f"{file.relative_to(root)}: {_line(before, file.read_text('utf-8'))}"
            measured.attempt(about, lambda: _worked(root))  # noqa: B023
            file.write_text(before, "utf-8")
            if number % _TOLD == 0 or number == count:
                tell(measured.told())
    return measured.faults


def _alone(source: Path, folder: Path) -> Path:
    """An archive of one of the demo's builds, so that a try is quick."""
    root = folder / source.name
    (root / source.name).parent.mkdir()
    shutil.copytree(source, root / source.name)
    shutil.copytree(ROOT / "builds" / "blowers", root / "blowers")
    shutil.copy(ROOT / "builds" / "archive.yaml", root)
    return root


def _worked(root: Path) -> None:
    archive = read_archive(root)
    as_text(archive.findings)
    for build in archive.builds.values():
        sheet = sheet_of(archive, build)
        sheet_text(sheet, "metric", everything=True)
        troubles(sheet)
        plan_text(plan_of(sheet, Question()), "imperial", [])


def _line(before: str, after: str) -> str:
    """The line that was changed, as it stands now."""
    lines = zip(before.split("\n"), after.split("\n"), strict=False)
    return next((repr(new) for old, new in lines if old != new), "at its end")
