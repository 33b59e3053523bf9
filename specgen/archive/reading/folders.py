"""Finding the files of an archive, and judging their names before anybody opens them.

The folder of a build and the file name of a blower are their permanent ids: they stand in
addresses, so they are small, plain and not taken by the site itself.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.model.build import Word
from specgen.archive.phrases.suggestion import nearest, one_of, plain_id
from specgen.archive.reading import door
from specgen.findings import Finding, Place

#: Names that the site or the archive needs itself.
RESERVED = frozenset(
    [
        *("templates", "assets", "blowers", "builds", "index", "method", "cautions", "search"),
        *("data", "schemas", "schema", "charts", "files", "findings", "compare", "tags"),
        *("edition", "editions"),
    ]
)
#: What else lies beside the builds' folders.
_NO_BUILDS = ("blowers", "archive.yaml")
_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
#: Names that a script's objects have of themselves, before anything is put into them.
_SCRIPT_WORDS = frozenset(["constructor"])
#: Addresses and charts have to hold it.
_LONGEST_ID = 60
_ID_WORDS = "small letters, digits and hyphens, a letter or digit first"


def is_id(name: str) -> bool:
    """Whether a folder's name can be the id of a build."""
    return name not in RESERVED and _ID.fullmatch(name) is not None and not word_fault(name)


def word_fault(name: str) -> str:
    """Say what keeps a word from being an id of a build, blower or setup; "" if nothing."""
    if name in door.DEVICES:
        return "which stands for a device on some systems"
    if name in _SCRIPT_WORDS:
        return "which scripts need for themselves"
    return f"which has {len(name)} letters" if len(name) > _LONGEST_ID else ""


@dataclass(frozen=True, slots=True)
class Survey:
    """The files an archive consists of, in the order of their names."""

    blowers: tuple[Path, ...]
    builds: tuple[Path, ...]
    findings: tuple[Finding, ...]


def survey(root: Path) -> Survey:
    """List the blower and build files of an archive; whether they can be read is not asked yet."""
    findings: list[Finding] = []
    blowers = tuple(
        path for path in _entries(root / "blowers", root, findings) if path.suffix == ".yaml"
    )
    names = {}
    for path in _entries(root, root, findings):
        if path.name not in _NO_BUILDS and _is_folder(path, root, findings):
            names[path] = [item.name for item in _entries(path, root, findings)]
    builds = tuple(path / "build.yaml" for path, inside in names.items() if "build.yaml" in inside)
    blower_places = [(path.stem, Place(f"blowers/{path.name}")) for path in blowers]
    build_places = [(path.parent.name, Place(f"{path.parent.name}/build.yaml")) for path in builds]
    findings += [*id_faults(blower_places), *id_faults(build_places), *_misnamed(root, names)]
    return Survey(blowers, builds, tuple(findings))


def _entries(folder: Path, root: Path, findings: list[Finding]) -> list[Path]:
    """List a folder; one that cannot be read is empty, and a finding."""
    try:
        return door.entries(folder) if door.kind(folder) == "folder" else []
    except door.Refused as why:
        findings.append(refused(folder.relative_to(root).as_posix(), why))
        return []


def _is_folder(path: Path, root: Path, findings: list[Finding]) -> bool:
    """Tell whether this is a folder of the archive; a link that leads elsewhere is a finding."""
    kind = door.kind(path)
    if not path.is_symlink():
        return kind == "folder"
    try:
        if kind in ("folder", ""):
            door.within(root, path)
        if not kind:
            raise door.Refused("a link that leads to nothing", "a folder", "the folder itself")
    except door.Refused as why:
        findings.append(refused(path.name, why))
        return False
    return kind == "folder"


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
        elif fault := word_fault(name):
            hint = f"{name[: _LONGEST_ID - 2].strip('-')}-1 as its name"
            yield _error("reserved-id", place, f'the id "{name}", {fault}', "another id", hint)
        first = seen.setdefault(name.lower(), name)
        if first != name:
            found = f'the id "{name}", which differs from "{first}" in capitals only'
            hint = f"{plain_id(name)}-2 as its name"
            yield _error("duplicate-id", place, found, "ids that differ in more", hint)


