"""Rows of a setup that belong to its fuel: what it is, how much flows, what the injectors do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Derived, Made, Output, Rule, Scope, Stated
from specgen.analysis.tables import defaults
from specgen.archive.model.build import Fuel, Number
from specgen.physics import blends, fuel, knock

#: Shares by volume of the fuels that have a name; E85 carries the spread of what pumps sell.
BLENDS: dict[str, dict[str, float]] = {
    "petrol": {"petrol": 1.0},
    "petrol-95": {"petrol": 1.0},
    "petrol-98": {"petrol": 1.0},
    "petrol-102": {"petrol": 1.0},
    "e10": {"petrol": 0.90, "ethanol": 0.10},
    "e20": {"petrol": 0.80, "ethanol": 0.20},
    "e50": {"petrol": 0.50, "ethanol": 0.50},
    "e85": {"petrol": 1 - defaults.E85_MEAN, "ethanol": defaults.E85_MEAN},
    "ethanol": {"ethanol": 1.0},
    "methanol": {"methanol": 1.0},
}


def _share(component: str) -> Made:
    """The share of one component of the setup's fuel."""
    key = f"share_{component}"

    def rows(scope: Scope) -> Mapping[str, Row]:
        title = f"{component.capitalize()} in the fuel, by volume"
        setup = scope.subjects.setup
        stated = setup.fuel if setup else None
        if stated is None:
            return {key: scope.absent(key, "fuel_share", title, "fuel not recorded")}
        if stated.tested is not None and component != "methanol":
            return {key: _tested_share(scope, key, title, component, stated.tested)}
        make = _blended_share if stated.name is None else _named_share
        return {key: make(scope, key, title, component, stated)}

    return Made((key,), rows)


def _blended_share(scope: Scope, key: str, title: str, component: str, stated: Fuel) -> Row:
    """A share of a blend that the build's file states."""
    written = getattr(stated, component)
    if written is None:
        return scope.present(key, "fuel_share", 0.0, title, source="not in the stated blend")
    size, source = defaults.absolute(0.005, defaults.PRACTICE)(scope, written.value)
    return scope.present(key, "fuel_share", written.value, title, basis="stated",
                         spread={str(written.place): size}, place=written.place,
                         text=written.text, source=source)  # fmt: skip


def _tested_share(scope: Scope, key: str, title: str, component: str, tested: Number) -> Row:
    """A share that follows from the ethanol content of the batch that was run."""
    methanol = scope["share_methanol"].scalar
    value = tested.value if component == "ethanol" else max(1 - tested.value - methanol, 0.0)
    sense = 1.0 if component == "ethanol" else -1.0
    size, why = defaults.absolute(defaults.TESTED_ETHANOL, defaults.PRACTICE)(scope, value)
    return scope.present(key, "fuel_share", value, title, basis="stated",
                         spread={str(tested.place): sense * size}, place=tested.place,
                         text=tested.text, source=f"as tested in the batch; {why}")  # fmt: skip


def _named_share(scope: Scope, key: str, title: str, component: str, stated: Fuel) -> Row:
    """A share that follows from the fuel's name."""
    name = stated.name
    assert name is not None
    spread, source = {}, f"by the fuel's name, {name.value}"
    if name.value == "e85" and component == "ethanol":
        spread, source = {str(name.place): defaults.E85_UNCERTAINTY}, defaults.E85_SOURCE
    return scope.present(key, "fuel_share", BLENDS[name.value].get(component, 0.0), title,
                         basis="stated", spread=spread, place=name.place, text=name.text,
                         source=source)  # fmt: skip


def blended(ethanol: float, methanol: float) -> blends.Fuel:
    """Make a blend whose rest is petrol; a tiny negative rest from rounding counts as none."""
    shares = {"petrol": 1 - ethanol - methanol, "ethanol": ethanol, "methanol": methanol}
    return blends.blend({name: max(share, 0.0) for name, share in shares.items()})


