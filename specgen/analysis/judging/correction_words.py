"""What correction to standard air means for an engine, by how its boost is set, in plain sentences.

Neither "always correct" nor "never correct" is the published position. 30 CFR 7.87 (compression
ignition; read) has one form for naturally aspirated and mechanically supercharged engines and
another for turbocharged ones; SAE J245 of 1971 (read) left turbocharged spark-ignition engines
out for want of data; a supplement to UN Regulation 85 was proposed (its purpose read) so that
nothing is corrected twice where a control already makes up for temperature and altitude.
"""

from __future__ import annotations

from collections.abc import Iterator

from specgen.analysis.assembly import setup_of
from specgen.analysis.rows.row import Row, point
from specgen.analysis.rows.scope import Scope
from specgen.analysis.tables.boost_control import ABSOLUTE, control_of
from specgen.analysis.tables.session import NO_CORRECTION
from specgen.analysis.workings import SessionSheet, Workings, best_of
from specgen.archive.model.build import Build, Settings, Setup
from specgen.archive.model.session import Air
from specgen.physics.correction import STANDARDS, Standard
from specgen.vocabulary import System, quantity

#: Beyond this a factor is called large where a standard's own limits are not known.
_LARGE = STANDARDS["iso-1585"].factor_range or (1.0, 1.0)

#: The reference air in which the model is asked for its own factor, as standards write it, and by
#: how little two factors are the same.
_MODELLED, _SAME = "99 kPa dry, 25 °C", 0.003

_NATURAL = (
    "Naturally aspirated: the case that the standards of correction were written for. The factor "
    "applies as it stands."
)
_TURBOCHARGED = (
    "Turbocharged: SAE J245 of 1971 left such spark-ignition engines out for want of data, and "
    "30 CFR 7.87 gives them a form of their own among compression-ignition engines. The corrected "
    "figure is for orientation."
)
_CASES: dict[str | None, str] = {
    "fixed-ratio": (
        "The drive ratio alone sets the boost, so that the pressure in the manifold goes with the "
        "air outside. The factor applies as for a naturally aspirated engine, which is how "
        "30 CFR 7.87 treats mechanically supercharged engines (compression ignition)."
    ),
    ABSOLUTE: (
        "The boost is held at an absolute pressure, which already makes up for thin air: a "
        "correction may count that twice. The observed figure leads here; the corrected one stands "
        "among the rows."
    ),
    "gauge": (
        "The boost is held over the air outside, so that the pressure in the manifold changes by "
        "as much as the barometer, which is a smaller share of it. Of the factor's part for "
        "pressure only that share is due (follows from the pressures; no standard says so)."
    ),
    None: (
        "How the boost is set is not recorded. With a fixed drive ratio the factor applies; where "
        "a control holds an absolute pressure it may count twice."
    ),
}


def words_of_session(sheet: Workings, session: SessionSheet) -> tuple[str, ...]:
    """What correction means for one visit: how the figures stand, which case applies, the range."""
    rows, build = session.rows, session.rows.subjects.build
    assert build is not None
    setups = [pull.setup.setup for pull in session.pulls]
    own = _own_factor(sheet, session)
    return (*_standing(rows), *_cases(build, setups), *own, *_range(rows))


def _own_factor(sheet: Workings, session: SessionSheet) -> Iterator[str]:
    """The factor that the fitted model has for a blower of fixed ratio, where it is another one.

    Every pressure and temperature behind such a blower goes with the air before it, which the
    exponents of a standard for engines without one do not know.
    """
    rows, best = session.rows, best_of(session.pulls)
    settings, factor = rows.subjects.settings, rows["correction_factor"]
    if best is None or settings is None or sheet.blower is None or not factor.present:
        return
    setup, at = best.setup, best.rows["power_speed"]
    if control_of(sheet.build, setup.setup) in (ABSOLUTE, "gauge") or not at.present:
        return
    standard = STANDARDS[settings.correction.value]
    if standard.reference != _MODELLED:
        return
    here = _power_at(setup.rows, at)
    there = _power_at(setup_of(sheet, setup.setup, Air()).rows, at)
    if here is None or there is None or abs(there / here - factor.scalar) < _SAME:
        return
    yield (
        f"This engine on its blower of fixed ratio follows the air otherwise than an engine "
        f"without one: from the air of the test to {standard.reference} the fitted model gives "
        f"{there / here:.3f}, where {standard.title} has {_text(factor, 'metric')}."
    )


def _power_at(rows: Scope, at: Row) -> float | None:
    """Estimated power at one engine speed; None where there is none."""
    power = rows["estimated_power"]
    found = point(power, rows["speed"], at, "power_there", "") if power.present else power
    return found.scalar if found.present else None


def words_of_build(sheet: Workings) -> tuple[str, ...]:
    """Which case applies to a build, tested or not."""
    return _cases(sheet.build, [setup.setup for setup in sheet.setups])


