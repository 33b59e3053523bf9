"""The inks of all drawings, by the light page's colours; style sheet and files know them by these.

Checked for 3:1 against white; the dark counterparts stand in `charts.css`.
"""

from __future__ import annotations

SERIES_COLOURS = ("#0072b2", "#d55e00", "#007a5a", "#aa4499", "#7a6000", "#117fa8")
INK = "#1b1b1b"
MUTED = "#5c5f66"
GRID = "#dcdee2"
GROUND = "#fefefe"


def colour_of(group: int) -> str:
    """The light colour of the thing with this index; the seventh thing starts over."""
    return SERIES_COLOURS[group % len(SERIES_COLOURS)]
