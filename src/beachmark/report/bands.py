"""Horizontal range bars with a tick at the nominal value: what loads a part over what it bears."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beachmark.basis.units import UNITS, tidy
from beachmark.basis.values import Spread
from beachmark.report.look import ACCENT, INK, NUMBERS, PAPER, WIDTH, Spec, chart, layer, quantity

_ROW = 20
_LABELS = 190  # room for the names of the rows
_NUMBERS = 130  # room for the numbers behind the bars


@dataclass(frozen=True)
class Band:
    """One row. `kind`: `load` (drawn solid) or `capacity` (drawn outlined)."""

    name: str
    spread: Spread
    kind: str
    tick: bool = True


def range_bars(
    bands: Sequence[Band], *, rule: float | None, dimension: str, unit: str, title: str, description: str
) -> Spec:
    """One bar a row in the given order; `rule` is a dashed line across all rows."""
    factor = UNITS[dimension][unit]
    rows = [_row(band, factor) for band in bands]
    y = _names(bands)
    x = _scale(f"{title}, {unit}", max(row["high"] for row in rows))
    lines = [{"x": rule / factor}] if rule is not None else []
    dashed = {"type": "rule", "color": ACCENT, "strokeWidth": 1.2, "strokeDash": [4, 3]}
    layers = [
        layer(lines, dashed, x=quantity("x")),
        *[_bars(rows, kind, x, y) for kind in ("load", "capacity")],
        *_ticks(rows, y),
        *_labels(rows, y),
    ]
    return chart({"width": WIDTH - _LABELS - _NUMBERS, "height": {"step": _ROW}, "layer": layers}, description)


def _row(band: Band, factor: float) -> Spec:
    low, nominal, high = (end / factor for end in (band.spread.low, band.spread.nominal, band.spread.high))
    ends = [tidy(low, 3), tidy(high, 3)]
    reach = f"{ends[0]} to {ends[1]}" if ends[0] != ends[1] else ""
    told = tidy(nominal, 3) + (f" ({reach})" if reach else "")
    label = (told if band.tick else reach).replace("\u202f", "\u00a0")
    return {
        "row": band.name, "low": low, "nominal": nominal, "high": high, "kind": band.kind, "tick": band.tick,
        "label": label,
    }  # fmt: skip


def _names(bands: Sequence[Band]) -> Spec:
    axis = {"labelLimit": _LABELS, "domain": False, "ticks": False, "labelPadding": 8}
    return {"field": "row", "type": "nominal", "sort": [band.name for band in bands], "title": None, "axis": axis}


def _scale(title: str, highest: float) -> Spec:
    axis = {"tickCount": 6, "labelExpr": NUMBERS}
    return quantity("low", title=title, scale={"domain": [0, highest * 1.02], "nice": True}, axis=axis)


def _bars(rows: Sequence[Spec], kind: str, x: Spec, y: Spec) -> Spec:
    mark = {"type": "bar", "height": 9, "fill": INK if kind == "load" else PAPER, "stroke": INK, "strokeWidth": 1.1}
    return layer([row for row in rows if row["kind"] == kind], mark, x=x, x2={"field": "high"}, y=y)


def _ticks(rows: Sequence[Spec], y: Spec) -> list[Spec]:
    """A dark tick at the nominal value, light where it crosses a solid bar."""
    dark = {"type": "tick", "color": INK, "thickness": 2.2, "size": 16}
    light = {"type": "tick", "color": PAPER, "thickness": 1.6, "size": 8}
    told = [row for row in rows if row["tick"]]
    wide = [row for row in told if row["kind"] == "load" and row["low"] < row["high"]]
    return [layer(told, dark, x=quantity("nominal"), y=y), layer(wide, light, x=quantity("nominal"), y=y)]


def _labels(rows: Sequence[Spec], y: Spec) -> list[Spec]:
    """The numbers behind each bar, on a pale edge that keeps the grid off them."""
    edge = {
        "type": "text",
        "align": "left",
        "dx": 7,
        "stroke": PAPER,
        "strokeWidth": 4,
        "strokeJoin": "round",
        "color": PAPER,
    }
    ink = {"type": "text", "align": "left", "dx": 7, "color": INK}
    return [layer(rows, mark, x=quantity("high"), y=y, text={"field": "label"}) for mark in (edge, ink)]
