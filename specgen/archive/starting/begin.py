"""An archive with its site, from nothing: `specgen init`."""

from __future__ import annotations

import json
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from specgen.archive.format.examples import written
from specgen.archive.starting.templates import SCHEMAS, Plain, template, write_schemas

#: Each file of a new archive, with the template it is made of.
FILES = {
    "builds/archive.yaml": "archive.yaml",
    "builds/blowers/small-lobe.yaml": "small-lobe.yaml",
    "builds/first-build/build.yaml": "first-build.yaml",
    "mkdocs.yml": "mkdocs.yml",
    "pages/index.md": "index.md",
    "pages/about.md": "about.md",
    "pages/testing.md": "testing.md",
    "pages/guides/first-build.md": "guides/first-build.md",
    "pages/guides/import.md": "guides/import.md",
    "pages/guides/correct.md": "guides/correct.md",
    "pages/guides/pulley.md": "guides/pulley.md",
    "pages/guides/publish.md": "guides/publish.md",
    "README.md": "README.md",
    "requirements.txt": "requirements.txt",
    ".gitignore": "ignore.txt",
    ".editorconfig": "editors.txt",
    ".vscode/settings.json": "editor.json",
    ".githooks/pre-commit": "pre-commit.txt",
    ".github/workflows/site.yml": "github.yml",
    ".gitlab-ci.yml": "gitlab.yml",
}
#: What a system must be allowed to run.
_RUN = ".githooks/pre-commit"


_EXAMPLE = "https://workshop.example/"
#: What to ask the package index for where nobody knows which release this is.
_ANY = "specgen"


class StartError(Exception):
    """Nothing was written: the message says what is in the way and what to do."""


def begin(folder: Path, name: str, units: str, correction: str, site_url: str = "") -> list[Path]:
    """Write a new archive to a folder; give its files.

    `site_url` is where its site will be served, "" where nobody knows yet. StartError, with nothing
    written, if one of them is there already or cannot be.
    """
    taken = [file for file in FILES if (folder / file).exists()]
    if taken:
        raise StartError(
            f"{folder} has {', '.join(taken)} already; name a folder where nothing is overwritten"
        )
    try:
        address = f"site_url: {written(site_url)}" if site_url else f"# site_url: {_EXAMPLE}"
        words = {"name": name, "units": units, "correction": correction,
                 "address": Plain(address), "source": Plain(source())}  # fmt: skip
        for file, origin in FILES.items():
            place = folder / file
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(template(origin, **words), "utf-8", newline="\n")
        (folder / _RUN).chmod(0o755)
        schemas = write_schemas(folder / SCHEMAS)
    except OSError as problem:
        raise StartError(f"{folder} cannot be written: {problem.strerror}") from problem
    return [*(folder / file for file in FILES), *schemas]


def source() -> str:
    """Where this specgen came from, as a line that installs the same one elsewhere.

    What was installed from a folder or a wheel of this machine is asked for by its number.
    """
    try:
        own = distribution("specgen")
    except PackageNotFoundError:
        return _ANY
    origin = json.loads(own.read_text("direct_url.json") or "{}")
    address = str(origin.get("url", ""))
    commit = origin.get("vcs_info", {}).get("commit_id", "")
    if commit:
        return f"specgen @ git+{address}@{commit}"
    return f"specgen @ {address}" if address.startswith("https://") else f"specgen=={own.version}"
