"""The blueprint as rows: dimensions, and what follows from them as specified and as measured.

Each case (as specified, or one cylinder as measured) takes a dimension from the nearest place:
its own reading, the reading that holds for all cylinders, the specification, the engine's entry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Derived, FirstOf, Made, Output, Rule, Scope
from specgen.analysis.rows.written import Written
from specgen.analysis.tables.defaults import PRACTICE
from specgen.archive.model.build import Build, Engine
from specgen.archive.model.given import Number
from specgen.archive.model.record import Blueprint as WrittenBlueprint
from specgen.archive.model.record import Dimension
from specgen.physics import blueprint, engine, motion

#: key in the file: quantity, title, standard uncertainty of a reading on the bench [SI]
DIMENSIONS: dict[str, tuple[str, str, float]] = {
    "bore": ("cylinder_bore", "Bore", 5e-6),
    "stroke": ("crank_stroke", "Stroke", 2e-5),
    "rod_length": ("rod_centres", "Connecting-rod length", 2e-5),
    "compression_height": ("compression_height", "Piston compression height", 2e-5),
    "block_deck_height": ("block_deck_height", "Block deck height", 2e-5),
    "deck_clearance": ("deck_clearance", "Deck clearance", 2e-5),
    "gasket_bore": ("gasket_bore", "Head-gasket bore", 1e-4),
    "gasket_thickness": ("gasket_thickness", "Compressed head-gasket thickness", 2e-5),
    "chamber_volume": ("chamber_volume", "Chamber volume", 2e-7),
    "dish_volume": ("dish_volume", "Dish volume", 2e-7),
}
#: Dimensions that the engine's own entry may state, by its key there.
_IN_ENGINE = {
    "bore": "bore",
    "stroke": "stroke",
    "rod_length": "rod_length",
    "block_deck_height": "deck_height",
}
_STACK = ("block_deck_height", "stroke", "rod_length", "compression_height")
_BENCH = f"standard uncertainty of a reading on the bench; {PRACTICE}"


@dataclass(frozen=True, slots=True, eq=False)
class DimensionRows:
    """One dimension: as specified, and each reading; one reading may hold for all cylinders."""

    key: str
    title: str
    specified: Row | None
    measured: tuple[Row, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Volumes:
    """What follows for one case; `cylinder` is None where it holds for all of them."""

    title: str
    cylinder: int | None
    deck_clearance: Row
    quench_distance: Row
    clearance_volume: Row
    compression_ratio: Row


@dataclass(frozen=True, slots=True, eq=False)
class Blueprint:
    """All of the blueprint; `cylinders` is empty where nothing was measured.

    `mean_ratio` and `spread` are over the cylinders as measured; `stated_ratio` is the engine's
    entry; `deck_due` is the deck clearance that block, stroke, rod and piston add up to.
    """

    dimensions: tuple[DimensionRows, ...]
    specified: Volumes
    cylinders: tuple[Volumes, ...]
    deck_due: Row
    stated_ratio: Row
    mean_ratio: Row | None
    spread: Row | None
    motion: tuple[Row, ...]


class _Case:
    """One case: where each dimension comes from, and the keys of what follows."""

    def __init__(self, name: str, title: str, cylinder: int | None, sources: dict[str, str]):
        self.name = name
        self.title = title
        self.cylinder = cylinder
        self.sources = sources

    def rules(self) -> Iterator[Rule]:
        """Make the rules of what follows in this case."""
        source, name = self.sources, self.name
        yield self._derived("swept", "cylinder_volume", "Volume of a cylinder",
            engine.swept_volume, {"bore": source["bore"], "stroke": source["stroke"]},
            cylinders=1)  # fmt: skip
        yield self._derived("deck_due", "deck_clearance",
            "Deck clearance from block, stroke, rod and piston", blueprint.deck_clearance,
            {"block_height": source["block_deck_height"], "stroke": source["stroke"],
             "rod_length": source["rod_length"],
             "compression_height": source["compression_height"]})  # fmt: skip
        yield FirstOf(f"{name}_deck", (source["deck_clearance"], f"{name}_deck_due"))
        yield self._derived("clearance_volume", "clearance_volume", "Clearance volume",
            blueprint.clearance_from_parts,
            {"chamber_volume": source["chamber_volume"], "gasket_bore": source["gasket_bore"],
             "gasket_thickness": source["gasket_thickness"], "bore": source["bore"],
             "deck_clearance": f"{name}_deck", "piston_volume": source["dish_volume"]}
        )  # fmt: skip
        yield self._derived("ratio", "cylinder_compression_ratio", "Compression ratio",
            blueprint.compression_ratio,
            {"cylinder_swept_volume": f"{name}_swept",
             "clearance_volume": f"{name}_clearance_volume"})  # fmt: skip
        yield self._derived("quench", "quench_distance", "Quench distance",
            blueprint.quench_distance,
            {"deck_clearance": f"{name}_deck", "gasket_thickness": source["gasket_thickness"]}
        )  # fmt: skip

    def _derived(
        self, key: str, quantity: str, title: str, function: Any, inputs: dict[str, str],
        **fixed: Any,
    ) -> Derived:  # fmt: skip
        output = Output(f"{self.name}_{key}", quantity, f"{title}, {self.title}")
        return Derived((output,), function, inputs, fixed=fixed)

    def volumes(self, scope: Scope) -> Volumes:
        """Collect what follows in this case."""
        keys = ("deck", "quench", "clearance_volume", "ratio")
        return Volumes(self.title, self.cylinder, *(scope[f"{self.name}_{key}"] for key in keys))


def blueprint_rules(build: Build) -> list[Rule]:
    """Make the rules of a build's blueprint; without one the engine's own entries stand in."""
    if build.record is None or not _has_blueprint(build):
        own = {"built_stroke": "stroke", "built_rod_length": "rod_length"}
        own["built_ratio"] = "compression_ratio"
        return [FirstOf(key, (engine_key,)) for key, engine_key in own.items()]
    rules: list[Rule] = []
    for key in DIMENSIONS:
        rules += _dimension_rules(key, getattr(build.record.blueprint, key), build.engine)
    cases = _cases(build)
    for case in cases:
        rules += case.rules()
    return [*rules, *_overall(cases), *_motion(build.record.blueprint)]


def _has_blueprint(build: Build) -> bool:
    return build.record is not None and build.record.blueprint != WrittenBlueprint()


def _dimension_rules(key: str, dimension: Dimension, written_engine: Engine) -> Iterator[Rule]:
    """One rule for the specification, one a reading, one for the engine's own entry."""
    quantity, title, uncertainty = DIMENSIONS[key]
    many = len(dimension.measured) > 1
    for number, reading in enumerate(dimension.measured, 1):
        suffix, where = (f"_{number}", f", cylinder {number}") if many else ("", "")
        yield Written(f"measured_{key}{suffix}", quantity, f"{title} as measured{where}", reading,
                      "measured", uncertainty, _BENCH)  # fmt: skip
    stated: Number | None = getattr(written_engine, _IN_ENGINE.get(key, ""), None)
    given = dimension.specified or stated
    yield Written(f"specified_{key}", quantity, f"{title} as specified", given,
                  missing=f"{title.lower()} not recorded{_remedy(key)}")  # fmt: skip
    options = [f"measured_{key}{'_1' if many else ''}"] if dimension.measured else []
    yield FirstOf(f"built_{key}", (*options, f"specified_{key}"))


