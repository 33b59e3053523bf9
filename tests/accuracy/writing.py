"""The archive as the workshop types it: YAML and curve files, nothing hidden in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.accuracy.workshop import STEPS, Case
from tests.generator.balance import State
from tests.generator.blower import deliver, spin
from tests.generator.dyno import Sweep
from tests.generator.paper import curve_file
from tests.generator.truth import Air, Displacer, Impeller

_SETTINGS = """\
format: 1
name: Shed of the accuracy test (invented)
invented: true
units: metric
correction: iso-1585
repeatability: {power: 1.0 %, torque: 1.0 %, boost: 1.5 kPa}
"""

#: A four-valve head has piston over valve area of about 8, a two-valve head about 12.
_BETWEEN_HEADS = 10.0

#: The dyno that takes hold at each measuring point.
_DYNOS = {"flywheel": "engine", "hub": "hub", "roller": "roller"}

#: Rotor speeds at which makers test [1/s]: filling at a mean speed, an impeller at 300 m/s.
_FILLING_SPEED, _RIM_SPEED = 120.0, 300.0


#: The step on which a slack belt slips: the smallest pulley that is measured.
SLACK_STEP = STEPS - 2


@dataclass(frozen=True, slots=True)
class Trial:
    """One case as it stands in the archive: these steps measured, the next one only planned."""

    case: Case
    name: str
    measured: tuple[int, ...]

    @property
    def id(self) -> str:
        """The build's folder."""
        return f"{self.name}-{self.case.number}"

    @property
    def planned(self) -> int:
        """The step that is predicted: the next smaller pulley."""
        return self.measured[-1] + 1

    @property
    def true(self) -> Sweep:
        """What the planned step truly gives, in the air in which it is predicted."""
        away = self.case.elsewhere
        return self.case.sweeps[self.planned] if away is None else away.sweeps[self.planned]


def from_one(case: Case) -> Trial:
    """One pulley measured, the next smaller one planned."""
    return Trial(case, "one", (case.first,))


def from_three(case: Case) -> Trial:
    """All pulleys measured but the smallest."""
    return Trial(case, "three", tuple(range(STEPS - 1)))


def with_slip(case: Case) -> Trial:
    """The same three pulleys, the belt slipping on the smallest of them."""
    return Trial(case, "slip", tuple(range(STEPS - 1)))


def step_id(step: int) -> str:
    """The setup's id in the archive."""
    return f"step-{step + 1}"


def write_archive(root: Path, trials: Iterable[Trial], planned_all: bool = False) -> None:
    """Write an archive of one build a trial, and of a blower for each of them.

    A trial's next step is planned; all that were not measured are if `planned_all`.
    """
    (root / "blowers").mkdir(parents=True)
    (root / "archive.yaml").write_text(_SETTINGS, encoding="utf-8")
    for trial in trials:
        blower = root / "blowers" / f"blower-{trial.id}.yaml"
        blower.write_text(_lines(_blower(trial)), encoding="utf-8")
        pulls = root / trial.id / "pulls"
        pulls.mkdir(parents=True)
        (root / trial.id / "build.yaml").write_text(
            _lines(_build(trial, planned_all)), encoding="utf-8"
        )
        for step in trial.measured:
            text = curve_file(trial.case.sweeps[step], trial.case.known.headers, {})
            (pulls / f"{step_id(step)}.csv").write_text(text, encoding="utf-8")


