"""The speed diagram: whirl of the whole line over shaft speed, what meets it, and the speeds that are reached."""

from __future__ import annotations

from collections.abc import Sequence

from beachmark.basis.units import UNITS, tidy
from beachmark.basis.values import Spread
from beachmark.findings.curves import Crossing, WhirlCurves
from beachmark.findings.results import Sum
from beachmark.report.charts.plane import Axis, Flag, Name, Plane, apart
from beachmark.report.look import INK, NUMBERS, PAPER, SOFT, WIDTH, Spec, chart, layer

_RPM = UNITS["rotation"]["rpm"]
_HZ = UNITS["rotation"]["Hz"]
_LABELS = 165
_HEIGHT = 220
_ALIKE = 12.0  # pixels between forward and backward line under which they share one name
_NEAR = 1.3  # a mode so far above what order 2 reaches is still shown, so that the next one is seen to be out of reach
_BACKWARD = (3, 2)
_ORDER_DASH = (8, 3)
_CORNER = (70.0, 26.0)  # pixels from the axes within which a number has no room
_ORDERS = {1: "once a turn", 2: "twice a turn"}


def whirl_figure(curves: WhirlCurves | None, sums: Sequence[Sum]) -> Spec:
    """Whirl speeds and orders over shaft speed; empty unless the line can be modelled."""
    if curves is None:
        return {}
    plane = _plane(curves)
    (orders, order_names), (modes, mode_names) = _orders(plane), _modes(plane, curves)
    names = plane.names([*order_names, *mode_names])
    layers = [*plane.flags(_flags(curves)), *orders, *modes, *names, *_rings(plane, curves, sums)]
    return chart(plane.spec(layers), _told(curves, sums))


def _plane(curves: WhirlCurves) -> Plane:
    last = float(curves.speeds_rad_s[-1])
    reach = 2 * last / _HZ
    shown = [float(top) / _HZ for top in curves.forward_rad_s.max(axis=0) if top / _HZ <= _NEAR * reach]
    look = {"labelExpr": NUMBERS, "grid": False}
    speed = Axis("shaft speed, rpm", 0.0, last / _RPM, WIDTH - _LABELS - 45, {**look, "tickCount": 8})
    whirl = Axis("whirl frequency, Hz", 0.0, 1.05 * max(reach, *shown), _HEIGHT, {**look, "tickCount": 6})
    return Plane(speed, whirl)


def _flags(curves: WhirlCurves) -> list[Flag]:
    fastest = curves.fastest
    return [
        Flag(
            f"{words.replace('governed speed in the gear of', 'gear of')}, {_rpm(speed.nominal)}",
            speed.nominal / _RPM,
            dash=(3, 3) if words.startswith("governed") else (1, 0),
            width=2.0 if fastest and words == fastest[0] else 1.0,
            weight=600 if fastest and words == fastest[0] else 400,
        )
        for words, speed in curves.reached
    ]


def _orders(plane: Plane) -> tuple[list[Spec], list[Name]]:
    """The lines of excitation once and twice a turn, and their names."""
    made, names = [], []
    for order, words in _ORDERS.items():
        end = order * plane.x.high * _RPM / _HZ
        line = {"type": "line", "color": SOFT, "strokeWidth": 1.1, "strokeDash": list(_ORDER_DASH), "clip": True}
        points = [{"x": 0.0, "y": 0.0, "order": order}, {"x": plane.x.high, "y": end, "order": order}]
        made.append(layer(points, line, **plane.encoded()))
        names.append(Name(words, end, _ORDER_DASH, 400, SOFT))
    return made, names


def _modes(plane: Plane, curves: WhirlCurves) -> tuple[list[Spec], list[Name]]:
    """The whirl of each mode over speed, and its name."""
    made, names = [], []
    speeds = [float(speed) / _RPM for speed in curves.speeds_rad_s]
    for mode, words in enumerate(_named(plane, curves)):
        ways = {"forward": curves.forward_rad_s[:, mode] / _HZ, "backward": curves.backward_rad_s[:, mode] / _HZ}
        if max(ways["forward"]) > plane.y.high:
            continue
        for way, values in ways.items():
            points = [{"x": x, "y": float(y), "mode": mode, "way": way} for x, y in zip(speeds, values, strict=True)]
            dash, width = (_BACKWARD, 1.2) if way == "backward" else ((1, 0), 2.0)
            made.append(plane.curve(points, dash=dash, width=width))
        ahead, behind = (float(values[-1]) for values in ways.values())
        apart_enough = plane.y.pixel(ahead) - plane.y.pixel(behind) >= _ALIKE
        names.append(Name(f"{words}, forward" if apart_enough else words, ahead))
        names += [Name("backward", behind, _BACKWARD, 400)] if apart_enough else []
    return made, names