def _remedy(key: str) -> str:
    return " (0 cm3 for a flat crown)" if key == "dish_volume" else ""


def _cases(build: Build) -> list[_Case]:
    """The specification; and each cylinder, or all at once where no reading tells them apart."""
    assert build.record is not None
    written = build.record.blueprint
    cases = [
        _Case("specified", "as specified", None, {key: f"specified_{key}" for key in DIMENSIONS})
    ]
    lengths = [len(getattr(written, key).measured) for key in DIMENSIONS]
    if max(lengths) == 1:
        cases.append(_Case("measured", "as measured", None, _sources(written, 1)))
    elif max(lengths) > 1:
        cases += [
            _Case(f"cylinder_{number}", f"cylinder {number}", number, _sources(written, number))
            for number in range(1, build.engine.cylinders.value + 1)
        ]
    return cases


def _sources(written: WrittenBlueprint, number: int) -> dict[str, str]:
    """Where a cylinder's dimensions come from.

    A deck clearance that nobody measured follows from the stack where any of it was measured.
    """
    sources = {}
    for key in DIMENSIONS:
        count = len(getattr(written, key).measured)
        own = f"measured_{key}" if count == 1 else f"measured_{key}_{number}"
        sources[key] = own if count else f"specified_{key}"
    stack_measured = any(getattr(written, key).measured for key in _STACK)
    if not written.deck_clearance.measured and stack_measured:
        name = "measured" if number == 1 and _same_for_all(written) else f"cylinder_{number}"
        sources["deck_clearance"] = f"{name}_deck_due"
    return sources


