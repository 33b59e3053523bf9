"""The one table of quantities: what a figure is called, in which units it is shown, how precisely.

A quantity is looked up by key everywhere: the schemas name it, a sheet's rows carry it, charts
and pages print by it. The plausible range is common practice (no source): it is as wide as
engines of the trade go and catches slipped digits and wrong units, not bold ideas.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from typing import Literal

from specgen.units import NARROW_SPACE, Unit, is_spelling, text_of, unit

System = Literal["metric", "imperial", "own"]
#: The two systems that every site has; a workshop may add its own.
SYSTEMS: tuple[System, System] = ("metric", "imperial")


@dataclass(frozen=True, slots=True)
class Own:
    """The units that a workshop chose, by the keys of quantities; all others are as in `others`."""

    others: System
    units: Mapping[str, Unit]


_OWN: ContextVar[Own | None] = ContextVar("own units", default=None)


@contextmanager
def printed_in(own: Own | None) -> Iterator[None]:
    """Print in a workshop's own units too while this lasts; None for a workshop without any."""
    before = _OWN.set(own)
    try:
        yield
    finally:
        _OWN.reset(before)


def systems() -> tuple[System, ...]:
    """Every system that a page prints its figures in."""
    return (*SYSTEMS, "own") if _OWN.get() else SYSTEMS


def side_by_side() -> tuple[System, System]:
    """The two systems that stand beside one another where no reader can switch."""
    own = _OWN.get()
    if own is None:
        return SYSTEMS
    return "own", "metric" if own.others == "imperial" else "imperial"


def own_words() -> str:
    """What a workshop's own units are called, by the first two of them; empty for none."""
    own = _OWN.get()
    shown = dict.fromkeys(it.shown for it in own.units.values()) if own else {}
    return ", ".join(list(shown)[:2])


def stands_left(system: System) -> bool:
    """Whether a system's axis stands left of a drawing; the other one stands right of it."""
    return system != side_by_side()[1] if "own" in systems() else system == "metric"


