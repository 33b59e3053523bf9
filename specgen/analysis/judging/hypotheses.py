"""What would put a departing pull right: each cause tried on all its figures at once.

A cause says how the figures would change: by a factor, by an offset, as a slower blower would
have it. What is left of the departure then, against the covariance of all points, tells how well
the cause explains it. A cause with a free size pays for it. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import pi

import numpy as np

from specgen.analysis.fit.departures import Departure
from specgen.analysis.fit.residuals import TURNING
from specgen.analysis.rows.row import Array

#: What each free size of a cause costs it, as a sum of squares, and a mistake of one's own hand.
_FREE, _RARE = 4.0, 3.0

#: A cause is told if it takes at least this much off the sum of squares.
_HELPS = 9.0

#: Ratios of units that are taken for one another: of boost, of torque or power.
_BOOST = ((6.894757, "psi to kPa"), (3.386389, "inHg to kPa"))
_POWER = ((1.3558179, "lb ft to N m"), (1 / 0.7456999, "kW to hp"))
_DECIMAL = ((10.0, "a decimal place"),)

#: Titles of causes, by which what the tables of causes say is put beside them.
SLIP, PULLEY = "Belt slip", "A wrong pulley in the file"
SENSOR, TUNE = "The boost sensor, or where it is tapped", "Ignition or mixture"
RESTRICTION, LEAK = "A restriction before the blower", "A leak, or a bypass that does not close"
CORRECTION = "A correction already in the figures, or the dyno"
COOLER, CLUTCH = "The charge cooler, or its coolant", "A clutch or coupling that slips"


#: How large a cause usually is, in the unit of its direction: per cent, kilopascals, kelvin, or
#: what the unknown's own prior leaves open.
_USUAL = {SLIP: 6.0, PULLEY: 8.0, SENSOR: 15.0, TUNE: 8.0, RESTRICTION: 6.0, LEAK: 6.0,
          COOLER: 15.0}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Explanation:
    """A cause with the words of what it explains, and what it leaves, less being better."""

    title: str
    words: str
    left: float


@dataclass(frozen=True, slots=True, eq=False)
class Pulled:
    """A pull's departure with what is known beside it.

    `headers` are the heads of the columns by figure, `pressure` the air's [Pa], `factor` the
    session's correction factor or None.
    """

    departure: Departure
    headers: dict[str, str]
    pressure: float
    factor: float | None

    def of(self, figure: str) -> Array:
        """Where a figure's points stand."""
        return self.departure.of(figure)

    @property
    def measured(self) -> Array:
        """What was read, point by point."""
        return np.array([label.measured for label in self.departure.labels])

    @property
    def sizes(self) -> Array:
        """Standard uncertainty of each point for itself."""
        return np.array([label.size for label in self.departure.labels])

    @property
    def speeds(self) -> Array:
        """Engine speed of each point."""
        return np.array([label.speed for label in self.departure.labels])

    @property
    def predicted(self) -> Array:
        """What the others say of each point."""
        return np.asarray(self.measured + self.departure.ahead * self.sizes)


def explained(pull: Pulled) -> tuple[float, tuple[Explanation, ...]]:
    """What is left without any cause, and every cause that helps, the best first."""
    nothing = pull.departure.misfit(pull.departure.ahead)[0]
    found = [item for cause in _CAUSES for item in cause(pull)]
    helping = [item for item in found if item.left < nothing - _HELPS]
    return nothing, tuple(sorted(helping, key=lambda item: item.left))


# ------------------------------------------------------------ what a hand or an export did


def _units(pull: Pulled) -> Iterator[Explanation]:
    """A column in another unit than its head says, or converted once too often."""
    for figure, ratios in (("boost", _BOOST), ("power", _POWER)):
        title = f"A wrong unit of {'boost' if figure == 'boost' else 'torque or power'}"
        for ratio, words in (*ratios, *_DECIMAL):
            for factor in (ratio, 1 / ratio):
                yield from _scaled(pull, figure, factor, title, words)


