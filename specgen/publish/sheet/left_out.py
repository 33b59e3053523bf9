"""The page of a build that is left out since its files have errors: what to mend, and where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.archive.model.build import Archive
from specgen.archive.reading.folders import is_id
from specgen.findings import Finding
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


def left_out(archive: Archive) -> Mapping[str, tuple[Finding, ...]]:
    """The builds that have files but no sheet, by id, each with the errors of its own files.

    A build without an error of its own needs a blower that has one.
    """
    errors = [item for item in archive.findings if item.severity == "error"]
    named = [file.split("/") for file in (*archive.sources, *(it.place.file for it in errors))]
    folders = {parts[0] for parts in named if len(parts) > 1 and parts[0] != "blowers"}
    taken = {old.value for build in archive.builds.values() for old in build.formerly}
    missing = sorted(name for name in folders - set(archive.builds) - taken if is_id(name))
    return {
        name: tuple(item for item in errors if item.place.file.startswith(f"{name}/"))
        for name in missing
    }


@dataclass(frozen=True, slots=True)
class LeftOut(Context):
    """Why a build has no sheet.

    `errors`: what its files have wrong; `findings`: the link to what findings mean; `builds`:
    that to all builds.
    """

    template: ClassVar[str] = "sheet/left_out.jinja"
    errors: Sequence[Finding]
    findings: str
    builds: str


def left_out_page(build_id: str, errors: tuple[Finding, ...], units: System, folders: bool) -> str:
    """Print what keeps a build from being published."""
    links = Links(addresses.build(build_id), folders)
    block = rendered(
        LeftOut(
            errors=errors,
            findings=links.to(addresses.FINDINGS),
            builds=links.to(addresses.BUILDS),
        )
    )
    way = trail(links, addresses.BUILDS, title=build_id)
    description = f"{build_id} is left out: its files have errors."
    hide = ("navigation", "toc")
    return page_markdown(build_id, description, [Part("", block)], units, trail=way, hide=hide)


@dataclass(frozen=True, slots=True)
class NotMade(Context):
    """Why a build's sheet could not be made.

    `fault`: what was found; `findings`: the link to what findings mean; `builds`: that to all
    builds.
    """

    template: ClassVar[str] = "sheet/not_made.jinja"
    fault: Finding
    findings: str
    builds: str


def not_made_page(build_id: str, title: str, fault: Finding, units: System, folders: bool) -> str:
    """Print that a build's sheet could not be made."""
    links = Links(addresses.build(build_id), folders)
    block = rendered(
        NotMade(
            fault=fault,
            findings=links.to(addresses.FINDINGS),
            builds=links.to(addresses.BUILDS),
        )
    )
    way = trail(links, addresses.BUILDS, title=title)
    description = f"The sheet of {title} could not be made."
    hide = ("navigation", "toc")
    return page_markdown(title, description, [Part("", block)], units, trail=way, hide=hide)
