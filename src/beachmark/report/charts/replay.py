"""What each event would do to the driveline: load against what the parts bear, and what must have been wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from beachmark.basis.units import tidy
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent, Reading
from beachmark.report.look import ACCENT, GRID, INK, PAPER, SOFT, WIDTH, Spec, chart, layer, quantity
from beachmark.report.words import capital

NAMED = 4  # so many events are drawn heavy and named, the likeliest first; the others stand thin behind them
_GREY = "#7d8894"  # 3:1 on white
_ASSUMED = [3, 2]
PLAIN = "abs(datum.value) < 10000 ? format(datum.value, '.3~r') : format(datum.value, ',.3~r')"
_SHADE = "#f3ede2"  # where a sound part yields or breaks
# of the picture of loads, pixels
_PLOT, _HEIGHT, _AXIS = WIDTH - 112, 220, 8
_STEP, _SHARE, _MARGIN = 14, 0.55, 12  # from bar to bar, of that the bar, and free at the edges of a column
_LINE = 15
_TALLEST = 1.6  # times the tallest middle of a named event: what reaches higher is cut off and marked
# of the picture of what is left
_ROW, _ACROSS, _NUMBERS, _MOST = 36, 640, 250, 150.0  # a row is a line of words over its bar; its numbers at a place


# ---- load over what it bears, along the driveline -------------------------------------------------------------


def replay_loads(reading: Reading) -> Spec:
    """Load over torque at first yield for every part from the gearbox rearward; empty without events."""
    if not reading.events or not reading.events[0].parts:
        return {}
    named, others = reading.events[:NAMED], reading.events[NAMED:]
    columns = _Columns(len(named[0].parts), len(named), bool(others))
    rows = [row for rank, event in enumerate(named) for row in _heavy(event, rank, columns)]
    at = _Places(_highest(rows))
    layers = [
        *_ground(at, reading.events[0].parts, columns),
        *_thin(others, columns, at),
        *_bands(rows, columns, at),
        *_signs(rows, at),
        *_list(named, len(others)),
    ]
    return chart({"width": _PLOT, "height": _HEIGHT, "layer": layers}, _told_loads(named))


@dataclass(frozen=True)
class _Columns:
    """One column a part; in it the named events side by side, behind them one slot for all others."""

    parts: int
    named: int
    others: bool

    @property
    def wide(self) -> float:
        """Pixels from part to part."""
        return _PLOT / self.parts

    @property
    def step(self) -> float:
        """Pixels from event to event."""
        return min(_STEP, (self.wide - _MARGIN) / (self.named + self.others))

    def x(self, part: int, slot: int) -> float:
        """The middle of a slot, pixels from the left."""
        return self.wide * (part + 0.5) + self.step * (slot - (self.named + self.others - 1) / 2)


class _Places:
    """Encodings: pixels across, load over capacity up."""

    def __init__(self, highest: float):
        self.highest = highest

    def x(self, field: str = "x") -> Spec:
        return quantity(field, scale={"domain": [0, _PLOT], "nice": False}, axis=None)

    def y(self, field: str) -> Spec:
        axis = {"tickCount": 6, "grid": True, "titlePadding": _AXIS, "labelExpr": PLAIN}
        scale = {"domain": [0, self.highest], "nice": False}
        return quantity(field, title="load over torque at first yield", scale=scale, axis=axis)


def _heavy(event: EventReading, rank: int, columns: _Columns) -> Iterator[Spec]:
    """The bars of one named event."""
    for place, part in enumerate(event.parts):
        used = part.used
        yield {
            "x": round(columns.x(place, rank), 2), "low": used.low, "middle": used.middle, "high": used.high,
            "rank": str(rank + 1), "known": part.known, "part": part.words, "event": event.title,
        }  # fmt: skip


def _thin(others: Sequence[EventReading], columns: _Columns, at: _Places) -> list[Spec]:
    """All other events in one slot of each part: a thin line over the reach of all, a notch at the middle of each."""
    spans: list[Spec] = []
    notches: list[Spec] = []
    for place in range(columns.parts if others else 0):
        bands, x = [event.parts[place].used for event in others], round(columns.x(place, columns.named), 2)
        low, high = min(band.low for band in bands), max(band.high for band in bands)
        spans.append({"x": x, "low": min(low, at.highest), "high": min(high, at.highest)})
        notches += [
            {"x": x, "other": event.title, "middle": band.middle} for event, band in zip(others, bands, strict=True)
        ]
    shown = [row for row in notches if row["middle"] <= at.highest]
    line = {"type": "rule", "color": _GREY, "strokeWidth": 1.1}
    notch = {"type": "tick", "orient": "horizontal", "color": _GREY, "thickness": 1.4, "size": 6, "opacity": 1}
    return [
        layer(spans, line, x=at.x(), y=at.y("low"), y2={"field": "high"}),
        layer(shown, notch, x=at.x(), y=at.y("middle")),
    ]


def _highest(rows: Sequence[Spec]) -> float:
    """Top of the scale: all of it, unless a few long bands would press the others flat."""
    tallest, reach = (max(float(row[key]) for row in rows) for key in ("middle", "high"))
    return max(1.25, min(1.06 * reach, _TALLEST * tallest))


def _ground(at: _Places, parts: Sequence[PartInEvent], columns: _Columns) -> list[Spec]:
    """Above first yield a shade, the line itself with its words, and the parts under their columns."""
    ends = {"x": 0, "x2": _PLOT, "y": 1.0, "y2": at.highest}
    over = {"x": at.x(), "x2": {"field": "x2"}, "y": at.y("y")}
    shade = {"type": "rect", "fill": _SHADE, "stroke": None, "opacity": 1}
    rule = {"type": "rule", "color": ACCENT, "strokeWidth": 1.6, "strokeDash": [6, 3]}
    word = {"type": "text", "align": "left", "dx": 6, "color": ACCENT, "fontWeight": 600, "lineHeight": 12}
    edges = [{"x": columns.wide * n, "y": 0, "y2": at.highest} for n in range(len(parts) + 1)]
    line = {"type": "rule", "color": GRID, "strokeWidth": 1}
    return [
        layer([ends], shade, **over, y2={"field": "y2"}),
        layer(edges, line, x=at.x(), y=at.y("y"), y2={"field": "y2"}),
        layer([ends], rule, **over),
        layer([{**ends, "text": ["first yield"]}], word, x=at.x("x2"), y=at.y("y"), text={"field": "text"}),
        *_under(at, parts, columns.wide),
    ]


def _under(at: _Places, parts: Sequence[PartInEvent], column: float) -> list[Spec]:
    """Kind and place of each part under its column; whose strength is assumed says so."""
    made = []
    for n, part in enumerate(parts):
        kind, _, place = part.words.partition(" of ")
        lines = [capital(kind), place, *([] if part.known else ["assumed"])]
        for line, text in enumerate(lines):
            look = {"fontWeight": 600} if line == 0 else {"fontStyle": "italic"} if line == 2 else {}
            mark = {"type": "text", "color": INK if line < 2 else SOFT, "baseline": "top", "dy": 6 + 14 * line, **look}
            row = {"x": column * (n + 0.5), "y": 0, "text": text}
            made.append(layer([row], mark, x=at.x(), y=at.y("y"), text={"field": "text"}))
    return made


def _bands(rows: Sequence[Spec], columns: _Columns, at: _Places) -> list[Spec]:
    """Filled where the strength is known of this vehicle, hollow and dashed where it is assumed."""
    wide, made = _SHARE * columns.step, []
    for row in rows:
        cut = {**row, "high": min(row["high"], at.highest), "low": min(row["low"], at.highest)}
        look = {"fill": INK} if row["known"] else {"fill": PAPER, "strokeDash": _ASSUMED}
        mark = {"type": "bar", "width": wide, "stroke": INK, "strokeWidth": 1.1, **look}
        made.append(layer([cut], mark, x=at.x(), y=at.y("low"), y2={"field": "high"}))
    for known, color in ((True, PAPER), (False, INK)):
        some = [row for row in rows if row["known"] is known and row["middle"] <= at.highest]
        tick = {"type": "tick", "orient": "horizontal", "color": color, "thickness": 1.8, "size": wide, "opacity": 1}
        made += [layer(some, tick, x=at.x(), y=at.y("middle"))] if some else []
    return made


def _signs(rows: Sequence[Spec], at: _Places) -> list[Spec]:
    """The number of its event over every bar; an arrow where a band reaches beyond the picture."""
    word = {"type": "text", "baseline": "bottom", "dy": -3, "fontSize": 10, "fontWeight": 600, "color": INK}
    shown = [
        {**row, "top": min(row["high"], at.highest), "text": row["rank"] + ("▲" if row["high"] > at.highest else "")}
        for row in rows
    ]
    edge = {**word, "stroke": PAPER, "strokeWidth": 3, "strokeJoin": "round", "color": PAPER}
    return [layer(shown, look, x=at.x(), y=at.y("top"), text={"field": "text"}) for look in (edge, word)]


def _list(named: Sequence[EventReading], others: int) -> list[Spec]:
    """Which number is which event, above the picture in two columns."""
    texts = [f"{rank} {event.title}" for rank, event in enumerate(named, start=1)]
    texts += [f"{others} less likely events, thin"] if others else []
    half = -(-len(texts) // 2)
    made = []
    for n, text in enumerate(texts):
        across, down = divmod(n, half)
        look: dict[str, Any] = {"type": "text", "align": "left", "baseline": "bottom", "text": text}
        look |= {"fontWeight": 700 if n == 0 else 500, "color": INK if n < len(named) else SOFT}
        x, y = across * _PLOT / 2, -10 - (half - 1 - down) * _LINE
        made.append(layer([{}], look, x={"value": x}, y={"value": y}))
    return made


def _told_loads(named: Sequence[EventReading]) -> str:
    """The named events with the part that each uses most."""
    lines = []
    for event in named:
        most = max(event.parts, key=lambda part: part.used.middle)
        assumed = "" if most.known else ", with an assumed strength"
        lines.append(f"{event.title}: up to {_times(most.used)} of first yield, at the {most.words}{assumed}")
    return f"Load over the torque at first yield of each part. {'; '.join(lines)}."


def _times(used: Band) -> str:
    return f"{tidy(used.middle, 2)} times (5 to 95 % of the draws: {tidy(used.low, 2)} to {tidy(used.high, 2)})"


# ---- with how much of its strength left would it have broken --------------------------------------------------


def replay_needed(reading: Reading, part: str) -> Spec:
    """For each event the share of a sound part's strength below which it breaks; empty when nothing is known of it."""
    found = [(event, one) for event in reading.events for one in event.parts if one.part == part]
    if not found:
        return {}
    rows = [_needed(event, one, number) for number, (event, one) in enumerate(found)]
    height = len(rows) * _ROW
    layers = [*_sound(height), *_shares(rows, height), *_beside(rows, height)]
    return chart({"width": _ACROSS, "height": height, "layer": layers}, _told_needed(found))


