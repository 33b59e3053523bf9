"""The door to all charts: plain series in, inline SVG with words out.

`curves`, `limits`, `air`, `belt`, `marks`, `misses`, `valve_timing` and `valve_lift` draw; callers
import from here only.
"""

from __future__ import annotations

from specgen.publish.charts.air import Station, air_path
from specgen.publish.charts.belt import Pulley, belt_layout
from specgen.publish.charts.curves import boost, channels, power_and_torque
from specgen.publish.charts.limits import LimitItem, left_words, limits, share_of
from specgen.publish.charts.marks import cylinder_plan, ladder_mark, limit_mark, sparkline
from specgen.publish.charts.misses import Dot, Strip, misses, percent
from specgen.publish.charts.series import Chart, Series
from specgen.publish.charts.valve_lift import Lobe, valve_lift, valve_title
from specgen.publish.charts.valve_timing import Opening, Where, valve_timing

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
    "Where",
    "air_path",
    "belt_layout",
    "boost",
    "channels",
    "cylinder_plan",
    "ladder_mark",
    "left_words",
    "limit_mark",
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
