"""One-digit typos in the demo's files: no traceback, and the other builds are published."""

from __future__ import annotations

import dataclasses
import random
import shutil
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.site import Site
from specgen.publish.terminal import sheet_text
from tests.publish.pages import sheets_of

ROOT = Path(__file__).parents[2]
#: Of so many typos one is made into the whole site; the others into the pages that they touch.
_WHOLE = 50
#: Share of typos that go into YAML, which has few digits beside the curves.
_YAML = 0.85


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Make typos one after the other; every page that rests on one can be made."""
    faults: list[str] = []
    told: Counter[str] = Counter()
    with TemporaryDirectory(prefix="specgen-typos-") as name:
        root = Path(name) / "builds"
        shutil.copytree(ROOT / "builds", root)
        sound = set(read_archive(root).builds)
        files = sorted(it for it in root.rglob("*") if it.suffix in (".yaml", ".csv"))
        yamls = [file for file in files if file.suffix == ".yaml"]
        for number in range(1, count + 1):
            file = chance.choice(yamls if chance.random() < _YAML else files)
            text = file.read_text("utf-8")
            changed = typo(text, chance)
            file.write_text(changed, "utf-8")
            try:
                told[published(root, file, sound, whole=number % _WHOLE == 0)] += 1
            except Exception:  # whatever it is, it would be a traceback for somebody
                faults.append(f"{file.name}: {_line(text, changed)}\n{traceback.format_exc()}")
            file.write_text(text, "utf-8")
            if number % _WHOLE == 0:
                tell(f"{number} typos: {dict(told)}, {len(faults)} faults")
    return faults


def typo(text: str, chance: random.Random) -> str:
    """Change, drop, double or transpose one digit or decimal point."""
    at = chance.choice([i for i, letter in enumerate(text) if letter.isdigit() or letter == "."])
    before, here, after = text[:at], text[at], text[at + 1 :]
    return chance.choice(
        (
            before + chance.choice("0123456789") + after,
            before + after,
            before + here * 2 + after,
            before + after[:1] + here + after[1:],
        )
    )


def published(root: Path, file: Path, sound: set[str], *, whole: bool) -> str:
    """Make all that rests on a file, or the whole site; say what became of the typo."""
    archive = read_archive(root)
    touched = _touched(archive, file.relative_to(root), sound)
    lost = sound - set(archive.builds)
    assert lost <= touched, f"other builds are gone: {lost - touched}"
    chosen = archive.builds if whole else {i: archive.builds[i] for i in touched - lost}
    site = Site(archive if whole else dataclasses.replace(archive, builds=chosen))
    addresses = {item.address for item in site.items()}
    for build in sound if whole else touched:
        if f"builds/{build}/index.md" not in addresses and archive.sources.get("archive.yaml"):
            assert f"builds/{build}/index.html" in addresses or lost, f"no page of {build}"
    assert [str(made.fault) for made in site.made.values() if made.fault is not None] == []
    for sheet in sheets_of(site).values():
        sheet_text(sheet, "metric", everything=True)
    if lost:
        return "left out"
    return "cannot be worked out" if site.faults() else "published"


def _touched(archive: Archive, file: Path, sound: set[str]) -> set[str]:
    """The builds that rest on a file."""
    if file.parts[0] == "blowers":
        return {
            name
            for name in sound
            if name not in archive.builds
            or (archive.builds[name].induction.blower or _NONE).value == file.stem
        }
    return {file.parts[0]} & sound if len(file.parts) > 1 else set(sound)


class _NONE:
    value = ""


def _line(old: str, new: str) -> str:
    pairs = zip(old.splitlines(), new.splitlines(), strict=False)
    return next((f"{one!r} became {two!r}" for one, two in pairs if one != two), "a line is gone")
