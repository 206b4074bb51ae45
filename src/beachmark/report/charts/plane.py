"""A plot area with fixed scales, so that names can stand at the ends of curves and flags on upright lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from beachmark.report.drawing.svg import text_width
from beachmark.report.look import INK, PAPER, SOFT, Spec, layer, quantity

LETTER = 11.0  # pixels
LINE = 14.0  # from one line of letters to the next
_LEAD = 16.0  # length of the piece of line that leads from a curve to its name


@dataclass(frozen=True)
class Axis:
    """Title and ends of one scale, its length in pixels, and how its numbers are written."""

    title: str | None
    low: float
    high: float
    pixels: float
    look: Spec

    def encoding(self, field: str) -> Spec:
        """The encoding of a field on this scale."""
        scale = {"domain": [self.low, self.high], "nice": False, "zero": False}
        return quantity(field, title=self.title, scale=scale, axis=self.look)

    def pixel(self, value: float) -> float:
        """How far a value stands from the lower end."""
        return (value - self.low) / (self.high - self.low) * self.pixels

    def at(self, pixel: float) -> float:
        """The value so many pixels from the lower end; outside the ends it lies beyond the plot."""
        return self.low + pixel / self.pixels * (self.high - self.low)


@dataclass(frozen=True)
class Name:
    """The name of a curve, and where the curve ends."""

    text: str
    y: float
    dash: Sequence[float] = (1, 0)
    weight: int = 600
    color: str = INK


@dataclass(frozen=True)
class Flag:
    """An upright line with words at its top."""

    text: str
    x: float
    dash: Sequence[float] = (1, 0)
    width: float = 1.0
    weight: int = 400


@dataclass(frozen=True)
class Plane:
    """Two scales and what can be drawn on them."""

    x: Axis
    y: Axis

    def encoded(self, x: str = "x", y: str = "y", **more: Any) -> dict[str, Any]:
        """Encodings of both places, and more."""
        return {"x": self.x.encoding(x), "y": self.y.encoding(y), **more}

    def curve(self, points: Sequence[Spec], *, dash: Sequence[float] = (1, 0), width: float = 1.8) -> Spec:
        """A curve through points with x and y; what leaves the plot is cut off."""
        mark = {"type": "line", "color": INK, "strokeWidth": width, "strokeDash": list(dash), "clip": True}
        return layer(points, mark, **self.encoded())

    def names(self, names: Sequence[Name]) -> list[Spec]:
        """Names beside the right ends of curves, pulled apart, each behind a piece of its own line."""
        pixels = apart([self.y.pixel(name.y) for name in names], LINE)
        start, end = self.x.high, self.x.at(self.x.pixels + _LEAD)
        made = []
        for name, pixel in zip(names, pixels, strict=True):
            row = {"x": start, "x2": end, "y": name.y, "y2": self.y.at(pixel), "text": name.text}
            lead = {"type": "rule", "color": name.color, "strokeWidth": 1.2, "strokeDash": list(name.dash)}
            word = {"type": "text", "align": "left", "dx": 4, "color": name.color, "fontWeight": name.weight}
            made.append(layer([row], lead, **self.encoded(x2={"field": "x2"}, y2={"field": "y2"})))
            made.append(layer([row], word, **self.encoded("x2", "y2"), text={"field": "text"}))
        return made

    def words(self, rows: Sequence[Spec], **mark: Any) -> list[Spec]:
        """Words at points with x, y and text, on a pale edge that keeps lines off them."""
        edge = {"stroke": PAPER, "strokeWidth": 4, "strokeJoin": "round", "color": PAPER}
        ink = {"type": "text", "color": INK, **mark}
        return [layer(rows, look, **self.encoded(text={"field": "text"})) for look in ({**ink, **edge}, ink)]

    def flags(self, flags: Sequence[Flag], *, leftward: bool = False) -> list[Spec]:
        """Upright lines whose words stand above the plot, staggered so that none crosses another's words."""
        levels = staggered([(self.x.pixel(flag.x), text_width(flag.text, LETTER)) for flag in flags], leftward=leftward)
        made = []
        for flag, level in zip(flags, levels, strict=True):
            top = self.y.at(self.y.pixels + 6 + LINE * (level + 0.5))
            row = {"x": flag.x, "y": self.y.low, "y2": top, "text": flag.text}
            rule = {"type": "rule", "color": SOFT, "strokeWidth": flag.width, "strokeDash": list(flag.dash)}
            side = {"align": "right", "dx": -4} if leftward else {"align": "left", "dx": 4}
            word = {"type": "text", "color": INK, "fontWeight": flag.weight, **side}
            made.append(layer([row], rule, **self.encoded(), y2={"field": "y2"}))
            made.append(layer([row], word, **self.encoded("x", "y2"), text={"field": "text"}))
        return made

    def spec(self, layers: Sequence[Spec]) -> Spec:
        """The plot with its layers."""
        return {"width": self.x.pixels, "height": self.y.pixels, "layer": list(layers)}


def apart(places: Sequence[float], least: float) -> list[float]:
    """The places moved as little as can be (least squares) so that neighbours stand `least` apart.

    Source: pooling of adjacent violators (isotonic regression), after taking the gaps off.
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    pools: list[tuple[float, int]] = []  # mean and count of places that move together
    for rank, i in enumerate(order):
        pools.append((places[i] - rank * least, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, m), (b, n) = pools[-2:]
            pools[-2:] = [((a * m + b * n) / (m + n), m + n)]
    moved = [mean for mean, count in pools for _ in range(count)]
    found = [0.0] * len(places)
    for rank, i in enumerate(order):
        found[i] = moved[rank] + rank * least
    return found


def staggered(flags: Sequence[tuple[float, float]], *, leftward: bool = False) -> list[int]:
    """Level above the plot of each flag, given as (place, width of its words).

    Words run away from their line. A line within another's words ends below them.
    """
    gap = 10.0
    placed: list[tuple[float, int]] = []
    levels = [0] * len(flags)
    for i in sorted(range(len(flags)), key=lambda i: flags[i][0], reverse=not leftward):
        place, width = flags[i]
        spanned = [level for other, level in placed if abs(other - place) <= width + gap]
        levels[i] = max(spanned, default=-1) + 1
        placed.append((place, levels[i]))
    return levels
