"""Reading a whole archive: finding its files, checking them, and making the model of them.

Whatever is wrong is a finding and reading goes on: a build or blower with an error of its own
is left out of the archive, everything else is there.
"""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Callable, Collection, Iterable
from pathlib import Path
from typing import TypeVar

from specgen.archive.checks import run as checks
from specgen.archive.checks.accepted import accept
from specgen.archive.checks.look import look
from specgen.archive.format import wording
from specgen.archive.format.dynos import with_dynos
from specgen.archive.format.naming import named
from specgen.archive.format.schema import SchemaName
from specgen.archive.format.structure import structured
from specgen.archive.model.build import (
    Archive,
    Bench,
    Blower,
    Build,
    Curve,
    Given,
    Pull,
    Session,
    Settings,
    Units,
)
from specgen.archive.model.map import BlowerMap
from specgen.archive.reading import blower_maps, door, folders, pulls
from specgen.archive.reading.source import LARGEST, Document, load
from specgen.failure import about
from specgen.findings import Finding, Place, in_order, limited

Result = TypeVar("Result")

Progress = Callable[[str], None]

#: How the files end that curves were taken from.
ORIGINALS = (".csv", ".txt", ".tsv", ".dat", ".log", ".asc")

#: The file that no archive can do without; an error in it concerns every build.
SETTINGS = "archive.yaml"


def read_archive(
    root: str | Path, progress: Progress | None = None, only: Collection[str] | None = None
) -> Archive:
    """Read the archive in a folder: archive.yaml, blowers/*.yaml and */build.yaml.

    Never raises for what stands in the files, or does not: see `findings`. `progress` is told
    the name of each file before it is read. Of the builds `only` those named are read, if given.
    """
    reading = _Reading(Path(root), progress or (lambda _name: None), only)
    return reading.archive()


def renewed(archive: Archive, names: Collection[str]) -> Archive:
    """Read these builds anew, and keep all else of an archive as it was read before."""
    anew = read_archive(archive.root, only=names)
    order = [file.parent.name for file in folders.survey(Path(archive.root)).builds]
    builds = {key: it for key, it in archive.builds.items() if key not in names} | dict(anew.builds)
    return dataclasses.replace(
        archive,
        builds={key: builds[key] for key in order if key in builds},
        findings=in_order(
            [
                *(it for it in archive.findings if not _is_of(it.place.file, names)),
                *(it for it in anew.findings if _is_of(it.place.file, names)),
            ]
        ),
        sources={
            **{key: it for key, it in archive.sources.items() if not _is_of(key, names)},
            **{key: it for key, it in anew.sources.items() if _is_of(key, names)},
        },
    )


def _is_of(file: str, names: Collection[str]) -> bool:
    """Whether a file is one of these builds'."""
    return file.partition("/")[0] in names


