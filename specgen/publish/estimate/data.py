"""What a browser estimates with: every value that a typed engine is given, with its doubt.

The values are read off the rows of a plain engine that is worked out here as any build is, so that
a default is said once. What follows from what a customer types is worked out in `working.js`.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from math import pi
from typing import Any

import numpy as np

from specgen.analysis.assembly import assemble, setup_of
from specgen.analysis.method import method
from specgen.analysis.planning.typed import ILL_MATCHED, RAIL, RANGES, Typed, build_of
from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.tables import estimated
from specgen.analysis.tables.fuel import BLENDS
from specgen.analysis.tables.measured_map import map_of
from specgen.archive.checks.readings import SWEEPS
from specgen.archive.model.build import Air, Archive, Blower, Fuel, Given, Setup
from specgen.findings import Place
from specgen.physics import map_matching
from specgen.physics.blower_map import BlowerMap, DisplacementMap
from specgen.physics.engine import swept_volume
from specgen.publish import addresses
from specgen.publish.estimate.attempts import Attempt, held, written
from specgen.publish.estimate.words import ASKED, DOUBTS, SHOWN, fuel_names
from specgen.publish.store.shelf import Shelf
from specgen.publish.store.texts import blower_texts, settings_text
from specgen.publish.web.handover import FORMAT, script, shown_units

#: A value and its standard uncertainty.
Doubted = tuple[float, float]

#: Parameters of the model that follow from what is typed, or from the pair of pulleys.
_TYPED = {
    "speed", "pressure", "temperature", "relative_humidity", "swept_volume", "stroke", "max_speed",
    "best_speed", "volumetric_efficiency", "indicated_efficiency", "effectiveness", "cooler_drop",
    "reference_speed", "speed_ratio", "reference_ratio", "stoichiometric_ratio", "heating_value",
    "latent_heat", "octane",
}  # fmt: skip
#: Rows of a fuel that the model or the injectors want, by their names in the browser.
_OF_FUEL = {
    "stoichiometric_ratio": "stoichiometric_ratio",
    "heating_value": "heating_value",
    "latent_heat": "latent_heat",
    "octane": "fuel_octane",
    "density": "fuel_density",
}
_PLAIN = Typed(4, 0.086, 0.086, 100.0, "petrol-95", 9.0, 4, True, 100e3, 298.15, 0.5, 4, 1e-5)
_HERE = Place("a plain engine")


def _number(value: float) -> float:
    return float(f"{value:.15g}")


def _doubted(row: Row) -> Doubted:
    sigma = row.uncertainty
    return _number(row.scalar), _number(float(sigma)) if isinstance(sigma, float) else 0.0


def _scope(archive: Archive, blower: Blower, typed: Typed) -> Scope:
    """The rows of a setup of a plain engine, in the air that was typed."""
    air = Air(*(_given(it) for it in (typed.pressure, "station", None, typed.temperature,
                                      typed.humidity)))  # fmt: skip
    fuel = Fuel(name=Given(typed.fuel, typed.fuel, Place("the fuel")))
    setup = Setup(Given("plain", "plain", _HERE), crank_pulley=Given(0.16, "", Place("crank")),
                  blower_pulley=Given(0.09, "", Place("blower")), fuel=fuel)  # fmt: skip
    own = replace(archive, blowers={blower.id: blower})
    return setup_of(assemble(own, build_of(blower, typed)), setup, air).rows


def _given(value: Any) -> Any:
    return None if value is None else Given(value, "", Place(f"typed {value}"))


class Estimates:
    """What the pages of an archive estimate with; `attempts` are those of all its builds.

    `shelf` keeps what rests on a blower and the settings alone.
    """

    def __init__(
        self, archive: Archive, attempts: Sequence[Attempt], shelf: Shelf | None = None
    ) -> None:
        self.archive, self.attempts = archive, attempts
        self._shelf = shelf or Shelf()

    def kept(self, what: str, blower: Blower, make: Callable[[Archive, Blower], Any]) -> Any:
        """What follows from a blower and the settings, as JSON gives it: made, or found kept."""
        texts = settings_text(self.archive), *blower_texts(self.archive, blower)
        rests_on = ("estimate", what, blower.id, *texts)
        return json.loads(
            self._shelf.text(rests_on, lambda: json.dumps(make(self.archive, blower)))
        )

    @cached_property
    def known(self) -> dict[str, dict[str, Any]]:
        """The blowers that can be estimated: known well enough, with pulleys to choose from."""
        found = ((it.id, self.kept("data", it, of_blower)) for it in self.archive.blowers.values())
        return {name: data for name, data in found if data is not None}

    def files(self) -> Iterator[tuple[str, str]]:
        """What the pages load, as address and text: what all blowers share, and each one's own."""
        yield addresses.ESTIMATE_DATA, self.common_script()
        for name in self.known:
            yield addresses.blower_estimate(name), self.blower_script(name)

    def common_script(self) -> str:
        """What holds for every blower of an archive, and what the page calls things."""
        first = next(iter(self.known), None)
        page = {
            "format": FORMAT,
            "blowers": [[name, data["title"]] for name, data in self.known.items()],
            "held": held(self.attempts),
            "quantities": {key: shown_units(_QUANTITIES.get(key, key)) for key in SHOWN},
            "ranges": RANGES,
            "asked": ASKED,
            "doubts": DOUBTS,
            "fuelNames": fuel_names(),
        }
        if first is not None:
            blower = self.archive.blowers[first]
            page |= {"usual": _asked(usual(blower)), **self.kept("shared", blower, shared)}
        return script("estimate", page)

    def blower_script(self, name: str) -> str:
        """What one blower's estimate rests on, with the combos that were measured with it."""
        own = [written(it) for it in self.attempts if it.blower == name]
        usually = _asked(usual(self.archive.blowers[name]))
        return script(f"estimate {name}", {**self.known[name], "usual": usually, "attempts": own})


