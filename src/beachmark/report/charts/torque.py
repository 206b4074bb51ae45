"""Torque that can reach the driveline against what each part bears once, from the gearbox to the axle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from beachmark.basis.units import UNITS, tidy
from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import in_words
from beachmark.findings.curves import arm_root_torque
from beachmark.findings.results import Sum
from beachmark.report.look import ACCENT, GRID, INK, NUMBERS, PAPER, WIDTH, Spec, chart, layer, quantity
from beachmark.report.words import Units

_ROW = 19
_GAP = 7  # between groups
_BAR = 9
_PLACES = 54  # room for the place
_PARTS = 80  # and for the part
_NUMBERS = 165  # room for the numbers behind the bars
_BAND = "#e9edf1"
_CAP, _PEAK = "cap of a steady pull", "peak of hard use"
_BEARS = "torque at which"  # so begin the words of a result that is a capacity
_PATHS = {"by the engine in the lowest gear": "engine, lowest gear", "by tyre grip": "tyre grip"}
_PARTS_BY_SUM = {
    "finding.tube_static": "tube", "finding.spline_static": "slip", "sum.yoke_ear": "yoke ear", "sum.weld": "ring weld",
    "sum.cap_bolts": "cap bolts", "sum.spline_teeth": "slip teeth",
}  # fmt: skip
_TOO_STRONG = 4.0  # times the weakest part
_BEYOND_YIELD = "sum.tube_plastic"  # the tube's first yield is drawn; what comes after it is no weaker part


@dataclass(frozen=True)
class _Bar:
    """One row: a load (solid) or what a part bears (outlined)."""

    place: str
    part: str
    spread: Spread
    load: bool
    rank: float = -1.0
    weakest: bool = False

    @property
    def name(self) -> str:
        return f"{self.place}, {self.part}" if self.place else self.part


def torque_figure(sums: Sequence[Sum], peak: Value | None, units: Units) -> Spec:
    """Torque by engine, by grip, its cap and its peak against the capacity of every part; empty without numbers."""
    torque = next((one for one in sums if one.id == "sum.torque" and one.computed), None)
    if torque is None:
        return {}
    cap = torque.results[0].spread
    bars = [*_loads(torque, peak), *_marked(_in_sight(_capacities(sums)))]
    unit = "N m" if units.system == "metric" else "lbf ft"
    return _drawn(bars, cap, peak, unit)


def _loads(torque: Sum, peak: Value | None) -> list[_Bar]:
    loads = [_Bar("", _PATHS.get(one.words, one.words), one.spread, True) for one in torque.results[1:]]
    if len(loads) > 1:  # one path alone is the cap itself
        loads.append(_Bar("", _CAP, torque.results[0].spread, True))
    if peak is not None:
        loads.append(_Bar("", _PEAK, Spread(peak.si, peak.low, peak.high), True))
    return loads


def _capacities(sums: Sequence[Sum]) -> list[_Bar]:
    """What every part bears once, from the gearbox rearward."""
    found = []
    for one in (one for one in sums if one.computed):
        bears = next((result.spread for result in one.results if result.words.startswith(_BEARS)), None)
        part = _PARTS_BY_SUM.get(one.id, one.at.part or one.title.lower())
        if one.id == "finding.trunnion_static":
            bears, part = bears or arm_root_torque(one), "arm root"
        if bears is not None and one.id != _BEYOND_YIELD:
            found.append(_Bar(in_words(one.at.holder), part, bears, False, one.at.rank))
    return sorted(found, key=lambda bar: bar.rank)


def _in_sight(bars: Sequence[_Bar]) -> list[_Bar]:
    """Leaves out a part so strong that the others would shrink to nothing, where a weaker part stands at its place."""
    kept = []
    for bar in bars:
        weaker = [one for one in bars if one.place == bar.place and one.spread.nominal < bar.spread.nominal]
        if not weaker or bar.spread.nominal <= _TOO_STRONG * min(one.spread.nominal for one in bars):
            kept.append(bar)
    return kept


def _marked(bars: Sequence[_Bar]) -> list[_Bar]:
    """The bars with the least capacity marked; equal ones are all marked."""
    least = min((bar.spread.nominal for bar in bars), default=0.0)
    return [
        _Bar(bar.place, bar.part, bar.spread, False, bar.rank, weakest=bar.spread.nominal <= least * (1 + 1e-9))
        for bar in bars
    ]


def _drawn(bars: Sequence[_Bar], cap: Spread, peak: Value | None, unit: str) -> Spec:
    factor = UNITS["torque"][unit]
    rows = _rows(bars, factor)
    height = rows[-1]["y"] + _ROW / 2 + 2
    highest = 1.02 * max(row["high"] for row in rows)
    title, width = f"torque, {unit}", WIDTH - _PLACES - _PARTS - _NUMBERS

    def at(field: str, **pixels: Any) -> dict[str, Any]:
        scale = {"domain": [0, highest], "nice": True}
        axis = {"tickCount": 5, "labelExpr": NUMBERS, "grid": False}
        return {"x": quantity(field, title=title, scale=scale, axis=axis), "y": _pixel("y", height), **pixels}

    layers = [
        *_against(at, cap.nominal / factor, peak, factor, rows, height),
        *_bars(at, rows),
        *_words(rows, at, height),
    ]
    return chart({"width": width, "height": height, "layer": layers}, _told(bars, cap, peak, unit))


def _pixel(field: str, height: float) -> Spec:
    """A place counted downward in pixels."""
    return quantity(field, title=None, scale={"domain": [0, height], "reverse": True, "nice": False}, axis=None)


def _rows(bars: Sequence[_Bar], factor: float) -> list[Spec]:
    """One row a bar with its place in pixels from the top; a place is written, and ruled off, at its first row."""
    rows: list[Spec] = []
    y = -_GAP + _ROW / 2
    for place, group in groupby(bars, key=lambda bar: bar.place):
        y += _GAP
        for i, bar in enumerate(group):
            begins = {"place": place, "rule": y - (_ROW + _GAP) / 2 if rows else None}
            rows.append({**_row(bar, factor), **(begins if i == 0 else {"place": "", "rule": None}), "y": y})
            y += _ROW
    return [{**row, "top": row["y"] - _BAR / 2, "bottom": row["y"] + _BAR / 2} for row in rows]


def _row(bar: _Bar, factor: float) -> Spec:
    low, nominal, high = (end / factor for end in (bar.spread.low, bar.spread.nominal, bar.spread.high))
    return {
        "row": bar.name, "part": bar.part, "kind": "load" if bar.load else "capacity", "weakest": bar.weakest,
        "low": low, "nominal": nominal, "high": high,
        "label": _numbers(low, nominal, high) + (", weakest" if bar.weakest else ""),
    }  # fmt: skip


def _numbers(low: float, nominal: float, high: float) -> str:
    ends = [tidy(low, 3), tidy(high, 3)]
    reach = f" ({ends[0]} to {ends[1]})" if ends[0] != ends[1] else ""
    return (tidy(nominal, 3) + reach).replace("\u202f", "\u00a0")


def _against(at: Any, cap: float, peak: Value | None, factor: float, rows: Sequence[Spec], height: float) -> list[Spec]:
    """Behind the parts, hanging from the loads' own bars: the peak's range as a pale band, peak and cap as lines."""
    loads = {row["part"]: row["y"] for row in rows if row["kind"] == "load"}
    lines = [({"low": cap, "y": loads.get(_CAP, rows[0]["y"]), "y2": height}, [4, 3])]
    made = []
    if peak is not None:
        hung = {"y": loads[_PEAK], "y2": height}
        band = {"type": "rect", "fill": _BAND, "stroke": None, "opacity": 1}
        ends = {"low": peak.low / factor, "high": peak.high / factor, **hung}
        made.append(layer([ends], band, **at("low", x2={"field": "high"}, y2={"field": "y2"})))
        lines.append(({"low": peak.si / factor, **hung}, [1, 0]))
    for line, dash in lines:
        rule = {"type": "rule", "color": ACCENT, "strokeWidth": 1.3, "strokeDash": dash}
        made.append(layer([line], rule, **at("low", y2={"field": "y2"})))
    return made


def _bars(at: Any, rows: Sequence[Spec]) -> list[Spec]:
    made = []
    for row in rows:
        load, width = row["kind"] == "load", 2.4 if row["weakest"] else 1.1
        bar = {"type": "rect", "fill": INK if load else PAPER, "stroke": INK, "strokeWidth": width, "opacity": 1}
        box = {"x2": {"field": "high"}, "y2": {"field": "bottom"}}
        made.append(layer([row], bar, **{**at("low"), **box, "y": {**at("low")["y"], "field": "top"}}))
    dark = {"type": "tick", "orient": "vertical", "color": INK, "thickness": 2.2, "size": 16, "opacity": 1}
    light = {**dark, "color": PAPER, "thickness": 1.6, "size": _BAR - 1}
    wide = [row for row in rows if row["kind"] == "load" and row["low"] < row["high"]]
    return [*made, layer(rows, dark, **at("nominal")), layer(wide, light, **at("nominal"))]


def _words(rows: Sequence[Spec], at: Any, height: float) -> list[Spec]:
    """Place and part before each bar, the numbers behind it; the weakest in bold and named so."""
    places, parts = -_PARTS - _PLACES, -_PARTS
    base = {"type": "text", "align": "left", "color": INK}
    edge = {"stroke": PAPER, "strokeWidth": 3, "strokeJoin": "round", "color": PAPER}
    y = _pixel("y", height)
    made = [layer(rows, {**base, "fontWeight": 600}, x={"value": places}, y=y, text={"field": "place"})]
    for row in rows:
        weight = 700 if row["weakest"] else 400
        before = {"value": places if row["kind"] == "load" else parts}
        made.append(layer([row], {**base, "fontWeight": weight}, x=before, y=y, text={"field": "part"}))
        for look in (edge, {}):
            mark = {**base, "dx": 7, "fontWeight": weight, **look}
            made.append(layer([row], mark, **at("high", text={"field": "label"})))
    rules = [row for row in rows if row["rule"] is not None]
    ends = {"x": {"value": places}, "x2": {"value": WIDTH + places - _NUMBERS}}
    made.append(layer(rules, {"type": "rule", "color": GRID, "strokeWidth": 1}, **ends, y=_pixel("rule", height)))
    return made


def _told(bars: Sequence[_Bar], cap: Spread, peak: Value | None, unit: str) -> str:
    factor = UNITS["torque"][unit]

    def number(torque: float) -> str:
        return tidy(torque / factor, 3).replace("\u202f", "\u00a0")

    told = f"A steady pull is capped at {number(cap.nominal)} {unit}"
    told += f" and hard use peaks at {number(peak.si)} {unit}" if peak else ""
    weakest = [bar for bar in bars if bar.weakest]
    if not weakest:
        return f"{told}; what the parts bear is not known."
    bears = weakest[0].spread
    names = " and ".join(f"{bar.place} {bar.part}" for bar in weakest)
    load, against = (peak.si, "peak") if peak else (cap.nominal, "cap")
    reach = f" ({number(bears.low)} to {number(bears.high)})" if bears.low < bears.high else ""
    told += f"; weakest is {names} at {number(bears.nominal)} {unit}{reach}"
    return f"{told}, {bears.nominal / load:.2f} times the {against}."
