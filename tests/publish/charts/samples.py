"""Invented series for the chart tests: a usual sweep, and everything that has gone wrong before."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree

import numpy as np

from specgen.publish.charts.door import (
    Chart,
    Dot,
    LimitItem,
    Lobe,
    Opening,
    Pulley,
    Series,
    Station,
    Strip,
    Where,
    air_path,
    belt_layout,
    boost,
    limits,
    misses,
    power_and_torque,
    valve_lift,
    valve_timing,
)
from specgen.publish.charts.series import Floats, Standing

TAU = 2 * np.pi
KELVIN = 273.15
SVG = "{http://www.w3.org/2000/svg}"


def sweep(
    power: float = 301e3, low: float = 2000, high: float = 6800, step: float = 100
) -> tuple[Floats, Floats, Floats]:
    """Engine speed (rev/s), power (W) and torque (N m) of a smooth sweep with this peak power."""
    speed = np.arange(low, high + 1, step) / 60
    share = (speed - speed[0]) / (speed[-1] - speed[0])
    torque = 0.72 + 0.9 * share - 0.85 * share**2.2
    scale = power / (torque * speed * TAU).max()
    return speed, torque * speed * TAU * scale, torque * scale


def pull(
    label: str = "85 mm",
    power: float = 301e3,
    standing: Standing = "measured",
    *,
    group: int = 0,
    emphasis: bool = False,
    corrected: bool = False,
    band: float | None = None,
    high: float = 6800,
) -> list[Series]:
    """Power and torque of one sweep; `band` is a share of the value."""
    speed, powers, torques = sweep(power, high=high)
    return [
        Series(
            label,
            key,
            speed,
            values,
            standing,
            None if band is None else band * values,
            emphasis,
            group,
            corrected,
        )
        for key, values in (("power", powers), ("torque", torques))
    ]


def boosts(
    label: str = "85 mm", standing: Standing = "measured", *, most: float = 71e3, group: int = 0
) -> Series:
    """Boost over a usual sweep, straight from a quarter of `most` (Pa) to all of it."""
    speed, _, _ = sweep()
    values: Floats = np.linspace(most / 4, most, len(speed))
    band = np.full_like(values, 6e3) if standing == "estimated" else None
    return Series(label, "boost", speed, values, standing, band, standing == "measured", group)


def lone(key: str, value: float, speed: float = np.nan, standing: Standing = "reported") -> Series:
    """A single value, as it stands on old papers; the speed in rev/s may be unknown."""
    return Series("paper", key, np.array([speed]), np.array([value]), standing, emphasis=True)


def limit(key: str, value: float) -> Series:
    """A limit that holds at every speed."""
    return Series("limit", key, np.array([np.nan]), np.array([value]), "limit")


def with_gap() -> list[Series]:
    """A sweep with nine readings of power not recorded, beside a whole one."""
    power, torque = pull(emphasis=True)
    values = power.y.copy()
    values[15:24] = np.nan
    broken = Series(power.label, "power", power.x, values, emphasis=True)
    return [broken, torque, *pull("80 mm", 320e3, group=1)]


def ladder(bands: bool = False) -> list[Series]:
    """Five setups, the smallest pulley estimated only; `bands` gives each its uncertainty."""
    series: list[Series] = []
    for index, size in enumerate((95, 90, 85, 80, 75)):
        standing: Standing = "estimated" if size == 75 else "measured"
        power = 240e3 + 18e3 * index
        band = 0.05 if size == 75 else 0.02 if bands else None
        name = f"{size} mm, ethanol blend"
        series += pull(name, power, standing, group=index, emphasis=size == 80, band=band)
    return series


STATIONS = [
    Station("outside air", 99.1e3, KELVIN + 27, "measured"),
    Station("after the filter", 97.6e3, KELVIN + 27),
    Station("blower inlet", 96.2e3, KELVIN + 29),
    Station("blower discharge", 178e3, KELVIN + 131),
    Station("cooler outlet", 172e3, KELVIN + 55),
    Station("manifold", 170e3, KELVIN + 58, "measured"),
]

LIMITS = [
    LimitItem("charge temperature", KELVIN + 58, KELVIN + 80, "charge_temperature"),
    LimitItem("blower speed", 14900 / 60, 16000 / 60, "blower_speed"),
    LimitItem("injector duty", 0.87, 0.85, "injector_duty"),
    LimitItem("torque", np.nan, 600.0, "torque"),
    LimitItem("mean piston speed", 19.8, 25.0, "piston_speed"),
]

#: Two equal pulleys of 100 mm, 300 mm apart: the belt leaves and meets them at right angles.
PULLEYS = [Pulley("crank", 0, 0, 0.1, wrap=np.pi), Pulley("blower", 0, 0.3, 0.1, wrap=np.pi)]
SPANS = [((0.05, 0.0), (0.05, 0.3)), ((-0.05, 0.3), (-0.05, 0.0))]

LONG = "a label that somebody wrote at length: pulley 80 mm, crank 180 mm, supercalifragilistic"
HOSTILE = "<script>alert('x')</script> & $x^2$ {{ macro }} `code` \x07"


@cache
def charts() -> dict[str, Chart]:
    """One of each chart, and the hard cases; each with a name of its own. Drawn once."""
    idle, _, _ = sweep()
    nothing = np.full(5, np.nan)
    vacuum: Floats = np.array([-1e3 - 6e3 * (speed / 100) ** 2 for speed in idle])
    observed = pull("80 mm, E85", 301e3)
    corrected = pull("80 mm, E85", 309e3, corrected=True, emphasis=True, band=0.02)
    guess = pull("80 mm, E85", 298e3, "estimated", band=0.06)
    usual = [*observed, *corrected, *guess, limit("power", 330e3)]
    return {
        "usual": power_and_torque(usual, None, "flywheel", "ISO 1585", name="usual"),
        "ladder": power_and_torque(ladder(), None, "hub", "SAE J1349", name="ladder"),
        "tiny": power_and_torque(pull(power=12e3, high=3600), name="tiny"),
        "huge": power_and_torque(pull(power=900e3, high=9000), name="huge"),
        "ship": power_and_torque(pull(power=5.2e6, high=6000), name="ship"),
        "under-limit": power_and_torque(
            [*pull(power=328e3), limit("power", 330e3), limit("torque", 545.0)], name="under"
        ),
        "peaks": power_and_torque(
            [lone("power", 301e3, 6400 / 60), lone("torque", 512.0, 4300 / 60)], name="peaks"
        ),
        "unplaced": power_and_torque([lone("power", 301e3)], name="unplaced"),
        "nothing": power_and_torque(
            [Series("x", "power", np.linspace(20.0, 60.0, 5), nothing)], name="nothing"
        ),
        "gap": power_and_torque(with_gap(), name="gap"),
        "long": power_and_torque([*pull(LONG), *pull(HOSTILE, 280e3, group=1)], name="long"),
        "boost": boost(
            [boosts(), boosts(standing="estimated"), limit("boost", 90e3)], name="boost"
        ),
        "far-limit": boost([boosts(), limit("boost", 190e3)], name="far"),
        "vacuum": boost(
            [Series("as it came", "boost", idle, vacuum, emphasis=True)],
            name="vacuum",
        ),
        "limits": limits(LIMITS, name="limits"),
        "no-limits": limits([], name="no-limits"),
        "air": air_path(STATIONS, name="air"),
        "air-unknown": air_path([STATIONS[0], Station("blower inlet"), STATIONS[5]], name="air-2"),
        "air-long": air_path([*STATIONS, *STATIONS[3:]], name="air-3"),
        "belt": belt_layout(PULLEYS, SPANS, name="belt"),
        "valves": valve_lift([lobe("exhaust"), lobe("intake")], (-0.25, 0.15), LAW, name="valves"),
        "valves-apart": valve_lift([lobe("intake", at_lift=0.0)], None, LAW, name="valves-2"),
        "timing": valve_timing(OPENINGS, name="timing"),
        "misses": misses(STRIPS, "Half miss by less than 1 %"),
        "misses-one": misses([Strip("Power", [Dot("a", 0.0, True)], 0.0, 0.0)], "t", name="m-2"),
        "limits-planned": limits(PLANNED, name="limits-3"),
    }


#: Misses of invented setups: inside, outside, and one that disagrees with the others.
STRIPS = [
    Strip("Boost", [Dot(f"s{n}", (n - 6) / 400, True) for n in range(13)], 0.0075, 0.0138),
    Strip("Power", [Dot("far", -0.09, False), Dot("near", 0.004, True),
                    Dot(HOSTILE, 0.03, True, True)], 0.004, 0.09),
]  # fmt: skip
#: Figures that are only planned, with bands over their limits.
PLANNED = [
    LimitItem("Boost", 121e3, 120e3, "boost", margin=7e3, planned=True),
    LimitItem("Power", 310e3, 300e3, "power", margin=6e3, planned=True),
]


#: A law of motion in words, as a drawing of lobes states it.
LAW = "The flanks follow a law: an assumption."
#: Valve events around the circle: exhaust 60 before bottom to 8 after top, intake 14 to 50.
OPENINGS = [
    Opening("exhaust", np.radians(-240.0), np.radians(8.0),
            Where("60°", "before", "bottom dead centre", "BDC"),
            Where("8°", "after", "top dead centre", "TDC"), 1),
    Opening("intake", np.radians(-14.0), np.radians(230.0),
            Where("14°", "before", "top dead centre", "TDC"),
            Where("50°", "after", "bottom dead centre", "BDC"), 0),
]  # fmt: skip


def lobe(name: str, *, at_lift: float = 1e-3) -> Lobe:
    """A lobe of 300 degrees from seat to seat and 10 mm, its middle at 110 degrees."""
    angles = np.radians(np.linspace(-150.0, 150.0, 181))
    heights = 5e-3 * (1 + np.cos(1.2 * angles))
    middle = np.radians(110.0) * (1 if name == "intake" else -1)
    half = np.radians(120.0)
    ends = (float(middle - half), float(middle + half))
    return Lobe(name, angles + middle, heights, *ends, at_lift, int(name == "exhaust"))


def tree(markup: str) -> ElementTree.Element:
    """Parse a drawing; what a group says of its words is said of each, as a browser takes it."""
    root = ElementTree.fromstring(markup)
    for group in root.iter(f"{SVG}g"):
        for item in group:
            classes = f"{item.get('class', '')} {group.get('class', '')}".strip()
            item.attrib = {**group.attrib, **item.attrib, "class": classes}
    return root


def with_class(markup: str, role: str) -> list[ElementTree.Element]:
    """Elements of a drawing that have this class."""
    return [item for item in tree(markup).iter() if role in item.get("class", "").split()]


def texts(markup: str, role: str = "") -> list[str]:
    """Texts of a drawing, or of one role in it."""
    found = with_class(markup, role) if role else list(tree(markup).iter(f"{SVG}text"))
    return [item.text or "" for item in found if item.tag == f"{SVG}text"]


def points(data: str) -> list[list[tuple[float, float]]]:
    """Unbroken runs of points of a path that is written with M, l, h and v, in absolute pixels."""
    runs: list[list[tuple[float, float]]] = []
    for letter, body in re.findall(r"([Mlhvz])([^Mlhvz]*)", data):
        numbers = [float(cell) for cell in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", body)]
        if letter in "hv" and numbers[0]:
            x, y = runs[-1][-1]
            runs[-1].append((x + numbers[0], y) if letter == "h" else (x, y + numbers[0]))
            continue
        pairs = list(zip(numbers[::2], numbers[1::2], strict=False))
        for x, y in pairs:
            if letter == "M":
                runs.append([(x, y)])
            else:
                before = runs[-1][-1]
                runs[-1].append((before[0] + x, before[1] + y))
    return runs
