"""A physics docstring as a formula."""

from __future__ import annotations

import pytest

from specgen.analysis.rows.formula import formula_of
from specgen.physics import pulley


def test_a_docstring_gives_title_equation_parameters_and_source() -> None:
    """Every part that the method page prints comes from the docstring."""
    formula = formula_of(pulley.nominal_ratio)
    assert formula.name == "pulley.nominal_ratio"
    assert formula.equation == "i = D_c / D_b"
    assert [name for name, _ in formula.parameters] == ["crank_diameter", "blower_diameter"]
    assert formula.source
    assert formula.anchor == "pulley-nominal-ratio"


def test_a_function_without_a_source_is_refused() -> None:
    """A formula without its source must not reach a page."""

    def bare(value: float) -> float:
        """Give the value."""
        return value

    with pytest.raises(ValueError, match="lacks the section Equation"):
        formula_of(bare)