def _needed(event: EventReading, part: PartInEvent, number: int) -> Spec:
    low, middle, high = (
        100.0 * end for end in (part.breaks_below.low, part.breaks_below.middle, part.breaks_below.high)
    )
    return {
        "event": event.title, "first": number == 0, "known": part.known,
        "y": (number + 0.68) * _ROW, "words": (number + 0.24) * _ROW,
        "low": min(low, _MOST), "middle": min(middle, _MOST), "high": min(high, _MOST),
        "inside": middle < _MOST, "label": f"{middle:.0f} % ({low:.0f} to {high:.0f})",
    }  # fmt: skip


def _share(field: str) -> Spec:
    axis = {"values": [0, 25, 50, 75, 100, 125, 150], "grid": True}
    scale = {"domain": [0, _MOST], "nice": False}
    return quantity(
        field, title="breaks when left with less than this share of its strength, %", scale=scale, axis=axis
    )


def _down(field: str, height: float) -> Spec:
    return quantity(field, title=None, scale={"domain": [0, height], "reverse": True, "nice": False}, axis=None)


def _sound(height: float) -> list[Spec]:
    """From a sound part's strength on, even a sound one breaks."""
    zone = {"low": 100.0, "high": _MOST, "y": 0.0, "y2": height}
    over = {"x": _share("low"), "y": _down("y", height), "y2": {"field": "y2"}}
    shade = {"type": "rect", "fill": _SHADE, "stroke": None, "opacity": 1}
    rule = {"type": "rule", "color": ACCENT, "strokeWidth": 1.6, "strokeDash": [6, 3]}
    word = {"type": "text", "align": "left", "baseline": "bottom", "dx": 3, "dy": -4, "color": ACCENT}
    told = {**word, "fontWeight": 600, "text": "a sound one breaks"}
    return [
        layer([zone], shade, **over, x2={"field": "high"}),
        layer([zone], rule, **over),
        layer([zone], told, x=_share("low"), y=_down("y", height)),
    ]


