"""What a build may write to, and delete in: nothing, its own folder, or that of an earlier version.

Everything here only looks. A target that is anything else is refused, with the line to change.
"""

from __future__ import annotations

import stat
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from specgen.publish.delivery.manifest import (
    MANIFEST,
    MARKER,
    OWN,
    PART,
    PLAN,
    Manifest,
    ManifestError,
    files_in,
    hash_of,
    is_untouched,
    read,
)

_NAMED_IN_A_REFUSAL = 5


class Refused(Exception):  # noqa: N818 - it says what to write
    """A target that must not be written to; the text says why and what to write instead."""


@dataclass(frozen=True, slots=True)
class Target:
    """A folder to publish in, and what is known about it.

    `away` are folders it must not be, hold or lie in, each with what it is; `above` are such as it
    may lie in. `line` is the setting to change, `keep` what stays untouched. `earlier` says how a
    folder of an earlier version, without a manifest, is recognised.
    """

    folder: Path
    away: Mapping[str, Path]
    line: str
    keep: tuple[str, ...] = ()
    earlier: Earlier | None = None
    above: Mapping[str, Path] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Earlier:
    """How a folder looks that was made before there were manifests.

    All of `signs` are in it, and nothing at its top but `names`.
    """

    signs: tuple[str, ...]
    names: frozenset[str]


@dataclass(frozen=True, slots=True)
class Found:
    """What lies in a target: our files by name, and names of what is kept."""

    ours: frozenset[str] = frozenset()
    kept: frozenset[str] = frozenset()
    manifest: Manifest | None = None
    hashes: Mapping[str, frozenset[str]] = field(default_factory=dict)


def survey(target: Target, *, closely: bool = True) -> Found:
    """See what lies in a target; Refused if writing there would touch what is not ours.

    Unless `closely`, a file of ours that is older than its seal is taken for unchanged.
    """
    folder = target.folder
    _refuse_places(target)
    if not folder.exists():
        return Found()
    if not folder.is_dir():
        raise Refused(f"{folder} is a file, where a folder is expected. {target.line}")
    manifest, hashes = _known(folder, target)
    names = list(files_in(folder))
    kept = frozenset(
        name for name in names if name not in hashes and is_untouched(name, target.keep)
    )
    rest = [name for name in names if name not in kept]
    if not hashes and set(rest) - OWN:
        return _earlier(target, rest, kept)
    sealed = _moment(folder / MANIFEST) if not closely else 0
    foreign = [name for name in rest if not _is_ours(folder, name, hashes, sealed)]
    if foreign:
        raise Refused(_refusal(target, foreign))
    return Found(frozenset(rest), kept, manifest, hashes)


def _refuse_places(target: Target) -> None:
    """Refuse a folder that is, holds or lies in one that is somebody's work."""
    folder = target.folder
    for what, path in {**target.away, **target.above, "the home folder": Path.home()}.items():
        other = path.resolve()
        if folder == other:
            raise Refused(f"{folder} is {what}. {target.line}")
        if other.is_relative_to(folder):
            raise Refused(f"{folder} holds {what} ({other}). {target.line}")
        if what in target.away and folder.is_relative_to(other):
            raise Refused(f"{folder} lies in {what} ({other}). {target.line}")


def _known(folder: Path, target: Target) -> tuple[Manifest | None, dict[str, frozenset[str]]]:
    """The manifest of a folder, and every hash that its manifest or an unfinished plan names."""
    try:
        manifest, plan = read(folder / MANIFEST), read(folder / PLAN)
    except ManifestError as problem:
        raise Refused(f"{problem}. Delete the folder, if it is a site. {target.line}") from problem
    hashes: dict[str, frozenset[str]] = {}
    for known in filter(None, (manifest, plan)):
        for name, digest in known.files.items():
            hashes[name] = hashes.get(name, frozenset()) | frozenset(digest.split())
    return manifest, hashes


def _moment(seal: Path) -> int:
    """When a folder was sealed [ns]; 0 where it was not."""
    return seal.stat().st_mtime_ns if seal.exists() else 0


def _is_ours(folder: Path, name: str, hashes: Mapping[str, frozenset[str]], sealed: int) -> bool:
    """Whether a file is as we wrote it; one that is older than the seal is taken for that."""
    if name in OWN or name.rpartition("/")[2].startswith(PART):
        return True
    if name not in hashes:
        return False
    file = folder / name
    there = file.lstat()
    if stat.S_ISLNK(there.st_mode):
        return False
    return there.st_mtime_ns <= sealed or hash_of(file) in hashes[name]


def _earlier(target: Target, rest: list[str], kept: frozenset[str]) -> Found:
    """Recognise a folder of an earlier version, all of which is ours; or one only begun."""
    earlier = target.earlier
    if earlier is not None and all((target.folder / sign).is_file() for sign in earlier.signs):
        foreign = [name for name in rest if name.partition("/")[0] not in earlier.names | OWN]
        if not foreign:
            return Found(frozenset(rest), kept)
        raise Refused(_refusal(target, foreign))
    raise Refused(_refusal(target, [name for name in rest if name != MARKER]))


def _refusal(target: Target, foreign: list[str]) -> str:
    shown = ", ".join(foreign[:_NAMED_IN_A_REFUSAL])
    more = len(foreign) - _NAMED_IN_A_REFUSAL
    shown += f" and {more} more" if more > 0 else ""
    return (
        f"{target.folder} holds what was not published from here, or was changed since: {shown}. "
        f"Move it away, or name it under keep. {target.line}"
    )
