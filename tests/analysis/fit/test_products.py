"""Products and inverses of the fit's matrices are those of the usual library."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.analysis.fit.products import applied, inverse, product


@pytest.mark.parametrize("size", [3, 64, 65, 150])
def test_an_inverse_by_halves_is_the_inverse(size: int) -> None:
    """Times its matrix it is one, whether inverted whole or by halves."""
    draws = np.random.default_rng(size).normal(size=(size, size))
    matrix = draws @ draws.T + np.eye(size)
    assert np.abs(inverse(matrix) @ matrix - np.eye(size)).max() < 1e-9


def test_sliced_products_are_whole_ones() -> None:
    """A product in slices, and one with a vector, are what the library gives at once."""
    rng = np.random.default_rng(1)
    left, right = rng.normal(size=(120, 700)), rng.normal(size=(700, 90))
    assert product(left, right) == pytest.approx(left @ right)
    assert applied(left, right[:, 0]) == pytest.approx(left @ right[:, 0])
