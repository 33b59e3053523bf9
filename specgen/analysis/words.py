"""The words a sheet uses for what the files only name: fuels, kinds, measuring points."""

from __future__ import annotations

from specgen.archive.model.build import Build, Fuel, Pull
from specgen.archive.model.kinds import KINDS

FUELS = {
    "petrol": "petrol, grade not recorded",
    "petrol-95": "petrol, 95 RON",
    "petrol-98": "petrol, 98 RON",
    "petrol-102": "petrol, 102 RON",
    "e10": "petrol with 10 % ethanol (E10)",
    "e20": "petrol with 20 % ethanol (E20)",
    "e50": "half petrol, half ethanol (E50)",
    "e85": "E85",
    "ethanol": "ethanol",
    "methanol": "methanol",
}

MEASURING_POINTS = {
    "flywheel": "at the flywheel",
    "hub": "at the wheel hubs",
    "roller": "at the wheels on rollers",
    "not recorded": "at a point that is not recorded",
}
DYNOS = {
    "engine": "engine dyno",
    "hub": "hub dyno",
    "roller": "roller dyno",
    "not recorded": "kind of dyno not recorded",
}
BLOWERS = {kind.key: kind.words for kind in KINDS.values()}
#: How a pull's figures stand towards standard air, without the standard's name.
STATES = {"observed": "observed", "corrected": "corrected", "reported": "as reported"}
LAYOUTS = {"in-line": "in-line", "flat": "flat", "vee": "V"}
BOOST_CONTROLS = {
    "fixed-ratio": "set by the drive ratio alone",
    "absolute": "held at an absolute pressure",
    "gauge": "held over the air outside",
}
_COUNTS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 8: "eight"}


def title_words(build: Build) -> str:
    """A build's title in a list of several, where a withdrawn one says so."""
    return build.title.value + (" (withdrawn)" if build.withdrawn else "")


def fuel_words(fuel: Fuel | None) -> str:
    """Name a fuel as a page does."""
    if fuel is None:
        return "fuel not recorded"
    if fuel.title is not None:
        return fuel.title.value
    if fuel.name is not None:
        return FUELS.get(fuel.name.value, fuel.name.value)
    return ", ".join(f"{percent} % {name}" for name, percent in _shares(fuel).items())


def _shares(fuel: Fuel) -> dict[str, int]:
    """What a stated blend is made of, in whole percent by volume."""
    named = {"petrol": fuel.petrol, "ethanol": fuel.ethanol, "methanol": fuel.methanol}
    return {name: round(100 * share.value) for name, share in named.items() if share}


def blend_name(fuel: Fuel | None) -> str:
    """Name what is burnt in a word, the same word for the same blend whatever it was called.

    "E50" for half petrol and half ethanol, under a trade name too; the shares where no name is
    theirs; empty where no fuel is recorded.
    """
    if fuel is None:
        return ""
    if fuel.name is not None:
        name = fuel.name.value
        return name.upper() if name[1:].isdigit() else name.replace("-", " ")
    shares = {name: percent for name, percent in _shares(fuel).items() if percent}
    if len(shares) == 1:
        return next(iter(shares))
    ethanol = f"E{shares.get('ethanol', 0)}"
    if ethanol.lower() in FUELS and "methanol" not in shares:
        return ethanol
    return ", ".join(f"{percent} % {name}" for name, percent in shares.items())


def run_words(pull: Pull) -> str:
    """What a pull ran with beside its setup: calibrations, batch of fuel; "" for nothing."""
    told = []
    if maps := pull.calibration:
        named = (("ignition", maps.ignition), ("fuel", maps.fuel))
        told += [f"{what} calibration {word.value}" for what, word in named if word]
    if batch := pull.fuel_batch:
        tested = f" as tested {batch.tested.text}" if batch.tested else " as tested"
        content = f"{batch.ethanol.text} ethanol{tested}" if batch.ethanol else ""
        name = f"fuel of {batch.name.value}" if batch.name else "fuel"
        told.append(f"{name}: {content}" if content else name)
    return ", ".join(told)


def engine_words(build: Build) -> str:
    """Say what kind of engine it is: "flat four"."""
    layout = LAYOUTS.get(build.engine.layout.value, "") if build.engine.layout else ""
    count = build.engine.cylinders.value
    if layout == "V":
        return f"V{count}"
    number = _COUNTS.get(count, str(count))
    return f"{layout} {number}".strip() if layout else f"{number} cylinders"


def induction_words(build: Build, blower_kind: str | None) -> str:
    """Say how the engine is fed."""
    if build.induction.natural is not None:
        return "naturally aspirated"
    if build.induction.turbocharger is not None:
        return "turbocharged"
    return BLOWERS.get(blower_kind or "", "blower")
