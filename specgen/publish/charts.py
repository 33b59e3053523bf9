"""The door to all charts: plain series in, inline SVG with words out.

`charts_curves`, `charts_limits`, `charts_air`, `charts_belt`, `charts_marks`, `charts_misses`,
`charts_timing` and `charts_valves` draw; callers import from here only.
"""

from __future__ import annotations

from specgen.publish.charts_air import Station, air_path
from specgen.publish.charts_belt import Pulley, belt_layout
from specgen.publish.charts_curves import boost, power_and_torque
from specgen.publish.charts_limits import LimitItem, left_words, limits, share_of
from specgen.publish.charts_marks import ladder_mark, sparkline
from specgen.publish.charts_misses import Dot, Strip, misses, percent
from specgen.publish.charts_series import Chart, Series
from specgen.publish.charts_timing import Opening, valve_timing
from specgen.publish.charts_valves import Lobe, valve_lift, valve_title

__all__ = [
    "Chart",
    "Dot",
    "LimitItem",
    "Lobe",
    "Opening",
    "Pulley",
    "Series",
    "Station",
    "Strip",
    "air_path",
    "belt_layout",
    "boost",
    "ladder_mark",
    "left_words",
    "limits",
    "misses",
    "percent",
    "power_and_torque",
    "share_of",
    "sparkline",
    "valve_lift",
    "valve_timing",
    "valve_title",
]
