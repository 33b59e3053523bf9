"""What a fit works on: the unknowns, and the misses of all observations as the model gives them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.burning import brake_again
from specgen.analysis.estimate import MAPPED, POWER_ALONE, SPARK, Kind
from specgen.analysis.fit.observations import Observation
from specgen.analysis.rows.row import COVERAGE, Array, Row
from specgen.physics.matching import Match

#: By how much of its prior each unknown is moved for a slope, of its uncertainty each root.
_STEP = 0.02

#: While no unknown has moved by more than this share of its prior, slopes are not made anew: the
#: model is nearly straight, so that old ones lead to the same fit by a step more, at a fraction of
#: the cost.
_STILL = 0.4

#: Misses of a figure for which the model has no value, in standard deviations.
_NOWHERE = 50.0

#: Under this name stands how misses go with the blower's speed, which is no root of doubt.
TURNING = "turning"

#: Inputs whose uncertainty a fit does not reach: it is next to nothing, or each setup's own.
_LEFT = {
    "swept_volume",
    "stroke",
    "speed_ratio",
    "reference_ratio",
    "pressure_allowance",
    "power_allowance",
    "temperature_allowance",
}


@dataclass(frozen=True, slots=True, eq=False)
class Unknown:
    """One unknown: its row before the fit, the group it belongs to, and its scale."""

    row: Row
    group: str
    logarithmic: bool

    @property
    def prior(self) -> float:
        """Prior standard deviation; of the logarithm where the fit moves that."""
        size = self.row.uncertainty
        assert isinstance(size, float)
        return float(size / abs(self.row.scalar)) if self.logarithmic else size

    def value(self, shift: Any) -> Any:
        """The parameter for a shift in units of the prior's standard deviation."""
        moved = self.prior * shift
        return self.row.scalar * np.exp(moved) if self.logarithmic else self.row.scalar + moved

    def slope(self, shift: float) -> float:
        """How the parameter goes with the shift."""
        return self.prior * (float(self.value(shift)) if self.logarithmic else 1.0)


@dataclass(frozen=True, slots=True)
class Label:
    """What one residual belongs to: setup, pull, figure, and engine speed [rev/s].

    `measured` is what was read there, `size` the standard uncertainty of that point for itself.
    """

    setup: str
    pull: str
    figure: str
    speed: float
    measured: float = 0.0
    size: float = 1.0


