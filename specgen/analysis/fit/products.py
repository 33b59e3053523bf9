"""Products of the fit's matrices on one processor.

A fit's matrices are small: a library that spreads their product over all processors spends more
on waking them than on the product, and on a busy machine many times more.
"""

from __future__ import annotations

import numpy as np

from specgen.analysis.rows.row import Array

#: Multiplications up to which the usual library (OpenBLAS) stays on one processor.
_ALONE = 262_144
#: Rows up to which it inverts a matrix there.
_WHOLE = 64


def product(left: Array, right: Array) -> Array:
    """The matrix product, summed over slices small enough for one processor."""
    inner, size = left.shape[1], left.shape[0] * right.shape[1]
    step = max(_ALONE // max(size, 1), 1)
    found = np.zeros((left.shape[0], right.shape[1]))
    for at in range(0, inner, step):
        found += left[:, at : at + step] @ right[at : at + step]
    return found


def applied(matrix: Array, vector: Array) -> Array:
    """A matrix times a vector, on one processor whatever their size."""
    return np.asarray(np.einsum("ij,j->i", matrix, vector))


def inverse(matrix: Array) -> Array:
    """Inverse of a symmetric positive definite matrix, large ones by halves (Schur)."""
    size = len(matrix)
    if size <= _WHOLE:
        return np.asarray(np.linalg.inv(matrix), float)
    half = size // 2
    side, far = matrix[:half, half:], inverse(matrix[half:, half:])
    carried = product(side, far)
    near = inverse(matrix[:half, :half] - product(carried, side.T))
    across = -product(near, carried)
    behind = far - product(carried.T, across)
    return np.block([[near, across], [across.T, behind]])
