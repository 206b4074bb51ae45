"""Torsional excitation of the driven end over shaft speed, with the limits that it is held against."""

from __future__ import annotations

import math

from beachmark.basis.units import UNITS, tidy
from beachmark.cases.assessment import Assessment
from beachmark.findings.asking import Asking
from beachmark.findings.results import Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain
from beachmark.report.look import ACCENT, INK, NUMBERS, SOFT, WIDTH, Spec, chart, layer, quantity

_POINTS = 60


def excitation_figure(assessment: Assessment, knowledge: Knowledge) -> Spec:
    """Excitation over shaft speed as found and with the yokes in line; empty unless it was computed."""
    by_id = {result.id: result for result in assessment.sums if result.computed}
    found = by_id.get("finding.torsional_excitation")
    top = top_shaft_speed(Asking(knowledge), assessment.case.vehicle)
    if found is None or top is None or found.held_against is None:
        return {}
    curves = {"as found": found}
    if "finding.excitation_in_phase" in by_id:
        curves["yokes in line"] = by_id["finding.excitation_in_phase"]
    rows = [row for name, result in curves.items() for row in _curve(name, _angle(result), top.nominal)]
    limit = found.held_against.value
    limits = [{"y": number, "label": f"limit {tidy(number)}"} for number in sorted({limit.low, limit.si, limit.high})]
    return _drawn(rows, limits, top.nominal, _told(found, top.nominal))


def _told(found: Sum, top: float) -> str:
    shake, against = found.results[0].spread.nominal, found.held_against
    limit = f" against a limit of {tidy(against.value.si)}" if against else ""
    rpm = tidy(top / UNITS["rotation"]["rpm"], 3)
    return f"At the greatest speed, {rpm} rpm, the excitation is {tidy(shake, 3)} rad/s²{limit}.".replace(
        "\u202f", "\u00a0"
    )


def _angle(result: Sum) -> float:
    return next(one.spread.nominal for one in result.results if one.dimension == "angle")


def _curve(name: str, angle: float, top: float) -> list[Spec]:
    speeds = [top * 1.1 * i / _POINTS for i in range(_POINTS + 1)]
    return [
        {
            "curve": name,
            "speed": speed / UNITS["rotation"]["rpm"],
            "shake": chain.torsional_acceleration(equivalent_angle_rad=angle, speed_rad_s=speed),
        }
        for speed in speeds
    ]


def _drawn(rows: list[Spec], limits: list[Spec], top: float, told: str) -> Spec:
    top_rpm = top / UNITS["rotation"]["rpm"]
    last = max(row["speed"] for row in rows)
    highest = max(*(row["shake"] for row in rows), *(limit["y"] for limit in limits)) * 1.08
    axis = {"labelExpr": NUMBERS, "tickCount": 8}
    x = quantity("speed", title="shaft speed, rpm", scale={"domain": [0, last], "nice": False}, axis=axis)
    y = quantity("shake", title="rad/s², zero to peak", scale={"domain": [0, highest]}, axis={**axis, "tickCount": 5})
    layers = [*_limit_lines(limits), *_top_line(top_rpm), *_curves(rows, last, x, y)]
    return chart({"width": WIDTH - 150, "height": 180, "layer": layers}, told)


def _limit_lines(limits: list[Spec]) -> list[Spec]:
    line = {"type": "rule", "color": ACCENT, "strokeWidth": 1, "strokeDash": [2, 2]}
    word = {"type": "text", "align": "left", "dx": 4, "dy": -6, "color": ACCENT}
    return [
        layer(limits, line, y=quantity("y")),
        layer(limits, word, y=quantity("y"), x={"datum": 0}, text={"field": "label"}),
    ]


def _top_line(rpm: float) -> list[Spec]:
    line = {"type": "rule", "color": SOFT, "strokeWidth": 1}
    told = f"greatest speed {tidy(rpm, 3)} rpm".replace("\u202f", "\u00a0")
    word = {"type": "text", "align": "right", "baseline": "top", "dx": -5, "color": SOFT, "text": told}
    at = [{"x": rpm}]
    return [layer(at, line, x=quantity("x")), layer(at, word, x=quantity("x"), y={"value": 2})]


def _curves(rows: list[Spec], last: float, x: Spec, y: Spec) -> list[Spec]:
    """Each curve with its name at its end; names too near to each other are pulled apart."""
    solid_or_dashed = {
        "field": "curve",
        "type": "nominal",
        "sort": None,
        "scale": {"range": [[1, 0], [6, 4]]},
        "legend": None,
    }
    ends = sorted((row for row in rows if math.isclose(row["speed"], last)), key=lambda row: -row["shake"])
    words = [
        layer(
            [end],
            {"type": "text", "align": "left", "dx": 6, "dy": shift, "fontWeight": 600, "color": INK},
            x=x,
            y=y,
            text={"field": "curve"},
        )
        for end, shift in zip(ends, (-4, 5) if len(ends) > 1 else (0,), strict=True)
    ]
    line = {"type": "line", "color": INK, "strokeWidth": 2}
    return [layer(rows, line, x=x, y=y, strokeDash=solid_or_dashed), *words]
