"""Finding the files of an archive, and judging their names before anybody opens them.

The folder of a build and the file name of a blower are their permanent ids: they stand in
addresses, so they are small, plain and not taken by the site itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.model.build import Word
from specgen.archive.phrases.suggestion import nearest, one_of, plain_id
from specgen.findings import Finding, Place

#: Names that the site or the archive needs itself.
RESERVED = frozenset(
    [
        *("templates", "assets", "blowers", "builds", "index", "method", "cautions", "search"),
        *("data", "schemas", "schema", "charts", "files", "findings", "compare", "tags"),
        *("edition", "editions"),
    ]
)
_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
_ID_WORDS = "small letters, digits and hyphens, a letter or digit first"


def is_id(name: str) -> bool:
    """Whether a folder's name can be the id of a build."""
    return name not in RESERVED and _ID.fullmatch(name) is not None


@dataclass(frozen=True, slots=True)
class Survey:
    """The files an archive consists of, in the order of their names."""

    blowers: tuple[Path, ...]
    builds: tuple[Path, ...]
    findings: tuple[Finding, ...]


def survey(root: Path) -> Survey:
    """List the blower and build files of an archive."""
    blowers = tuple(path for path in _entries(root / "blowers") if path.suffix == ".yaml")
    folders = [path for path in _entries(root) if path.is_dir() and path.name != "blowers"]
    builds = tuple(path / "build.yaml" for path in folders if (path / "build.yaml").is_file())
    blower_places = [(path.stem, Place(f"blowers/{path.name}")) for path in blowers]
    build_places = [(path.parent.name, Place(f"{path.parent.name}/build.yaml")) for path in builds]
    findings = (
        *id_faults(blower_places),
        *id_faults(build_places),
        *_misnamed(root, folders),
    )
    return Survey(blowers, builds, findings)


def _entries(folder: Path) -> list[Path]:
    """List a folder without hidden entries; a folder that cannot be read is empty."""
    try:
        return sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    except OSError:
        return []


def id_faults(ids: Iterable[tuple[str, Place]]) -> Iterator[Finding]:
    """Report ids that are malformed, reserved, or differ in capitals only."""
    seen: dict[str, str] = {}
    for name, place in ids:
        if not _ID.fullmatch(name):
            hint = plain_id(name) or "a plain name"
            yield _error("reserved-id", place, f'the id "{name}"', _ID_WORDS, f"{hint} as its name")
        elif name in RESERVED:
            found = f'the id "{name}", which the site needs for itself'
            yield _error("reserved-id", place, found, "another id", f"{name}-1 as its name")
        first = seen.setdefault(name.lower(), name)
        if first != name:
            found = f'the id "{name}", which differs from "{first}" in capitals only'
            hint = f"{plain_id(name)}-2 as its name"
            yield _error("duplicate-id", place, found, "ids that differ in more", hint)


def _misnamed(root: Path, folders: Iterable[Path]) -> Iterator[Finding]:
    """Report files that were meant to be read but have another ending or capitals."""
    for folder in folders:
        names = [path.name for path in _entries(folder)]
        if "build.yaml" not in names:
            for name in names:
                if re.fullmatch(r"build\.ya?ml(\.txt)?", name, re.IGNORECASE):
                    yield _renamed(f"{folder.name}/{name}", "build.yaml")
    for path in _entries(root / "blowers"):
        if path.suffix.lower() in (".yml", ".yaml") and path.suffix != ".yaml":
            yield _renamed(f"blowers/{path.name}", f"{path.stem}.yaml")


def _renamed(name: str, wanted: str) -> Finding:
    found = f'a file named "{name.rpartition("/")[2]}", which nobody reads'
    return _error(
        "missing-file", Place(name), found, f'the name "{wanted}"', f"{wanted} as its name"
    )


def no_settings(root: Path) -> Finding:
    """Say that archive.yaml is not there, and what may be the reason."""
    place = Place("archive.yaml")
    if not root.is_dir():
        found = f'no folder "{root}"'
        return _error("missing-file", place, found, "the folder of an archive", "its path")
    names = [path.name for path in _entries(root) if path.is_file()]
    near = nearest("archive.yaml", names)
    found = f'a file "{near}", but no "archive.yaml"' if near else 'no file "archive.yaml"'
    hint = "archive.yaml, with format: 1, name: ..., units: metric, correction: iso-1585"
    return _error("missing-file", place, found, "archive.yaml in the archive's folder", hint)


def unreadable(name: str, error: OSError) -> Finding:
    """Say that the system does not let a file be read."""
    found = f"a file that cannot be opened ({error.strerror or type(error).__name__})"
    hint = "the file again, or permission to read it"
    return _error("unreadable-file", Place(name), found, "a file that can be read", hint)


def named_file(
    folder: Path, name: Word, endings: tuple[str, ...] = (".csv",)
) -> tuple[Path | None, Finding | None]:
    """Find the file that a value names, beside the file it stands in; or say why not.

    Files of these endings are what may have been meant.
    """
    text = name.value
    inside = "a file inside the folder, by its path from there"
    if "\\" in text:
        hint = text.replace("\\", "/")
        return None, _error("wrong-value", name.place, f'"{text}"', "forward slashes", hint)
    path = folder / text
    if "\0" in text or text.startswith("/") or not _is_inside(path, folder):
        found = f'"{text}", which leads out of {folder.name}'
        hint = f"{Path(text).name or 'curve.csv'}, with the file copied into {folder.name}"
        return None, _error("wrong-value", name.place, found, inside, hint)
    if path.is_file():
        return path, None
    found = f'"{text}", which is a folder' if path.is_dir() else f'no file "{text}"'
    meant = [item for item in sorted(folder.rglob("*")) if item.suffix.lower() in endings]
    there = [item.relative_to(folder).as_posix() for item in meant]
    hint = nearest(text, there) or one_of(there[:4]) or f"the file itself, into {folder.name}"
    return None, _error("missing-file", name.place, found, inside, hint)


def _is_inside(path: Path, folder: Path) -> bool:
    """Tell whether a path stays in a folder, also when links are followed."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return False


def _error(code: str, place: Place, found: str, expected: str, hint: str) -> Finding:
    return Finding(code, "error", place, found, expected, hint)
