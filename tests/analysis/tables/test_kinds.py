"""The kinds of blower: one table, which the schema, the defaults and the words all follow."""

from __future__ import annotations

from specgen.analysis.tables.defaults import USUAL
from specgen.analysis.words import BLOWERS
from specgen.archive.format.schema import schema
from specgen.archive.model.kinds import KINDS


def test_schema_and_tables_have_the_same_kinds() -> None:
    """A kind that the schema allows has words and usual figures, and no other has."""
    allowed = schema("blower")["properties"]["kind"]["enum"]
    assert list(KINDS) == allowed == list(USUAL) == list(BLOWERS)


def test_what_displaces_has_the_figures_of_it() -> None:
    """Volumetric efficiency, leakage and a built-in ratio: of every kind that displaces."""
    for key, kind in KINDS.items():
        usual = USUAL[key]
        figures = (usual.limit_efficiency, usual.leak_area, usual.built_in_ratio)
        assert [figure is not None for figure in figures] == [kind.displaces] * 3
