"""How far a tensioner moves so that a belt of a given length fits a layout.

The tensioner's centre moves along a straight line from where its layout has it to the other end of
its travel; one that swings on an arm is taken along the chord of its arc.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import nan

from specgen.physics._domain import Unphysical, between, positive
from specgen.physics.layout import LayoutPulley, belt_path

#: Places of the travel at which the length is looked at before it is solved for: a travel that
#: first lengthens the path and then shortens it again is seen.
_LOOKS = 5


def moved(
    pulleys: Sequence[LayoutPulley], tensioner: int, end: tuple[float, float], share: float
) -> list[LayoutPulley]:
    """Give a layout with its tensioner at a share of its travel.

    Equation:
        centre = start + s (end - start)

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]
        tensioner: which of them moves, counted from nothing [1]
        end: centre at the other end of the travel, x and y [m]
        share: share of the travel, s [1], 0 to 1

    Returns:
        the pulleys with the tensioner moved [LayoutPulley]

    Raises:
        ValueError: if the tensioner is none of the pulleys, or the share not from 0 to 1

    Example:
        >>> pulleys = [LayoutPulley(0.0, 0.0, 0.1), LayoutPulley(0.3, 0.0, 0.1)]
        >>> moved(pulleys, 1, (0.4, 0.0), 0.5)[1].x
        0.35

    Source:
        geometry
    """
    if not 0 <= tensioner < len(pulleys):
        raise Unphysical(f"the tensioner must be one of the {len(pulleys)} pulleys")
    between(0.0, 1.0, share_of_the_travel=share)
    own = pulleys[tensioner]
    x, y = own.x + share * (end[0] - own.x), own.y + share * (end[1] - own.y)
    return [*pulleys[:tensioner], replace(own, x=x, y=y), *pulleys[tensioner + 1 :]]


def travelled_length(
    pulleys: Sequence[LayoutPulley], tensioner: int, end: tuple[float, float], share: float
) -> float:
    """Length of the belt's path with the tensioner at a share of its travel.

    Equation:
        L(s), as for belt_path with the tensioner's centre at start + s (end - start), the belt
        running the way it runs at the start

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]
        tensioner: which of them moves, counted from nothing [1]
        end: centre at the other end of the travel, x and y [m]
        share: share of the travel, s [1], 0 to 1

    Returns:
        length of the path, L [m]

    Raises:
        ValueError: if the tensioner is none of the pulleys, the share not from 0 to 1, or the
            layout has no belt path there

    Example:
        >>> pulleys = [LayoutPulley(0.0, 0.0, 0.1), LayoutPulley(0.3, 0.0, 0.1)]
        >>> round(travelled_length(pulleys, 1, (0.4, 0.0), 0.5), 4)
        1.0142

    Source:
        geometry; as for belt_path
    """
    here = moved(pulleys, tensioner, end, share)
    return belt_path(here, belt_path(pulleys).anticlockwise).length


def share_of_travel(
    pulleys: Sequence[LayoutPulley], tensioner: int, end: tuple[float, float], length: float
) -> float:
    """Where in its travel a tensioner stands when a belt of a given length is on.

    Equation:
        L(s) = L, the first s from the start; solved to 1e-9 of the travel

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]
        tensioner: which of them moves, counted from nothing [1]
        end: centre at the other end of the travel, x and y [m]
        length: length of the belt's pitch line, L [m], 0.3 to 6

    Returns:
        share of the travel, s [1]

    Raises:
        ValueError: if no place in the travel gives that length

    Example:
        >>> pulleys = [LayoutPulley(0.0, 0.0, 0.1), LayoutPulley(0.3, 0.0, 0.1)]
        >>> round(share_of_travel(pulleys, 1, (0.4, 0.0), 1.0141593), 4)
        0.5

    Source:
        geometry; as for belt_path
    """
    from scipy.optimize import brentq  # slow to import: only where a tensioner is solved for

    positive(length=length)

    moved(pulleys, tensioner, end, 0.0)
    sense = belt_path(pulleys).anticlockwise

    def over(share: float) -> float:
        """How much longer the path is than the belt."""
        return belt_path(moved(pulleys, tensioner, end, share), sense).length - length

    steps = [index / (_LOOKS - 1) for index in range(_LOOKS)]
    excess = [_or_nan(over, step) for step in steps]
    for index, low in enumerate(excess[:-1]):
        if low == 0.0:
            return steps[index]
        if low * excess[index + 1] < 0.0:
            return float(brentq(over, steps[index], steps[index + 1], xtol=1e-9))
    if excess[-1] == 0.0:
        return 1.0
    raise Unphysical(f"no place in the tensioner's travel gives a path of {1e3 * length:.1f} mm")


def _or_nan(over: Callable[[float], float], step: float) -> float:
    """The excess, or not a number where the layout has no path."""
    try:
        return float(over(step))
    except Unphysical:
        return nan
