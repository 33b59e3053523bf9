"""The honest check: how well predictions met measurements, and published figures the formulas."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup

from specgen.analysis.accuracy import Accuracy, Miss, Summary, accuracy_of
from specgen.analysis.sheet import Sheet
from specgen.analysis.validation import STATUSES, Check, published
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.figures import figure
from specgen.publish.page import Part, page_markdown, trail
from specgen.publish.rendering import rendered
from specgen.units import MINUS, NARROW_SPACE
from specgen.vocabulary import System


def check_page(sheets: Mapping[str, Sheet], units: System, folders: bool) -> str:
    """Print both halves of the check."""
    links = Links(addresses.CHECK, folders)
    accuracy = accuracy_of(sheets.values())
    predicted = rendered(
        "check_predicted.jinja",
        sentences=_sentences(accuracy),
        lines=[_line(miss, links) for miss in accuracy.misses],
    )
    checks = published()
    formulas = rendered(
        "check_published.jinja",
        statuses=STATUSES,
        counts={name: sum(check.status == name for check in checks) for name in STATUSES},
        total=len(checks),
        failing=[check for check in checks if not check.passes],
        checks=[_check(check) for check in checks],
        method=links.to(addresses.METHOD),
    )
    parts = [
        Part("", rendered("check_lead.jinja")),
        Part("Predictions against measurements", predicted, searchable=False),
        Part("Formulas against published figures", formulas, searchable=False),
    ]
    description = "How well predictions met measurements, and formulas published figures."
    way = trail(links, ("Check", addresses.CHECK))
    return page_markdown("Check", description, parts, units, trail=way, hide=("navigation",))


def _sentences(accuracy: Accuracy) -> list[str]:
    """Sum up the misses in words."""
    found = (("boost", "the absolute manifold pressure", accuracy.boost),
             ("power", "the measured power", accuracy.power))  # fmt: skip
    return [_summary(name, of, summary) for name, of, summary in found if summary is not None]


def _summary(name: str, of: str, summary: Summary) -> str:
    setups = "1 setup" if summary.count == 1 else f"{summary.count} setups"
    return (
        f"{name.capitalize()}, {setups}: half of the predictions missed by less than "
        f"{_share(summary.median)} of {of}, nine in ten by less than {_share(summary.ninetieth)}; "
        f"{summary.inside:.0%}".replace("%", f"{NARROW_SPACE}%")
        + " lie inside their band."
    )


def _share(value: float) -> str:
    return f"{value * 100:.1f}{NARROW_SPACE}%"


def _signed(value: float | None, decimals: int = 1) -> str:
    """A share with its sign, in per cent; empty where there is none."""
    if value is None:
        return ""
    number = f"{abs(value) * 100:.{decimals}f}"
    sign = "" if float(number) == 0 else "+" if value > 0 else MINUS
    return f"{sign}{number}{NARROW_SPACE}%"


def _line(miss: Miss, links: Links) -> dict[str, object]:
    """One measured setup: what was measured, what the others said of it, and the miss."""
    step, sheet = miss.step, miss.sheet
    agreed = [agrees for agrees in (step.agrees, step.power_agrees) if agrees is not None]
    return {
        "build": sheet.build.title.value,
        "href": links.to(addresses.build(sheet.id)),
        "setup": step.setup.title,
        "others": step.others,
        "boost": figure(step.measured_boost, bare=True),
        "boost_predicted": figure(step.estimated_boost if miss.boost is not None else None),
        "boost_miss": _signed(miss.boost),
        "power": figure(step.measured_power, bare=True),
        "power_predicted": figure(step.estimated_power if miss.power is not None else None),
        "power_miss": _signed(miss.power),
        "verdict": "inside" if all(agreed) else "outside",
        "named": miss.named,
    }


def _check(check: Check) -> dict[str, object]:
    """One published figure, with how far the formula is from it and how far it may be."""
    size = abs(check.expected)
    off = Markup("{}").format(_signed(check.deviation / size, 3)) if size else "0"
    return {
        "title": check.formula.title.rstrip("."),
        "anchor": check.formula.anchor,
        "field": check.field.replace("_", " "),
        "expected": check.expected_text,
        "off": off,
        "allowed": f"{check.tolerance / size * 100:.3g}{NARROW_SPACE}%" if size else "",
        "source": check.source,
        "status": STATUSES.get(check.status, check.status),
        "note": check.note,
        "passes": check.passes,
    }
