"""`specgen site --verify`, as somebody who hosts a site uses it."""

from __future__ import annotations

from click.testing import CliRunner

from specgen.cli import main
from tests.long.workshop import workshop


def test_a_site_is_verified_against_its_sources() -> None:
    """Exit code 0 where every byte is what the sources make; a flipped one is named, with 1."""
    with workshop() as shop:
        command = ["site", "--verify", "--config", str(shop.settings("one"))]
        nothing = CliRunner().invoke(main, command)
        assert nothing.exit_code == 1
        assert "manifest" in nothing.output
        shop.build("one")
        same = CliRunner().invoke(main, command)
        assert (same.exit_code, "to the byte" in same.output) == (0, True), same.output
        page = shop.site / "builds" / "ice-resurfacer" / "index.html"
        data = bytearray(page.read_bytes())
        data[2000] ^= 1
        page.write_bytes(data)
        changed = CliRunner().invoke(main, command)
        assert changed.exit_code == 1
        assert "builds/ice-resurfacer/index.html differs from byte 2000 on" in changed.output