def _named(plane: Plane, curves: WhirlCurves) -> list[str]:
    """Name of each mode. What is met in the corner of the plot, where no number has room, is told here."""
    names = _numbered(curves.words)
    for one in curves.crossings:
        if one.order == 1 and not _has_room(plane, one):
            names[one.mode] += f", {_rpm(one.speed_rad_s)}"
    return names


def _has_room(plane: Plane, one: Crossing) -> bool:
    place = one.speed_rad_s / _RPM, one.order * one.speed_rad_s / _HZ
    return plane.x.pixel(place[0]) > _CORNER[0] and plane.y.pixel(place[1]) > _CORNER[1]


def _numbered(words: Sequence[str]) -> list[str]:
    """The second time that a part bends it does so in another shape."""
    counts = [words[: i + 1].count(word) for i, word in enumerate(words)]
    return [word if n == 1 else f"{word}, shape {n}" for word, n in zip(words, counts, strict=True)]


def _rings(plane: Plane, curves: WhirlCurves, sums: Sequence[Sum]) -> list[Spec]:
    made: list[Spec] = []
    for order, side in ((1, {"align": "left", "dx": 8}), (2, {"align": "right", "dx": -8})):
        met = [one for one in curves.crossings if one.order == order]
        rows = [{"x": one.speed_rad_s / _RPM, "y": order * one.speed_rad_s / _HZ, "order": order} for one in met]
        bold = [one == curves.lowest(order) for one in met]
        for row, heavy in zip(rows, bold, strict=True):
            ring = {"type": "point", "shape": "circle", "size": 90 if heavy else 45, "fill": PAPER, "opacity": 1}
            made.append(layer([row], {**ring, "stroke": INK, "strokeWidth": 2.2 if heavy else 1.2}, **plane.encoded()))
        shift = -11 if order == 1 else 11  # order 1 is told below its line, order 2 above it
        pixels = apart([plane.y.pixel(row["y"]) + shift for row in rows], 13)
        for row, pixel, one, heavy in zip(rows, pixels, met, bold, strict=True):
            if not _has_room(plane, one):
                continue
            told = {"x": row["x"], "y": plane.y.at(pixel), "text": _met(one, heavy, sums)}
            made += plane.words([told], fontWeight=600 if heavy else 400, **side)
    return made


def _met(one: Crossing, lowest: bool, sums: Sequence[Sum]) -> str:
    if not lowest:
        return _rpm(one.speed_rad_s)
    if one.order == 2:
        return f"half-critical, {_rpm(one.speed_rad_s)}"
    found = _range(sums)
    reach = f" ({tidy(found.low / _RPM, 3)} to {tidy(found.high / _RPM, 3)})" if found else ""
    return f"critical, {_rpm(one.speed_rad_s)}{reach}".replace("\u202f", "\u00a0")


def _range(sums: Sequence[Sum]) -> Spread | None:
    """The lowest critical speed with its range, as the sum has it."""
    results = [result for one in sums if one.id == "sum.whirl_line" for result in one.results]
    return next((one.spread for one in results if one.words.startswith("lowest bending critical")), None)


def _rpm(speed: float) -> str:
    return f"{tidy(speed / _RPM, 3)} rpm".replace("\u202f", "\u00a0")


def _told(curves: WhirlCurves, sums: Sequence[Sum]) -> str:
    critical, half = curves.lowest(1), curves.lowest(2)
    assert critical is not None  # the speeds shown end beyond it
    told = f"The lowest {_met(critical, True, sums).replace('critical,', 'critical speed is')}: {critical.words}"
    told += f"; twice a turn meets it at {_rpm(half.speed_rad_s)}" if half else ""
    if curves.fastest is None:
        return f"{told}; no speed is known that the shafts reach."
    words, speed = curves.fastest
    share = speed.nominal / critical.speed_rad_s
    return f"{told}; the greatest speed known, {words}, is {_rpm(speed.nominal)}: {share:.2f} of the critical speed."
