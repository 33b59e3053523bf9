"""The charts of a sheet by name, and as files for slides, posts and print."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast, get_args

from specgen.analysis.accuracy import accuracy_of
from specgen.analysis.judging.misfit import misfit_of
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.model.build import Archive
from specgen.publish import addresses, drawings
from specgen.publish.charts.frame import framed
from specgen.publish.charts.series import Chart
from specgen.publish.drawings import Drawing
from specgen.publish.sheet.drive import own_picture
from specgen.publish.sheet.record.cam import drawings_of
from specgen.vocabulary import System

#: The kinds of file, as `--format` and the archive's settings name them.
LAYOUTS = ("png", "svg", "pdf")
#: How wide a file is unless somebody asks: pixels of a PNG, points of the others (160 mm).
WIDTHS = {"png": 1200.0, "svg": 453.54, "pdf": 453.54}


def charts_of(sheet: Sheet, units: System) -> dict[str, Chart]:
    """Every chart of a sheet by its name, in the order of the page."""
    found = [drawing.chart for drawing in _drawings(sheet, units) if drawing is not None]
    return {chart.name: chart for chart in found}


def charts_of_all(archive: Archive) -> dict[str, Chart]:
    """Every chart of a whole archive by its name."""
    found = drawings.misses(accuracy_of(analyse(archive).values()))
    return {found.chart.name: found.chart} if found is not None else {}


def _drawings(sheet: Sheet, units: System) -> Iterator[Drawing | None]:
    yield drawings.power(sheet, units)
    yield drawings.power(sheet, units, observed=True)
    yield drawings.boost(sheet, units)
    for index, diagnosis in enumerate(sheet.diagnoses, 1):
        found = misfit_of(diagnosis)
        yield drawings.misfit(found, f"misfit-{index}", units) if found else None
    items = [item for _, item in drawings.limit_items(sheet)]
    yield drawings.limits(items, units) if items else None
    yield own_picture(sheet, units)
    yield drawings.air_path(sheet, units)
    yield drawings.belt(sheet, units)
    card = sheet.record.cam if sheet.record is not None else None
    yield from drawings_of(card, units) if card is not None else ()


def chart_file(archive: Archive, whose: str, chart: Chart, layout: str, width: float) -> bytes:
    """Draw a chart as a file: its finding above; below, whose it is and the archive's name.

    `width` as in `WIDTHS`. ValueError for a layout that is none of `LAYOUTS`.
    """
    from specgen.publish.charts.papers.picture import Layout, file_of

    if layout not in get_args(Layout):
        raise ValueError(f'no layout "{layout}"; there are: {", ".join(LAYOUTS)}')
    return file_of(framed(chart.broad, chart.title, _foot(archive, whose)), cast(Layout, layout),
                   width, chart.title)  # fmt: skip


def _foot(archive: Archive, whose: str) -> str:
    """Whose chart it is, and that its data is invented where it is."""
    settings = archive.settings
    told = " · ".join(filter(None, (whose, settings.name.value)))
    invented = settings.invented is not None and settings.invented.value
    return f"{told} · invented data" if invented and "invented" not in told.lower() else told


def files_of(archive: Archive, sheet: Sheet, units: System) -> Iterator[tuple[str, bytes]]:
    """Address and content of each chart's files, as far as the archive's settings offer them."""
    layouts = [word.value for word in archive.settings.chart_files]
    whose = sheet.build.title.value
    for chart in charts_of(sheet, units).values() if layouts else ():
        for layout in layouts:
            drawn = chart_file(archive, whose, chart, layout, WIDTHS[layout])
            yield addresses.chart_file(sheet.id, f"{chart.name}.{layout}"), drawn


def offered(sheet: Sheet, units: System) -> Iterator[tuple[str, str]]:
    """Name and finding of each chart's files that a sheet offers."""
    layouts = [word.value for word in sheet.archive.settings.chart_files]
    for chart in charts_of(sheet, units).values() if layouts else ():
        for layout in layouts:
            yield f"{chart.name}.{layout}", f"chart: {chart.title}"
