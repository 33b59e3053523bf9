"""What is hidden behind a measurement: the true engine, blower, inlet, cooler, belt, drive line.

Only data stands here, in SI; `engine`, `blower`, `charge`, `belt` and `dyno` say what it does.
A rotational speed is in rev/s. "Effective area" is area times discharge coefficient.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal


@dataclass(frozen=True, slots=True)
class Engine:
    """Geometry, and how well this engine breathes, burns and turns."""

    cylinders: int
    bore: float
    stroke: float
    compression_ratio: float
    max_speed: float
    #: filling at the best speed, before residual gas and heating, of the manifold's density
    filling: float = 0.98
    #: piston area over mean effective valve area: about 8 with four valves, 12 with two
    valve_restriction: float = 9.0
    tuned_speed: float = 70.0
    tuning_gain: float = 0.05
    tuning_width: float = 18.0
    #: share lost to back-flow before the inlet valve closes, near standstill
    backflow: float = 0.10
    #: gross indicated work over that of the ideal cycle
    burn_quality: float = 0.83
    #: engine speed at which the flame, ever later, would halve the work
    burn_speed: float = float("inf")
    friction: float = 1.0
    #: octane number that this chamber needs at 9:1, 100 kPa and 40 degC in the manifold
    octane_need: float = 87.0
    exhaust_area: float = 1.6e-3

    @property
    def swept_volume(self) -> float:
        """Swept volume of all cylinders [m3]."""
        return self.cylinders * 0.7853981633974483 * self.bore**2 * self.stroke


@dataclass(frozen=True, slots=True)
class Inlet:
    """Filter, throttle and duct before the blower (or before the manifold without one)."""

    area: float
    #: how much the duct warms the air [K]
    pickup: float = 4.0


@dataclass(frozen=True, slots=True)
class Displacer:
    """A lobe, vane or screw blower: what it sweeps, what leaks back, what warms and drags."""

    displacement: float
    internal_ratio: float = 1.0
    built_in_ratio: float = 1.0
    leak_area: float = 55e-6
    #: share of the swept volume that fills at standstill, and the rotor speed that costs a tenth
    filling: float = 0.965
    choke_speed: float = 600.0
    #: index of the compression inside (above 1.4: losses heat the gas as it is squeezed)
    index: float = 1.42
    #: pressure lost in the ports at 200 rev/s, per inlet pressure
    port_loss: float = 0.02
    casing_conductance: float = 12.0
    drag_torque: float = 0.6
    #: extra drag torque at 200 rev/s, rising with speed squared
    windage_torque: float = 0.5
    gear_efficiency: float = 0.95


@dataclass(frozen=True, slots=True)
class Impeller:
    """A centrifugal blower: head and efficiency as parabolas of the flow coefficient."""

    diameter: float
    internal_ratio: float
    head: float = 0.62
    best_flow: float = 0.080
    head_fall: float = 60.0
    efficiency: float = 0.74
    efficiency_fall: float = 90.0
    gear_efficiency: float = 0.93


@dataclass(frozen=True, slots=True)
class Turbine:
    """A turbocharger held by its wastegate: gauge boost asked for once it has spooled."""

    boost: float
    spool_speed: float
    spool_width: float = 8.0
    efficiency: float = 0.68
    back_pressure_ratio: float = 1.15


@dataclass(frozen=True, slots=True)
class Cooler:
    """A charge cooler by its transfer units at a reference flow."""

    transfer_units: float
    reference_flow: float
    coolant_temperature: float
    #: heat capacity flow of the coolant [W/K]
    coolant_capacity: float
    area: float


@dataclass(frozen=True, slots=True)
class Belt:
    """A ribbed belt: static tension per run and grip."""

    tension: float = 900.0
    grip: float = 1.1
    mass: float = 0.11
    wrap: float = 3.1
    line: float = 0.002
    creep: float = 0.004
    #: share of the pull lost per share of slip
    fade: float = 0.8
    efficiency: float = 0.97


@dataclass(frozen=True, slots=True)
class DriveLine:
    """What is lost between flywheel and measuring point."""

    gear_efficiency: float = 0.95
    drag_torque: float = 4.0
    tyre_efficiency: float = 0.94


Charger = Displacer | Impeller | Turbine | None


@dataclass(frozen=True, slots=True)
class Truth:
    """Everything hidden about one build."""

    engine: Engine
    inlet: Inlet
    charger: Charger = None
    cooler: Cooler | None = None
    belt: Belt = field(default_factory=Belt)
    drive_line: DriveLine = field(default_factory=DriveLine)


@dataclass(frozen=True, slots=True)
class Fuel:
    """What is in the tank, by volume, and its research octane number."""

    petrol: float = 1.0
    ethanol: float = 0.0
    methanol: float = 0.0
    octane: float = 95.0


FUELS: dict[str, Fuel] = {
    "petrol-95": Fuel(octane=95.0),
    "petrol-98": Fuel(octane=98.0),
    "petrol-102": Fuel(octane=102.0),
    "e10": Fuel(0.9, 0.1, octane=95.5),
    "e50": Fuel(0.5, 0.5, octane=104.0),
    "e85": Fuel(0.15, 0.85, octane=107.5),
    "methanol": Fuel(0.0, 0.0, 1.0, octane=112.0),
}


@dataclass(frozen=True, slots=True)
class Setup:
    """What a session could change: pulleys (effective diameters), fuel, mixture, spark."""

    fuel: Fuel
    mixture: float = 0.88
    crank_pulley: float = 0.0
    blower_pulley: float = 0.0
    #: degrees taken off the best spark on top of what knock asks for
    retard: float = 0.0


@dataclass(frozen=True, slots=True)
class Air:
    """The air of the room: station pressure, temperature, relative humidity 0 to 1."""

    pressure: float = 99e3
    temperature: float = 298.15
    humidity: float = 0.4


MeasuringPoint = Literal["flywheel", "hub", "roller"]
