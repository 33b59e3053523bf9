"""The part of a sheet that leads to choosing the drive: what stops it, its picture, the way on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.sheet import Sheet
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.planned.picture import plan_picture
from specgen.publish.planned.words import stops_in_both
from specgen.publish.typesetting.blocks import Charts
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class DriveWays(Context):
    """Which pulley next, in a few lines.

    `stops`: what comes first; `pairs`: how many there are; `href`: the link to all of them.
    """

    template: ClassVar[str] = "sheet/drive.jinja"
    stops: Sequence[Markup]
    pairs: int
    href: str


def drive(sheet: Sheet, links: Links, units: System) -> Iterator[Part]:
    """Print what the plan of a build finds; its tables have a page of their own."""
    if not sheet.plan.pairs or sheet.build.withdrawn:
        return
    own = sheet.plan.own if len(sheet.plan.own) > 1 else sheet.plan.pairs
    picture = plan_picture(sheet.plan, units, own)
    drawn = rendered(Charts(charts=[picture])) if picture is not None else Markup("")
    lines = DriveWays(
        stops=stops_in_both(sheet.plan),
        pairs=len(sheet.plan.pairs),
        href=links.to(addresses.plan(sheet.id)),
    )
    yield Part("Choosing the drive", drawn + rendered(lines), searchable=False)
