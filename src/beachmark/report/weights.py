"""What speaks for and against the first cause and its rivals, as bars to the right and to the left."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from beachmark.diagnosis.explain import WEIGHT_WORDS as WORDS  # from which weight which word is used, strongest first
from beachmark.diagnosis.opinion import CauseOpinion, Opinion
from beachmark.report.document import CauseView, Reason, ReportContent
from beachmark.report.look import INK, PAPER, SOFT, WIDTH, Spec, chart, layer, quantity

MOST_ITEMS = 12
_LABELS = 225
_GAP = 16
_ROW = 17
_ALONE = 14  # letters from which an answer says enough without its question
_TITLE, _LINES = 25, 3  # letters in a line of a heading, and lines


def weights_figure(opinion: Opinion, content: ReportContent, description: str) -> Spec:
    """One panel for each cause shown in full, one row for each of the weightiest items; empty without any."""
    views = [view for view in (content.considered.first, *content.considered.rivals) if view is not None]
    if not views:
        return {}
    by_id = {cause.id: cause for cause in opinion.causes}
    causes = [by_id[view.id] for view in views]
    labels = _labels(views)
    shown = _weightiest(causes, labels)
    if not shown:
        return {}
    ends = _reach(causes)
    width = round((WIDTH - _LABELS) / len(views) - _GAP)
    panels: list[Spec] = []
    for view, cause in zip(views, causes, strict=True):
        rows = [
            {"item": labels[one.item], "weight": one.weight, "counted": one.counted}
            for one in cause.contributions
            if one.item in shown
        ]
        names = _names([labels[key] for key in shown], written=not panels)
        panels.append(_panel(view.title, rows, names, ends, width))
    return chart({"hconcat": panels, "spacing": _GAP}, description)


def _labels(views: Sequence[CauseView]) -> dict[str, str]:
    """A short name for each item: its label in the report and its answer."""
    reasons = [reason for view in views for reason in (*view.speaks_for, *view.speaks_against)]
    return {one.key: f"{one.ref} · {textwrap.shorten(_said(one), 38, placeholder='…')}" for one in reasons}


def _said(one: Reason) -> str:
    """The answer; with its question when it is too short to be understood alone."""
    return one.answer if len(one.answer) >= _ALONE else f"{one.answer}: {one.question}"


def _weightiest(causes: Sequence[CauseOpinion], labels: Mapping[str, str]) -> list[str]:
    """Keys of the items that weigh most, in the order in which they speak for the first cause."""
    most: dict[str, float] = {}
    for one in (one for cause in causes for one in cause.contributions):
        most[one.item] = max(most.get(one.item, 0.0), abs(one.weight))
    chosen = sorted((key for key in most if key in labels), key=lambda key: -most[key])[:MOST_ITEMS]
    first = {one.item: one.weight for one in causes[0].contributions}
    return sorted(chosen, key=lambda key: -first.get(key, 0.0))


def _reach(causes: Sequence[CauseOpinion]) -> list[float]:
    """Ends of the scale: the same for every panel, with room for both words beside zero."""
    weights = [one.weight for cause in causes for one in cause.contributions]
    return [min(-0.7, *weights) * 1.04, max(0.7, *weights) * 1.04]


def _names(labels: Sequence[str], *, written: bool) -> Spec:
    axis = {"labelLimit": _LABELS, "ticks": False, "domain": False, "labelPadding": 6} if written else None
    order = list(labels)
    return {"field": "item", "type": "nominal", "sort": order, "title": None, "axis": axis, "scale": {"domain": order}}


def _panel(title: str, rows: Sequence[Spec], names: Spec, ends: Sequence[float], width: int) -> Spec:
    x = quantity("weight", title=None, scale={"domain": list(ends), "nice": False}, axis=_axis(ends))
    zero = layer([{"x": 0}], {"type": "rule", "color": INK, "strokeWidth": 1}, x=quantity("x"))
    sides = [_side(word, align, shift) for word, align, shift in (("against", "right", -5), ("for", "left", 5))]
    lines = textwrap.wrap(title, _TITLE, max_lines=_LINES, placeholder="…")
    heading = {"text": [*lines, *[" "] * (_LINES - len(lines))], "lineHeight": 13, "offset": 14}
    bars = [_bars(rows, counted, x, names) for counted in (True, False)]
    return {"width": width, "height": {"step": _ROW}, "title": heading, "layer": [*bars, zero, *sides]}


def _bars(rows: Sequence[Spec], counted: bool, x: Spec, y: Spec) -> Spec:
    mark = {"type": "bar", "height": 8, "fill": INK if counted else PAPER, "stroke": INK, "strokeWidth": 1}
    return layer([row for row in rows if row["counted"] is counted], mark, x=x, y=y)


def _side(word: str, align: str, shift: float) -> Spec:
    """A word on its side of zero, above the bars."""
    mark = {"type": "text", "text": word, "align": align, "dx": shift, "fontSize": 10, "color": SOFT}
    return layer([{"x": 0}], mark, x=quantity("x"), y={"value": -8})


def _axis(ends: Sequence[float]) -> Spec:
    """Words instead of numbers, at the weights from which a stronger word is used."""
    least = [(at, words.removeprefix("speaks").strip()) for at, words in WORDS if words != "speaks" and at > 0]
    values = [at for step, _ in least for at in (-step, step) if ends[0] < at < ends[1]]
    names = "".join(f"abs(datum.value) >= {at} ? '{name}' : " for at, name in least)
    return {
        "values": values, "labelExpr": f"{names}''", "ticks": False, "domain": False, "labelColor": SOFT,
        "labelFontSize": 10, "labelFlush": False,
    }  # fmt: skip
