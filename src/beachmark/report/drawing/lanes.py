"""Keep labels apart: each takes the first lane in which it touches no other."""

from __future__ import annotations

from collections.abc import Sequence


def in_lanes(spans: Sequence[tuple[float, float]], *, gap: float) -> tuple[int, ...]:
    """A lane number for each (left, right) span so that spans of one lane lie at least `gap` apart."""
    taken: list[list[tuple[float, float]]] = []
    lanes = []
    for left, right in spans:
        lane = next((i for i, used in enumerate(taken) if _free(used, left, right, gap)), len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((left, right))
        lanes.append(lane)
    return tuple(lanes)


def _free(used: Sequence[tuple[float, float]], left: float, right: float, gap: float) -> bool:
    return all(right + gap <= a or b + gap <= left for a, b in used)


def kept_inside(centre: float, width: float, least: float, most: float) -> tuple[float, float]:
    """The span of a label of `width` about `centre`, pushed inside [least, most]."""
    left = max(least, min(centre - width / 2, most - width))
    return left, left + width