@dataclass(frozen=True, slots=True)
class Printed:
    """A figure set in one system: number, margin ("" for none) and unit, each without the others.

    Every page, chart, data file and terminal table sets these three; none prints them by itself.
    """

    number: str
    margin: str
    unit: str

    @property
    def gap(self) -> str:
        """What parts the unit from what stands before it."""
        return "" if self.unit in ("", "°") else NARROW_SPACE

    @property
    def text(self) -> str:
        """The figure as plain text, such as "301 ± 6 kW"."""
        margin = f" ±{NARROW_SPACE}{self.margin}" if self.margin else ""
        return f"{self.number}{margin}{self.gap}{self.unit}"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of figure with its words, units, decimals and plausible range (SI)."""

    key: str
    title: str
    symbol: str
    kind: str
    metric: Unit
    imperial: Unit
    decimals: tuple[int, int]
    plausible: tuple[float, float]

    def unit(self, system: System) -> Unit:
        """The unit this quantity is shown in; metric where nobody chose units of their own."""
        own = _OWN.get()
        if system == "own" and own is not None:
            return own.units.get(self.key) or self.unit(own.others)
        return self.imperial if system == "imperial" else self.metric

    def decimals_in(self, system: System) -> int:
        """Decimals in a system's unit; in another unit than the table's, as fine as in metric."""
        if system != "own":
            return self.decimals[SYSTEMS.index(system)]
        shown = self.unit(system)
        for known, decimals in zip((self.metric, self.imperial), self.decimals, strict=True):
            if shown.factor == known.factor:
                return decimals
        finer = round(math.log10(shown.factor / self.metric.factor))
        return max(self.decimals[0] + finer, min(self.decimals[0], 0))

    def number(self, value: float, system: System, uncertainty: float | None = None) -> str:
        """Print an SI value without its unit; an expanded uncertainty limits the decimals."""
        return self.printed(value, system, uncertainty, bare=True).number

    def text(self, value: float, system: System, uncertainty: float | None = None) -> str:
        """Print an SI value with its unit, for terminals, charts and alternative texts."""
        return self.printed(value, system, uncertainty, bare=True).text

    def printed(
        self, value: float, system: System, expanded: float | None = None, *, bare: bool = False
    ) -> Printed:
        """Print an SI value with its expanded uncertainty, which `bare` leaves out."""
        shown_in, decimals = self.unit(system), self.decimals_in(system)
        if not expanded:
            return Printed(text_of(value, shown_in, decimals), "", shown_in.shown)
        size = expanded / shown_in.factor
        supported = min(decimals, _supported(size))
        margin = "" if bare else _margin(size, shown_in, supported)
        return Printed(text_of(value, shown_in, supported), margin, shown_in.shown)

    def margin(self, uncertainty: float, system: System) -> str:
        """Print an expanded uncertainty, a difference, to the last digit of its figure.

        At least one in that digit, which rounding alone may have moved by half; empty where it is
        a tenth of one or less: then the figure is surer than it is printed.
        """
        shown_in = self.unit(system)
        size = uncertainty / shown_in.factor
        return _margin(size, shown_in, min(self.decimals_in(system), _supported(size)))

    def is_plausible(self, value: float) -> bool:
        """Tell whether an SI value lies in the range such a figure has in practice."""
        return self.plausible[0] <= value <= self.plausible[1]

    def is_possible(self, value: float) -> bool:
        """Tell whether an SI value can exist at all.

        No length below zero, no share above one, nothing a hundred times more or less than what
        occurs.
        """
        low, high = self.plausible
        if low >= 0 and value < low / 100:
            return False
        most = 1.0 if self.kind == "fraction" and high == 1.0 else 100 * max(abs(low), abs(high))
        return abs(value) <= most


def _margin(size: float, shown_in: Unit, decimals: int) -> str:
    """Print a margin in its unit, to the decimals of its figure, thousands at the coarsest."""
    decimals = max(decimals, -3)
    least = 10.0**-decimals
    if not size > least / 10:
        return ""
    shown = max(size, least) * shown_in.factor
    return text_of(shown + shown_in.offset, shown_in, decimals)


def _supported(uncertainty: float) -> int:
    """Decimals that an uncertainty supports: its two leading digits if they begin with 1."""
    if uncertainty <= 0 or not math.isfinite(uncertainty):
        return 9
    exponent = math.floor(math.log10(uncertainty))
    leading = uncertainty / 10**exponent
    return -exponent + (1 if leading < 2 else 0)


def _quantity(line: str) -> Quantity:
    cells = [cell.strip() for cell in line.split("|")]
    key, title, symbol, kind, metric, imperial, decimals, low, high = cells
    first, _, second = decimals.partition("/")
    shown = unit(kind, metric)
    return Quantity(
        key,
        title,
        symbol,
        kind,
        shown,
        unit(kind, imperial),
        (int(first), int(second or first)),
        (shown.to_si(float(low)), shown.to_si(float(high))),
    )


# key | title | symbol | kind | metric | imperial | decimals metric/imperial | plausible, metric unit
_LINES = """
bore | Bore | B | length | mm | in | 1/3 | 40 | 200
stroke | Stroke | S | length | mm | in | 1/3 | 30 | 250
rod_length | Connecting-rod length | l | length | mm | in | 1/3 | 60 | 400
deck_height | Block deck height | h | length | mm | in | 1/3 | 80 | 500
bore_spacing | Bore spacing |  | length | mm | in | 1/3 | 50 | 250
pulley_diameter | Pulley diameter | d | length | mm | in | 1/2 | 40 | 400
belt_length | Belt length | L | length | mm | in | 0/1 | 300 | 6000
position | Position |  | length | mm | in | 0/1 | -3000 | 3000
throttle_bore | Throttle bore |  | length | mm | in | 0/2 | 15 | 250
rotor_diameter | Impeller diameter |  | length | mm | in | 0/2 | 20 | 400
belt_slack | Belt length against the path |  | length | mm | in | 0/1 | -500 | 500
wrap | Wrap angle | θ | angle | deg | deg | 0 | 0 | 360
cylinders | Cylinders | z | ratio | | | 0 | 1 | 24
ratio | Ratio | | ratio | | | 2 | 0 | 1000
count | Number | | ratio | | | 0 | 0 | 1000
leak_area | Leakage area of the blower | A | area | mm2 | in2 | 0/3 | 0 | 5000
swept_volume | Swept volume | V_d | volume | L | in3 | 2/0 | 0.03 | 60
cylinder_volume | Volume of one cylinder |  | volume | cm3 | in3 | 0/1 | 20 | 8000
clearance_volume | Clearance volume | V_c | volume | cm3 | in3 | 1/2 | 2 | 1500
blower_displacement | Blower displacement per revolution | D_b | volume | L | in3 | 2/0 | 0.05 | 20
compression_ratio | Compression ratio | r | ratio | | | 1 | 4 | 20
engine_speed | Engine speed | n | rotational speed | rpm | rpm | -1 | 100 | 20000
blower_speed | Blower speed | n_b | rotational speed | rpm | rpm | -1 | 100 | 300000
turbocharger_speed | Turbocharger speed | n_t | rotational speed | rpm | rpm | -3 | 1000 | 400000
power | Power | P | power | kW | hp | 0/0 | 1 | 6000
torque | Torque | T | torque | N m | lb ft | 0/0 | 2 | 12000
mean_pressure | Brake mean effective pressure | p_me | pressure difference | bar | psi | 1/0 | 0.5 | 80
specific_power | Power per litre |  | specific power | kW/L | hp/L | 0/0 | 2 | 600
blower_drive_power | Power to drive the blower | P_b | power | kW | hp | 1/1 | 0 | 1000
boost | Boost | p_b | gauge pressure | kPa | psi | 0/1 | -95 | 450
manifold_pressure | Manifold pressure, absolute | p_m | absolute pressure | kPa | psi | 0/1 | 5 | 600
boost_target | Boost target | | gauge pressure | kPa | psi | 0/1 | 5 | 450
air_pressure | Air pressure | p | absolute pressure | kPa | inHg | 1/2 | 50 | 110
vapour_pressure | Water-vapour pressure | p_v | absolute pressure | kPa | inHg | 2/3 | 0 | 20
dry_pressure | Dry air pressure | p_d | absolute pressure | kPa | inHg | 2/2 | 45 | 110
inlet_pressure | Pressure at the blower inlet | p_1 | absolute pressure | kPa | psi | 1/2 | 30 | 115
inlet_pressure_drop | Inlet pressure drop |  | pressure difference | kPa | psi | 1/2 | 0 | 40
cooler_pressure_drop | Charge-cooler pressure drop |  | pressure difference | kPa | psi | 1/2 | 0 | 60
pressure_ratio | Pressure ratio over the blower | | ratio | | | 2 | 0.5 | 8
discharge_pressure | Blower discharge pressure | p_2 | absolute pressure | kPa | psi | 0/1 | 30 | 700
fuel_pressure | Fuel pressure | | pressure difference | kPa | psi | 0/0 | 50 | 3000
air_temperature | Air temperature | T | temperature | degC | degF | 1/0 | -30 | 60
intake_temperature | Intake air temperature | | temperature | degC | degF | 0 | -30 | 150
discharge_temperature | Blower discharge temperature | T_2 | temperature | degC | degF | 0 | -20 | 400
charge_temperature | Charge temperature in the manifold | T_m | temperature | degC | degF | 0 | -30 | 300
coolant_temperature | Coolant temperature | | temperature | degC | degF | 0 | -30 | 140
humidity | Relative humidity | φ | fraction | % | % | 0 | 0 | 100
elevation | Elevation | h | length | m | ft | 0 | -450 | 6000
height | Density altitude | | length | m | ft | -1 | -3000 | 8000
air_density | Air density | ρ | density | kg/m3 | lb/ft3 | 3/4 | 0.6 | 1.6
charge_density | Charge density | ρ_m | density | kg/m3 | lb/ft3 | 2/3 | 0.3 | 8
gain | Reading of one dyno over that of another | | ratio | | | 3 | 0.7 | 1.4
correction_factor | Correction factor | | ratio | | | 3 | 0.6 | 1.6
pulley_ratio | Drive ratio, blower to crank | i | ratio | | | 2 | 0.3 | 20
internal_ratio | Step-up inside the blower | | ratio | | | 2 | 0.3 | 20
built_in_ratio | Built-in volume ratio | r_i | ratio | | | 2 | 1 | 3
run_distance | Distance of a run | s | length | m | ft | 0/0 | 10 | 50000
run_time | Time of a run | t | time | s | s | 2/2 | 0.5 | 3600
terminal_speed | Speed at the end of a run | v | velocity | km/h | mph | 0/0 | 5 | 700
run_mass | Mass as run | m | mass | kg | lb | 0/0 | 20 | 50000
belt_speed | Belt speed | v | velocity | m/s | ft/min | 1/0 | 0 | 120
tip_speed | Tip speed | | velocity | m/s | ft/s | 0 | 0 | 700
piston_speed | Mean piston speed | | velocity | m/s | ft/min | 1/0 | 0.5 | 40
piston_acceleration | Peak piston acceleration | | acceleration | m/s2 | ft/s2 | -1/-1 | 50 | 150000
volumetric_efficiency | Volumetric efficiency | η_v | fraction | % | % | 0 | 10 | 150
isentropic_efficiency | Isentropic efficiency | η_is | fraction | % | % | 0 | 20 | 100
shaft_efficiency | Isentropic efficiency on shaft power | | fraction | % | % | 0 | 10 | 100
mechanical_efficiency | Mechanical efficiency of the blower | η_m | fraction | % | % | 0 | 40 | 100
thermal_efficiency | Brake thermal efficiency | η_b | fraction | % | % | 1 | 3 | 60
fraction | Share | | fraction | % | % | 0 | 0 | 100
effectiveness | Charge-cooler effectiveness | ε | fraction | % | % | 0 | 0 | 100
air_mass_flow | Air mass flow | | mass flow | kg/min | lb/min | 1/1 | 0.05 | 300
fuel_mass_flow | Fuel mass flow | | mass flow | kg/h | lb/h | 0/0 | 0.2 | 2500
injector_flow | Injector flow | | volume flow | cm3/min | cm3/min | 0/0 | 50 | 20000
fuel_volume_flow | Fuel volume flow | | volume flow | L/h | gal/h | 0/0 | 0.2 | 4000
coolant_density | Coolant density | | density | kg/m3 | lb/ft3 | 0/1 | 0.5 | 1300
coolant_specific_heat | Specific heat of the coolant | | specific heat | kJ/(kg K) | Btu/(lb F) | 2/2 | 0.9 | 4.5
coolant_mass_flow | Coolant mass flow | | mass flow | kg/min | lb/min | 1/1 | 0.05 | 2500
coolant_rise | Rise of the coolant temperature | | temperature difference | K | delta degF | 1/1 | 0 | 100
coolant_flow | Coolant flow | | volume flow | L/min | gal/min | 0/1 | 0.5 | 2000
swept_flow | Volume swept by the blower | | volume flow | L/s | ft3/min | 0/0 | 0.1 | 20000
injector_duty | Injector duty | | fraction | % | % | 0 | 0 | 400
lambda | Lambda (air to stoichiometric) | λ | ratio | | | 2 | 0.4 | 2.5
air_fuel_ratio | Air-fuel ratio | | ratio | | | 1 | 2 | 35
stoichiometric_ratio | Stoichiometric air-fuel ratio | | ratio | | | 2 | 1 | 20
heating_value | Lower heating value | | specific energy | MJ/kg | Btu/lb | 1/0 | 5 | 60
latent_heat | Latent heat of the fuel | | specific energy | kJ/kg | Btu/lb | 0/0 | 100 | 2000
fuel_density | Fuel density | | density | kg/L | lb/ft3 | 3/1 | 0.5 | 1.3
fuel_share | Share of the fuel by volume | | fraction | % | % | 0 | 0 | 100
fuel_consumption | Brake specific fuel consumption | | specific fuel consumption | g/kWh | lb/hp h | 0/2 | 120 | 3000
heat_flow | Heat to reject | | power | kW | hp | 1/1 | 0 | 1000
ignition_advance | Ignition advance | | angle | deg | deg | 0/0 | -20 | 70
belt_tension | Belt tension | | force | N | lbf | 0/0 | 10 | 8000
tension_ratio | Belt tension ratio | | ratio | | | 2 | 1 | 50
grip_used | Grip of the belt that is used | | fraction | % | % | 0 | 0 | 1000
linear_density | Mass for each metre | | linear density | g/m | lb/ft | 0/3 | 0 | 5000
friction | Coefficient of friction | µ | ratio | | | 2 | 0.02 | 2
relative_uncertainty | Standard uncertainty, relative | | fraction | % | % | 1 | 0.01 | 20
pressure_uncertainty | Standard uncertainty of a pressure | | pressure difference | kPa | psi | 1/2 | 0.01 | 20
temperature_uncertainty | Standard uncertainty of a temperature | | temperature difference | K | delta degF | 1 | 0.05 | 20
share | Share | | fraction | % | % | 0 | -100 | 1000
power_drift | Change of power with a warmer charge | | fraction | % | % | 1 | -30 | 30
cylinder_bore | Cylinder bore | B | length | mm | in | 3/4 | 40 | 200
crank_stroke | Crank stroke | S | length | mm | in | 2/3 | 30 | 250
rod_centres | Connecting rod between centres | l | length | mm | in | 2/3 | 60 | 400
compression_height | Piston compression height | h_p | length | mm | in | 2/3 | 10 | 120
block_deck_height | Crank axis to deck | H | length | mm | in | 2/3 | 80 | 500
deck_clearance | Deck clearance | h_d | length | mm | in | 2/3 | -5 | 20
gasket_bore | Head-gasket bore | D_g | length | mm | in | 2/3 | 40 | 205
gasket_thickness | Head gasket, compressed | t_g | length | mm | in | 2/3 | 0 | 6
chamber_volume | Chamber volume in the head | V_h | volume | cm3 | in3 | 1/2 | 0 | 500
dish_volume | Dish of the piston, a dome below zero | V_p | volume | cm3 | in3 | 1/2 | -150 | 200
quench_distance | Quench distance | q | length | mm | in | 2/3 | 0 | 25
cylinder_compression_ratio | Compression ratio of a cylinder | r | ratio | | | 2 | 4 | 20
compression_ratio_spread | Spread of the compression ratios | | ratio | | | 2 | 0 | 5
valve_event | Valve event | | angle | deg | deg | 1 | -90 | 130
valve_duration | Valve duration | | angle | deg | deg | 1 | 100 | 720
centre_line | Lobe centre line | | angle | deg | deg | 1 | 60 | 160
lobe_separation | Lobe separation | | angle | deg | deg | 1 | 85 | 140
cam_advance | Cam advance | | angle | deg | deg | 1 | -40 | 40
valve_overlap | Valve overlap | | angle | deg | deg | 1 | -150 | 250
valve_lift | Valve lift | | length | mm | in | 2/3 | 0 | 25
valve_lash | Valve lash | | length | mm | in | 2/3 | 0 | 2
clearance | Clearance or length | | length | mm | in | 3/4 | -2 | 2000
spring_height | Height of a spring | | length | mm | in | 1/2 | 5 | 200
load | Load | F | force | N | lbf | 0/0 | 0 | 50000
tightening_torque | Tightening torque | | torque | N m | lb ft | 0/0 | 0.5 | 3000
tightening_angle | Tightening angle | | angle | deg | deg | 0 | 0 | 720
test_pressure | Pressure of a test | | pressure difference | kPa | psi | 0/0 | 0 | 30000
test_loss | Loss in a test | | fraction | % | % | 0 | 0 | 100
pipe_bore | Pipe bore | D | length | mm | in | 0/2 | 10 | 400
pipe_length | Pipe length | L | length | mm | in | 0/1 | 1 | 6000
bend_radius | Bend radius | r | length | mm | in | 0/1 | 10 | 1000
roughness | Roughness of a pipe wall | ε | length | mm | in | 4/5 | 0 | 3
loss_coefficient | Loss coefficient | K | ratio | | | 2 | 0 | 100
friction_factor | Friction factor, Darcy | f | ratio | | | 4 | 0.004 | 0.2
reynolds_number | Reynolds number | Re | ratio | | | -3 | 0 | 10000000
air_velocity | Air velocity | v | velocity | m/s | ft/s | 0 | 0 | 400
viscosity | Dynamic viscosity | µ | viscosity | uPa s | uPa s | 2 | 5 | 50
throttle_area | Free area of the throttles | A | area | cm2 | in2 | 1/2 | 0 | 2000
part_pressure_drop | Pressure drop of a part | | pressure difference | kPa | psi | 2/3 | 0 | 60
ignition_retard | Ignition taken back | | angle | deg | deg | 1/1 | 0 | 40
octane | Research octane number | RON | ratio | | | 0 | 70 | 130
"""

QUANTITIES: dict[str, Quantity] = {
    item.key: item for item in (_quantity(line) for line in _LINES.strip().splitlines())
}


def quantity(key: str) -> Quantity:
    """Look up a quantity by key; KeyError if the table does not have it."""
    return QUANTITIES[key]


#: What a workshop may choose a unit for, with the quantities that are shown in it.
CHOICES: dict[str, tuple[str, ...]] = {
    "power": ("power", "blower_drive_power", "heat_flow"),
    "torque": ("torque",),
    "boost": ("boost", "boost_target", "manifold_pressure"),
    "air_pressure": ("air_pressure", "vapour_pressure", "dry_pressure"),
    "pressure": (
        *("inlet_pressure", "inlet_pressure_drop", "cooler_pressure_drop", "part_pressure_drop"),
        *("discharge_pressure", "fuel_pressure", "mean_pressure", "test_pressure"),
    ),
    "temperature": tuple(it.key for it in QUANTITIES.values() if it.kind == "temperature"),
    "pulley": ("pulley_diameter",),
    "displacement": ("swept_volume", "blower_displacement"),
    "air_flow": ("air_mass_flow",),
}
#: The unit of power per litre that goes with a unit of power.
_PER_LITRE = {"kW": "kW/L", "hp": "hp/L", "PS": "PS/L"}


def own_units(chosen: Mapping[str, str], others: System) -> Own:
    """Make a workshop's own units of what it chose, by the keys of `CHOICES`.

    UnitError for a unit that none of a choice's quantities has.
    """
    units: dict[str, Unit] = {}
    for choice, symbol in chosen.items():
        units |= {key: _as_chosen(QUANTITIES[key].kind, symbol) for key in CHOICES[choice]}
    if "power" in chosen:
        litre = unit("specific power", _PER_LITRE[units["power"].symbol])
        units["specific_power"] = replace(litre, label=f"{units['power'].shown}/L")
    return Own(others, units)


def _as_chosen(kind: str, symbol: str) -> Unit:
    """A unit under the name that was chosen: bhp is the horsepower, and stays bhp."""
    found = unit(kind, symbol)
    return found if is_spelling(symbol, found) else replace(found, label=symbol)