def usual(blower: Blower) -> Typed:
    """A plain engine of a size that such a blower is for: where a form begins, and no one's own."""
    volume = 1.9 * blower.displacement.value if blower.displacement else 2.5e-3
    volume = max(round(volume * 1e4) * 1e-4, 2e-4)
    bore = (4 * volume / 4 / pi) ** (1 / 3)
    return Typed(4, bore, bore, 100.0, "petrol-98", 9.0, 4)


def _asked(typed: Typed) -> dict[str, Any]:
    """A typed engine as the form holds it: numbers in metric units, a size for a square engine."""
    volume = float(swept_volume(typed.bore, typed.stroke, typed.cylinders))
    return {
        "size": round(volume * 1e3, 2),
        "cylinders": typed.cylinders,
        "ratio": typed.compression_ratio,
        "speed": round(typed.max_speed * 60),
        "valves": str(typed.valves or ""),
        "fuel": typed.fuel,
        "cooler": "fitted" if typed.cooler else "",
    }


#: Quantities that stand under another name on the page.
_QUANTITIES = {"octane_asked": "octane"}


def shared(archive: Archive, blower: Blower) -> dict[str, Any]:
    """What holds for every blower of an archive, read off a plain engine with one of them."""
    rows = _scope(archive, blower, _PLAIN)
    unknown = replace(_PLAIN, cooler=False, compression_ratio=None,
                      pressure=None, temperature=None, humidity=None)  # fmt: skip
    bare = _scope(archive, blower, unknown)
    common = {**estimated._SHARED, **estimated._BURNING}
    return {
        "method": method().number,
        "rows": {
            name: _doubted(rows[key])
            for name, key in common.items()
            if name not in _TYPED and name != "pressure_allowance"
        },
        "valves": {
            count or "": _doubted(_scope(archive, blower, replace(_PLAIN, valves=count))[
                "volumetric_efficiency"
            ])
            for count in (None, 2, 3, 4, 5)
        },
        "cooler": [_cooler(bare), _cooler(rows)],
        "efficiency": [_doubted(bare["indicated_efficiency"]),
                       _doubted(rows["indicated_efficiency"])[1]],
        "best": rows["best_speed"].scalar / rows["max_speed"].scalar,
        "grid": [estimated.GRID_START, estimated.GRID_POINTS],
        "length": _share(rows["bore"]),
        "air": {
            name: [_doubted(bare[f"estimate_{name}"]), _doubted(rows[f"estimate_{name}"])[1]]
            for name in ("pressure", "temperature", "humidity")
        },
        "injector": _share(rows["injector_rated_flow"]),
        "rail": [RAIL, _doubted(rows["injector_pressure"])[1]],
        "duty": rows["limit_injector_duty"].scalar,
        "fuels": {name: _fuel(_scope(archive, blower, replace(_PLAIN, fuel=name)))
                  for name in BLENDS},
        "words": {"matched": [*SWEEPS, ILL_MATCHED],
                  "outside": list(map_matching.OUTSIDE)},
    }  # fmt: skip


