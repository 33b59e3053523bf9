"""Where each page of the site stands, and the way from one to another.

An address is the path of a file in the site's sources ("builds/quiet-six/index.md"). Links inside
finished HTML are neither rewritten nor checked by a site engine, so they are written here in their
final form, relative to the page they stand on.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

HOME = "index.md"
STYLE = "assets/specgen/specgen.css"
READING_STYLE = "assets/specgen/reading.css"
SCRIPT = "assets/specgen/specgen.js"
LOOK = "assets/specgen/look.css"
MARK = "assets/specgen/mark.svg"
BUILDS = "builds/index.md"
BLOWERS = "blowers/index.md"
METHOD = "method/index.md"
CAUTIONS = "cautions/index.md"
FINDINGS = "findings/index.md"
ACCEPTED = "accepted/index.md"
UNITS = "units/index.md"
FIELDS = "fields/index.md"
COLUMNS = "columns/index.md"
GLOSSARY = "glossary/index.md"
ACCURACY = "accuracy/index.md"
YEARS = "years/index.md"
VALIDATION = "validation/index.md"
COMPARE = "compare/index.md"
COMPARE_BUILDS = "compare/builds.js"
COMPARE_SCRIPT = "assets/specgen/compare.js"
BROWSE_STYLE = "assets/specgen/browse.css"
RECORD_STYLE = "assets/specgen/record.css"
CARD_STYLE = "assets/specgen/card.css"
SHEET_SCRIPT = "assets/specgen/sheet.js"
FIGURES_STYLE = "assets/specgen/figures.css"
BROWSE_SCRIPT = "assets/specgen/browse.js"
FIND_SCRIPT = "assets/specgen/find.js"
FIND = "find/index.md"
ESTIMATE = "on-your-engine/index.md"
ESTIMATE_DATA = "on-your-engine/estimate.js"
ESTIMATE_SCRIPT = "assets/specgen/estimate.js"
ESTIMATE_STYLE = "assets/specgen/estimate.css"
FIND_COMBOS = "find/combos.js"
PACKAGE = "datapackage.json"
FEED = "feed.xml"

#: The pages that every site has, by address and title, in the order of a navigation.
PAGES = {
    HOME: "Home",
    BUILDS: "Builds",
    FIND: "Find one like mine",
    ESTIMATE: "On your engine",
    COMPARE: "Compare",
    YEARS: "Years",
    BLOWERS: "Blowers",
    METHOD: "Method",
    ACCURACY: "Accuracy",
    VALIDATION: "Validation",
    CAUTIONS: "Cautions",
    GLOSSARY: "Words",
    FIELDS: "Fields",
    COLUMNS: "Columns of a curve",
    UNITS: "Units",
    FINDINGS: "Findings",
    ACCEPTED: "Accepted findings",
}

#: Stands for any build's id where a script puts one in.
_ANY = "any-build"


def build(build_id: str) -> str:
    """Address of a build's sheet."""
    return f"builds/{build_id}/index.md"


def figures(build_id: str) -> str:
    """Address of the page that tells where each figure of a build's sheet comes from."""
    return f"builds/{build_id}/figures/index.md"


def readings(build_id: str) -> str:
    """Address of the page with all that a build's pulls logged."""
    return f"builds/{build_id}/readings/index.md"


def readings_data(build_id: str) -> str:
    """Address of a build's curves as a chart is read out by a script."""
    return f"builds/{build_id}/readings.js"


def plan(build_id: str) -> str:
    """Address of the page that chooses a build's drive."""
    return f"builds/{build_id}/plan/index.md"


def card(build_id: str) -> str:
    """Address of a build's test-day card."""
    return f"builds/{build_id}/card/index.md"


def blower(blower_id: str) -> str:
    """Address of a blower's page."""
    return f"blowers/{blower_id}/index.md"


def blower_estimate(blower_id: str) -> str:
    """Address of what an estimate with a blower rests on, as the page's script loads it."""
    return f"blowers/{blower_id}/estimate.js"


def build_data(build_id: str) -> str:
    """Address of a build's figures as data."""
    return f"builds/{build_id}/sheet.json"


def build_curves(build_id: str) -> str:
    """Address of a build's curves as one table."""
    return f"builds/{build_id}/curves.csv"


def citation(build_id: str, ending: str) -> str:
    """Address of how to cite a build's sheet, as text or BibTeX by the ending."""
    return f"builds/{build_id}/citation.{ending}"


def table(name: str) -> str:
    """Address of a table over all builds."""
    return f"data/{name}.csv"


def table_schema(name: str) -> str:
    """Address of the columns of a table that several files have."""
    return f"data/{name}.schema.json"


def schemas(file: str, number: int = 1) -> tuple[str, str]:
    """Addresses of a schema: the newest, and one that stays when the format's number rises."""
    return f"schemas/{file}", f"schemas/{number}/{file}"


def compare_build(build_id: str) -> str:
    """Address of a build's figures and curves as a comparison loads them."""
    return f"builds/{build_id}/compare.js"


def share_picture(build_id: str) -> str:
    """Address of the picture that a shared link of a build shows."""
    return f"builds/{build_id}/share.png"


def build_file(build_id: str, file: str) -> str:
    """Address of a file that lies beside a build's YAML, published as it is."""
    return f"builds/{build_id}/{file}"


def chart_file(build_id: str, file: str) -> str:
    """Address of one of a build's charts as a file."""
    return f"builds/{build_id}/charts/{file}"


@dataclass(frozen=True, slots=True)
class Links:
    """Links from one page; `folders` says whether pages are served as folders ("x/") or files."""

    page: str
    folders: bool = True

    def to(self, address: str, anchor: str = "") -> Markup:
        """Give the relative link to another address of the site, quoted as links are."""
        path = served(address, self.folders)
        start = posixpath.dirname(served(self.page, self.folders)) or "."
        relative = posixpath.relpath(path or ".", start)
        if path.endswith("/") or not path:
            relative += "/"
        target = f"#{quote(anchor)}" if anchor else ""
        here = address == self.page
        return Markup((target or "#") if here else quote(relative) + target)

    def pattern(self, address_of: Callable[[str], str]) -> str:
        """Give the link to a build's address with a star where the build's id goes."""
        return self.to(address_of(_ANY)).replace(_ANY, "*")


def served(address: str, folders: bool = True) -> str:
    """Give the path at which an engine serves an address: Markdown becomes a folder or HTML."""
    if not address.endswith(".md"):
        return address
    stem = address.removesuffix(".md")
    if not folders:
        return f"{stem}.html"
    if stem == "index" or stem.endswith("/index"):
        return stem.removesuffix("index")
    return f"{stem}/"
