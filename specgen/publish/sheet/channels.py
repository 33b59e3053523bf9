"""What else a pull logged: channels that no figure rests on, each with its line and its range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from markupsafe import Markup

from specgen.analysis.workings import PullSheet
from specgen.publish.charts import door as charts
from specgen.publish.logged import extra_channels, quantity_of
from specgen.publish.typesetting.figures import in_both, value_text
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import Quantity, systems


@dataclass(frozen=True, slots=True)
class ChannelLine:
    """One channel of one pull: its name, its lowest and highest figure, and its line."""

    pull: str
    name: str
    lowest: Markup
    highest: Markup
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
    for channel in extra_channels(pull):
        kind, values = quantity_of(channel)
        ends = (float(np.nanmin(values)), float(np.nanmax(values)))
        spoken = ", or ".join(_range(kind, *ends))
        words = f"{channel.name} over engine speed, {spoken}"
        shown = values - kind.metric.offset
        line = charts.sparkline(pull.rows["speed_curve"].curve, shown, words=words)
        lowest, highest = (_figure(kind, end) for end in ends)
        yield ChannelLine(pull.id, channel.name, lowest, highest, Markup(line))


def _range(kind: Quantity, low: float, high: float) -> list[str]:
    """From the lowest to the highest, once for systems that read the same."""
    told = (f"{kind.number(low, it)} to {kind.text(high, it)}" for it in systems())
    return list(dict.fromkeys(told))


def _figure(kind: Quantity, value: float) -> Markup:
    return in_both(lambda system: value_text(kind, value, system))
