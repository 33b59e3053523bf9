"""Addresses that name a pull by an id that it had before still lead to it."""

from __future__ import annotations

import json
import re
from pathlib import Path

from specgen.archive.archive import read_archive
from specgen.publish import addresses
from specgen.publish.site import Site
from tests.analysis.small import write


def test_figures_and_comparison_answer_to_earlier_ids(tmp_path: Path) -> None:
    """The small archive's one pull was 2025-05-14-1 when pulls were counted."""
    items = {it.address: str(it.content) for it in Site(read_archive(write(tmp_path))).items()}
    page = items[addresses.figures("test-build")]
    own = set(re.findall(r'id="row-pull-2025-05-14-p80-([\w-]+)"', page))
    old = set(re.findall(r'id="row-pull-2025-05-14-1-([\w-]+)"', page))
    assert own
    assert old == own
    data = json.loads(items["builds/test-build/compare.js"].partition(",")[2].strip()[:-2])
    assert data["formerly"] == {"2025-05-14-1": "2025-05-14-p80"}
    assert data["best"] == "2025-05-14-p80"


def test_no_address_stands_twice(tmp_path: Path) -> None:
    """An earlier address is given to nothing that has one of its own."""
    items = Site(read_archive(write(tmp_path))).items()
    page = next(str(it.content) for it in items if it.address == addresses.figures("test-build"))
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
