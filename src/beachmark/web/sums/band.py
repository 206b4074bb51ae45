"""Ranges as small pictures: where a result may lie, where its nominal value is, and the limit it is held against.

Places across are given in percent of the width and places down in percent of the height, so that a picture fits
any screen without being distorted. All rows of one sum share one scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from beachmark.basis.values import Spread, Value

ROOM = 1.08  # of the greatest number shown
TURN = 55.0  # percent: from here on the limit's words stand left of it


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


def row_picture(scale: Scale, spread: Spread, limit: Value | None, *, label: str) -> Markup:
    """One result: its range as a bar, its nominal value as a tick, the limit as a dashed line with its zone."""
    low, high, at = scale.at(spread.low), scale.at(spread.high), scale.at(spread.nominal)
    bar = Markup(
        '<rect class="range" x="{low:.2f}%" y="50%" width="{width:.2f}%" height="12" transform="translate(0 -6)"/>'
        '<rect class="nominal" x="{at:.2f}%" y="50%" width="4" height="20" transform="translate(-2 -10)"/>'
    ).format(low=low, width=max(high - low, 0.2), at=at)
    return Markup('<svg class="band" role="img" width="100%" height="100%" aria-label="{}">{}{}{}</svg>').format(
        label, _zero(scale), _limit(scale, limit) if limit else Markup(""), bar
    )


def foot_picture(scale: Scale, limit: Value | None, *, zero: str, limit_words: str) -> Markup:
    """The line under the rows with zero and the limit in numbers."""
    axis = Markup('<line class="axis" x1="0" x2="100%" y1="1" y2="1"/><text x="{:.2f}%" dx="3" y="18">{}</text>')
    drawn = axis.format(scale.at(0.0), zero)
    if limit:
        at = scale.at(limit.si)
        anchor, dx = ("end", -5) if at > TURN else ("start", 5)
        drawn += Markup(
            '<line class="limit" x1="{at:.2f}%" x2="{at:.2f}%" y1="0" y2="20"/>'
            '<text class="limit-words" x="{at:.2f}%" dx="{dx}" y="18" text-anchor="{anchor}">{words}</text>'
        ).format(at=at, dx=dx, anchor=anchor, words=limit_words)
    return Markup('<svg class="band base" aria-hidden="true" width="100%" height="24">{}</svg>').format(drawn)


def _zero(scale: Scale) -> Markup:
    return Markup('<line class="axis" x1="{0:.2f}%" x2="{0:.2f}%" y1="0" y2="100%"/>').format(scale.at(0.0))


def _limit(scale: Scale, limit: Value) -> Markup:
    at, low, high = scale.at(limit.si), scale.at(limit.low), scale.at(limit.high)
    zone = Markup('<rect class="zone" x="{:.2f}%" y="0" width="{:.2f}%" height="100%"/>').format(low, high - low)
    line = Markup('<line class="limit" x1="{0:.2f}%" x2="{0:.2f}%" y1="0" y2="100%"/>').format(at)
    return (zone if high > low else Markup("")) + line
