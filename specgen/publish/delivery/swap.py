"""Putting a finished folder in the place of another, so that whoever looks always finds one whole.

In one step where the system can exchange two folders; file by file where the folder itself must
stay: what pages load first, then pages from the deepest up, the entry page last, and only then is
deleted what is no longer there.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

from specgen.publish.delivery import manifest as manifests
from specgen.publish.delivery.manifest import MANIFEST, OWN, PART, PLAN, Manifest
from specgen.publish.delivery.targets import Found

#: renameat2(2): exchange the two names. Linux, include/uapi/linux/fs.h (from memory).
_LINUX_EXCHANGE = 2
#: renamex_np(2): RENAME_SWAP. macOS, sys/stdio.h (from memory).
_MACOS_SWAP = 2
_THIS_FOLDER = -100


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; False, and nothing done, where the system cannot."""
    names = os.fsencode(one), os.fsencode(other)
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            return bool(library.renamex_np(*names, _MACOS_SWAP) == 0)
        here = _THIS_FOLDER
        return bool(library.renameat2(here, names[0], here, names[1], _LINUX_EXCHANGE) == 0)
    except (AttributeError, OSError, TypeError):  # no such call here
        return False


def into_place(stage: Path, target: Path, found: Found) -> None:
    """Put the stage where the target is; the stage is gone afterwards. OSError if it cannot be."""
    if _as_a_whole(stage, target, found):
        return
    target.mkdir(parents=True, exist_ok=True)
    file_by_file(stage, target, found)
    remove(stage)


def _as_a_whole(stage: Path, target: Path, found: Found) -> bool:
    """Rename or exchange the folder; False where it holds folders to be kept or is a mount."""
    if not target.exists() or not any(target.iterdir()):
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            stage.rename(target)  # the system puts a folder over an empty one in one step
            return True
        except OSError as problem:
            if problem.errno not in (errno.EXDEV, errno.EBUSY, errno.EEXIST, errno.EACCES):
                raise
            return False
    if any("/" in name or name == ".git" for name in found.kept):
        return False
    shutil.copymode(target, stage)
    manifests.mark(target)  # once exchanged it is a leftover, to be known as ours
    for name in found.kept:
        shutil.copy2(target / name, stage / name, follow_symlinks=False)
    if not exchange(stage, target):
        for name in found.kept:
            (stage / name).unlink(missing_ok=True)
        return False
    remove(stage)
    return True


def file_by_file(stage: Path, target: Path, found: Found) -> None:
    """Bring a target to the stage's files one by one; it can be killed at any moment and redone."""
    new = manifests.read(stage / MANIFEST)
    assert new is not None
    plan = {name: " ".join(sorted(known)) for name, known in found.hashes.items()}
    for name in found.ours - set(plan) - OWN:  # of an earlier version: ours as it lies there
        if not Path(name).name.startswith(PART):
            plan[name] = manifests.hash_of(target / name)
    for name, digest in new.files.items():
        plan[name] = f"{plan.get(name, '')} {digest}".strip()
    manifests.write(Manifest(plan), target / PLAN)
    manifests.mark(target)
    for name in sorted(new.files, key=_order):
        if not _same(target / name, new.files[name]):
            _put(stage / name, target / name)
    manifests.write(new, target / MANIFEST)
    for name in sorted(found.ours - set(new.files) - OWN):
        if (target / name).is_file() or (target / name).is_symlink():  # else it made room already
            (target / name).unlink()
        for folder in (target / name).parents:
            if folder == target:
                break
            with contextlib.suppress(OSError):  # not empty
                folder.rmdir()
    (target / PLAN).unlink()


def _same(there: Path, wanted: str) -> bool:
    """Whether a file is there already as it shall be."""
    return there.is_file() and not there.is_symlink() and manifests.hash_of(there) == wanted


def _order(name: str) -> tuple[bool, bool, int, str]:
    """What pages load goes first, then pages from the deepest up, the entry page last."""
    return name.endswith(".html"), name == "index.html", -name.count("/"), name


def _put(source: Path, place: Path) -> None:
    """Put one file in its place in one step; a folder that had its name, or a file, makes room."""
    for above in place.parents:
        if above.is_file():
            above.unlink()
    if place.is_dir():
        shutil.rmtree(place)
    place.parent.mkdir(parents=True, exist_ok=True)
    part = place.with_name(PART + place.name)
    shutil.copyfile(source, part)
    part.replace(place)


def clear(folder: Path) -> None:
    """Delete a folder that a build left behind: one that bears our marker, or is empty."""
    if folder.is_symlink() or not folder.is_dir():
        return
    if (folder / manifests.MARKER).is_file() or not any(folder.iterdir()):
        remove(folder)


def remove(folder: Path) -> None:
    """Delete a folder, its marker last, so that what is left by a kill is still known as ours."""
    for path in folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name != manifests.MARKER:
            path.unlink()
    (folder / manifests.MARKER).unlink(missing_ok=True)
    folder.rmdir()
