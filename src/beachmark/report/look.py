"""How every chart looks: one ink, one accent, thin lines, letters of the report's font, good without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beachmark.findings.topics import Topic
from beachmark.report.drawing.svg import ACCENT, FAINT, INK, PAPER, SOFT

Spec = dict[str, Any]
# which charts belong to which question, in reading order
FIGURES_OF: dict[Topic, tuple[str, ...]] = {
    Topic.TORQUE: ("torque",),
    Topic.REPLAY: ("replay_loads",),
    Topic.ANGLES: ("ratio", "excitation", "ride"),
    Topic.SPEED: ("whirl", "speed"),
    Topic.TWIST: ("twist",),
}
WIDTH = 650  # pixels; as wide as the text of an A4 page when 96 pixels make an inch
GRID = "#e1e5e9"
# thousands apart only from 10 000 up, as everywhere in the report
NUMBERS = "datum.value < 10000 ? format(datum.value, 'd') : format(datum.value, ',d')"
__all__ = [
    "ACCENT",
    "FAINT",
    "FIGURES_OF",
    "GRID",
    "INK",
    "NUMBERS",
    "PAPER",
    "SOFT",
    "WIDTH",
    "Spec",
    "chart",
    "layer",
    "quantity",
]


def chart(body: Spec, description: str) -> Spec:
    """A whole chart: the body with what all charts share."""
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "description": description,
        "background": PAPER,
        "padding": {"left": 2, "right": 2, "top": 4, "bottom": 2},
        "config": _config(),
        **body,
    }


def layer(rows: Sequence[Spec], mark: Spec, **encoding: Spec) -> Spec:
    """One layer of marks over its rows."""
    return {"data": {"values": list(rows)}, "mark": mark, "encoding": encoding}


def quantity(field: str, **more: Any) -> Spec:
    """The encoding of a number."""
    return {"field": field, "type": "quantitative", **more}


def _config() -> Spec:
    axis = {
        "labelColor": INK, "titleColor": SOFT, "titleFontWeight": 500, "labelFontSize": 11, "titleFontSize": 11,
        "gridColor": GRID, "domainColor": FAINT, "tickColor": FAINT, "labelFont": "Barlow", "titleFont": "Barlow",
    }  # fmt: skip
    return {
        "font": "Barlow",
        "view": {"stroke": None},
        "axis": axis,
        "text": {"font": "Barlow", "fontSize": 11},
        "title": {"font": "Barlow", "fontSize": 11, "fontWeight": 600, "color": INK, "anchor": "start"},
        "locale": {"number": {"decimal": ".", "thousands": "\u00a0", "grouping": [3], "currency": ["", ""]}},
    }
