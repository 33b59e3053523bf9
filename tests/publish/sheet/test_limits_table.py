"""Every limit stands against every setup, in a table that opens below the nearest ones."""

from __future__ import annotations

from specgen.publish.making.item import Item
from specgen.publish.site import Site
from tests.publish.pages import sheets_of


def test_every_limit_stands_against_every_setup(items: dict[str, Item], site: Site) -> None:
    """A table of setups by limits with each share, a belt's grip among them; none of one setup."""
    sheet = sheets_of(site)["plover-sprint"]
    page = str(items["builds/plover-sprint/index.md"].content)
    table = page.partition("Every limit against every setup")[2].partition("</table>")[0]
    rows = table.partition("<tbody>")[2].split("<tr>")[1:]
    assert len(rows) == len(sheet.setups) > 1
    for setup, row in zip(sheet.setups, rows, strict=True):
        own = [limit for limit in sheet.every_limit if limit.setup == setup.title]
        assert setup.title in row
        assert row.count("<td") - row.count("not known") == len(own)
        assert all(
            f">{100 * limit.share:.0f}\u202f&#37;" in row
            for limit in own
            if limit.title != "Belt grip"
        )
    assert "Belt grip" in table
    alone = next(it for it in sheets_of(site).values() if len(it.setups) == 1 and it.limits)
    assert "Every limit" not in str(items[f"builds/{alone.id}/index.md"].content)