def _share(row: Row) -> float:
    value, doubt = _doubted(row)
    return _number(doubt / value)


def _cooler(rows: Scope) -> dict[str, Doubted]:
    return {name: _doubted(rows[name]) for name in ("effectiveness", "cooler_drop")}


def _fuel(rows: Scope) -> dict[str, list[Any]]:
    """Each figure of a fuel with what each of its doubts moves, by the doubt's number."""
    roots: dict[str, int] = {}
    found = {}
    for name, key in _OF_FUEL.items():
        row = rows[key]
        spread = {roots.setdefault(root, len(roots)): _number(float(part))
                  for root, part in row.spread.items()}  # fmt: skip
        found[name] = [_number(row.scalar), {f"fuel {at}": part for at, part in spread.items()}]
    return found


def of_blower(archive: Archive, blower: Blower) -> dict[str, Any] | None:
    """One blower: its parameters, pulleys and limits, and its map; None where nothing is known."""
    rows = _scope(archive, blower, _PLAIN)
    kind = estimated.kind_of(rows)
    if kind is None or not (blower.pulleys and blower.crank_pulleys):
        return None
    own = {"pressure_allowance": "pressure_allowance", **estimated._OWN[kind]}
    if any(not rows[key].present for key in own.values()):
        return None
    measured = map_of(blower)
    data = {
        "kind": kind,
        "rows": {name: _doubted(rows[key]) for name, key in own.items() if name not in _TYPED},
        "internal": rows["internal_ratio"].scalar,
        "limit": rows["blower_max_speed"].scalar if rows["blower_max_speed"].present else None,
        "ribs": blower.ribs.value if blower.ribs else None,
        "pulleys": [[it.text, it.value] for it in blower.pulleys],
        "cranks": [[it.text, it.value] for it in blower.crank_pulleys],
        "map": _map(measured) if measured is not None else None,
    }
    return {"id": blower.id, "title": blower.title.value, "digest": digest(data), **data}


def digest(data: Mapping[str, Any]) -> str:
    """A short name of what a blower's file says, so that a link tells whether it changed."""
    text = json.dumps(data, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:6]


def _map(measured: BlowerMap) -> dict[str, Any]:
    """A measured map line by line: coordinate and values of each point, as they were measured.

    `reference` is what the losses before the blower are referred to, a number a line.
    """
    lines = measured.lines
    air: tuple[float | None, float | None] = (None, None)
    if isinstance(measured, DisplacementMap):
        along = measured.pressure_ratio
        referred = [float(measured.least_loaded(speed)) for speed in lines.speed]
    else:
        along = measured.air_flow
        referred = [float(measured.middle_ratio(speed)) for speed in lines.speed]
        air = (measured.reference_pressure, measured.reference_temperature)
    own = [np.flatnonzero(measured.speed == speed) for speed in lines.speed]
    return {
        "speed": _listed(lines.speed),
        "along": [_listed(along[part]) for part in own],
        "values": {
            key: [_listed(getattr(measured, key)[part]) for part in own] for key in lines.values
        },
        "reference": _listed(referred),
        "reference_pressure": air[0],
        "reference_temperature": air[1],
    }


def _listed(values: Sequence[float] | Any) -> list[float]:
    return [_number(float(value)) for value in values]
