"""One page of each kind, picked out of the archive by what it is and not by its name."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive, Build


def first(archive: Archive, wanted: Callable[[Build], bool]) -> str:
    """Path of the first build that is what is wanted."""
    return f"builds/{next(build.id for build in archive.builds.values() if wanted(build))}/"


def ladder(build: Build) -> bool:
    """Several setups with curves, and a drawn belt."""
    curves = any(pull.curve for session in build.sessions for pull in session.pulls)
    return len(build.setups) >= 4 and curves and bool(build.drive.layout)


def natural(build: Build) -> bool:
    """A naturally aspirated engine that was tested."""
    return build.induction.natural is not None and bool(build.sessions)


def peaks_only(build: Build) -> bool:
    """Nothing but peak figures."""
    pulls = [pull for session in build.sessions for pull in session.pulls]
    return bool(pulls) and all(pull.curve is None for pull in pulls)


def planned(build: Build) -> bool:
    """Never tested."""
    return not build.sessions


def turbocharged(build: Build) -> bool:
    """Fed by a turbocharger: measured, never estimated."""
    return build.induction.turbocharger is not None


def recorded(build: Build) -> bool:
    """A full build record: blueprint, cam card, clearances, and parts that were changed."""
    record = build.record
    changed = any(part.fitted for part in build.parts)
    return record is not None and record.cam is not None and bool(record.clearances) and changed


def pictured(build: Build) -> bool:
    """Half a dozen pictures."""
    return len(build.pictures) >= 6


def five(archive: Archive) -> str:
    """Five builds as a comparison's address names them: tested, planned and of every kind."""
    wanted = (ladder, natural, peaks_only, planned, turbocharged)
    paths = (first(archive, kind) for kind in wanted)
    return ",".join(path.removeprefix("builds/").rstrip("/") for path in paths)


@cache
def analysed(root: Path) -> dict[str, Sheet]:
    """All sheets of an archive; made once a process."""
    return analyse(read_archive(root))


def misfitted(archive: Archive) -> str:
    """A sheet that names a pull which disagrees with the others."""
    sheets = analysed(archive.root).values()
    return next(f"builds/{sheet.id}/" for sheet in sheets if sheet.diagnoses)


KINDS: dict[str, Callable[[Archive], str]] = {
    "home": lambda _: "",
    "builds": lambda _: "builds/",
    "compare": lambda archive: f"compare/?with={five(archive)}&at=flywheel",
    "compare nothing": lambda _: "compare/",
    "find": lambda _: "find/?litres=2&cylinders=4&fuel=E85&fed=lobe+blower&power=220",
    "estimate": lambda _: (
        "on-your-engine/?on=grebe-11&size=2&cylinders=4&ratio=9&speed=6500&fuel=e85&flow=650"
        "&injectors=4&want=power&wish=200"
    ),
    "ladder": lambda archive: first(archive, ladder),
    "figures": lambda archive: first(archive, ladder) + "figures/",
    "readings": lambda archive: first(archive, ladder) + "readings/",
    "plan": lambda archive: first(archive, ladder) + "plan/",
    "card": lambda archive: first(archive, ladder) + "card/",
    "natural": lambda archive: first(archive, natural),
    "peaks only": lambda archive: first(archive, peaks_only),
    "planned": lambda archive: first(archive, planned),
    "turbocharged": lambda archive: first(archive, turbocharged),
    "misfit": misfitted,
    "record": lambda archive: first(archive, recorded),
    "pictures": lambda archive: first(archive, pictured),
    "years": lambda _: "years/",
    "blowers": lambda _: "blowers/",
    "blower": lambda archive: f"blowers/{next(iter(archive.blowers))}/",
    "method": lambda _: "method/",
    "accuracy": lambda _: "accuracy/",
    "validation": lambda _: "validation/",
    "cautions": lambda _: "cautions/",
    "glossary": lambda _: "glossary/",
    "fields": lambda _: "fields/",
    "columns": lambda _: "columns/",
    "units": lambda _: "units/",
    "findings": lambda _: "findings/",
    "accepted": lambda _: "accepted/",
    "guides": lambda _: "write/",
    "first build": lambda _: "guides/first-build/",
    "import": lambda _: "guides/import/",
    "publish": lambda _: "guides/publish/",
    "not found": lambda _: "404.html",
}