def _scaled(
    pull: Pulled, figure: str, factor: float, title: str, words: str, cost: float = _RARE
) -> Iterator[Explanation]:
    """A figure that would be right times a factor."""
    here = pull.of(figure)
    if not here.size:
        return
    right = pull.measured[here] * factor
    size = pull.sizes[here] * (factor if figure == "power" else 1.0)
    left, _ = pull.departure.misfit(_instead(pull, here, right, size))
    head = pull.headers.get(figure, figure)
    yield Explanation(
        title, f"every figure of {head} times {factor:.4g} is as predicted: {words}", left + cost
    )


def _instead(pull: Pulled, here: Array, right: Array, size: Array) -> Array:
    """What would be left had other figures been read at some points."""
    ahead = pull.departure.ahead.copy()
    ahead[here] = (pull.predicted[here] - right) / size
    return np.asarray(ahead)


def _absolute(pull: Pulled) -> Iterator[Explanation]:
    """Manifold pressure under the name of boost, or the other way about."""
    here = pull.of("boost")
    for sign, words in ((-1, "absolute pressure, with the barometer in it,"), (1, "gauge twice")):
        if here.size:
            right = pull.measured[here] + sign * pull.pressure
            left, _ = pull.departure.misfit(_instead(pull, here, right, pull.sizes[here]))
            head = pull.headers.get("boost", "boost")
            yield Explanation(
                "Absolute pressure in the place of boost",
                f"{head} is as predicted less the barometer: {words} was written as boost",
                left + _RARE,
            )


def _fahrenheit(pull: Pulled) -> Iterator[Explanation]:
    """A temperature in Fahrenheit under a head in Celsius."""
    for figure in ("charge_temperature", "discharge_temperature", "intake_temperature"):
        here = pull.of(figure)
        if here.size:
            right = (pull.measured[here] - 273.15 - 32) / 1.8 + 273.15
            left, _ = pull.departure.misfit(_instead(pull, here, right, pull.sizes[here]))
            head = pull.headers.get(figure, figure)
            yield Explanation(
                "A wrong unit of temperature",
                f"{head} is as predicted once it is read as Fahrenheit",
                left + _RARE,
            )


def _corrected(pull: Pulled) -> Iterator[Explanation]:
    """The session's own factor is in figures that are said to be observed, or out of them."""
    if pull.factor is None or abs(pull.factor - 1) < 0.01:
        return
    words = f"the session's own correction factor, {pull.factor:.3f}"
    for factor in (pull.factor, 1 / pull.factor):
        yield from _scaled(pull, "power", factor, CORRECTION, words)


# ------------------------------------------------------------ what happened on the dyno


def _taken(
    pull: Pulled, title: str, words: str, *directions: Array, least: float = 0.0
) -> Iterator[Explanation]:
    """A cause whose sizes are free about what is usual; only where the first is above `least`."""
    usual = [_USUAL[title]] * len(directions)
    left, shares = pull.departure.misfit(pull.departure.ahead, directions, usual)
    if shares[0] > least:
        size = f"{shares[0]:.0f}" if shares[0] >= 10 else f"{shares[0]:.1f}"
        yield Explanation(title, words.format(size=size), left + _FREE * len(directions))


