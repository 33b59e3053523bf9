"""The texts that new files begin with: one place, which the README's first build shares."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from string import Template

from specgen.archive.format.examples import written
from specgen.archive.format.schema import SCHEMA_NAMES, SHARED, schema_text

#: Where a started archive keeps the schemas, beside the folder of the archive.
SCHEMAS = ".schemas"


class Plain(str):
    """A word that stands in a text as it is, and is not written as YAML."""

    __slots__ = ()


def template(file: str, /, **words: object) -> str:
    """Give a text with YAML values, or plain words, in the places that it names."""
    text = (resources.files("specgen.archive") / "starting" / "files" / file).read_text("utf-8")
    set_in = {key: it if isinstance(it, Plain) else written(it) for key, it in words.items()}
    return Template(text).substitute(set_in)


def title_of(name: str) -> str:
    """Make a title of an id: harbour-tug becomes Harbour tug."""
    return name.replace("-", " ").capitalize()


def schema_line(archive: Path, file: Path, kind: str) -> str:
    """Give the first line that tells an editor the schema, if the archive keeps schemas."""
    if not (archive.parent / SCHEMAS).is_dir():
        return ""
    up = "../" * len(file.relative_to(archive.parent).parent.parts)
    return f"# yaml-language-server: $schema={up}{SCHEMAS}/{kind}.schema.json\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write every schema to a folder, which is made if need be; OSError if it cannot be."""
    folder.mkdir(parents=True, exist_ok=True)
    files = [folder / f"{name}.schema.json" for name in (*SCHEMA_NAMES, *SHARED)]
    for file, name in zip(files, (*SCHEMA_NAMES, *SHARED), strict=True):
        file.write_text(schema_text(name), "utf-8", newline="\n")
    return files
