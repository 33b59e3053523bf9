"""A build's curves as a script reads them out: values, where they stand on a drawing, drawings.

The drawings of channels are handed over as elements, never as markup; a reader's browser asks for
them when somebody reads a chart or wants another one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree import ElementTree

import numpy as np

from specgen.analysis.sheet import Sheet
from specgen.publish import drawings
from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.series import Chart, Floats, Series
from specgen.publish.charts.words import channels_title, curves_title, series_name
from specgen.publish.logged import further
from specgen.publish.web.handover import FORMAT, script, short, shown_units, units_of
from specgen.vocabulary import System, quantity, systems

#: Digits of values, and of places on a drawing.
_DIGITS, _PLACES = 7, 5


def readings_script(sheet: Sheet, units: System) -> str:
    """Write the curves of a sheet's charts by the charts' names; empty where there are none."""
    charts = {chart.name: _chart(chart) for chart in _on_the_sheet(sheet, units)}
    for _, drawing in further(sheet, units):
        chart = drawing.chart
        captions = [_caption(chart, system) for system in systems()]
        charts[chart.name] = {**_chart(chart), "caption": captions, **_elements(chart)}
    kinds = {item.quantity: item.kind for item in _all_series(sheet, units)}
    if not charts:
        return ""
    data = {
        "format": FORMAT,
        "speed": shown_units("engine_speed"),
        "quantities": {key: [kind.title, units_of(kind)] for key, kind in kinds.items()},
        "charts": charts,
    }
    return script(f"readings {sheet.id}", data)


def _on_the_sheet(sheet: Sheet, units: System) -> Iterator[Chart]:
    """The charts that stand on the sheet itself."""
    found = (drawings.power(sheet, units), drawings.boost(sheet, units))
    yield from (drawing.chart for drawing in found if drawing is not None)


def _all_series(sheet: Sheet, units: System) -> Iterator[Series]:
    for chart in _on_the_sheet(sheet, units):
        yield from chart.curves
    for _, drawing in further(sheet, units):
        yield from drawing.chart.curves


def _caption(chart: Chart, system: System) -> str:
    """What a chart finds, in one system of units."""
    return (curves_title if chart.name == "observed" else channels_title)(chart.curves, system)


def _chart(chart: Chart) -> dict[str, Any]:
    """A chart's curves, and where its panels stand on either drawing."""
    curves = [it for it in chart.curves if it.standing != "limit" and it.placed.any()]
    return {"lines": [_line(it) for it in curves],
            "plots": [_plots(chart.broad), _plots(chart.draw_slim())]}  # fmt: skip


def _line(item: Series) -> dict[str, Any]:
    """A curve: its label, its quantity, engine speeds in rpm, values and what they may be off."""
    speed = quantity("engine_speed").metric
    made: dict[str, Any] = {
        "label": series_name(item),
        "key": item.quantity,
        "x": _listed(np.array([speed.from_si(float(it)) for it in item.x])),
        "y": _listed(item.y),
    }
    if item.band is not None:
        made["u"] = _listed(item.margin())
    return made


def _listed(values: Floats) -> list[float | None]:
    return [short(float(it), _DIGITS) if np.isfinite(it) else None for it in values]


def _plots(canvas: Canvas) -> list[list[Any]]:
    """Of each panel its quantity, its four sides, and the ends of both scales; speeds in rpm."""
    speed = quantity("engine_speed").metric
    return [
        [
            plot.key,
            *(short(it, _PLACES) for it in (plot.left, plot.right, plot.top, plot.bottom)),
            *(short(speed.from_si(it), _DIGITS) for it in plot.speed),
            *(short(it, _DIGITS) for it in plot.value),
        ]
        for plot in canvas.plots
    ]


def _elements(chart: Chart) -> dict[str, Any]:
    """Both drawings as elements: name, attributes, contents."""
    return {"wide": _element(ElementTree.fromstring(chart.wide)),
            "narrow": _element(ElementTree.fromstring(chart.narrow))}  # fmt: skip


def _element(found: ElementTree.Element) -> list[Any]:
    attributes: Mapping[str, str] = found.attrib
    inside = [found.text] if found.text else []
    return [found.tag.rpartition("}")[2], dict(attributes), *inside, *map(_element, found)]
