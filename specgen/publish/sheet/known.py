"""How we know: where each figure of a sheet comes from, and what was fitted, on their own page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import FIT, FITTED, fit_without
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.share.sharing import paper_head
from specgen.publish.sheet.fit import fitted
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

_TITLE = "How we know"


@dataclass(frozen=True, slots=True)
class Knowing(Context):
    """Where a sheet says how its figures are known.

    `href`: the link to the page that tells; `fitted`: how many pulls the model was fitted to.
    """

    template: ClassVar[str] = "sheet/knowing.jinja"
    href: str
    fitted: int


@dataclass(frozen=True, slots=True)
class KnownLead(Context):
    """What opens the page.

    `title`: the build's; `fitted`: whether anything was; `sheet`: the link to its sheet;
    `method`: that to the method page; `accuracy`: that to the misses of the whole archive;
    `style`: that to the page's own.
    """

    template: ClassVar[str] = "sheet/known.jinja"
    title: str
    fitted: bool
    sheet: str
    method: str
    accuracy: str
    style: str


def knowing(sheet: Sheet, figures: Provenance) -> Part:
    """Lead from a sheet, at its end, to how its figures are known."""
    way = figures.links.to(addresses.figures(sheet.id))
    block = rendered(Knowing(href=way, fitted=_pulls(sheet)))
    return Part(_TITLE, block, searchable=False, kind="sg-rest")


def known_page(sheet: Sheet, figures: Provenance, units: System, tops: Sequence[Part]) -> str:
    """Print where each figure that a sheet showed comes from; `figures` are the sheet's own.

    `tops` are its setups at the highest speed, printed before the sheet was: what predictions
    share with a setup is told of as the setup's.
    """
    links = Links(addresses.figures(sheet.id), figures.links.folders)
    title = sheet.build.title.value
    return page_markdown(
        f"{_TITLE}: {title}",
        f"How each figure of {title} was got: formula, what went into it, source.",
        list(_parts(sheet, figures.seen_from(links), tops)),
        units,
        trail=trail(
            links, addresses.BUILDS, under=(title, addresses.build(sheet.id)), title=_TITLE
        ),
        hide=("navigation",),
        found=False,
        head=paper_head(sheet),
    )


def told(sheet: Sheet, figures: Provenance) -> tuple[tuple[str, Row], ...]:
    """Every figure that is told of, with its scope's title."""
    groups = figures.groups(_scope_titles(sheet))
    return tuple((title, row) for title, rows in groups for row in rows)


def _parts(sheet: Sheet, figures: Provenance, tops: Sequence[Part]) -> Iterator[Part]:
    links = figures.links
    lead = KnownLead(
        title=sheet.build.title.value,
        fitted=bool(_pulls(sheet)),
        sheet=links.to(addresses.build(sheet.id)),
        method=links.to(addresses.METHOD),
        accuracy=links.to(addresses.ACCURACY),
        style=links.to(addresses.FIGURES_STYLE),
    )
    yield Part("", rendered(lead), searchable=False)
    yield from tops
    yield from fitted(sheet, figures)
    yield figures.part(_scope_titles(sheet), links.to(addresses.METHOD))


def _pulls(sheet: Sheet) -> int:
    return len(sheet.calibration.pulls) if sheet.calibration else 0


def _scope_titles(sheet: Sheet) -> dict[str, str]:
    """What each scope of rows is called, in the order in which they are explained."""
    predicted = (scope for setup in sheet.setups for scope in (setup.held_out, setup.over_speed))
    titles = {scope.name: scope.title for scope in (*sheet.scopes, *predicted)}
    fits = {FIT: FITTED}
    for setup in sheet.setups:
        fits[fit_without(setup.id)] = f"Fitted without setup {setup.title}"
    if sheet.calibration:
        for name, title in fits.items():
            scopes = (row.scope for row in sheet.calibration.all_fitted(name))
            titles |= dict.fromkeys(scopes, title)
    return {**titles, "file": "Written in the file, shown as it stands"}
