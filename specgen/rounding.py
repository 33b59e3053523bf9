"""Numbers as they are published: the same on every processor.

The last digits of a sum depend on the order in which a processor adds, and so do the few that are
left where two numbers cancel. Neither says anything, and neither is written.
"""

from __future__ import annotations

import math

#: No figure in any unit that is published is as small: what is smaller was left over.
NOISE = 1e-12
#: Significant digits of what is sorted by but not shown.
SORTED_BY = 9


def rounded(number: float, digits: int = SORTED_BY) -> float:
    """Round to so many significant digits; what is left where numbers cancel is nothing.

    What is not finite stays as it is.
    """
    if not math.isfinite(number):
        return number
    return 0.0 if abs(number) < NOISE else float(f"{number:.{digits}g}")
