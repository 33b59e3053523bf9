"""Fuels as blends, and as they were tested."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.archive.model.build import Build
from specgen.archive.phrases.figures import error, warning
from specgen.findings import Finding

#: The shares of a blend sum to one within half a percent, so that thirds can be written.
BLEND_TOLERANCE = 0.005
#: What fuels that have a name hold of ethanol by volume, from least to most: petrol of any pump up
#: to a tenth (EN 228), E85 by season (ASTM D5798), others a twentieth either way (no source).
_ETHANOL = {
    **dict.fromkeys(("petrol", "petrol-95", "petrol-98", "petrol-102"), (0.0, 0.10)),
    "e10": (0.0, 0.15),
    "e20": (0.15, 0.25),
    "e50": (0.45, 0.55),
    "e85": (0.50, 0.90),
    "ethanol": (0.90, 1.0),
    "methanol": (0.0, 0.05),
}


def blends(build: Build) -> Iterator[Finding]:
    """The shares of a blend make a whole."""
    for setup in build.setups:
        fuel = setup.fuel
        if fuel is None or fuel.name is not None:
            continue
        shares = [share for share in (fuel.petrol, fuel.ethanol, fuel.methanol) if share]
        total = sum(share.value for share in shares)
        if abs(total - 1) <= BLEND_TOLERANCE:
            continue
        last = shares[-1] if shares else fuel.title or setup.id
        found = (
            f"a blend whose shares sum to {100 * total:.0f} %" if shares else "a blend of nothing"
        )
        hint = "petrol, ethanol and methanol so that they sum to 100 %"
        yield error("contradiction", last.place, found, "shares that sum to 100 %", hint)


def tested_fuels(build: Build) -> Iterator[Finding]:
    """What was tested in a batch can be the fuel that its setup names."""
    setups = {setup.id.value: setup for setup in build.setups}
    for pull in (pull for session in build.sessions for pull in session.pulls):
        setup, batch = setups.get(pull.setup.value), pull.fuel_batch
        if setup is None or batch is None or batch.ethanol is None:
            continue
        ethanol, fuel = batch.ethanol, setup.fuel
        if fuel is None:
            found = f'{ethanol.text} ethanol tested, and no fuel in the setup "{setup.id.value}"'
            yield warning("unclear", ethanol.place, found, "a fuel in the setup", "fuel: e85")
        elif fuel.name is not None:
            low, high = _ETHANOL[fuel.name.value]
            if not low - 1e-9 <= ethanol.value <= high + 1e-9:
                found = f'{ethanol.text} ethanol tested in what the setup calls "{fuel.name.value}"'
                expected = f"{100 * low:.0f} to {100 * high:.0f} %"
                blend = f"{{petrol: {100 - 100 * ethanol.value:.0f} %, ethanol: {ethanol.text}}}"
                hint = f"fuel: {blend} in the setup, or the setup that was run"
                yield warning("contradiction", ethanol.place, found, expected, hint)
