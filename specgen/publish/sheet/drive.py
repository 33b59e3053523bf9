"""The part of a sheet that leads to choosing the drive: what stops it, its picture, the way on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.sheet import Sheet
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.drawings import Drawing
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


def own_picture(sheet: Sheet, units: System) -> Drawing | None:
    """The plan's picture for the pairs with the crank pulley that is on; None without a plan."""
    if not sheet.plan.pairs or sheet.build.withdrawn:
        return None
    own = sheet.plan.own if len(sheet.plan.own) > 1 else sheet.plan.pairs
    return plan_picture(sheet.plan, units, own)


def drive(sheet: Sheet, links: Links, units: System) -> Iterator[Part]:
    """Print what the plan of a build finds; its tables have a page of their own."""
    if not sheet.plan.pairs or sheet.build.withdrawn:
        return
    picture = own_picture(sheet, units)
    drawn = rendered(Charts(charts=[picture])) if picture is not None else Markup("")
    lines = DriveWays(
        stops=stops_in_both(sheet.plan),
        pairs=len(sheet.plan.pairs),
        href=links.to(addresses.plan(sheet.id)),
    )
    yield Part("Choosing the drive", drawn + rendered(lines), searchable=False, kind="sg-rest")
