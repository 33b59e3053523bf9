"""An engine as a customer types it, on a blower of the archive: the plan of it without a pull.

Nothing is known of such an engine but what its owner knows by heart; all else is what `tables`
take where an archive is silent. `typed_of` looks at a measured build in the same way, so that an
archive can say how far such estimates were out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from specgen.analysis.assembly import assemble, setup_of
from specgen.analysis.planning.pairs import Pair, Question
from specgen.analysis.planning.plan import Plan, PlannedPair, plan_of, planned_pair
from specgen.analysis.rows.row import Row, point
from specgen.analysis.tables.fuel import BLENDS
from specgen.analysis.workings import PullSheet, SetupSheet, Workings
from specgen.archive.checks.readings import SWEEPS, sweep_share
from specgen.archive.model.build import (
    Air,
    Archive,
    Blower,
    Build,
    ChargeCooler,
    Drive,
    Engine,
    Fuel,
    FuelSystem,
    Given,
    Induction,
    Injectors,
    Number,
    Session,
    Setup,
)
from specgen.findings import Place
from specgen.vocabulary import quantity

#: Why a pair on a typed engine has no figures although its air would balance.
ILL_MATCHED = (
    f"beyond what is built: this drive sweeps less than {SWEEPS[0]:g} or more than "
    f"{SWEEPS[1]:g} times what the engine does"
)
#: What is known of a pair whatever engine it drives.
_TURNING = {"ratio", "blower_speed", "belt_speed", "octane_given"}

#: Pressure at which injectors are taken to be rated and to work, above the manifold's [Pa]; common
#: practice, no source.
RAIL = 300e3


@dataclass(frozen=True, slots=True)
class Typed:
    """What a customer knows of an engine; SI, and None for what was left empty.

    `fuel` is a name of the archive's list; `pressure` that of the air at the engine, in any
    weather; `injector_flow` that of one injector at `RAIL`.
    """

    cylinders: int
    bore: float
    stroke: float
    max_speed: float
    fuel: str
    compression_ratio: float | None = None
    valves: int | None = None
    cooler: bool = False
    pressure: float | None = None
    temperature: float | None = None
    humidity: float | None = None
    injectors: int | None = None
    injector_flow: float | None = None


def typed_plan(archive: Archive, blower: Blower, typed: Typed) -> Plan:
    """Plan the blower's own pairs on a typed engine, power told at the flywheel."""
    sheet = assemble(archive, build_of(blower, typed))
    plan = plan_of(sheet, _question(typed))
    return replace(plan, pairs=tuple(map(_matched, plan.pairs)))


def typed_pair(
    archive: Archive, blower: Blower, typed: Typed, crank: Number, pulley: Number
) -> PlannedPair:
    """What is expected of one pair of pulleys on a typed engine."""
    sheet = assemble(archive, build_of(blower, typed))
    return _matched(planned_pair(sheet, Pair(crank, pulley), _question(typed)))


def _matched(pair: PlannedPair) -> PlannedPair:
    """The pair, without figures of a match that nobody would build: no band speaks of it."""
    rows = pair.setup.rows
    sizes = [rows[key] for key in ("blower_displacement", "rotor_ratio", "swept_volume")]
    if not all(row.present for row in sizes):
        return pair
    swept, turns, engine = (row.scalar for row in sizes)
    if SWEEPS[0] <= sweep_share(swept, turns, engine) <= SWEEPS[1]:
        return pair
    figures = {key: row if key in _TURNING else _refused(row) for key, row in pair.figures.items()}
    told = {figures[key].key for key in _TURNING}
    rooms = tuple(room for room in pair.rooms if room.value.key in told)
    return replace(pair, figures=figures, rooms=rooms)


def _refused(row: Row) -> Row:
    return Row(row.key, row.scope, row.title, row.quantity, "absent", reason=ILL_MATCHED)


def _question(typed: Typed) -> Question:
    return Question(fuel=_fuel(typed.fuel), air=_air(typed))


def build_of(blower: Blower, typed: Typed, session: Session | None = None) -> Build:
    """The build that a typed engine makes with a blower: no setup, and no pull in its session."""
    engine = Engine(
        cylinders=_given("cylinders", typed.cylinders),
        bore=_given("bore", typed.bore),
        stroke=_given("stroke", typed.stroke),
        compression_ratio=_given("compression ratio", typed.compression_ratio),
        valves_per_cylinder=_given("valves", typed.valves),
        max_speed=_given("highest speed", typed.max_speed),
    )
    cooler = ChargeCooler() if typed.cooler else None
    induction = Induction(blower=_given("blower", blower.id), charge_cooler=cooler)
    return Build(
        "typed-engine",
        _place("engine"),
        _given("title", "An engine as typed"),
        engine,
        induction=induction,
        drive=Drive(),
        fuel_system=_fuel_system(typed),
        sessions=(replace(session, pulls=()),) if session is not None else (),
    )


def _fuel_system(typed: Typed) -> FuelSystem:
    """Injectors rated at the pressure they work at, which follows the manifold's."""
    if not (typed.injectors and typed.injector_flow):
        return FuelSystem()
    count, flow = _given("injectors", typed.injectors), _given("flow", typed.injector_flow)
    return FuelSystem(
        Injectors(count, flow), _given("fuel pressure", RAIL), _given("regulator", "manifold")
    )


