"""The door to all charts: plain series in, inline SVG with words out.

`charts_curves`, `charts_limits`, `charts_air`, `charts_belt` and `charts_marks` draw; callers
import from here only.
"""

from __future__ import annotations

from specgen.publish.charts_air import Station, air_path
from specgen.publish.charts_belt import Pulley, belt_layout
from specgen.publish.charts_curves import boost, power_and_torque
from specgen.publish.charts_limits import LimitItem, left_words, limits, share_of
from specgen.publish.charts_marks import ladder_mark, sparkline
from specgen.publish.charts_series import Chart, Series

__all__ = [
    "Chart",
    "LimitItem",
    "Pulley",
    "Series",
    "Station",
    "air_path",
    "belt_layout",
    "boost",
    "ladder_mark",
    "left_words",
    "limits",
    "power_and_torque",
    "share_of",
    "sparkline",
]