def _slower(pull: Pulled) -> Iterator[Explanation]:
    """A blower that turns more slowly than its pulleys ask, from some speed up."""
    turning = pull.departure.directions.get(TURNING)
    if turning is None:
        return
    speeds = pull.speeds
    grid = np.unique(speeds)
    words = "a blower {size} % slower at the highest speed explains every figure together"
    found = [
        item
        for start in grid[len(grid) // 3 : -1]
        for item in _taken(pull, SLIP, words, turning * _ramp(speeds, start), least=0.3)
    ]
    if found:
        yield min(found, key=lambda item: item.left + _FREE)


def _pulley(pull: Pulled) -> Iterator[Explanation]:
    """Another pulley than written: the same share of speed at every speed."""
    turning = pull.departure.directions.get(TURNING)
    if turning is None:
        return
    for sign, word in ((1.0, "slower"), (-1.0, "faster")):
        words = f"a blower {{size}} % {word} throughout explains every figure together"
        yield from _taken(pull, PULLEY, words, sign * turning, least=0.5)


def _sensor(pull: Pulled) -> Iterator[Explanation]:
    """The boost sensor reads off by the same pressure everywhere."""
    here = pull.of("boost")
    if here.size:
        level = np.zeros(len(pull.sizes))
        level[here] = 1e3 / pull.sizes[here]
        for sign, word in ((1.0, "low"), (-1.0, "high")):
            words = f"boost is {{size}} kPa {word} at every speed, and nothing else is"
            yield from _taken(pull, SENSOR, words, sign * level)


def _tuned(pull: Pulled) -> Iterator[Explanation]:
    """Power alone off by a share that may change over speed."""
    here = pull.of("power")
    if not here.size:
        return
    level = np.zeros(len(pull.sizes))
    level[here] = pull.measured[here] / 100 / pull.sizes[here]
    ramp = level * _ramp(pull.speeds, pull.speeds.min())
    for sign, word in ((1.0, "low"), (-1.0, "high")):
        words = f"power alone is {word}, by {{size}} % at low speed"
        yield from _taken(pull, TUNE, words, sign * level)
        yield from _taken(pull, TUNE, f"power alone is {word} towards high speed",
                          sign * ramp, level)  # fmt: skip


def _clutch(pull: Pulled) -> Iterator[Explanation]:
    """Torque at the measuring point stays below what a clutch carries."""
    here = pull.of("power")
    if here.size < 3:
        return
    turn = 2 * pi * pull.speeds[here]
    torque = pull.predicted[here] / turn
    tops = np.linspace(0.7, 0.97, 28) * torque.max()
    lefts = []
    for top in tops:
        ahead = pull.departure.ahead.copy()
        ahead[here] = (np.minimum(torque, top) * turn - pull.measured[here]) / pull.sizes[here]
        lefts.append(pull.departure.misfit(ahead)[0])
    best = int(np.argmin(lefts))
    yield Explanation(
        CLUTCH,
        f"torque stays at {tops[best]:.0f} N m where more was due, and boost is as predicted",
        lefts[best] + _FREE,
    )


def _blocked(pull: Pulled) -> Iterator[Explanation]:
    """More lost before the blower, or through a leak behind it, than in the other pulls."""
    for key, title, words in (
        ("inlet_drop", RESTRICTION, "more pressure lost before the blower explains every figure"),
        ("leak_area", LEAK, "more leakage than in the other pulls explains every figure"),
    ):
        direction = pull.departure.directions.get(key)
        if direction is not None:
            yield from _taken(pull, title, words, -direction)


def _cooled(pull: Pulled) -> Iterator[Explanation]:
    """The charge alone is warmer or colder."""
    here = pull.of("charge_temperature")
    if here.size:
        level = np.zeros(len(pull.sizes))
        level[here] = 1 / pull.sizes[here]
        words = "the charge alone is {size} K off"
        for sign in (1.0, -1.0):
            yield from _taken(pull, COOLER, words, sign * level)


def _ramp(speeds: Array, start: float) -> Array:
    """Nought up to a speed, one at the highest."""
    return np.asarray(np.maximum(speeds - start, 0.0) / max(speeds.max() - start, 1e-9))


_CAUSES: tuple[Callable[[Pulled], Iterator[Explanation]], ...] = (
    _units,
    _absolute,
    _fahrenheit,
    _corrected,
    _slower,
    _pulley,
    _sensor,
    _tuned,
    _clutch,
    _blocked,
    _cooled,
)
