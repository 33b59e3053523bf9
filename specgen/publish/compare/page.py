"""The comparison page: a place that a reader's browser fills, and what stands there without one."""

from __future__ import annotations

from urllib.parse import urlencode

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import fuel_words, induction_words
from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.rendering import rendered
from specgen.vocabulary import System


def compare_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page."""
    links = Links(addresses.COMPARE, folders)
    block = rendered(
        "compare/compare.jinja",
        index=links.to(addresses.COMPARE_BUILDS),
        data=_pattern(links.to(addresses.compare_build(_ANY))),
        sheet=_pattern(links.to(addresses.build(_ANY))),
        script=links.to(addresses.COMPARE_SCRIPT),
        builds=links.to(addresses.BUILDS),
    )
    name = archive.settings.name.value
    description = f"Up to five setups of {name} side by side: figures, curves, and what compares."
    way = trail(links, ("Compare", addresses.COMPARE))
    return page_markdown(
        "Compare", description, [Part("", block)], units, trail=way, hide=("navigation", "toc")
    )


def find_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page that finds the tested combos nearest to a reader's own engine."""
    links = Links(addresses.FIND, folders)
    block = rendered(
        "compare/find.jinja",
        index=links.to(addresses.COMPARE_BUILDS),
        combos=links.to(addresses.FIND_COMBOS),
        sheet=_pattern(links.to(addresses.build(_ANY))),
        compare=links.to(addresses.COMPARE),
        script=links.to(addresses.FIND_SCRIPT),
        builds=links.to(addresses.BUILDS),
    )
    name = archive.settings.name.value
    description = f"The tested combos of {name} nearest to an engine of your own."
    way = trail(links, ("Find one like mine", addresses.FIND))
    parts = [Part("", block)]
    hide = ("navigation", "toc")
    return page_markdown("Find one like mine", description, parts, units, trail=way, hide=hide)


_ANY = "any-build"


def _pattern(link: str) -> str:
    """A link with a star where the build's id goes."""
    return link.replace(_ANY, "*")


#: How many columns a comparison has at most; the page's script holds the same number.
_MOST = 5


def next_steps(sheet: Sheet, links: Links) -> list[tuple[str, str]]:
    """Where a reader of a sheet goes from there, as pairs of words and link."""
    compare, tested = links.to(addresses.COMPARE), tested_setups(sheet)
    steps = [("Compare this build", f"{compare}?with={sheet.id}")]
    if len(tested) > 1:
        steps.append(("Compare its setups", f"{compare}?with={','.join(tested)}"))
    return [*steps, ("Find builds like it", f"{links.to(addresses.FIND)}?{_likeness(sheet)}")]


def tested_setups(sheet: Sheet) -> list[str]:
    """A build's tested setups as a comparison's address names them, the last ones if many."""
    tested = [f"{sheet.id}/{setup.id}" for setup in sheet.setups if not setup.planned]
    return tested[-_MOST:]


def _likeness(sheet: Sheet) -> str:
    """What this build is, as the query of the page that finds builds like it."""
    volume, speed = sheet.engine["swept_volume"], sheet.engine["max_speed"]
    setup = sheet.best.setup if sheet.best else next(iter(sheet.setups), None)
    asked = {
        "litres": f"{volume.scalar * 1e3:.3g}" if volume.present else "",
        "cylinders": str(sheet.build.engine.cylinders.value),
        "rpm": f"{speed.scalar * 60:.0f}" if speed.present else "",
        "fuel": fuel_words(setup.setup.fuel) if setup and setup.setup.fuel else "",
        "fed": induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None),
    }
    return urlencode({key: value for key, value in asked.items() if value})
