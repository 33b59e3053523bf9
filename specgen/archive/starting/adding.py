"""New builds, blowers and sessions in an archive, and new names for builds."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from specgen.archive.editing.edits import EditError, append_item, insert_key
from specgen.archive.format.examples import written
from specgen.archive.reading import door
from specgen.archive.reading.folders import is_id
from specgen.archive.reading.source import LARGEST, Tree, load
from specgen.archive.starting.begin import StartError
from specgen.archive.starting.templates import schema_line, template, title_of


def new_blower(archive: Path, name: str, kind: str, displacement: str) -> Path:
    """Write the file of a blower; StartError if the id cannot be or is taken."""
    file = archive / "blowers" / f"{_free(name)}.yaml"
    text = template("blower.yaml", title=title_of(name), kind=kind)
    text += f"displacement: {written(displacement)}\n" if displacement else ""
    return _written(archive, file, "blower", text)


def new_build(
    archive: Path, name: str, cylinders: int, bore: str, stroke: str, blower: str = ""
) -> Path:
    """Write the file of a build; StartError if the id cannot be or is taken, or no such blower."""
    file = archive / _free(name) / "build.yaml"
    owner = _owner_of_former(archive, name)
    if owner:
        raise StartError(f'"{name}" was the id of "{owner}", and links lead there; take another')
    if blower and not (archive / "blowers" / f"{blower}.yaml").is_file():
        raise StartError(
            f'there is no blower "{blower}"; make it first: specgen new blower {blower} --help'
        )
    text = template("build.yaml", title=title_of(name), cylinders=cylinders, bore=bore,
                    stroke=stroke)  # fmt: skip
    text += f"induction: {{blower: {written(blower)}}}\n" if blower else ""
    return _written(archive, file, "build", text)


def new_session(archive: Path, build: str, session: dict[str, Tree]) -> Path:
    """Add a session to a build's file, in place; StartError if that cannot be."""
    file = _file_of(archive, build)
    _replace(archive, file, lambda data, name: append_item(data, ("sessions",), session, name))
    return file


def rename(archive: Path, old: str, new: str) -> Path:
    """Move a build to another id and note the old one in `formerly`; give its folder.

    StartError, with nothing changed, if there is no such build or the new id cannot be.
    """
    file = _file_of(archive, old)
    target = archive / _free(new)
    owner = _owner_of_former(archive, new)
    if target.exists() or owner:
        why = f'was the id of "{owner}", and links lead there' if owner else "is there already"
        raise StartError(f'"{new}" {why}; take another id, or take it out of "formerly" first')
    before = _read(archive, file)

    def noted(data: bytes, name: str) -> bytes:
        tree = load(data, name).tree
        if isinstance(tree, dict) and "formerly" not in tree:
            after = "summary" if "summary" in tree else "title" if "title" in tree else ""
            return insert_key(data, (), "formerly", [old], after, name)
        return append_item(data, ("formerly",), old, name)

    _replace(archive, file, noted)
    try:
        file.parent.rename(target)
    except OSError as problem:
        file.write_bytes(before)
        raise StartError(f"{file.parent} cannot be moved: {problem.strerror}") from problem
    return target


def _free(name: str) -> str:
    """Give an id that can be one; StartError says what can."""
    if not is_id(name):
        raise StartError(
            f'"{name}" cannot be an id; expected small letters, digits and hyphens, and no word '
            "that the site needs itself; write harbour-tug, say"
        )
    return name


def _file_of(archive: Path, build: str) -> Path:
    """Give a build's file; StartError names the builds there are."""
    file = archive / build / "build.yaml"
    if not is_id(build) or not file.is_file():
        there = ", ".join(sorted(it.parent.name for it in archive.glob("*/build.yaml"))) or "none"
        raise StartError(f'there is no build "{build}"; there are: {there}')
    return file


def _owner_of_former(archive: Path, name: str) -> str:
    """Give the build that had an id before, or ""."""
    for file in sorted(archive.glob("*/build.yaml")):
        try:
            tree = load(door.read(archive, file, LARGEST), file.name).tree
        except door.Refused:  # a check tells of it; nothing that is not read has an id
            continue
        former = tree.get("formerly") if isinstance(tree, dict) else None
        if isinstance(former, list) and name in former:
            return file.parent.name
    return ""


def _written(archive: Path, file: Path, kind: str, text: str) -> Path:
    """Write a new file with its schema's line; StartError if it is there or cannot be."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(schema_line(archive, file, kind) + text)
    except FileExistsError as problem:
        raise StartError(f"{file} is there already; take another id") from problem
    except OSError as problem:
        raise StartError(f"{file} cannot be written: {problem.strerror}") from problem
    return file


def _read(archive: Path, file: Path) -> bytes:
    """Read a file of the archive through its one door; StartError where it is not let in."""
    try:
        return door.read(archive, file, LARGEST)
    except door.Refused as problem:
        raise StartError(problem.of(file)) from problem


def _replace(archive: Path, file: Path, edit: Callable[[bytes, str], bytes]) -> None:
    """Edit a file as a whole: it has the old bytes or the new ones, never half of them."""
    beside = file.with_name(f".{file.name}.new")
    try:
        beside.write_bytes(edit(_read(archive, file), str(file)))
        beside.replace(file)
    except EditError as problem:
        raise StartError(str(problem)) from problem
    except OSError as problem:
        beside.unlink(missing_ok=True)
        raise StartError(f"{file} cannot be written: {problem.strerror}") from problem