def _same_for_all(written: WrittenBlueprint) -> bool:
    return all(len(getattr(written, key).measured) <= 1 for key in DIMENSIONS)


def _overall(cases: Sequence[_Case]) -> Iterator[Rule]:
    """Mean and spread over the cylinders, and the ratio that the rest of the record uses."""
    measured = [case for case in cases if case.name != "specified"]
    options = ["specified_ratio", "compression_ratio"]
    if len(measured) == 1:
        options.insert(0, "measured_ratio")
    if len(measured) > 1:
        inputs = {f"r_{case.cylinder}": f"{case.name}_ratio" for case in measured}
        options.insert(0, "mean_ratio")
        yield Derived(
            (Output("mean_ratio", "cylinder_compression_ratio", "Mean compression ratio"),),
            lambda **ratios: blueprint.mean_compression_ratio(list(ratios.values())),
            inputs,
            shown=blueprint.mean_compression_ratio,
        )
        yield Made(("ratio_spread",), _spread(inputs.values()))
    yield FirstOf("built_ratio", tuple(options))


def _spread(keys: Iterable[str]) -> Callable[[Scope], Mapping[str, Row]]:
    """Largest less smallest ratio, of the two cylinders that have them.

    The two are chosen first: the uncertainty is that of their difference, in which a reading
    that all cylinders share counts for next to nothing.
    """

    def rows(scope: Scope) -> Mapping[str, Row]:
        ratios = [scope[key] for key in keys]
        known = all(row.present for row in ratios)
        by_size = sorted(ratios, key=lambda row: row.scalar) if known else ratios
        inputs = {"largest": by_size[-1].key, "smallest": by_size[0].key}
        output = Output("ratio_spread", "compression_ratio_spread")
        return Derived((output,), blueprint.compression_ratio_spread, inputs).rows(scope)

    return rows


def _motion(written: WrittenBlueprint) -> Iterator[Rule]:
    """What stroke and rod say about the motion; only where the record knows one of them."""
    if not any(part.specified or part.measured for part in (written.stroke, written.rod_length)):
        return
    stroke, rod = "built_stroke", "built_rod_length"
    yield Derived((Output("rod_to_stroke", "ratio", "Rod-to-stroke ratio"),),
        blueprint.rod_to_stroke_ratio, {"rod_length": rod, "stroke": stroke})  # fmt: skip
    yield Derived(
        (Output("built_piston_speed", "piston_speed", "Mean piston speed at the highest speed"),),
        engine.mean_piston_speed, {"stroke": stroke, "speed": "max_speed"})  # fmt: skip
    yield Derived((Output("built_piston_acceleration", "piston_acceleration"),),
        motion.peak_piston_acceleration,
        {"stroke": stroke, "rod_length": rod, "speed": "max_speed"})  # fmt: skip


def blueprint_of(build: Build, scope: Scope) -> Blueprint | None:
    """Collect the blueprint's rows; None where none was recorded."""
    if build.record is None or not _has_blueprint(build):
        return None
    cases = _cases(build)
    measured = [case.volumes(scope) for case in cases[1:]]
    motion_keys = ("rod_to_stroke", "built_piston_speed", "built_piston_acceleration")
    found = [scope.find(key) for key in motion_keys]
    single = measured[0].compression_ratio if len(measured) == 1 else None
    return Blueprint(
        tuple(_dimensions(build.record.blueprint, scope)),
        cases[0].volumes(scope),
        tuple(measured),
        scope["specified_deck_due"],
        scope["compression_ratio"],
        scope.find("mean_ratio") or single,
        scope.find("ratio_spread"),
        tuple(row for row in found if row is not None and row.present),
    )


def _dimensions(written: WrittenBlueprint, scope: Scope) -> Iterator[DimensionRows]:
    """Rows of each dimension that the record itself has."""
    for key, (_, title, _) in DIMENSIONS.items():
        dimension = getattr(written, key)
        count = len(dimension.measured)
        names = [f"measured_{key}_{number}" for number in range(1, count + 1)]
        readings = tuple(
            scope[name] for name in (names if count > 1 else [f"measured_{key}"] * count)
        )
        specified = scope[f"specified_{key}"]
        if readings or specified.present:
            yield DimensionRows(key, title, specified if specified.present else None, readings)
