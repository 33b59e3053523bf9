"""An archive with its site, from nothing: `specgen init`."""

from __future__ import annotations

from pathlib import Path

from specgen.archive.starting.templates import SCHEMAS, template, write_schemas

#: Each file of a new archive, with the template it is made of.
FILES = {
    "builds/archive.yaml": "archive.yaml",
    "builds/blowers/small-lobe.yaml": "small-lobe.yaml",
    "builds/first-build/build.yaml": "first-build.yaml",
    "mkdocs.yml": "mkdocs.yml",
    "pages/index.md": "index.md",
    "pages/about.md": "about.md",
    "pages/testing.md": "testing.md",
    "README.md": "README.md",
    ".gitignore": "ignore.txt",
}


class StartError(Exception):
    """Nothing was written: the message says what is in the way and what to do."""


def begin(folder: Path, name: str, units: str, correction: str) -> list[Path]:
    """Write a new archive to a folder; give its files.

    StartError, with nothing written, if one of them is there already or cannot be.
    """
    taken = [file for file in FILES if (folder / file).exists()]
    if taken:
        raise StartError(
            f"{folder} has {', '.join(taken)} already; name a folder where nothing is overwritten"
        )
    try:
        for file, origin in FILES.items():
            place = folder / file
            place.parent.mkdir(parents=True, exist_ok=True)
            text = template(origin, name=name, units=units, correction=correction)
            place.write_text(text, "utf-8", newline="\n")
        schemas = write_schemas(folder / SCHEMAS)
    except OSError as problem:
        raise StartError(f"{folder} cannot be written: {problem.strerror}") from problem
    return [*(folder / file for file in FILES), *schemas]
