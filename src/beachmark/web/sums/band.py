"""Ranges as a small picture: where a result may lie, where its nominal value is, and the limit it is held against.

Places are given in percent of the width, so that the picture fits any screen without being distorted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from beachmark.basis.values import Spread, Value

ROW = 30  # pixels
FOOT = 24
ROOM = 1.08  # of the greatest number shown


@dataclass(frozen=True)
class Scale:
    """From a number to percent of the width."""

    low: float
    high: float

    def at(self, number: float) -> float:
        """Percent of the width."""
        return 100.0 * (number - self.low) / (self.high - self.low)


def scale_for(spreads: Sequence[Spread], limit: Value | None) -> Scale:
    """A scale that holds everything, from zero where nothing is below it."""
    ends = [end for spread in spreads for end in (spread.low, spread.high)]
    ends += [limit.low, limit.high] if limit else []
    low, high = min(0.0, *ends), max(0.0, *ends)
    reach = (high - low) or 1.0
    return Scale(low * ROOM if low < 0 else 0.0, high + (ROOM - 1.0) * reach if high > 0 else 0.02 * reach)


def band_picture(spreads: Sequence[Spread], limit: Value | None, *, zero: str, limit_words: str, label: str) -> Markup:
    """One row for each spread; `zero` is how the scale's start is written, `limit_words` stand at the limit."""
    scale = scale_for(spreads, limit)
    height = ROW * len(spreads) + FOOT
    drawn = [_axis(scale, ROW * len(spreads), zero)]
    if limit:
        drawn.append(_limit(scale, limit, ROW * len(spreads), limit_words))
    drawn += [_row(scale, spread, ROW * i) for i, spread in enumerate(spreads)]
    return Markup('<svg class="band" role="img" width="100%" height="{}" aria-label="{}">{}</svg>').format(
        height, label, Markup("").join(drawn)
    )


def _axis(scale: Scale, y: float, zero: str) -> Markup:
    at = scale.at(0.0)
    return Markup(
        '<line class="axis" x1="0" x2="100%" y1="{y}" y2="{y}"/><line class="axis" x1="{at:.2f}%" x2="{at:.2f}%" '
        'y1="0" y2="{foot}"/><text x="{at:.2f}%" dx="3" y="{text}">{zero}</text>'
    ).format(y=y, at=at, foot=y + 5, text=y + 18, zero=zero)


def _limit(scale: Scale, limit: Value, y: float, words: str) -> Markup:
    at, low, high = scale.at(limit.si), scale.at(limit.low), scale.at(limit.high)
    zone = Markup('<rect class="zone" x="{:.2f}%" y="0" width="{:.2f}%" height="{}"/>').format(low, high - low, y)
    anchor, dx = ("end", -5) if at > 55 else ("start", 5)
    return (zone if high > low else Markup("")) + Markup(
        '<line class="limit" x1="{at:.2f}%" x2="{at:.2f}%" y1="0" y2="{foot}"/>'
        '<text class="limit-words" x="{at:.2f}%" dx="{dx}" y="{text}" text-anchor="{anchor}">{words}</text>'
    ).format(at=at, foot=y + 20, dx=dx, text=y + 18, anchor=anchor, words=escape(words))


def _row(scale: Scale, spread: Spread, y: float) -> Markup:
    low, high, at = scale.at(spread.low), scale.at(spread.high), scale.at(spread.nominal)
    return Markup(
        '<rect class="range" x="{low:.2f}%" y="{top}" width="{width:.2f}%" height="12" rx="1"/>'
        '<rect class="nominal" x="{at:.2f}%" y="{tick}" width="4" height="20" transform="translate(-2 0)"/>'
    ).format(low=low, top=y + 9, width=max(high - low, 0.2), at=at, tick=y + 5)
