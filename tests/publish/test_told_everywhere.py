"""One archive's year: what moved a figure is told alike by sheet, `specgen diff` and feed."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from specgen.analysis import method as methods
from specgen.analysis.sheet import analyse
from specgen.analysis.tables import defaults
from specgen.archive.archive import read_archive
from specgen.cli import main
from specgen.past.figures import Told, figures_of, moved
from specgen.publish.site import Site
from tests.archive.repository import git
from tests.past.shop import BUILD, Shop, opened
from tests.publish.pages import part_of, text_of

pytestmark = pytest.mark.slow

NEW = "new-name"
WORDS = {"data": "the build's own data", "shared": "a file shared with other builds",
         "method": "the method"}  # fmt: skip
_ATOM = "{http://www.w3.org/2005/Atom}"


def _figures(shop: Shop, build: str) -> tuple[Told, ...]:
    """What the sheet of the files as they lie there leads with, and what it plans."""
    return figures_of(analyse(shop.archive())[build])


def _told(before: tuple[Told, ...], after: tuple[Told, ...]) -> list[tuple[str, str, str]]:
    """Title and both texts of each figure that a reader sees otherwise."""
    found = [
        (it.told.title, it.before.text("metric"), it.after.text("metric"))
        for it in moved(before, after)
        if it.before and it.after
    ]
    assert found, "nothing moved"
    return [(title, _plain(was), _plain(now)) for title, was, now in found]


def _plain(text: str) -> str:
    return text.replace("\N{NARROW NO-BREAK SPACE}", " ").replace("\N{NO-BREAK SPACE}", " ")


class Year:
    """A shop, and of each change: its day, cause, reason, and what it moved from what to what."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.build = BUILD
        self.changes: list[tuple[str, str, str, list[tuple[str, str, str]]]] = []

    def change(self, file: str, old: str, new: str, why: str, day: str, cause: str) -> None:
        """Change a file, hold what `diff` says of it against both sheets, and commit it."""
        before = _figures(self.shop, self.build)
        self.shop.change(file, old, new)
        expected = _told(before, _figures(self.shop, self.build))
        said = self.diff()
        assert f"by {WORDS[cause]}:" in said
        for title, was, now in expected:
            assert f"{was} → {now}" in said, title
        self.shop.commit(why, day)
        self.changes.append((day, cause, why, expected))

    def diff(self, *more: str) -> str:
        """What the command says of the files as they lie there."""
        command = ["diff", *more, "--archive", str(self.shop.builds)]
        result = CliRunner().invoke(main, command, catch_exceptions=False)
        assert result.exit_code == 0, result.output
        return _plain(result.output)


@pytest.fixture
def year(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Year:
    """Humidity, blower, standard air, a rename and a later method, one after the other."""
    shop = opened(tmp_path)
    shop.change(f"{BUILD}/build.yaml", "fuel: petrol-98}\n",
                "fuel: petrol-98}\n  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n",
                "Plan a larger pulley", "2025-05-20")  # fmt: skip
    year = Year(shop)
    year.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %",
                "The hygrometer read too low", "2025-06-02", "data")  # fmt: skip
    year.change("blowers/test-blower.yaml", "0.9 L", "0.8 L",
                "The maker's new figure", "2025-06-03", "shared")  # fmt: skip
    year.change("archive.yaml", "iso-1585", "sae-j607",
                "Show it as in the old days", "2025-06-04", "shared")  # fmt: skip
    _rename(year)
    with monkeypatch.context() as earlier:  # the program as it was before the method rose
        worse = {it: value * 0.7 for it, value in defaults._BREATHING.items()}
        earlier.setattr(defaults, "_BREATHING", worse)
        before = _figures(shop, NEW)
        keep = ["keep", "--archive", str(shop.builds)]
        assert CliRunner().invoke(main, keep, catch_exceptions=False).exit_code == 0
    shop.commit("Keep the figures", "2025-06-06")
    later = methods.Method(2, datetime.date(2027, 1, 1), "Engines are taken to breathe better.")
    monkeypatch.setattr(methods, "METHODS", (*methods.METHODS, later))
    expected = _told(before, _figures(shop, NEW))
    year.changes.append(("2027-01-01", "method", later.words, expected))
    return year


def _rename(year: Year) -> None:
    """Give the build another id; no figure moves by that."""
    shop = year.shop
    git(shop.root, "mv", f"builds/{BUILD}", f"builds/{NEW}")
    shop.change(f"{NEW}/build.yaml", "engine:\n", f"formerly: [{BUILD}]\nengine:\n")
    said = year.diff()
    assert f"Renamed: {BUILD} is {NEW} now" in said
    assert "→" not in said
    shop.commit("Another name", "2025-06-05")
    year.build = NEW


def test_each_change_is_told_alike_by_sheet_difference_and_feed(year: Year) -> None:
    """Right figures, right cause, in all three; the rename lost none of what came before it."""
    site = Site(read_archive(year.shop.builds), site_url="https://shed.test/")
    items = {it.address: it for it in site.items()}
    history = part_of(str(items[f"builds/{NEW}/index.md"].content), "What changed in its figures")
    news = list(_news(str(items["feed.xml"].content)))
    for day, cause, why, expected in year.changes:
        (line,) = [it for it in _lines(history) if why in it]
        (entry,) = [it for it in news if why in it]
        assert f"By {WORDS[cause]}" in line
        assert f"By {WORDS[cause]}: " in entry
        assert day in entry
        for title, was, now in expected:
            assert title in line
            assert was in line and now in line, (title, line)  # noqa: PT018
            assert f"{was} → {now}" in entry, title
    said = year.diff("--method")
    assert f"by {WORDS['method']}:" in said
    assert all(f"{was} → {now}" in said for _, was, now in year.changes[-1][3])
    assert "First recorded" in history
    assert "Take in the test build" in history
    assert f"builds/{BUILD}/sheet.json" in items


def _lines(history: str) -> Iterator[str]:
    """Each change of a sheet's history, as it reads."""
    yield from (_plain(text_of(it)) for it in history.split('<li><span class="sg-day"')[1:])


def _news(feed: str) -> Iterator[str]:
    """Each piece of news, as it reads, with its day."""
    for entry in ElementTree.fromstring(feed).iter(f"{_ATOM}entry"):
        parts = [entry.findtext(f"{_ATOM}{it}") or "" for it in ("title", "updated", "summary")]
        yield _plain(" ".join(parts))
