"""What the browser estimates is what the package plans: figures, bands, limits and refusals."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from specgen.archive.model.build import Archive
from tests.estimates.comparing import CLOSE, compared
from tests.estimates.engines import cases

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
COUNT = 120


def test_browser_and_package_agree(browser: Browser, archive: Archive) -> None:
    """Random engines, blowers, pulleys, fuels and airs; `tests.long estimate` has more."""
    apart = compared(browser, archive, cases(archive, COUNT, random.Random(17)))
    assert apart.faults == []
    assert apart.furthest <= CLOSE
    assert apart.figures > 10 * COUNT
    assert len(apart.refused) > 5  # hopeless ones are among them, for several reasons