def _air(typed: Typed) -> Air | None:
    known = (typed.pressure, typed.temperature, typed.humidity)
    if all(value is None for value in known):
        return None
    pressure, temperature, humidity = known
    return Air(
        pressure=_given("air pressure", pressure),
        barometer=None if pressure is None else _given("barometer", "station"),
        temperature=_given("air temperature", temperature),
        humidity=_given("humidity", humidity),
    )


def _fuel(name: str) -> Fuel:
    return Fuel(name=_given("fuel", name))


def _given(name: str, value: Any) -> Any:
    """A value in a place of its own, so that no two share a doubt; nothing for nothing."""
    return None if value is None else Given(value, str(value), _place(name))


def _place(name: str) -> Place:
    return Place(f"typed {name}")


# ------------------------------------------------------------ how far such estimates were out


@dataclass(frozen=True, slots=True)
class Tried:
    """A measured setup beside its estimate as a customer's; `typed` is what he would have typed."""

    setup: SetupSheet
    typed: Typed
    measured: dict[str, Row]
    estimated: dict[str, Row]

    def inside(self, figure: str) -> bool | None:
        """Whether the measured figure lies in the estimate's band; None without one of them."""
        one, other = self.measured[figure], self.estimated[figure]
        if not (one.present and other.present):
            return None
        return abs(one.scalar - other.scalar) <= (other.expanded or 0.0)


#: Figure, its row of a pull, and the estimated curve that it is set beside.
_FIGURES = (("boost", "boost", "estimated_boost"), ("power", "observed_power", "estimated_power"))


def tried(sheet: Workings) -> tuple[Tried, ...]:
    """Every measured setup of a build on a blower, estimated without any pull; as far as it goes.

    In the air of its session and at its measuring point, read at the speed of the measured peak.
    """
    if sheet.blower is None:
        return ()
    found = (_tried(sheet, sheet.blower, setup) for setup in sheet.setups)
    return tuple(item for item in found if item is not None)


def _tried(sheet: Workings, blower: Blower, setup: SetupSheet) -> Tried | None:
    best, typed = setup.best, typed_of(sheet.build, setup)
    if best is None or typed is None:
        return None
    build = build_of(blower, typed, best.session)
    rows = setup.rows["crank_pulley"], setup.rows["blower_pulley"]
    if not all(row.present for row in rows):
        return None
    crank, pulley = (Given(row.scalar, row.text, _place(row.key)) for row in rows)
    asked = Setup(_given("setup", "asked"), crank_pulley=crank, blower_pulley=pulley,
                  fuel=_fuel(typed.fuel))  # fmt: skip
    made = setup_of(assemble(sheet.archive, build), asked)
    return Tried(setup, typed, *_sides(best, made))


def _sides(best: PullSheet, made: SetupSheet) -> tuple[dict[str, Row], dict[str, Row]]:
    """What was measured, and what is estimated at its speed."""
    measured = {figure: best.rows[key] for figure, key, _ in _FIGURES}
    estimated = {}
    for figure, _, key in _FIGURES:
        curve, at = made.rows[key], measured[figure].at or made.rows["max_speed"]
        read = curve.present and at.present
        estimated[figure] = point(curve, made.rows["speed"], at, key, "") if read else curve
    return measured, estimated


def typed_of(build: Build, setup: SetupSheet) -> Typed | None:
    """What the owner of a build would type for one of its setups; None if the form wants more."""
    engine, fuel = build.engine, setup.setup.fuel
    if engine.max_speed is None or fuel is None:
        return None
    injectors = build.fuel_system.injectors
    return Typed(
        cylinders=engine.cylinders.value,
        bore=engine.bore.value,
        stroke=engine.stroke.value,
        max_speed=engine.max_speed.value,
        fuel=_nearest_fuel(fuel),
        compression_ratio=engine.compression_ratio.value if engine.compression_ratio else None,
        valves=engine.valves_per_cylinder.value if engine.valves_per_cylinder else None,
        cooler=build.induction.charge_cooler is not None,
        injectors=injectors.count.value if injectors else None,
        injector_flow=injectors.flow.value if injectors else None,
    )


def _nearest_fuel(fuel: Fuel) -> str:
    """The fuel's name, or that of the list's fuel with the nearest shares of alcohol."""
    if fuel.name is not None:
        return fuel.name.value
    shares = [it.value if it is not None else 0.0 for it in (fuel.ethanol, fuel.methanol)]

    def apart(name: str) -> float:
        blend = BLENDS[name]
        return abs(blend.get("ethanol", 0.0) - shares[0]) + abs(
            blend.get("methanol", 0.0) - shares[1]
        )

    return min(BLENDS, key=apart)


# ------------------------------------------------------------ what the model knows nothing of

#: Field of `Typed` and the range in which it is estimated [SI]: the vocabulary's plausible ranges,
#: and of counts what the formulas are for.
RANGES: dict[str, tuple[float, float]] = {
    "cylinders": (1, 16),
    **{
        field: quantity(key).plausible
        for field, key in (
            ("bore", "bore"),
            ("stroke", "stroke"),
            ("max_speed", "engine_speed"),
            ("compression_ratio", "compression_ratio"),
            ("pressure", "air_pressure"),
            ("temperature", "air_temperature"),
            ("humidity", "humidity"),
            ("injector_flow", "injector_flow"),
        )
    },
    "injectors": (1, 32),
}


def beyond(typed: Typed) -> tuple[str, ...]:
    """The fields whose figures lie beyond what the model is for: refused, not estimated."""
    values = {name: getattr(typed, name) for name in RANGES}
    return tuple(
        name
        for name, (low, high) in RANGES.items()
        if values[name] is not None and not low <= values[name] <= high
    )
