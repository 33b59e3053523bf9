"""One build packed for a bug report: its files, its findings, versions, and what failed.

Nothing that the archive keeps private is in it, no picture, and no place on this machine.
"""

from __future__ import annotations

import io
import platform
import re
import zipfile
from collections.abc import Mapping
from importlib.metadata import requires

from specgen import failure
from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import SETTINGS
from specgen.archive.model.build import Archive
from specgen.archive.published import published
from specgen.findings import Finding, as_text
from specgen.publish.delivery.site import versions
from specgen.publish.sheet.data import sheet_json
from specgen.publish.sheet.page import Surroundings, sheet_page
from specgen.publish.terminal import sheet_text

#: The date of every file in the pack: the same build gives the same bytes.
_DATE = (1980, 1, 1, 0, 0, 0)


def packed(archive: Archive, build_id: str) -> bytes:
    """Pack a build as a ZIP file; KeyError where nothing of it is there, or may be told."""
    open_part = published(archive)
    files = _files(open_part, build_id)
    if f"{build_id}/build.yaml" not in files:
        raise KeyError(build_id)
    concerned = [item for item in open_part.findings if item.place.file in files]
    pack = io.BytesIO()
    with zipfile.ZipFile(pack, "w") as into:
        _add(into, "report.txt", report(open_part, build_id, concerned))
        for name, text in files.items():
            _add(into, f"builds/{name}", text)
    return pack.getvalue()


def report(archive: Archive, build_id: str, concerned: list[Finding]) -> str:
    """Tell what a build's report is about: versions, findings, and what failed with it."""
    parts = [f"Report on the build {build_id}", _made_by(), as_text(concerned)]
    return "\n\n".join([*parts, _tried(archive, build_id)]) + "\n"


def _files(archive: Archive, build_id: str) -> Mapping[str, str]:
    """The texts that a build rests on: its own, the settings, and its blower's."""
    build = archive.builds.get(build_id)
    named = build.induction.blower if build else None
    blower = archive.blowers.get(named.value) if named else None
    also = {SETTINGS}
    if blower is not None:
        also |= {blower.place.file}
        also |= {f"blowers/{blower.performance.value}"} if blower.performance else set()
    sources = sorted(archive.sources.items())
    return {name: text for name, text in sources if name in also or name.startswith(f"{build_id}/")}


def _made_by() -> str:
    """Name the versions of everything that the figures and pages are made with."""
    needed = [line for line in requires("specgen") or () if "extra ==" not in line]
    plain = sorted(re.split(r"[^\w.-]", line)[0] for line in needed)
    system = f"{platform.python_implementation()} {platform.python_version()}, {platform.system()}"
    found = versions("specgen", *plain).items()
    return "\n".join([system, *(f"{name} {version}" for name, version in found)])


def _tried(archive: Archive, build_id: str) -> str:
    """Make all that is made of a build, and tell what failed."""
    if build_id not in archive.builds:
        return "It is left out: see the findings."
    try:
        sheet = sheet_of(archive, archive.builds[build_id])
        sheet_text(sheet, archive.settings.units.value, everything=True)
        sheet_json(archive, sheet, sheet_page(archive, sheet, Surroundings()).shown)
    except Exception as problem:  # whatever it is, it is what the report is for
        said = failure.sentence(problem, build_id).replace(archive.root, "builds")
        return f"{said}\n{failure.frames(problem)}"
    return "Its sheet and data could be made."


def _add(into: zipfile.ZipFile, name: str, text: str) -> None:
    entry = zipfile.ZipInfo(name, _DATE)
    entry.external_attr = 0o644 << 16
    into.writestr(entry, text)