def _lines(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"


def _build(trial: Trial, planned_all: bool = False) -> Iterator[str]:
    """The lines of build.yaml."""
    case = trial.case
    engine, crank = case.truth.engine, case.setups[0].crank_pulley
    valves = 4 if engine.valve_restriction < _BETWEEN_HEADS else 2
    yield "format: 1"
    yield f"title: Invented build {case.number}"
    yield "engine:"
    yield f"  cylinders: {engine.cylinders}"
    yield f"  bore: {engine.bore * 1e3:.1f} mm"
    yield f"  stroke: {engine.stroke * 1e3:.1f} mm"
    yield f"  compression_ratio: {engine.compression_ratio:.1f}"
    yield f"  max_speed: {engine.max_speed * 60:.0f} rpm"
    yield f"  valves_per_cylinder: {valves}"
    yield "induction:"
    yield f"  blower: blower-{trial.id}"
    yield from (f"  {line}" for line in _losses(trial))
    pulley = case.setups[trial.measured[0]].blower_pulley
    tight = "" if case.tension is None or not planned_all else _belt(case.tension)
    sizes = f"crank_pulley: {crank * 1e3:.0f} mm, blower_pulley: {pulley * 1e3:.0f} mm"
    yield f"drive: {{{sizes}{tight}}}"
    yield "setups:"
    last = STEPS - 1 if planned_all else trial.planned
    planned = range(trial.planned, last + 1)
    yield from (_setup(case, step) for step in (*trial.measured, *planned))
    yield "sessions:"
    yield from _session(trial)


def _belt(tension: float) -> str:
    """A belt as its workshop set it; the tension is that of each run at rest."""
    return f", belt: {{profile: PK, ribs: 8, tension: {tension:.0f} N}}"


def _setup(case: Case, step: int) -> str:
    setup, known = case.setups[step], case.known
    mixture = f", mixture: {setup.mixture:.2f}" if known.mixture else ""
    pulley = f"blower_pulley: {setup.blower_pulley * 1e3:.0f} mm"
    return f"  - {{id: {step_id(step)}, {pulley}, fuel: {known.fuel}{mixture}}}"


def _session(trial: Trial) -> Iterator[str]:
    """The day of the pulls, and the day on which the planned pulley will be tried, if another."""
    case, known = trial.case, trial.case.known
    factor = f", factor: {case.sweeps[0].factor:.4f}" if known.factor else ""
    figures = f"{{corrected: {known.standard}{factor}}}" if known.standard else "observed"
    yield from _day(case, "2025-05-14", figures, case.air)
    yield "    pulls:"
    for step in trial.measured:
        yield f"      - {{setup: {step_id(step)}, curve: pulls/{step_id(step)}.csv}}"
    if case.elsewhere is not None:
        yield from _day(case, "2025-08-20", "observed", case.elsewhere.air)


def _day(case: Case, date: str, figures: str, air: Air) -> Iterator[str]:
    point = case.bench.measured_at
    yield f"  - date: {date}"
    yield f"    dyno: {{kind: {_DYNOS[point]}, measured_at: {point}}}"
    yield f"    figures: {figures}"
    yield "    air:"
    yield f"      pressure: {air.pressure / 1e3:.1f} kPa"
    yield "      barometer: station"
    yield f"      temperature: {air.temperature - 273.15:.1f} degC"
    yield f"      humidity: {air.humidity * 100:.0f} %"


def _losses(trial: Trial) -> Iterator[str]:
    """What was once measured of inlet and cooler, at the highest speed on the drive's pulley."""
    case, known = trial.case, trial.case.known
    state = case.sweeps[trial.measured[0]].state
    at = f"kPa at {case.truth.engine.max_speed * 60:.0f} rpm"
    if known.inlet_drop is not None:
        loss = (case.air.pressure - state.inlet_pressure[-1]) * (1 + known.inlet_drop)
        yield f"inlet_pressure_drop: {loss / 1e3:.1f} {at}"
    if case.truth.cooler is None:
        return
    coolant = case.truth.cooler.coolant_temperature
    yield "charge_cooler:"
    yield "  kind: air-to-water"
    yield f"  coolant_temperature: {coolant + known.coolant - 273.15:.0f} degC"
    if known.reach is not None:
        yield f"  effectiveness: {(_reach(state, coolant) + known.reach) * 100:.0f} %"
    if known.cooler_drop is not None:
        loss = (state.outlet_pressure[-1] - state.manifold_pressure[-1]) * (1 + known.cooler_drop)
        yield f"  pressure_drop: {loss / 1e3:.1f} {at}"


def _reach(state: State, coolant: float) -> float:
    """Effectiveness as three thermometers say it at the highest speed."""
    hot, cold = state.outlet_temperature[-1], state.manifold_temperature[-1]
    return float((hot - cold) / (hot - coolant))


def _blower(trial: Trial) -> Iterator[str]:
    """The lines of the blower's file: its plate, its limit, and what its maker may print."""
    case = trial.case
    charger = case.truth.charger
    assert isinstance(charger, Displacer | Impeller)
    yield "format: 1"
    yield f"title: Invented {case.kind} blower {case.number}"
    yield f"kind: {case.kind}"
    fastest = max(sweep.state.blower_speed[-1] for sweep in case.sweeps) * 60
    yield f"max_speed: {np.ceil(1.08 * fastest / 500) * 500:.0f} rpm"
    if isinstance(charger, Impeller):
        yield from _impeller(charger, case.known.design)
        return
    yield f"displacement: {charger.displacement * 1e3:.2f} L"
    if case.kind != "lobe" and case.known.built_in_ratio:
        yield f"built_in_ratio: {charger.built_in_ratio:.2f}"
    if case.known.filling is not None:
        yield f"volumetric_efficiency: {(_filling(charger) + case.known.filling) * 100:.0f} %"


def _filling(charger: Displacer) -> float:
    """Volumetric efficiency as the maker measures it, blowing into the open at a mean speed."""
    pressure, temperature = np.array([100e3]), np.array([293.15])
    speed = np.array([_FILLING_SPEED])
    room = (pressure, temperature)
    delivery = deliver(charger, speed, room, room)
    ideal = charger.displacement * speed * pressure / (287.05 * temperature)
    return float((delivery.flow / ideal)[0])


def _impeller(charger: Impeller, errors: tuple[float, float]) -> Iterator[str]:
    """One point of the maker's bench at its best flow, with the bench's own errors."""
    speed = np.array([round(_RIM_SPEED / (np.pi * charger.diameter) * 60, -3) / 60])
    room = (np.array([100e3]), np.array([293.15]))
    rim = np.pi * charger.diameter * speed
    flow = charger.best_flow * rim * charger.diameter**2 * 100e3 / (287.05 * 293.15)
    outlet, delivery = spin(charger, speed, room, flow)
    ratio = outlet[0] / 100e3
    efficiency = 293.15 * (ratio ** (0.4 / 1.4) - 1) / (delivery.temperature[0] - 293.15)
    point = (
        f"{{speed: {speed[0] * 60:.0f} rpm, pressure_ratio: {ratio * (1 + errors[0]):.2f}, "
        f"isentropic_efficiency: {(efficiency + errors[1]) * 100:.0f} %}}"
    )
    yield f"internal_ratio: {charger.internal_ratio:.2f}"
    yield f"rotor_diameter: {charger.diameter * 1e3:.0f} mm"
    yield f"design_point: {point}"
