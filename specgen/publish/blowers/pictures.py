"""The pictures of a blower's page: speeds of its pairs, its measured map, boost by engine size."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from specgen.analysis.planning.package import SPEED, PairSpeeds, sizes_around
from specgen.archive.model.build import Blower
from specgen.publish.blowers.plain import PlainBoost
from specgen.publish.blowers.runs import Run
from specgen.publish.charts import plane
from specgen.publish.charts import words as charts_words
from specgen.publish.drawings import Drawing
from specgen.publish.typesetting.figures import words_in_both
from specgen.vocabulary import System, quantity

#: Ratios over which boost is drawn, and how many lines a panel of speeds has at most.
_RATIOS, _LINES = 7, 6
#: Engine speeds of the lines [1/s].
_GRID = np.linspace(1000, 7500, 14) / 60


def limit_words(blower: Blower) -> str:
    """The highest speed of a blower's rotors as pages print it; nothing where nobody said."""
    limit = blower.max_speed
    return quantity("blower_speed").text(limit.value, "metric") if limit else ""


def speeds_picture(blower: Blower, pairs: Sequence[PairSpeeds]) -> Drawing | None:
    """Rotor speed against engine speed, a panel a crank pulley, with the limit of the rotors."""
    internal = blower.internal_ratio.value if blower.internal_ratio else 1.0
    panels = []
    for crank in dict.fromkeys(pair.crank.text for pair in pairs):
        own = _thinned([pair for pair in pairs if pair.crank.text == crank])
        lines = [
            plane.Line(pair.blower.text, _GRID, _GRID * pair.ratio * internal, dash=index)
            for index, pair in enumerate(own)
        ]
        edges = []
        if blower.max_speed is not None:
            edges = [plane.Edge(f"limit, {limit_words(blower)}", y=blower.max_speed.value)]
        heading = f"{crank} on the crank"
        panels.append(plane.Plane("blower_speed", heading, lines, (), edges, from_zero=True))
    if not panels:
        return None
    title = _speed_title(blower, pairs)
    told = (
        f"Blower speed against engine speed, a line a blower pulley.{_speeds_told(pairs, internal)}"
    )
    chart = plane.planes(panels, "engine_speed", title, told, name="speeds")
    return Drawing(words_in_both(lambda _system: title), chart)


def _speeds_told(pairs: Sequence[PairSpeeds], internal: float) -> str:
    """The slowest and the fastest pair of each crank pulley, at one engine speed."""
    told = ""
    for crank in dict.fromkeys(pair.crank.text for pair in pairs):
        own = [pair for pair in pairs if pair.crank.text == crank]
        for pair in own[:: len(own) - 1] if len(own) > 1 else own:
            turns = quantity("blower_speed").text(SPEED * pair.ratio * internal, "metric")
            told += f" {crank} to {pair.blower.text}: ratio {pair.ratio:.2f}, {turns}"
            told += f" at {quantity('engine_speed').text(SPEED, 'metric')}."
    return told


def _thinned(pairs: list[PairSpeeds]) -> list[PairSpeeds]:
    """The pairs evenly, both ends among them, so that lines and words keep apart."""
    if len(pairs) <= _LINES:
        return pairs
    picked = np.linspace(0, len(pairs) - 1, _LINES).round().astype(int)
    return [pairs[index] for index in dict.fromkeys(picked.tolist())]


def _speed_title(blower: Blower, pairs: Sequence[PairSpeeds]) -> str:
    """How fast an engine may turn with the fastest pair."""
    fastest, internal = pairs[-1], blower.internal_ratio.value if blower.internal_ratio else 1.0
    size = f"{fastest.crank.text} to {fastest.blower.text}"
    if blower.max_speed is None:
        return f"Fastest with {size}, ratio {fastest.ratio:.2f}"
    most = blower.max_speed.value / (fastest.ratio * internal)
    at = quantity("engine_speed").text(most, "metric")
    return f"With {size} the blower’s limit is reached at {at}"


def map_picture(blower: Blower, runs: Sequence[Run]) -> Drawing | None:
    """The measured map: pressure ratio against flow, a line a speed, operating points on it."""
    if blower.map is None:
        return None
    columns = blower.map.columns
    speeds = columns["blower_speed"]
    lines = []
    for index, speed in enumerate(np.unique(speeds)):
        own = speeds == speed
        flow, ratio = _flow(blower, own), columns["pressure_ratio"][own]
        order = np.argsort(ratio if blower.displaces else flow)
        words = quantity("blower_speed").number(float(speed), "metric")
        lines.append(plane.Line(words, flow[order], ratio[order], dash=index))
    spots = [plane.Spot(mass, ratio, hollow=index < len(run.points) - 1)
             for run in runs for index, (_, ratio, mass) in enumerate(run.points)]  # fmt: skip
    heading = "Pressure ratio, by rpm"
    above = blower.displaces
    panel = plane.Plane("pressure_ratio", heading, lines, spots, words_above=above)
    count = len({run.build for run in runs})
    works = f", and where {'one build works' if count == 1 else f'{count} builds work'}"
    title = f"Measured at {len(lines)} speeds{works if spots else ''}"
    told = f"Pressure ratio against air flow, a line a blower speed.{_map_told(lines)}"
    chart = plane.planes([panel], "air_mass_flow", title, told, name="map")
    return Drawing(words_in_both(lambda _system: title), chart)


