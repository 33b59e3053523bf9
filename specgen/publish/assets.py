"""Style, scripts and schemas of a site, as the package carries them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib.resources import files

from specgen.publish import addresses
from specgen.publish.estimate.model import model_script
from specgen.publish.making.item import Item
from specgen.publish.sheet.data import SHEET_SCHEMA
from specgen.publish.store.shelf import Shelf
from specgen.publish.web.bundles import bundles


def assets(
    styles: Mapping[str, str], *, own_units: bool = False, shelf: Shelf | None = None
) -> Iterator[Item]:
    """Every such file; `styles` follow those they name; `own_units` shows a workshop's own."""
    model = (shelf or Shelf()).text(("model script",), model_script)
    for address, text in bundles(own_units=own_units, model=model):
        yield Item(address, text + styles.get(address, ""))
    for schema in sorted((files("specgen.archive") / "schemas").iterdir(), key=lambda it: it.name):
        if schema.name.endswith(".json"):
            text = schema.read_text("utf-8")
            yield from (Item(address, text) for address in addresses.schemas(schema.name))
    data = (files("specgen.publish.sheet") / SHEET_SCHEMA).read_text("utf-8")
    yield from (Item(address, data) for address in addresses.schemas(SHEET_SCHEMA))