class _Reading:
    """One reading of an archive, and what it has found so far."""

    def __init__(self, root: Path, progress: Progress, only: Collection[str] | None) -> None:
        self.root = root
        self.only = only
        self.progress = progress
        self.findings: list[Finding] = []
        self.sources: dict[str, str] = {}
        self.documents: dict[str, Document] = {}
        self.dynos: tuple[Bench, ...] = ()

    def archive(self) -> Archive:
        """Read everything, then check what lies across files."""
        with about(SETTINGS):
            settings = self._settings()
        self.dynos = settings.dynos
        found = folders.survey(self.root)
        self.findings.extend(found.findings)
        blowers = {
            file.stem: blower
            for file in found.blowers
            if (blower := self._about(self._blower, file)) is not None
        }
        builds = {
            file.parent.name: build
            for file in found.builds
            if self.only is None or file.parent.name in self.only
            if (build := self._about(self._build, file)) is not None
        }
        across = checks.Across(
            blowers,
            tuple(file.stem for file in found.blowers),
            builds,
            frozenset(file.parent.name for file in found.builds),
            settings.dynos,
        )
        self.findings.extend(checks.run(across, self.root))
        self.findings.extend(look(settings, self.root))
        return self._without_faulty(settings, blowers, builds)

    def _about(self, read: Callable[[Path], Result], file: Path) -> Result:
        """Read one file; an error that nobody expected names it."""
        with about(file.relative_to(self.root).as_posix()):
            return read(file)

    def _without_faulty(
        self, settings: Settings, blowers: dict[str, Blower], builds: dict[str, Build]
    ) -> Archive:
        """Leave out what has an error, and builds whose blower is left out."""
        faulty = {item.place.file for item in self.findings if item.severity == "error"}
        faulty_folders = {file.partition("/")[0] for file in faulty}
        sound = {
            key: item
            for key, item in blowers.items()
            if item.place.file not in faulty and (item.performance is None or item.map is not None)
        }
        kept = {
            key: build
            for key, build in builds.items()
            if key not in faulty_folders
            and (build.induction.blower is None or build.induction.blower.value in sound)
        }
        found = limited(in_order(accept(in_order(self.findings), self.documents)))
        return Archive(str(self.root), settings, sound, kept, found, dict(self.sources))

    def _read(self, path: Path) -> bytes | None:
        """Read a file's bytes, or note why that cannot be done."""
        name = path.relative_to(self.root).as_posix()
        self.progress(name)
        try:
            return door.read(self.root, path, LARGEST)
        except door.Refused as why:
            self.findings.append(folders.refused(name, why))
            return None

    def _document(self, path: Path, name: SchemaName) -> Document | None:
        """Read and check a YAML file; None where it has an error."""
        data = self._read(path)
        if data is None:
            return None
        document = load(data, path.relative_to(self.root).as_posix())
        self.sources[document.file] = document.text
        self.documents[document.file] = document
        found = list(document.findings)
        if document.readable:
            found.extend(wording.check(document, name))
        self.findings.extend(found)
        return None if any(item.severity == "error" for item in found) else document

    def _settings(self) -> Settings:
        """Read archive.yaml; plain settings stand in for a faulty one."""
        path = self.root / SETTINGS
        if os.path.lexists(path):
            document = self._document(path, "archive")
            if document is not None:
                return structured(Settings, document, "archive")
        else:
            self.findings.append(folders.no_settings(self.root))
        place = Place(SETTINGS)
        return Settings(Given("", "", place), Units("metric", place), Given("iso-1585", "", place))

    def _blower(self, path: Path) -> Blower | None:
        document = self._document(path, "blower")
        if document is None:
            return None
        place = Place(document.file)
        blower = structured(Blower, document, "blower", id=path.stem, place=place)
        return dataclasses.replace(blower, map=self._map(blower, path.parent))

    def _map(self, blower: Blower, folder: Path) -> BlowerMap | None:
        """Read a blower's measured map, if it names one that is there; a check says if not."""
        if blower.performance is None:
            return None
        path, _ = folders.named_table(folder, blower.performance)
        data = self._read(path) if path else None
        if path is None or data is None:
            return None
        file = path.relative_to(self.root).as_posix()
        found, self.sources[file], faults = blower_maps.read_map(data, file, blower.kind.value)
        self.findings.extend(faults)
        return found

    def _build(self, path: Path) -> Build | None:
        document = self._document(path, "build")
        if document is None:
            # its curves cannot be told apart any more, but their own faults can be shown
            for curve in sorted((path.parent / "pulls").glob("*.csv")):
                self._curve(curve)
            return None
        place = Place(document.file)
        build = structured(Build, document, "build", id=path.parent.name, place=place)
        told = with_dynos(build.sessions, self.dynos)
        return dataclasses.replace(build, sessions=self._sessions(told, path.parent))

    def _sessions(self, sessions: Iterable[Session], folder: Path) -> tuple[Session, ...]:
        """Give each pull its id and its curve."""
        return tuple(
            dataclasses.replace(it, pulls=tuple(self._pull(pull, folder) for pull in it.pulls))
            for it in named(tuple(sessions))
        )

    def _pull(self, pull: Pull, folder: Path) -> Pull:
        """Read a pull's curve file, if it names one that is there."""
        curve = None
        if pull.curve_file is not None:
            path, fault = folders.named_table(folder, pull.curve_file)
            self.findings.extend([fault] if fault else [])
            curve = self._curve(path) if path else None
        if pull.original is not None:
            _, fault = folders.named_file(folder, pull.original, ORIGINALS)
            # nothing is read from it, so that its loss takes no figure away
            hint = "the file as it came, in its place; or no original"
            self.findings.extend(
                [dataclasses.replace(fault, severity="warning", hint=hint)] if fault else []
            )
        return dataclasses.replace(pull, curve=curve)

    def _curve(self, path: Path) -> Curve | None:
        data = self._read(path)
        if data is None:
            return None
        file = path.relative_to(self.root).as_posix()
        curve, self.sources[file], found = pulls.read_curve(data, file)
        self.findings.extend(found)
        return curve
