"""The folders that specgen publishes in: what each must keep clear of, and how an old one looks."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from specgen.publish import addresses
from specgen.publish.delivery.targets import Earlier, Target

#: What stands at the top of every site of a version that wrote no manifest.
_SITE_OF_OLD = frozenset(
    (
        "404.html",
        "accuracy",
        "assets",
        "blowers",
        "builds",
        "cautions",
        "compare",
        "fields",
        "find",
        "findings",
        "index.html",
        "method",
        "schemas",
        "search",
        "sitemap.xml",
        "sitemap.xml.gz",
        "units",
        "validation",
    )
)
_SIGNS = (addresses.SCRIPT, "schemas/build.schema.json", "index.html")
#: What lies in an exported folder, and what the engine makes of it there.
_EXPORT_OF_OLD = frozenset(("pages", "mkdocs.yml"))
_BUILT_FROM_AN_EXPORT = "site"


def site_target(
    folder: Path, *, archive: Path, pages: Path, settings: Path, keep: tuple[str, ...] = ()
) -> Target:
    """The folder of a site, as its settings name it."""
    by_hand = {path.name.removesuffix(".md") for path in pages.iterdir()} if pages.is_dir() else {}
    return Target(
        folder.resolve(),
        away={"the archive": archive, "the folder of the pages": pages},
        above={"the folder of the site's settings": settings.parent},
        line=f"In {settings} write a folder for the site alone, such as site_dir: ../site",
        keep=keep,
        earlier=Earlier(_SIGNS, _SITE_OF_OLD.union(by_hand)),
    )


def export_target(folder: Path, archive: Path) -> Target:
    """The folder of an export; a site that was built in it stays."""
    return Target(
        folder.resolve(),
        away={"the archive": archive},
        line="Write a folder for the export alone, such as: specgen export /tmp/pages",
        keep=(_BUILT_FROM_AN_EXPORT,),
        earlier=Earlier(("mkdocs.yml", f"pages/{addresses.SCRIPT}"), _EXPORT_OF_OLD),
    )


def versions(*programs: str) -> dict[str, str]:
    """The versions of the programs that make a folder, as far as they are installed."""
    found = {}
    for program in programs:
        try:
            found[program] = version(program)
        except PackageNotFoundError:
            continue
    return found
