"""What somebody answers for in an archive: warnings that were accepted, each with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.archive.model.build import Archive
from specgen.findings import CODES, Finding
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class AcceptedLine:
    """One accepted finding.

    `of`: the build, blower or file it is about; `href`: the link to its page, or nothing;
    `finding`: what was found and where; `meaning`: what its code means.
    """

    of: str
    href: str
    finding: Finding
    meaning: str


@dataclass(frozen=True, slots=True)
class AcceptedPage(Context):
    """What somebody answers for.

    `accepted`: each accepted finding; `findings`: the link to what findings mean.
    """

    template: ClassVar[str] = "reference/accepted.jinja"
    accepted: Sequence[AcceptedLine]
    findings: str


def accepted_page(archive: Archive, units: System, folders: bool) -> str:
    """Print every accepted finding with its reason."""
    links = Links(addresses.ACCEPTED, folders)
    lines = [_line(archive, item, links) for item in archive.findings if item.accepted]
    block = rendered(AcceptedPage(accepted=lines, findings=links.to(addresses.FINDINGS)))
    description = "What a check doubts here and somebody answers for, with the reason."
    return fixed_page(links, description, [Part("", block)], units)


def _line(archive: Archive, item: Finding, links: Links) -> AcceptedLine:
    """Say what a finding is about; what has no page of its own is named by its file."""
    folder, _, file = item.place.file.partition("/")
    blower = file.removesuffix(".yaml")
    if build := archive.builds.get(folder):
        title, href = build.title.value, str(links.to(addresses.build(folder)))
    elif folder == "blowers" and blower in archive.blowers:
        title, href = archive.blowers[blower].title.value, str(links.to(addresses.blower(blower)))
    else:
        title, href = item.place.file, ""
    return AcceptedLine(title, href, item, CODES[item.code])