def _pressure_across(scope: Scope) -> Mapping[str, Row]:
    """Pressure across the injector: rail to manifold, by what the regulator refers to."""
    key, title = "injector_pressure", "Pressure across the injectors"
    build = scope.subjects.build
    reference = build.fuel_system.pressure_reference if build else None
    rail, boost = scope["fuel_pressure"], scope["boost_at_top"]
    if not rail.present:
        return {key: scope.absent(key, "fuel_pressure", title, rail.reason)}
    if reference is None:
        reason = "whether the fuel pressure follows the manifold is not recorded"
        return {key: scope.absent(key, "fuel_pressure", title, reason)}
    if reference.value == "manifold" or not boost.present:
        source = "the regulator follows the manifold" if boost.present else "no boost"
        return {key: replace(rail, key=key, scope=scope.name, title=title, source=source)}
    return Derived(
        (Output(key, "fuel_pressure", title),),
        fuel.pressure_across_injector,
        {"rail_pressure": "fuel_pressure", "manifold_pressure": "boost_at_top"},
    ).rows(scope)


#: Octane of the petrol in a fuel that has a name: number, standard uncertainty.
_OCTANE = {"petrol-95": (95.0, 0.5), "petrol-98": (98.0, 0.5), "petrol-102": (102.0, 1.0)}
_ANY_OCTANE = (95.0, 2.0)


def _petrol_octane(scope: Scope) -> Mapping[str, Row]:
    """Octane of the petrol in the fuel: by its name, else what any pump sells."""
    key, title = "petrol_octane", "Research octane number of the petrol in the fuel"
    setup = scope.subjects.setup
    name = setup.fuel.name if setup and setup.fuel else None
    value, size = _OCTANE.get(name.value if name else "", _ANY_OCTANE)
    known = name is not None and name.value in _OCTANE
    words = "by the fuel's name" if known else "petrol of any pump (EN 228: at least 95)"
    return {key: scope.present(key, "octane", value, title, basis="default",
                               spread={f"octane {name.value if name else 'of petrol'}": size},
                               source=f"{words}; {defaults.PRACTICE}")}  # fmt: skip


FUEL: tuple[Rule, ...] = (
    _share("petrol"),
    _share("ethanol"),
    _share("methanol"),
    Derived(
        (
            Output(
                "stoichiometric_ratio",
                "stoichiometric_ratio",
                take=lambda blend: blend.stoichiometric_ratio,
            ),
            Output("heating_value", "heating_value", take=lambda blend: blend.heating_value),
            Output("latent_heat", "latent_heat", take=lambda blend: blend.latent_heat),
            Output("fuel_density", "fuel_density", take=lambda blend: blend.density),
        ),
        blended,
        {"ethanol": "share_ethanol", "methanol": "share_methanol"},
        shown=blends.blend,
    ),
    Made(("petrol_octane",), _petrol_octane),
    Derived(
        (Output("fuel_octane", "octane", "Research octane number of the fuel"),),
        knock.octane_of_blend,
        {
            "petrol_octane": "petrol_octane",
            "ethanol": "share_ethanol",
            "methanol": "share_methanol",
        },
    ),
    Stated(
        "mixture",
        "lambda",
        "setup.mixture",
        title="Lambda under full load",
        uncertainty=defaults.absolute(0.01, defaults.PRACTICE),
        default=defaults.mixture,
    ),
    Derived(
        (Output("air_fuel_ratio", "air_fuel_ratio", "Air-fuel ratio under full load"),),
        fuel.air_fuel_ratio,
        {"excess_air_ratio": "mixture", "stoichiometric_ratio": "stoichiometric_ratio"},
    ),
    Derived(
        (
            Output(
                "fuel_flow_at_top",
                "fuel_mass_flow",
                "Fuel mass flow at the highest speed, estimated",
            ),
        ),
        fuel.fuel_mass_flow,
        {"air_mass_flow": "air_flow_at_top", "air_fuel_ratio": "air_fuel_ratio"},
        basis="estimated",
    ),
    Made(("injector_pressure",), _pressure_across),
    Derived(
        (Output("injector_working_flow", "injector_flow", "Injector flow at working pressure"),),
        fuel.injector_flow,
        {
            "rated_flow": "injector_rated_flow",
            "rated_pressure": "injector_rated_pressure",
            "pressure_across": "injector_pressure",
        },
    ),
    Derived(
        (
            Output(
                "injector_duty",
                "injector_duty",
                "Injector duty at the highest speed, estimated",
            ),
        ),
        fuel.injector_duty,
        {
            "fuel_mass_flow": "fuel_flow_at_top",
            "density": "fuel_density",
            "count": "injector_count",
            "injector_flow": "injector_working_flow",
        },
        basis="estimated",
    ),
)