class Residuals:
    """All observations as one vector of misses in standard deviations, with its slopes.

    `common` has a column for what all points of a pull share, and all pulls of a session, in each
    figure; each of these is an unknown of its own whose prior is one.
    """

    def __init__(
        self, kind: Kind, observations: tuple[Observation, ...], unknowns: tuple[Unknown, ...]
    ) -> None:
        self._model, self._observations, self.unknowns = (
            observations[0].model,
            observations,
            unknowns,
        )
        names = observations[0].inputs.keys()
        sizes = [item.size for item in observations]
        self._base = {
            name: np.concatenate(
                [np.broadcast_to(np.asarray(item.inputs[name], float), size)
                 for item, size in zip(observations, sizes, strict=True)]
            )
            for name in names
            if all(name in item.inputs for item in observations)
        }  # fmt: skip
        self._last: tuple[Array, Array, Array] | None = None
        self._masks = [self._mask(unknown, sizes) for unknown in unknowns]
        self._measured = self._joined(lambda item, figure: item.values(figure))
        modelled = self._model(**self._base)
        sure = self._surely_solved() if kind in MAPPED else np.ones(sum(sizes), dtype=np.bool_)
        self._seen = {
            figure: np.isfinite(measured) & sure
            for figure, measured in self._measured.items()
            if figure in modelled and (np.isfinite(measured) & sure).any()
        }
        self._sizes = self._joined(lambda item, figure: item.part(item.own, figure))
        self.common = self._common()

    def _joined(self, part: Any) -> dict[str, Array]:
        """One array for each figure, over the points of all observations."""
        return {
            figure: np.concatenate([part(item, figure) for item in self._observations])
            for figure in self._observations[0].FIGURES
        }

    def _mask(self, unknown: Unknown, sizes: list[int]) -> Array:
        parts = [
            np.full(size, unknown.group in ("", item.fuel, item.point))
            for item, size in zip(self._observations, sizes, strict=True)
        ]
        return np.concatenate(parts)

    def _common(self) -> Array:
        """Columns of what pulls and sessions share, over the misses."""
        pulls = [item.pull for item in self._observations for _ in range(item.size)]
        sessions = [item.session for item in self._observations for _ in range(item.size)]
        levels = self._joined(lambda item, figure: item.part(item.level, figure))
        gains = self._joined(lambda item, figure: item.part(item.gain, figure))
        columns: list[Array] = []
        for figure, seen in self._seen.items():
            for names, shared in ((pulls, levels), (sessions, gains)):
                for name in dict.fromkeys(np.array(names)[seen]):
                    own = np.array(names)[seen] == name
                    part = np.where(own, (shared[figure] / self._sizes[figure])[seen], 0.0)
                    columns.append(self._placed(figure, part))
        return np.array(columns).T if columns else np.zeros((0, 0))

    def _placed(self, figure: str, part: Array) -> Array:
        """A column over all misses that is nought outside one figure."""
        parts = [part if name == figure else np.zeros(seen.sum())
                 for name, seen in self._seen.items()]  # fmt: skip
        return np.concatenate(parts)

    def _surely_solved(self) -> NDArray[np.bool_]:
        """Where each unknown may be anywhere within its prior's band, and still there is a balance.

        A measured map ends somewhere. A point that the fit could push over its edge would pull at
        the fit for the map's sake, so that it is left out from the beginning.
        """
        names = [self._observations[0].input_of(unknown.row.key) for unknown in self.unknowns]
        moving = np.array([name not in POWER_ALONE for name in names])
        ends = COVERAGE * np.eye(len(names))[moving]
        cases = np.concatenate([np.zeros((1, len(names))), ends, -ends])
        flow = np.reshape(self._modelled(cases)["mass_flow"], (len(cases), -1))
        return np.asarray(np.isfinite(flow).all(axis=0))

    def _values(self, cases: Array) -> dict[str, Array]:
        """The model's inputs for each case of shifts, a row a case."""
        values = {name: np.tile(base, (len(cases), 1)) for name, base in self._base.items()}
        for index, unknown in enumerate(self.unknowns):
            name = self._observations[0].input_of(unknown.row.key)
            if name not in values:
                continue
            moved = np.asarray(unknown.value(cases[:, index]))[:, None]
            values[name] = np.where(self._masks[index], moved, values[name])
        return values

    def _modelled(self, cases: Array) -> dict[str, Any]:
        """Every figure of the model for each case of shifts, one case after the other."""
        return self._model(**{name: value.ravel() for name, value in self._values(cases).items()})

    def _missed(self, values: dict[str, Array]) -> tuple[dict[str, Any], Array]:
        """Figures, and misses of every one, for each case of inputs: rows are cases."""
        count, points = values["speed"].shape
        figures = self._model(**{name: value.ravel() for name, value in values.items()})
        misses = [
            self._off(figure, np.reshape(figures[figure], (count, points))) for figure in self._seen
        ]
        return figures, np.concatenate(misses, axis=1)

    def _off(self, figure: str, modelled: Array) -> Array:
        """Misses of one figure, in standard deviations of a reading."""
        seen = self._seen[figure]
        miss = (modelled[:, seen] - self._measured[figure][seen]) / self._sizes[figure][seen]
        return np.where(np.isnan(miss), _NOWHERE, miss)

    def misses(self, shifts: Array) -> Array:
        """Misses of all figures, before what pulls and sessions share is taken out.

        Where slopes are due, they are made in the same call of the model.
        """
        if self._stale(shifts):
            self.slopes(shifts)
        if self._last is not None and np.array_equal(self._last[0], shifts):
            return self._last[2]
        return np.asarray(self._missed(self._values(shifts[None, :]))[1][0])

    def at(self, cases: Array) -> Array:
        """Misses of all figures for each case of shifts, in one call; slopes are left alone."""
        return self._missed(self._values(cases))[1]

    def _stale(self, shifts: Array) -> bool:
        """Whether the slopes that were made last do not hold here any more."""
        return self._last is None or bool(np.abs(self._last[0] - shifts).max() >= _STILL)

    def slopes(self, shifts: Array) -> Array:
        """Slopes by one call on all unknowns moved by a small step; remembered while they hold."""
        if self._last is not None and not self._stale(shifts):
            return self._last[1]
        names = [self._observations[0].input_of(unknown.row.key) for unknown in self.unknowns]
        more = SPARK if "ignition_advance" in self._seen else set()
        alone = np.array([name in POWER_ALONE and name not in more for name in names])
        moved = shifts + _STEP * np.eye(len(shifts))
        figures, found = self._missed(
            self._values(np.concatenate([shifts[None, :], moved[~alone]]))
        )
        slopes = np.zeros((len(found[0]), len(shifts)))
        slopes[:, ~alone] = (found[1:] - found[0]).T / _STEP
        if "power" in self._seen and alone.any():
            here = self._at("power")
            power = self._powered(self._values(moved[alone]), figures["match"])
            slopes[here, alone] = (power - found[0][here]).T / _STEP
        self._last = (shifts.copy(), slopes, found[0])
        return slopes

    def _powered(self, values: dict[str, Array], match: Match) -> Array:
        """Misses of power alone for cases that leave the balance of the air as it was."""
        count, points = values["speed"].shape
        flat = {name: value.ravel() for name, value in values.items()}
        power = np.reshape(brake_again(flat, match, points), (count, points))
        return self._off("power", power)

    def _at(self, figure: str) -> slice:
        """Where a figure's misses stand among all."""
        start = 0
        for name, seen in self._seen.items():
            if name == figure:
                break
            start += int(seen.sum())
        return slice(start, start + int(self._seen[figure].sum()))

    def told(self, shifts: Array) -> dict[str, Array]:
        """How the misses go with each root that is no unknown: readings, and what is written.

        A fit takes up what they are wrong by; what rests on both is not to spread it twice. How
        they go with a hundredth more of the blower's speed is told too, under `TURNING`.
        """
        moves = self._moves()
        if "speed_ratio" in self._base:
            moves[TURNING] = {"speed_ratio": self._base["speed_ratio"] / 100}
        if not moves:
            return {}
        values = self._values(np.tile(shifts, (1 + len(moves), 1)))
        for index, parts in enumerate(moves.values()):
            for name, part in parts.items():
                values[name][1 + index] += _STEP * part
        found = self._missed(values)[1]
        slopes = (found[1:] - found[0]) / _STEP
        return {root: np.asarray(slope) for root, slope in zip(moves, slopes, strict=True)}

    def _moves(self) -> dict[str, dict[str, Array]]:
        """For each root the inputs that it moves, by its standard uncertainty, at every point."""
        fitted = {unknown.row.key for unknown in self.unknowns}
        moves: dict[str, dict[str, Array]] = {}
        at = 0
        for item in self._observations:
            here = slice(at, at + item.size)
            at += item.size
            for key, row in item.parameters.items():
                name = item.input_of(key)
                if key in fitted or name in _LEFT or name not in self._base:
                    continue
                for root, part in row.spread.items():
                    own = moves.setdefault(root, {})
                    own.setdefault(name, np.zeros(len(self._base["speed"])))[here] = part
        return moves

    def labels(self) -> tuple[Label, ...]:
        """What each residual of the data belongs to, in their order."""
        points = [
            (item.setup, item.pull, float(speed))
            for item in self._observations
            for speed in item.inputs["speed"]
        ]
        return tuple(
            Label(setup, pull, figure, speed, float(measured), float(size))
            for figure, seen in self._seen.items()
            for (setup, pull, speed), known, measured, size in zip(
                points, seen, self._measured[figure], self._sizes[figure], strict=True
            )
            if known
        )
