"""The same pages as Markdown and assets in a folder, ready for any other site engine.

Written with an mkdocs.yml that builds the folder without a plugin; the raw HTML in the pages is
finished, so another engine needs nothing but Markdown.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.publish import addresses
from specgen.publish.delivery.delivery import Delivery
from specgen.publish.delivery.site import export_target, versions
from specgen.publish.site import Site, no_words
from specgen.publish.store.store import Store


def export(
    archive: Archive,
    folder: str | Path,
    progress: Callable[[str], None] | None = None,
    faults: Callable[[tuple[Finding, ...]], None] | None = None,
    *,
    store: Store | None = None,
    processes: int = 1,
) -> int:
    """Write the site's sources to `folder`/pages and an mkdocs.yml beside; give the file count.

    The folder is whole at every moment; what an earlier export wrote in it is replaced. Refused if
    it holds anything else, Busy if somebody else exports to it, OSError if it cannot be written.
    `progress` is told the address of each build's page as it is made, `faults` what keeps a build
    out of it; `store` and `processes` are those of `Site`, and WorkerLost says that one has died.
    """
    site = Site(archive, store=store, processes=processes, tell=progress or no_words)
    target = export_target(Path(folder), Path(archive.root))
    delivery = Delivery(target, lambda _message: None)
    try:
        count = _write(site, delivery.stage)
        delivery.publish(versions("specgen"), site.revision(), site.told_by())
    finally:
        delivery.abandon()
    if faults is not None:
        faults(site.faults())
    return count


def _write(site: Site, folder: Path) -> int:
    """Write every file; give their number."""
    count = 0
    leaves = []
    for item in site.items():
        path = folder / "pages" / item.address
        path.parent.mkdir(parents=True, exist_ok=True)
        content = item.content
        path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
        count += 1
        if item.leaf:
            leaves.append(item.address)
    (folder / "mkdocs.yml").write_text(_configuration(site, leaves), encoding="utf-8")
    return count + 1


def _configuration(site: Site, leaves: list[str]) -> str:
    """Write the engine's settings; JSON strings are YAML strings."""
    lines = [
        f"site_name: {json.dumps(site.archive.settings.name.value, ensure_ascii=False)}",
        f"copyright: {json.dumps(site.footer(), ensure_ascii=False)}",
        "docs_dir: pages",
        "theme:",
        "  name: material",
        "  font: false",
        f"extra_css: [{addresses.STYLE}]",
        f"extra_javascript: [{addresses.SCRIPT}]",
        "extra:",
        "  generator: false",
        "nav:",
        *(f"  - {title}: {address}" for address, title in addresses.PAGES.items()),
        "not_in_nav: |",
        *(f"  /{address}" for address in leaves),
    ]
    return "\n".join(lines) + "\n"
