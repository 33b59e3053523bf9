"""What a published folder says of itself: which files are ours, byte for byte, and what made them.

Three hidden files. The marker stands in a folder from the moment it is begun, the manifest from the
moment it is whole; the plan stands in a folder whose files are being exchanged one by one, so that
whoever finds it half done knows which files are whose.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

MARKER = ".specgen-marker"
MANIFEST = ".specgen-manifest.json"
PLAN = ".specgen-plan.json"
#: How the name of a file begins that is on its way into a folder.
PART = ".specgen-part-"
#: Files of this room in a published folder.
OWN = frozenset((MARKER, MANIFEST, PLAN))
#: What a checkout or a host needs in a published folder.
UNTOUCHED = (".git", "CNAME", ".nojekyll")

_MARK = """\
specgen writes this folder, and deletes in it what it wrote before.
Nothing in here is kept unless mkdocs.yml names it under keep.
"""
_READ = 1 << 20


class ManifestError(Exception):
    """A manifest that cannot be read; the text says which and why."""


@dataclass(frozen=True, slots=True)
class Manifest:
    """The files of a published folder by SHA-256, and what they were made by.

    `kept` are names that the build before loaded: they stay for one build. `versions` names
    programs, `revision` the state of the archive,
    `history` is "git", or why git could tell none.
    """

    files: Mapping[str, str]
    kept: frozenset[str] = frozenset()
    versions: Mapping[str, str] = field(default_factory=dict)
    revision: str = ""
    history: str = ""


def mark(folder: Path) -> None:
    """Say that the folder is ours, before anything else is in it."""
    (folder / MARKER).write_text(_MARK, encoding="utf-8")


def files_in(folder: Path) -> Iterator[str]:
    """Every file below a folder, and every link, as a relative path with forward slashes."""
    for entry in sorted(os.scandir(folder), key=lambda it: it.name):
        if entry.is_dir(follow_symlinks=False):
            yield from (f"{entry.name}/{name}" for name in files_in(Path(entry.path)))
        else:
            yield entry.name


def hash_of(file: Path) -> str:
    """SHA-256 of a file's bytes, in hexadecimal."""
    digest = hashlib.sha256()
    with file.open("rb") as stream:
        while block := stream.read(_READ):
            digest.update(block)
    return digest.hexdigest()


def of_folder(
    folder: Path,
    kept: frozenset[str] = frozenset(),
    versions: Mapping[str, str] | None = None,
    revision: str = "",
    history: str = "",
) -> Manifest:
    """Hash every file of a folder."""
    files = {name: hash_of(folder / name) for name in files_in(folder) if name not in OWN}
    return Manifest(files, kept, versions or {}, revision, history)


def write(manifest: Manifest, file: Path) -> None:
    """Write a manifest in one step, so that nobody finds half of it."""
    text = json.dumps(
        {
            "format": 1,
            "versions": dict(manifest.versions),
            "revision": manifest.revision,
            "history": manifest.history,
            "kept": sorted(manifest.kept),
            "files": dict(sorted(manifest.files.items())),
        },
        indent=1,
    )
    part = file.with_name(PART + file.name)
    part.write_text(text + "\n", encoding="utf-8")
    part.replace(file)


def read(file: Path) -> Manifest | None:
    """Read a manifest; None where there is none, ManifestError where it is not one."""
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
        files, kept = found["files"], found["kept"]
        texts = [*files, *files.values(), *kept, *found["versions"].values(), found["revision"]]
        texts.append(history := found.get("history", ""))  # which the first manifests lack
        if found["format"] != 1 or not all(isinstance(text, str) for text in texts):
            raise ManifestError(f"{file} is of another format")
        return Manifest(files, frozenset(kept), found["versions"], found["revision"], history)
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as problem:
        raise ManifestError(f"{file} cannot be read: {problem}") from problem


def is_untouched(name: str, keep: Iterable[str] = ()) -> bool:
    """Whether a file is never ours, by its own name or by a folder that it lies in."""
    path = PurePosixPath(name)
    return any(path.is_relative_to(kept) for kept in (*UNTOUCHED, *keep))


def faults(folder: Path, keep: Iterable[str] = ()) -> list[str]:
    """What keeps a folder from being whole: files missing, changed or too many; [] if nothing."""
    manifest = read(folder / MANIFEST)
    if manifest is None:
        return [f"{folder} has no {MANIFEST}"]
    present = set(files_in(folder)) - OWN
    wrong = [f"{name} is missing" for name in sorted(set(manifest.files) - present)]
    more = sorted(present - set(manifest.files))
    wrong += [f"{name} is not in the manifest" for name in more if not is_untouched(name, keep)]
    wrong += [
        f"{name} was changed"
        for name in sorted(present & set(manifest.files))
        if hash_of(folder / name) != manifest.files[name]
    ]
    return wrong
