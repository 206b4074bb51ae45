"""How unevenly each shaft and the pinion turn while the gearbox output turns steadily."""

from __future__ import annotations

import math

from beachmark.findings.curves import RatioCurves, Reals
from beachmark.report.charts.plane import Axis, Name, Plane
from beachmark.report.look import FAINT, SOFT, WIDTH, Spec, chart, layer
from beachmark.report.words import capital

_LABELS = 170
_HEIGHT = 190
_LEAST_SWING = 0.01  # the scale shows at least so much to both sides of 1: less is quiet and has to look so
_DASHES = ((5, 3), (2, 2), (9, 3), (7, 2, 2, 2), (1, 2), (12, 4))  # of shafts 1 to 6; the pinion's line is whole
_WHOLE = (1, 0)


def ratio_figure(curves: RatioCurves | None) -> Spec:
    """Speed of each shaft and of the pinion over one turn; empty when angles or phases are not known."""
    if curves is None:
        return {}
    plane = _plane(curves)
    degrees = [math.degrees(turn) for turn in curves.turn_rad]
    layers = [layer([{"y": 1.0}], {"type": "rule", "color": FAINT, "strokeWidth": 1.2}, y=plane.y.encoding("y"))]
    names = []
    for column, name in enumerate(curves.names):
        values = curves.ratios[:, column]
        dash, width = (_WHOLE, 2.4) if name == "pinion" else (_DASHES[column % len(_DASHES)], 1.5)
        points = [{"x": x, "y": float(y), "line": name} for x, y in zip(degrees, values, strict=True)]
        layers.append(plane.curve(points, dash=dash, width=width))
        names.append(Name(f"{name}, {_reach(values)}", float(values[-1]), dash, 600 if name == "pinion" else 400))
    layers += plane.names(names[::-1])  # of curves that end alike the first is named on top
    if curves.assumptions:
        layers += _note(plane, "; ".join(curves.assumptions))
    return chart(plane.spec(layers), _told(curves))


def _plane(curves: RatioCurves) -> Plane:
    swing = max(_LEAST_SWING, 1.06 * float(abs(curves.ratios - 1.0).max()))
    steps = {"format": ".3f" if swing < 0.04 else ".2f", "tickCount": 5}
    turn = Axis("turn of the gearbox output, deg", 0.0, 360.0, WIDTH - _LABELS - 50, {"values": [*range(0, 361, 45)]})
    return Plane(turn, Axis("speed over the input's", 1.0 - swing, 1.0 + swing, _HEIGHT, steps))


def _note(plane: Plane, text: str) -> list[Spec]:
    mark = {"type": "text", "align": "left", "baseline": "bottom", "dy": -6, "color": SOFT, "text": f"{capital(text)}."}
    return [layer([{"x": 0.0, "y": plane.y.high}], mark, **plane.encoded())]


def _reach(values: Reals) -> str:
    low, high = (f"{end:.4f}" for end in (values.min(), values.max()))
    return f"{low} to {high}" if low != high else f"{low} throughout"


def _told(curves: RatioCurves) -> str:
    swings = [float(abs(curves.ratios[:, column] - 1.0).max()) for column in range(len(curves.names))]
    most = max(range(len(swings)), key=lambda column: swings[column])
    told = f"Over one turn of the gearbox output the pinion runs at {_reach(curves.ratios[:, -1])} of its speed"
    if most < len(swings) - 1:
        told += f"; {curves.names[most]} swings most, {_reach(curves.ratios[:, most])}"
    else:
        told += ", the largest swing of all"
    return "; ".join((told, *curves.assumptions)) + "."