def _map_told(lines: Sequence[plane.Line]) -> str:
    """Between what each line of a map runs."""
    told = ""
    for line in lines:
        ends = [charts_words.both(quantity("air_mass_flow"), float(v)) for v in _least_most(line.x)]
        ratios = [quantity("pressure_ratio").text(float(v), "metric") for v in _least_most(line.y)]
        told += f" At {line.label} rpm: {ends[0]} to {ends[1]}, ratio {ratios[0]} to {ratios[1]}."
    return told


def _least_most(values: np.ndarray) -> tuple[float, float]:
    return float(np.nanmin(values)), float(np.nanmax(values))


def _flow(blower: Blower, own: np.ndarray) -> np.ndarray:
    """Air mass flow [kg/s] of some points; of one that displaces in air of 25 °C and 100 kPa."""
    assert blower.map is not None
    columns = blower.map.columns
    if "air_mass_flow" in columns:
        return np.asarray(columns["air_mass_flow"][own])
    assert blower.displacement is not None
    density = 100e3 / (287.05 * 298.15)
    swept = blower.displacement.value * columns["blower_speed"][own]
    return np.asarray(swept * columns["volumetric_efficiency"][own] * density)


def boost_picture(
    blower: Blower, pairs: Sequence[PairSpeeds], runs: Sequence[Run], plain: PlainBoost
) -> Drawing | None:
    """Boost against ratio for plain engines of several sizes, measured setups laid over."""
    ratios = [pair.ratio for pair in pairs] + [run.ratio_si for run in runs if run.ratio_si > 0]
    if not ratios:
        return None
    speed = _usual_speed(runs)
    volumes = [run.volume_si for run in runs if run.volume_si > 0]
    displacement = blower.displacement.value if blower.displacement else None
    grid = np.linspace(min(ratios), max(ratios), _RATIOS) if len(set(ratios)) > 1 else None
    if grid is None:
        return None
    lines = []
    for index, volume in enumerate(sizes_around(volumes, displacement)):
        found = plain.boosts(volume, [float(ratio) for ratio in grid], speed)
        y = np.array([np.nan if value is None else value for value in found])
        if np.isfinite(y).sum() > 1:
            label = quantity("swept_volume").text(volume, "metric")
            lines.append(plane.Line(label, grid, y, dash=index))
    if not lines:
        return None
    spots = [plane.Spot(run.ratio_si, run.boost_si) for run in runs
             if run.ratio_si > 0 and run.boost_si > 0]  # fmt: skip
    panel = plane.Plane("boost", "Boost by engine size", lines, spots)

    def title(system: System) -> str:
        ends = [quantity("boost").text(float(v), system) for v in _ends(lines)]
        at = quantity("engine_speed").text(speed, "metric")
        return f"{ends[0]} to {ends[1]} at {at}, by ratio and engine size; dots are measured"

    told = "Boost against drive ratio, a line an engine size. "
    told += "".join(_size_told(line) for line in lines)
    told += " ".join(
        f"Measured, {run.title}, {run.setup}: ratio {run.ratio_si:.2f}, "
        f"{charts_words.both(quantity('boost'), run.boost_si)}."
        for run in runs
        if run.boost_si > 0
    )
    chart = plane.planes([panel], "pulley_ratio", title("metric"), told, name="sizes")
    return Drawing(words_in_both(title), chart)


def _size_told(line: plane.Line) -> str:
    """Between what boost of one engine size runs."""
    known = np.flatnonzero(np.isfinite(line.y))
    ends = [
        f"{charts_words.both(quantity('boost'), float(line.y[at]))} at {line.x[at]:.2f}"
        for at in (known[0], known[-1])
    ]
    return f"{line.label}: {ends[0]} to {ends[1]}. "


def _usual_speed(runs: Sequence[Run]) -> float:
    """The middle of the engines' highest speeds, to the nearest hundred a minute; else 6 000."""
    speeds = sorted(run.speed_si for run in runs if run.speed_si > 0)
    return round(speeds[len(speeds) // 2] * 0.6) / 0.6 if speeds else SPEED


def _ends(lines: Sequence[plane.Line]) -> tuple[float, float]:
    values = np.concatenate([line.y for line in lines])
    return float(np.nanmin(values)), float(np.nanmax(values))
