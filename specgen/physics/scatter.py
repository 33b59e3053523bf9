"""How far repeated readings lie apart, and whether they follow something else that changed."""

from __future__ import annotations

from math import exp, lgamma, sqrt

import numpy as np

from specgen.physics._domain import Array, Unphysical, above, positive


def standard_deviation(readings: Array) -> float:
    """Experimental standard deviation of repeated readings.

    Equation:
        s = [sum (x_i - x_mean)^2 / (N - 1)]^0.5

    Parameters:
        readings: the readings, x_i [any], two or more

    Returns:
        standard deviation, s [as the readings]

    Raises:
        ValueError: if there are fewer than two readings

    Example:
        >>> standard_deviation([1.0, 3.0, 2.0])
        1.0

    Source:
        JCGM 100:2008 (GUM), 4.2.2 (from memory); numpy 2 (RUN)
    """
    values = np.asarray(readings, dtype=np.float64)
    above(1, "one", number_of_readings=float(values.size))
    return float(np.std(values, ddof=1))


def pooled_deviation(readings: Array) -> float:
    """Standard deviation of repeated curves: pooled over their points.

    Equation:
        s = [sum_j s_j^2 / M]^0.5, s_j the standard deviation of point j over the N curves

    Parameters:
        readings: one row a curve, one column a point, x_ij [any], two rows or more

    Returns:
        pooled standard deviation, s [as the readings]

    Raises:
        ValueError: if there are fewer than two curves, or no point

    Example:
        >>> round(pooled_deviation([[1.0, 5.0], [3.0, 5.0]]), 6)
        1.0

    Source:
        JCGM 100:2008 (GUM), 4.2.4 and H.5 (from memory), all points with N - 1 degrees of freedom
    """
    values = np.atleast_2d(np.asarray(readings, dtype=np.float64))
    above(1, "one", number_of_curves=float(values.shape[0]))
    above(0, "zero", number_of_points=float(values.shape[1]))
    return float(np.sqrt(np.mean(np.var(values, axis=0, ddof=1))))


def deviation_uncertainty(deviation: float, count: float) -> float:
    """Standard uncertainty of an experimental standard deviation, for normal readings.

    Equation:
        u = s [(1 - c^2) / c^2]^0.5,  c = [2 / (N - 1)]^0.5 Gamma(N / 2) / Gamma((N - 1) / 2)

    Parameters:
        deviation: experimental standard deviation, s [any], 0 or above
        count: number of readings, N [1], 2 or more

    Returns:
        standard uncertainty, u [as the deviation]

    Raises:
        ValueError: if there are fewer than two readings

    Example:
        >>> round(deviation_uncertainty(1.0, 3), 2)
        0.52

    Source:
        JCGM 100:2008 (GUM), Table E.1: 76 % of s for two readings, 52 % for three (from memory);
        scipy 1.17.1, stats.chi (RUN)
    """
    above(1, "one", number_of_readings=count)
    c = sqrt(2.0 / (count - 1.0)) * exp(lgamma(count / 2.0) - lgamma((count - 1.0) / 2.0))
    return deviation * sqrt(1.0 - c**2) / c


def slope(changes: Array, readings: Array) -> float:
    """Slope of the straight line through readings, by least squares.

    Equation:
        b = sum (x_i - x_mean)(y_i - y_mean) / sum (x_i - x_mean)^2

    Parameters:
        changes: what changed from reading to reading, x_i [any], not all the same
        readings: the readings, y_i [any], as many

    Returns:
        slope, b [readings over changes]

    Raises:
        ValueError: if there are fewer than two points, not as many of the one as of the other, or
            nothing changed

    Example:
        >>> slope([0.0, 1.0, 2.0], [1.0, 3.0, 5.0])
        2.0

    Source:
        JCGM 100:2008 (GUM), H.3 (from memory); Anscombe 1973 (from memory); scipy 1.17.1,
        stats.linregress (RUN)
    """
    x, y = _pairs(changes, readings)
    return float(np.sum(x * y) / np.sum(x**2))


def slope_uncertainty(changes: Array, readings: Array) -> float:
    """Standard uncertainty of that slope, from the readings' own scatter about the line.

    Equation:
        u_b = [sum (y_i - y_line,i)^2 / ((N - 2) sum (x_i - x_mean)^2)]^0.5

    Parameters:
        changes: what changed from reading to reading, x_i [any], not all the same
        readings: the readings, y_i [any], as many, three or more

    Returns:
        standard uncertainty of the slope, u_b [readings over changes]

    Raises:
        ValueError: if there are fewer than three points, not as many of the one as of the other,
            or nothing changed

    Example:
        >>> round(slope_uncertainty([0.0, 1.0, 2.0], [1.0, 3.0, 4.0]), 4)
        0.2887

    Source:
        JCGM 100:2008 (GUM), H.3 (from memory); Anscombe 1973 (from memory); scipy 1.17.1,
        stats.linregress (RUN)
    """
    x, y = _pairs(changes, readings)
    above(2, "two", number_of_points=float(x.size))
    left = y - x * np.sum(x * y) / np.sum(x**2)
    return float(np.sqrt(np.sum(left**2) / ((x.size - 2) * np.sum(x**2))))


def _pairs(changes: Array, readings: Array) -> tuple[Array, Array]:
    """Give both less their means, and refuse what makes no line."""
    x, y = (np.asarray(item, dtype=np.float64) for item in (changes, readings))
    if x.shape != y.shape or x.ndim != 1:
        raise Unphysical(f"there must be as many readings as changes, but {y.size} and {x.size}")
    above(1, "one", number_of_points=float(x.size))
    positive(spread_of_the_changes=float(np.ptp(x)))
    return x - x.mean(), y - y.mean()
