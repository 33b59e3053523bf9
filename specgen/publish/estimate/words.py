"""What an estimate's page calls things: doubts in a workshop's words, figures asked for."""

from __future__ import annotations

from specgen.analysis.words import FUELS

#: What leaves a band wide, by the model's parameter.
DOUBTS = {
    "volumetric_efficiency": "how well this engine breathes",
    **{f"breathing_{number}": f"how it breathes {where}" for number, where in enumerate(
        ("at low speed", "at half speed", "at two thirds of its speed", "near its highest speed",
         "at its highest speed"), 1)},
    **{f"burning_{number}": f"how well it burns {where}" for number, where in enumerate(
        ("at low speed", "at half speed", "at two thirds of its speed", "near its highest speed",
         "at its highest speed"), 1)},
    "temperature_exponent": "how a warm charge changes its breathing",
    "pressure_allowance": "what the model leaves out of pressure",
    "power_allowance": "what the model leaves out of power",
    "temperature_allowance": "what the model leaves out of the charge’s temperature",
    "inlet_drop": "what filter and throttle cost",
    "effectiveness": "how well the charge cooler works",
    "cooler_drop": "what the charge cooler costs in pressure",
    "intake_warming": "how warm the air gets on its way in",
    "cooler_exponent": "how the cooler works at other flows",
    "mixture": "how rich it is tuned",
    "evaporation_share": "how far fuel cools the charge",
    "indicated_efficiency": "how well this engine turns heat into work",
    "fuel_factor": "how well it runs on this fuel",
    "boost_exponent": "how boost changes its efficiency",
    "octane_need": "how soon this engine knocks",
    "octane_slope": "how much octane boost asks for",
    "octane_fall": "how soon it knocks at speed",
    "knock_cost": "what a later spark costs",
    "gas_exchange_share": "what boost gives back on the intake stroke",
    "friction_share": "the engine’s friction",
    "mechanical_efficiency": "what blower and drive lose",
    "leak_area": "how much this blower leaks",
    "limit_efficiency": "how well this blower fills",
    "displacement": "the blower’s size",
    "built_in_ratio": "compression inside the blower",
    "volumetric_factor": "how this blower fills against the one measured",
    "efficiency_factor": "how this blower heats against the one measured",
    "head_factor": "how this blower presses against the one measured",
    "design_ratio": "the blower’s stated point",
    "isentropic_efficiency": "how much the blower heats the air",
    "design_temperature": "the air of the blower’s stated point",
    "relative_humidity": "the air’s humidity",
    "pressure": "the air’s pressure",
    "temperature": "the air’s temperature",
    "bore": "the bore as given",
    "stroke": "the stroke as given",
    "crank": "the crank pulley’s true size",
    "pulley": "the blower pulley’s true size",
    "fuel 0": "the fuel as sold",
    "fuel 1": "the petrol in the fuel",
}  # fmt: skip

#: What a customer is asked for, by the field of `Typed`: words and quantity.
ASKED = {
    "cylinders": ("Number of cylinders", ""),
    "bore": ("Bore", "bore"),
    "stroke": ("Stroke", "stroke"),
    "max_speed": ("Highest speed", "engine_speed"),
    "compression_ratio": ("Compression ratio", ""),
    "pressure": ("Air pressure at that height", "air_pressure"),
    "temperature": ("Air temperature", "air_temperature"),
    "humidity": ("Humidity", "humidity"),
    "injectors": ("Number of injectors", ""),
    "injector_flow": ("Flow of each injector", "injector_flow"),
}

#: Quantities that the page shows.
SHOWN = (
    "engine_speed", "swept_volume", "bore", "stroke", "injector_flow", "elevation",
    "air_temperature", "air_pressure", "humidity", "boost", "power", "torque", "blower_speed",
    "injector_duty", "octane", "octane_asked", "charge_temperature", "blower_drive_power",
    "pulley_diameter",
)  # fmt: skip


def fuel_names() -> dict[str, str]:
    """Fuels of the list as a form offers them."""
    return {name: words[:1].upper() + words[1:] for name, words in FUELS.items()}
