"""Speed that each shaft reaches against its bending critical speed by the hand formula."""

from __future__ import annotations

from collections.abc import Sequence

from beachmark.basis.units import UNITS, tidy
from beachmark.basis.values import Spread
from beachmark.findings.results import Sum
from beachmark.report.bands import Band, range_bars
from beachmark.report.look import Spec
from beachmark.report.words import Units, place_words

LOWERED = (0.65, 0.95)  # real over pinned critical speed; the range that the sum itself states


def speed_figure(sums: Sequence[Sum], units: Units) -> Spec:
    """Speeds of each shaft against its critical speed; empty without numbers."""
    found = [one for one in sums if one.id == "finding.whirl" and one.computed]
    if not found:
        return {}
    unit, bands = units.unit("rotation"), [band for one in found for band in _bands(one)]
    return range_bars(bands, rule=None, dimension="rotation", unit=unit, title="shaft speed", description=_told(found))


def _bands(result: Sum) -> list[Band]:
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


def _told(found: Sequence[Sum]) -> str:
    nearest = max(found, key=lambda one: one.results[0].spread.nominal)
    share, critical, top = (one.spread.nominal for one in nearest.results[:3])
    rpm = UNITS["rotation"]["rpm"]
    told = (
        f"{place_words(nearest.at).capitalize()} comes nearest: it reaches {tidy(top / rpm, 3)} rpm, {share:.2f} of "
        f"its critical speed of {tidy(critical / rpm, 3)} rpm with pinned ends, which real ends lower."
    )
    return told.replace("\u202f", "\u00a0")