def _cases(build: Build, setups: list[Setup]) -> tuple[str, ...]:
    """The sentences for every way in which boost is set, each once."""
    if build.induction.natural is not None:
        return (_NATURAL,)
    asked: list[Setup | None] = [*setups] or [None]
    controls = dict.fromkeys(control_of(build, setup) for setup in asked)
    said = [_CASES[control] for control in controls]
    if build.induction.turbocharger is None:
        return tuple(said)
    # a turbocharger has no drive ratio, so that its own sentence stands alone then
    own = [words for words, control in zip(said, controls, strict=True) if control != "fixed-ratio"]
    return (_TURBOCHARGED, *own)


def _standing(rows: Scope) -> Iterator[str]:
    """What the dyno had already done, and what is done here."""
    session, settings = rows.subjects.session, rows.subjects.settings
    assert session is not None
    assert settings is not None
    figures, chosen = session.figures, settings.correction.value
    if figures.state == "unknown":
        yield "Whether the dyno had corrected its figures is unknown: they stand as reported."
        return
    if figures.standard is not None:
        title = STANDARDS[figures.standard.value].title
        if figures.standard.value == chosen:
            yield f"The dyno had already corrected its figures to {title}: they stay as they are."
            return
        yield f"The dyno had already corrected its figures to {title}, which is undone first."
    if chosen == NO_CORRECTION:
        yield "This archive shows figures as observed."
        return
    factor, title = rows["correction_factor"], STANDARDS[chosen].title
    if factor.present:
        yield f"From observed to {title} the factor is {_text(factor, 'metric')}."
        yield from _permits(STANDARDS[chosen], _system(settings))
    else:
        yield f"There is no factor to {title}: {factor.reason}."


def _permits(standard: Standard, system: System) -> Iterator[str]:
    """The air, and the factor, that a standard is meant for."""
    told = [
        f"{words} of {' to '.join(quantity(key).text(end, system) for end in span)}"
        for words, key, span in (
            ("air", "air_temperature", standard.temperature_range),
            (f"a {_pressure_words(standard)}", "air_pressure", standard.pressure_range),
        )
        if span is not None
    ]
    if standard.factor_range is not None:
        told.append("a factor of {:g} to {:g}".format(*standard.factor_range))
    if told:
        listed = f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]
        yield f"{standard.title} is meant for {listed} (from memory)."


def _pressure_words(standard: Standard) -> str:
    return "dry pressure" if standard.dry else "pressure"


def _range(rows: Scope) -> Iterator[str]:
    """A factor, or air, outside what the standard permits, with the conditions of the test."""
    session, settings = rows.subjects.session, rows.subjects.settings
    assert session is not None
    assert settings is not None
    chosen, system, factor = settings.correction.value, _system(settings), rows["correction_factor"]
    if chosen == NO_CORRECTION or not factor.present or session.figures.state == "unknown":
        return
    said = list(_beyond(STANDARDS[chosen], rows, system))
    yield from said
    if said:
        # Regulation (EU) 134/2014, Annex X (read): such a factor goes with the test conditions
        yield f"Such a factor is to be read with the air of the test: {_conditions(rows, system)}."


def _beyond(standard: Standard, rows: Scope, system: System) -> Iterator[str]:
    """What of the factor, the air and its pressure a standard does not permit."""
    factor, title = rows["correction_factor"], standard.title
    if standard.factor_range is not None:
        low, high = standard.factor_range
        if not low <= factor.scalar <= high:
            yield (
                f"The factor {_text(factor, system)} lies outside {low:g} to {high:g}, which "
                f"{title} permits (from memory)."
            )
    elif not _LARGE[0] <= factor.scalar <= _LARGE[1]:
        yield (
            f"The factor {_text(factor, system)} is far from one. Which factors {title} permits "
            "differs between its editions, so that no limit is claimed here."
        )
    pressure = rows["dry_pressure" if standard.dry else "station_pressure"]
    for words, key, row, span in (
        ("The air of", "air_temperature", rows["air_temperature"], standard.temperature_range),
        (f"The {_pressure_words(standard)} of", "air_pressure", pressure,
         standard.pressure_range),
    ):  # fmt: skip
        if span is None or not row.present or span[0] <= row.scalar <= span[1]:
            continue
        found, *ends = (quantity(key).text(value, system) for value in (row.scalar, *span))
        yield (
            f"{words} {found} lies outside {' to '.join(ends)}, which {title} permits "
            "(from memory)."
        )


def _conditions(rows: Scope, system: System) -> str:
    known = [rows[key] for key in ("station_pressure", "air_temperature", "humidity")]
    words = [_text(row, system) for row in known if row.present]
    return ", ".join([*words[:-1], f"{words[-1]} relative humidity"] if len(words) == 3 else words)


def _text(row: Row, system: System) -> str:
    return row.quantity.text(row.scalar, system)


def _system(settings: Settings) -> System:
    return settings.units.value
