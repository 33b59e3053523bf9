"""A sheet as linked data: a schema.org Dataset with what was measured and where to get it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.publish import addresses
from specgen.publish.share.sharing import description, public_address
from specgen.publish.takeaway.citing import authors, notes
from specgen.publish.takeaway.columns import DIGITS, si_unit
from specgen.rounding import rounded


def dataset(sheet: Sheet, site_url: str, folders: bool) -> str:
    """The data as JSON-LD on one line, safe between script tags."""
    settings = sheet.archive.settings
    page = public_address(site_url, addresses.build(sheet.id), folders)
    days = sorted(it.session.when for it in sheet.sessions if it.session.when)
    found: dict[str, Any] = {
        "@context": "https://schema.org/",
        "@type": "Dataset",
        "name": sheet.build.title.value,
        "description": ". ".join([description(sheet).rstrip("."), *notes(sheet)]),
        "identifier": sheet.id,
        "isAccessibleForFree": True,
        "creator": [{"@type": "Organization", "name": name} for name in authors(sheet)],
        "includedInDataCatalog": {"@type": "DataCatalog", "name": settings.name.value},
        "variableMeasured": list(_variables(sheet)),
        "distribution": list(_files(sheet, site_url, folders)),
    }
    if page:
        found |= {"url": page, "@id": page}
    if settings.licence is not None:
        licence = settings.licence
        found["license"] = licence.url.value if licence.url else licence.name.value
    if days:
        first, last = days[0].isoformat(), days[-1].isoformat()
        found["temporalCoverage"] = first if first == last else f"{first}/{last}"
        found["dateModified"] = last
    text = json.dumps(found, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _variables(sheet: Sheet) -> Iterator[dict[str, Any]]:
    """The headline figures in SI, each with the words that stand beneath it."""
    for row in sheet.headline:
        said = [row.standing, _doubt(row)] if row.standing else [_doubt(row)]
        yield {
            "@type": "PropertyValue",
            "name": row.title,
            "value": rounded(row.scalar, DIGITS),
            "unitText": si_unit(row.quantity.key) or "1",
            "description": ", ".join(filter(None, said)) or row.basis,
        }


def _doubt(row: Row) -> str:
    if not isinstance(row.uncertainty, float):
        return ""
    return f"standard uncertainty {row.uncertainty:.2g}"


def _files(sheet: Sheet, site_url: str, folders: bool) -> Iterator[dict[str, str]]:
    """Where the figures and curves are to be had."""
    links = addresses.Links(addresses.build(sheet.id), folders)
    kinds = [(addresses.build_data(sheet.id), "application/json")]
    if any(pull.rows["speed_curve"].is_curve for pull in sheet.pulls):
        kinds.append((addresses.build_curves(sheet.id), "text/csv"))
    for address, kind in kinds:
        yield {
            "@type": "DataDownload",
            "encodingFormat": kind,
            "contentUrl": public_address(site_url, address) or str(links.to(address)),
        }
