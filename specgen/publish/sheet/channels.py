"""What else a pull logged: channels that no figure rests on, each with its line and its range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from markupsafe import Markup

from specgen.analysis.workings import PullSheet
from specgen.archive.delimited.spelling import spelled
from specgen.archive.model.session import Channel
from specgen.publish.charts import door as charts
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import Unit, text_of

#: Digits that a logged figure is shown with, where it is no whole number.
_DIGITS = 3


@dataclass(frozen=True, slots=True)
class ChannelLine:
    """One channel of one pull: its name and unit, its lowest and highest figure, and its line."""

    pull: str
    name: str
    unit: str
    lowest: str
    highest: str
    line: Markup


@dataclass(frozen=True, slots=True)
class Channels(Context):
    """The extra channels of a session.

    `channels`: one line a channel and pull; `day`: the session's day in words.
    """

    template: ClassVar[str] = "sheet/channels.jinja"
    channels: Sequence[ChannelLine]
    day: str


def channels_block(pulls: Sequence[PullSheet], day: str) -> Markup:
    """Show the extra channels of a session's pulls; nothing where there are none."""
    lines = [line for pull in pulls for line in _lines(pull)]
    return rendered(Channels(channels=lines, day=day)) if lines else Markup("")


def _lines(pull: PullSheet) -> Iterator[ChannelLine]:
    curve = pull.pull.curve
    for channel in curve.extra if curve is not None else ():
        known = channel.values[np.isfinite(channel.values)]
        if curve is None or not len(known):
            continue
        whole = bool((known == np.round(known)).all())
        lowest, highest = (_figure(float(end), whole) for end in (known.min(), known.max()))
        words = f"{channel.name} over engine speed, {lowest} to {highest} {_unit(channel)}".strip()
        line = charts.sparkline(curve.engine_speed, channel.values, words=words)
        yield ChannelLine(pull.id, channel.name, _unit(channel), lowest, highest, Markup(line))


def _unit(channel: Channel) -> str:
    """The unit as pages print it; one that no table knows as it was logged."""
    found = spelled(channel.unit) if channel.unit else None
    return found.units[0].shown if found else channel.unit


def _figure(value: float, whole: bool) -> str:
    """A logged figure with a few digits and thin thousands."""
    size = int(np.floor(np.log10(abs(value)))) + 1 if value else 1
    decimals = 0 if whole else min(max(_DIGITS - size, 0), _DIGITS)
    return text_of(value, Unit("", "", 1.0), decimals)
