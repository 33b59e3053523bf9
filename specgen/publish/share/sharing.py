"""What a sheet takes along when it leaves the site: a picture, a few words, a code for paper.

The only room that makes QR codes.
"""

from __future__ import annotations

import html
from dataclasses import dataclass
from typing import ClassVar, Protocol

import segno
from markupsafe import Markup

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, engine_words, fuel_words, induction_words
from specgen.analysis.workings import Workings
from specgen.publish import addresses
from specgen.publish.charts.series import Series
from specgen.publish.share.picture import HEIGHT, WIDTH, ShareFigure, share_image
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System, side_by_side

#: Modules of white around a code that a reader needs. Source: ISO/IEC 18004 (from memory).
_QUIET_ZONE = 4


def public_address(site_url: str, address: str, folders: bool = True) -> str:
    """Where an address is reached by everybody; empty where nobody said where the site stands."""
    if not site_url:
        return ""
    return site_url.rstrip("/") + "/" + addresses.served(address, folders)


def picture(sheet: Sheet, units: System) -> bytes:
    """A sheet's picture for shared links, as PNG."""
    settings = sheet.archive.settings
    figures = [share_figure(row, units) for row in _leading(sheet)]
    invented = settings.invented is not None and settings.invented.value
    foot = settings.name.value
    if invented and "invented" not in foot.lower():
        foot += " · invented data"
    return share_image(
        sheet.build.title.value, _line(sheet), figures, _curve(sheet), foot, system=units
    )


def paper_head(sheet: Workings) -> str:
    """What stands at the head of each page of paper: the build, and when it was tested last."""
    days = [it.session.date.value for it in sheet.sessions]
    told = f"tested {day_words(max(days))}" if days else "not tested yet"
    return f"{sheet.build.title.value} · {told}"


def _leading(sheet: Sheet) -> list[Row]:
    """The headline figures, each quantity once: the one that a sheet leads with."""
    return list({row.quantity.key: row for row in reversed(sheet.headline)}.values())[::-1][:4]


def share_figure(row: Row, units: System) -> ShareFigure:
    """Set a row as one of the picture's large figures."""
    shown, value, expanded = row.quantity, row.scalar, row.expanded
    other: System = "imperial" if units == "metric" else "metric"
    if units == "own" and shown.unit(other) == shown.unit(units):
        other = "imperial"
    beneath = [shown.text(value, other, expanded)] if shown.unit(other) != shown.unit(units) else []
    if row.at is not None and row.at.present:
        beneath.append(f"at {row.at.quantity.text(row.at.scalar, units, row.at.expanded)}")
    if row.basis == "estimated":
        beneath.append("estimated")
    printed = shown.printed(value, units, expanded)
    margin = f"±{NARROW_SPACE}{printed.margin}" if printed.margin else ""
    return ShareFigure(shown.title, printed.number, margin, printed.unit, ", ".join(beneath))


def _line(sheet: Sheet) -> str:
    """What it is and how it was tested, in a line."""
    kind = sheet.blower.kind.value if sheet.blower else None
    words = [engine_words(sheet.build), induction_words(sheet.build, kind)]
    words[0] = words[0][0].upper() + words[0][1:]
    best = sheet.best
    if best is None:
        return ", ".join([*words, "planned, not tested yet"])
    place = MEASURING_POINTS[best.session.dyno.measured_at.value]
    standing = best.rows["power"].standing
    return ", ".join(
        [
            *words,
            fuel_words(best.setup.setup.fuel),
            f"power {place}",
            *([standing] if standing else []),
            f"tested {day_words(best.session.date.value)}",
            *(["withdrawn"] if sheet.build.withdrawn else []),
        ]
    )


def _curve(sheet: Sheet) -> Series | None:
    best = sheet.best
    if best is None or not best.rows["power_curve"].present:
        return None
    rows = best.rows
    return Series("", "power", rows["speed_curve"].curve, rows["power_curve"].curve)


def description(sheet: Sheet) -> str:
    """A shared link's few words: the headline figures, and how they were measured."""
    told = []
    for row in _leading(sheet)[:3]:
        first, second = (row.quantity.text(row.scalar, it, row.expanded) for it in side_by_side())
        both = first if first == second else f"{first} ({second})"
        told.append(f"{row.quantity.title} {both}")
    return f"{_line(sheet)}. {'; '.join(told)}." if told else f"{_line(sheet)}."


class Shared(Protocol):
    """A page as far as a shared link of it needs to know it."""

    @property
    def address(self) -> str:
        """Its address among the site's sources."""

    @property
    def title(self) -> str:
        """What it is called."""

    @property
    def description(self) -> str:
        """A few words, or none."""

    @property
    def picture(self) -> str:
        """The address of its picture, or none."""

    @property
    def linked(self) -> str:
        """What it is as JSON-LD, or nothing."""


def tags(page: Shared, site_name: str, site_url: str, folders: bool) -> str:
    """A page's tags of the Open Graph protocol, the feed's, and the page as linked data.

    The picture's address is absolute where the site's own address is known; else it can only be
    relative, which not every such place follows.
    """
    here = public_address(site_url, page.address, folders)
    links = addresses.Links(page.address, folders)
    picture = page.picture and (public_address(site_url, page.picture) or links.to(page.picture))
    pairs = {
        "og:type": "article" if page.picture else "website",
        "og:site_name": site_name,
        "og:title": page.title,
        "og:description": page.description,
        "og:url": here,
        "og:image": picture,
        "og:image:type": "image/png" if picture else "",
        "og:image:width": str(WIDTH) if picture else "",
        "og:image:height": str(HEIGHT) if picture else "",
        "og:image:alt": page.description if picture else "",
    }
    told = "".join(
        f'<meta property="{name}" content="{html.escape(" ".join(value.split()))}">'
        for name, value in pairs.items()
        if value
    )
    feed = links.to(addresses.FEED)
    # two words, because a theme takes a link that is an alternate alone for another language
    told += f'<link rel="alternate feed" type="application/atom+xml" title="News" href="{feed}">'
    linked = f'<script type="application/ld+json">{page.linked}</script>' if page.linked else ""
    return told + linked


@dataclass(frozen=True, slots=True)
class Code(Context):
    """A code for paper.

    `size`: its width in modules; `path`: its dark modules as a path; `address`: what it says.
    """

    template: ClassVar[str] = "share/qr.jinja"
    size: int
    path: str
    address: str


def code(address: str) -> Markup:
    """An address as a QR code: a drawing of one path, black on white, with its quiet zone."""
    matrix = [list(map(bool, row)) for row in segno.make_qr(address, error="m").matrix]
    runs = "".join(_runs(y, row) for y, row in enumerate(matrix, start=_QUIET_ZONE))
    return rendered(Code(size=len(matrix) + 2 * _QUIET_ZONE, path=runs, address=address))


def _runs(y: int, row: list[bool]) -> str:
    """One row's dark modules as rectangles, neighbours joined."""
    path, start = "", None
    for x, dark in enumerate([*row, False]):
        if dark and start is None:
            start = x
        elif not dark and start is not None:
            path += f"M{start + _QUIET_ZONE} {y}h{x - start}v1h-{x - start}z"
            start = None
    return path