def _shares(rows: Sequence[Spec], height: float) -> list[Spec]:
    made = []
    for row in rows:
        look = {"fill": INK if row["first"] else _GREY} if row["known"] else {"fill": PAPER, "strokeDash": _ASSUMED}
        mark = {"type": "bar", "height": 9, "stroke": INK if row["first"] else _GREY, "strokeWidth": 1.2, **look}
        made.append(layer([row], mark, x=_share("low"), x2={"field": "high"}, y=_down("y", height)))
    dark = {"type": "tick", "orient": "vertical", "color": INK, "thickness": 2.2, "size": 14, "opacity": 1}
    light = {**dark, "color": PAPER, "thickness": 1.6, "size": 8}
    shown = [row for row in rows if row["inside"]]
    solid = [row for row in shown if row["known"]]
    return [
        *made,
        *(
            layer(some, mark, x=_share("middle"), y=_down("y", height))
            for some, mark in ((shown, dark), (solid, light))
        ),
    ]


def _beside(rows: Sequence[Spec], height: float) -> list[Spec]:
    """The event and its numbers over each bar, on a pale edge that keeps the lines off them."""
    made = []
    for row in rows:
        ink = {"type": "text", "align": "left", "color": INK, "fontWeight": 700 if row["first"] else 500}
        edge = {**ink, "color": PAPER, "stroke": PAPER, "strokeWidth": 4, "strokeJoin": "round"}
        for field, place in (("event", 0), ("label", _NUMBERS)):
            for look in (edge, ink) if not place else (ink,):
                y = _down("words", height)
                made.append(layer([row], look, x={"value": place}, y=y, text={"field": field}))
    return made


def _told_needed(found: Sequence[tuple[EventReading, PartInEvent]]) -> str:
    """The part, and the share of its strength for each event."""
    part = found[0][1]
    shares = "; ".join(f"{event.title} {_percent(one.breaks_below)}" for event, one in found)
    assumed = "" if part.known else " Its strength is assumed."
    return f"Left with less than this share of a sound one's strength, the {part.words} breaks: {shares}.{assumed}"


def _percent(share: Band) -> str:
    return f"{100 * share.middle:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f})"