def _misnamed(root: Path, inside: Mapping[Path, Sequence[str]]) -> Iterator[Finding]:
    """Report files that were meant to be read but have another ending or capitals."""
    for folder, names in inside.items():
        if "build.yaml" not in names:
            for name in names:
                if re.fullmatch(r"build\.ya?ml(\.txt)?", name, re.IGNORECASE):
                    yield _renamed(f"{folder.name}/{name}", "build.yaml")
    for path in _entries(root / "blowers", root, []):
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
    names = [path.name for path in _entries(root, root, []) if door.kind(path) == "file"]
    near = nearest("archive.yaml", names)
    found = f'a file "{near}", but no "archive.yaml"' if near else 'no file "archive.yaml"'
    hint = "archive.yaml, with format: 1, name: ..., units: metric, correction: iso-1585"
    return _error("missing-file", place, found, "archive.yaml in the archive's folder", hint)


def refused(name: str, why: door.Refused) -> Finding:
    """Say that the door does not let a file or folder be read."""
    return _error("unreadable-file", Place(name), why.found, why.expected, why.hint)


_INSIDE = "a file inside the folder, by its path from there"


#: How the names of curves and maps end, so that none can be taken for a page of the site.
TABLES = (".csv", ".txt", ".tsv", ".dat")


def named_table(folder: Path, name: Word) -> tuple[Path | None, Finding | None]:
    """Find the curve or map that a value names, beside the file it stands in; or say why not."""
    text = name.value
    path, fault = named_file(folder, name, TABLES)
    if fault is None and not text.lower().endswith(TABLES):
        found, hint = f'"{text}", which is no name of a table', f"{Path(text).stem}.csv as its name"
        return None, _error("wrong-value", name.place, found, "a name that ends in .csv", hint)
    return path, fault


def named_file(
    folder: Path, name: Word, endings: tuple[str, ...] = (".csv",)
) -> tuple[Path | None, Finding | None]:
    """Find the file that a value names, beside the file it stands in; or say why not.

    Files of these endings are what may have been meant.
    """
    text = name.value
    if "\\" in text:
        hint = text.replace("\\", "/")
        return None, _error("wrong-value", name.place, f'"{text}"', "forward slashes", hint)
    path = folder / text
    if "\0" in text or text.startswith("/") or not _is_inside(path, folder):
        found = f'"{text}", which leads out of {folder.name}'
        hint = f"{Path(text).name or 'curve.csv'}, with the file copied into {folder.name}"
        return None, _error("wrong-value", name.place, found, _INSIDE, hint)
    parts = [part for part in text.split("/") if part not in ("", ".")]
    if ".." in parts:
        hint = posixpath.normpath(text)
        return None, _error("wrong-value", name.place, f'"{text}"', "the straight way to it", hint)
    fault = next(filter(None, map(door.name_fault, parts)), "")
    if fault:
        hint = "/".join(door.plain_name(part) if door.name_fault(part) else part for part in parts)
        return None, _error("wrong-value", name.place, fault, "a plain name", hint)
    if door.kind(path) == "file":
        return path, None
    return None, _error("missing-file", name.place, *_not_there(folder, path, text, endings))


def _not_there(
    folder: Path, path: Path, text: str, endings: tuple[str, ...]
) -> tuple[str, str, str]:
    """Say that a named file is not there, and which one may have been meant."""
    found = f'no file "{text}"'
    if kind := door.kind(path):
        found = f'"{text}", which is {"a folder" if kind == "folder" else "no plain file"}'
    below = door.names_below(folder)
    there = [item for item in below if item.lower().endswith(endings)]
    hint = nearest(text, there) or one_of(there[:4]) or f"the file itself, into {folder.name}"
    return found, _INSIDE, hint


def _is_inside(path: Path, folder: Path) -> bool:
    """Tell whether a path stays in a folder, also when links are followed."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return False


def _error(code: str, place: Place, found: str, expected: str, hint: str) -> Finding:
    return Finding(code, "error", place, found, expected, hint)
