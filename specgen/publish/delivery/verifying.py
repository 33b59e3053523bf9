"""Whether a published folder is what its sources make: every byte, but for what git tells of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from specgen.publish.delivery.manifest import MANIFEST, Manifest, faults, read

#: Files in which history is told, by how their names end.
_TELLING = (".html", ".xml", "search_index.json")


@dataclass(frozen=True, slots=True)
class Verified:
    """What came of it: how many files were compared, what differs, and what was not compared."""

    files: int
    differences: tuple[str, ...]
    note: str = ""


def verified(published: Path, made: Path, keep: tuple[str, ...] = ()) -> Verified:
    """Compare a published folder with one just made from the same sources.

    Each is held against its own manifest first; `keep` are names that are not ours. ManifestError
    where a manifest is missing or cannot be read.
    """
    then, now = _manifest(published), _manifest(made)
    told_alike = then.history == now.history
    names = sorted({*then.files, *now.files} - then.kept - now.kept)
    differences = [
        *faults(published, keep),
        *(line for name in names for line in _difference(published, made, name, told_alike)),
    ]
    note = ""
    if not told_alike:
        note = (
            f"Pages were held against their own manifest only, since they tell another history: "
            f"published with {_source(then)}, made with {_source(now)}."
        )
    return Verified(len(names), tuple(dict.fromkeys(differences)), note)


def _manifest(folder: Path) -> Manifest:
    found = read(folder / MANIFEST)
    if found is None:
        raise FileNotFoundError(2, "no manifest of a build", str(folder / MANIFEST))
    return found


def _source(manifest: Manifest) -> str:
    return "git" if manifest.history == "git" else f'none ("{manifest.history}")'


def _difference(published: Path, made: Path, name: str, told_alike: bool) -> Iterator[str]:
    """Say how one file differs, unless it is one of those that tell another history."""
    one, other = published / name, made / name
    if not one.is_file():
        yield f"{name} is missing"
    elif not other.is_file():
        yield f"{name} is made no more"
    elif (told_alike or not name.endswith(_TELLING)) and (
        (old := one.read_bytes()) != (new := other.read_bytes())
    ):
        yield f"{name} differs from byte {_first(old, new)} on"


def _first(one: bytes, other: bytes) -> int:
    """The first byte that differs, from 0."""
    pairs = zip(one, other, strict=False)
    return next((at for at, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))
