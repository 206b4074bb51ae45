"""What a cracked round section can still carry when all that is left of it yields.

What is left is a ring between two parallel chords. A crack from one side leaves what lies below one chord,
cracks from two opposite sides a strip across the middle, a crack all round a smaller ring.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics._domain import FloatArray

_STRIPS, _STEPS = 400, 200  # midpoints across half the section: within 0.1 % of the closed forms


@dataclass(frozen=True)
class RemainingSection:
    """Ring of two radii between two heights over its centre [m]; bending turns about a line across the heights."""

    radius_m: float
    bore_radius_m: float
    bottom_m: float
    top_m: float

    def area_above(self, height: float) -> float:
        """Area of the whole ring above a height."""
        return _cap_area(self.radius_m, height) - _cap_area(self.bore_radius_m, height)

    def moment_above(self, height: float) -> float:
        """First moment of the whole ring above a height, about the line through its centre."""
        return _cap_moment(self.radius_m, height) - _cap_moment(self.bore_radius_m, height)

    def area(self) -> float:
        """Area that is left."""
        return self.area_above(self.bottom_m) - self.area_above(self.top_m)

    def bending_modulus(self) -> float:
        """Fully plastic moment over the flow stress: the line that halves the area is neutral."""
        half = (self.area_above(self.bottom_m) + self.area_above(self.top_m)) / 2
        neutral = rising_root(lambda y: half - self.area_above(y), self.bottom_m, self.top_m)
        return 2 * self.moment_above(neutral) - self.moment_above(self.top_m) - self.moment_above(self.bottom_m)

    def free_tension_area(self) -> float:
        """Limit pull through the centre over the flow stress, the ends free to tilt.

        The far edge then goes into compression so that the stresses have no moment about the centre.
        """
        balance = (self.moment_above(self.top_m) + self.moment_above(self.bottom_m)) / 2
        turn = rising_root(lambda y: self.moment_above(y) - balance, -self.radius_m, min(0.0, self.top_m))
        pulled = self.area_above(max(turn, self.bottom_m)) - self.area_above(self.top_m)
        return min(2 * pulled - self.area(), self.area())

    def torsion_moduli(self) -> tuple[float, float]:
        """Least and greatest limit torque over the shear flow stress, by the two theorems of limit analysis.

        Least: the sand heap on what is left. Greatest: one half of the shaft turns against the other about
        the axis, on which joints and bearings hold it.
        """
        x, y, cell = self._cells()
        radius = np.hypot(x, y)
        # Slopes rise one to one from every edge. A bore that is still closed stands at one height of its own.
        closed = min(self.top_m, -self.bottom_m) > self.bore_radius_m > 0
        bank = min(self.radius_m, self.top_m, -self.bottom_m) - self.bore_radius_m if closed else 0.0
        edges = [self.radius_m - radius, self.top_m - y, y - self.bottom_m]
        if self.bore_radius_m:
            edges.append(radius - self.bore_radius_m + bank)
        heap = float((np.minimum.reduce(edges) * cell).sum()) + math.pi * self.bore_radius_m**2 * bank
        turned = float((radius * cell).sum())
        return min(2 * heap, turned), turned  # on an even ring both are one value but for the grid

    def _cells(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Midpoints and areas of cells that fill the right half, areas doubled for the left half."""
        height = (self.top_m - self.bottom_m) / _STRIPS
        y = self.bottom_m + height * (np.arange(_STRIPS)[:, None] + 0.5)
        inner = np.sqrt(np.maximum(self.bore_radius_m**2 - y**2, 0.0))
        width = (np.sqrt(np.maximum(self.radius_m**2 - y**2, 0.0)) - inner) / _STEPS
        x = inner + width * (np.arange(_STEPS)[None, :] + 0.5)
        return x, np.broadcast_to(y, x.shape), np.broadcast_to(2 * width * height, x.shape)


def left_below_a_chord(radius_m: float, bore_radius_m: float, share: float) -> RemainingSection:
    """What a crack from one side leaves of a ring when a given share of its area is left."""
    whole = RemainingSection(radius_m, bore_radius_m, -radius_m, radius_m)
    lost = (1 - share) * whole.area()
    top = rising_root(lambda y: lost - whole.area_above(y), -radius_m, radius_m)
    return RemainingSection(radius_m, bore_radius_m, -radius_m, top)


def left_between_chords(radius_m: float, bore_radius_m: float, share: float) -> RemainingSection:
    """What equal cracks from two opposite sides leave of a ring."""
    whole = RemainingSection(radius_m, bore_radius_m, -radius_m, radius_m)
    lost = (1 - share) * whole.area() / 2
    top = rising_root(lambda y: lost - whole.area_above(y), 0.0, radius_m)
    return RemainingSection(radius_m, bore_radius_m, -top, top)


def left_inside(radius_m: float, bore_radius_m: float, share: float) -> RemainingSection:
    """What an even crack all round leaves of a ring."""
    inside = math.sqrt(bore_radius_m**2 + share * (radius_m**2 - bore_radius_m**2))
    return RemainingSection(inside, bore_radius_m, -inside, inside)


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function passes zero, by halving; the nearer end if it does not."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if function(middle) > 0 else (middle, high)
    return (low + high) / 2


def _cap_area(radius: float, height: float) -> float:
    """Area of a disc above a height over its centre."""
    if radius == 0 or height >= radius:
        return 0.0
    y = max(height, -radius)
    return radius**2 * math.acos(y / radius) - y * math.sqrt(radius**2 - y**2)


def _cap_moment(radius: float, height: float) -> float:
    """First moment of that cap about the line through the centre."""
    half_chord = math.sqrt(max(radius**2 - height**2, 0.0))
    return 2 / 3 * half_chord**3
