"""The charts of a report as Vega-Lite specifications: plain dicts, the same for screen and paper."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache
from importlib import resources

from beachmark.basis.units import UNITS, tidy
from beachmark.basis.values import Spread
from beachmark.cases.assessment import Assessment
from beachmark.findings.asking import Asking
from beachmark.findings.results import Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain
from beachmark.report.bands import Band, range_bars
from beachmark.report.document import ReportContent
from beachmark.report.look import ACCENT, INK, NUMBERS, SOFT, WIDTH, Spec, chart, layer, quantity
from beachmark.report.weights import weights_figure
from beachmark.report.words import Units, place_words

# in the order in which a report shows them
CAPTIONS: Mapping[str, str] = {
    "driveline": "The driveline in side view and plan view: what is known of it and what was recorded on it.",
    "torque": (
        "Torque that can reach the driveline (solid) against what each part bears once (outlined), from the gearbox "
        "rearward. Each bar is the range that the inputs allow, its tick the nominal value; dashed: the cap of "
        "a steady pull."
    ),
    "speed": (
        "Shaft speeds (solid) against the bending critical speed (outlined). Real ends and joint masses lower the "
        "critical speed by 5 to 35 percent."
    ),
    "excitation": (
        "Torsional excitation of the driven end against shaft speed, with the limits that it is held against."
    ),
    "weights": (
        "What speaks for (right) and against (left) the first cause and its two best rivals. Outlined bars tell the "
        "same story as a stronger item and are not counted again."
    ),
}
LOWERED = (0.65, 0.95)  # real over pinned critical speed; the range that the sum itself states
_POINTS = 60


def report_figures(
    assessment: Assessment, knowledge: Knowledge, content: ReportContent, *, units: str = "metric"
) -> dict[str, Spec]:
    """Every chart that the case has numbers for, by the keys of `CAPTIONS`.

    Raises `InputError` when `units` is not known.
    """
    shown = Units(units)
    made = {
        "torque": torque_figure(assessment.sums, shown),
        "speed": speed_figure(assessment.sums, shown),
        "excitation": excitation_figure(assessment, knowledge),
        "weights": weights_figure(assessment.opinion, content, CAPTIONS["weights"]),
    }
    return {key: spec for key, spec in made.items() if spec}


def torque_figure(sums: Sequence[Sum], units: Units) -> Spec:
    """Torque by engine, by grip and what caps it, against the capacity of every part; empty without numbers."""
    torque = next((one for one in sums if one.id == "sum.torque" and one.computed), None)
    if torque is None:
        return {}
    cap = torque.results[0].spread
    loads = [Band(result.words, result.spread, "load") for result in torque.results[1:]]
    loads.append(Band("cap of a steady pull", cap, "load"))
    peak = _peak(sums, cap)
    loads += [Band("peak in a hard take-up", peak, "load")] if peak else []
    capacities = _capacities(sums, cap)
    unit = "N m" if units.system == "metric" else "lbf ft"
    return range_bars(
        [*loads, *capacities],
        rule=cap.nominal,
        dimension="torque",
        unit=unit,
        title="torque",
        description=CAPTIONS["torque"],
    )


def _peak(sums: Sequence[Sum], cap: Spread) -> Spread | None:
    """Peak of ordinary hard use: the cap times the overshoot that the strength sums took."""
    for result in sums:
        factor = next((given.value for given in result.inputs if given.name == "dynamic_peak"), None)
        if result.computed and factor is not None:
            return Spread(cap.nominal * factor.si, cap.low * factor.low, cap.high * factor.high)
    return None


def _capacities(sums: Sequence[Sum], cap: Spread) -> list[Band]:
    """Torque that each arm root, tube and spline bears once, from the gearbox rearward."""
    found: list[tuple[float, Band]] = []
    for result in sums:
        if not result.computed:
            continue
        if result.id in ("finding.tube_static", "finding.spline_static"):
            found.append((result.at.rank, Band(_part(result), result.results[1].spread, "capacity")))
        if result.id == "finding.trunnion_static":
            found += [(result.at.rank, Band(_part(result), bears, "capacity")) for bears in _arm_bears(result, cap)]
    return [band for _, band in sorted(found, key=lambda pair: pair[0])]


def _part(result: Sum) -> str:
    kinds = {"finding.tube_static": "tube", "finding.spline_static": "slip", "finding.trunnion_static": "arm root"}
    return f"{place_words(result.at.holder)}, {kinds[result.id]} bears"


def _arm_bears(result: Sum, cap: Spread) -> list[Spread]:
    """Torque at which the arm root yields: stress rises in proportion to torque, so the cap over its ratio."""
    steady = next((one.spread for one in result.results if "steady cap" in one.words), None)
    strength = next((given.value for given in result.inputs if given.name.endswith("cross.yield_stress")), None)
    strength = strength or next((given.value for given in result.inputs if "yield" in given.words), None)
    if steady is None or strength is None:
        return []
    return [
        Spread(
            cap.nominal * strength.si / steady.nominal,
            cap.high * strength.low / steady.high,
            cap.low * strength.high / steady.low,
        )
    ]


def speed_figure(sums: Sequence[Sum], units: Units) -> Spec:
    """Speeds of each shaft against its critical speed; empty without numbers."""
    bands: list[Band] = []
    for result in sums:
        if result.id == "finding.whirl" and result.computed:
            bands += _speeds(result)
    if not bands:
        return {}
    unit, told = units.unit("rotation"), CAPTIONS["speed"]
    return range_bars(bands, rule=None, dimension="rotation", unit=unit, title="shaft speed", description=told)


def _speeds(result: Sum) -> list[Band]:
    place = place_words(result.at)
    critical, top, *event = [one.spread for one in result.results[1:]]
    bands = [Band(f"{place}, at the event", speed, "load") for speed in event]
    low, high = LOWERED
    lowered = Spread(critical.nominal * (low + high) / 2, critical.low * low, critical.high * high)
    return [
        *bands,
        Band(f"{place}, greatest reached", top, "load"),
        Band(f"{place}, critical with real ends", lowered, "capacity", tick=False),
        Band(f"{place}, critical with pinned ends", critical, "capacity"),
    ]


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
    return _excitation_spec(rows, limits, top.nominal)


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


def _excitation_spec(rows: list[Spec], limits: list[Spec], top: float) -> Spec:
    top_rpm = top / UNITS["rotation"]["rpm"]
    last = max(row["speed"] for row in rows)
    highest = max(*(row["shake"] for row in rows), *(limit["y"] for limit in limits)) * 1.08
    axis = {"labelExpr": NUMBERS, "tickCount": 8}
    x = quantity("speed", title="shaft speed, rpm", scale={"domain": [0, last], "nice": False}, axis=axis)
    y = quantity("shake", title="rad/s², zero to peak", scale={"domain": [0, highest]}, axis={**axis, "tickCount": 5})
    layers = [*_limit_lines(limits), *_top_line(top_rpm), *_curves(rows, last, x, y)]
    return chart({"width": WIDTH - 150, "height": 180, "layer": layers}, CAPTIONS["excitation"])


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


def figure_svg(spec: Spec) -> str:
    """A chart as SVG text with letters in the report's font; the same specification is drawn once."""
    return _rendered(json.dumps(spec, sort_keys=True))


@lru_cache(maxsize=128)
def _rendered(spec: str) -> str:
    _register_fonts()
    import vl_convert  # late: it starts a JavaScript engine

    return str(vl_convert.vegalite_to_svg(spec, allowed_base_urls=[]))


@cache
def _register_fonts() -> None:
    import vl_convert

    vl_convert.register_font_directory(str(resources.files("beachmark.report") / "fonts"))
