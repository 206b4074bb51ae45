"""At what speed, and in which gear, an order of the turning meets a natural frequency in torsion."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.torsional import TorsionalTrain, natural_frequencies


@dataclass(frozen=True)
class OrderCrossings:
    """Speeds [rad/s] at which an order meets each frequency, and whether they lie within the speed range."""

    speeds_rad_s: FloatArray
    within: NDArray[np.bool_]


@dataclass(frozen=True)
class GearResonance:
    """A gear (its place in the list, from 0) and a mode (0 turns as one) that an order meets, and where."""

    gear: int
    mode: int
    frequency_rad_s: float
    speed_rad_s: float


def order_crossings(
    *,
    frequencies_rad_s: ArrayLike,
    order: ArrayLike,
    least_speed_rad_s: ArrayLike,
    greatest_speed_rad_s: ArrayLike,
) -> OrderCrossings:
    """Speeds at which an order of a turning part excites natural frequencies.

    Formula: W = w / order; for a joint, order 2: n [1/min] = 60 f / 2.
    Units: rad/s; order in periods per turn. All broadcast.
    Range: frequency >= 0, order > 0, 0 <= least <= greatest speed. A frequency of 0 (turning as one) is
    never within the range.
    Raises: ValueError if a value is not finite or out of range.
    Source: definition of an order.

    >>> found = order_crossings(frequencies_rad_s=[0.0, 100.0, 900.0], order=2.0, least_speed_rad_s=0.0,
    ...                         greatest_speed_rad_s=300.0)
    >>> found.speeds_rad_s.tolist(), found.within.tolist()
    ([0.0, 50.0, 450.0], [False, True, False])
    """
    frequencies, orders = _domain.as_list(frequencies_rad_s), _domain.as_list(order)
    least, greatest = _domain.as_list(least_speed_rad_s), _domain.as_list(greatest_speed_rad_s)
    _domain.non_negative(frequencies_rad_s=frequencies, least_speed_rad_s=least, greatest_speed_rad_s=greatest)
    _domain.positive(order=orders)
    if np.any(least > greatest):
        raise ValueError(f"least_speed_rad_s is {least}; it must not be above greatest_speed_rad_s ({greatest}).")
    speeds = frequencies / orders
    within = (frequencies > 0) & (speeds >= least) & (speeds <= greatest)
    return OrderCrossings(speeds_rad_s=speeds, within=within)


def resonant_gears(
    *,
    trains: Sequence[TorsionalTrain],
    order: ArrayLike,
    least_speed_rad_s: ArrayLike,
    greatest_speed_rad_s: ArrayLike,
) -> tuple[GearResonance, ...]:
    """Gears in which an order meets a natural frequency within the speed range of that gear.

    Formula: order_crossings of every gear's natural frequencies.
    Units: rad/s of the reference shaft of each train; order in periods per turn of that shaft (for the
    engine's order on a train reduced to the propeller shaft: order times gear ratio).
    Range: one train per gear; order and speeds one for all or one for each; order > 0.
    Raises: ValueError if a value is not finite or out of range, or a list does not match the trains.
    Source: definition of an order; natural_frequencies.

    >>> from beachmark.mechanics.torsional import chain_train
    >>> gears = [chain_train(inertias_kg_m2=[j, j], stiffnesses_nm_rad=[1e4]) for j in (0.5, 2.0)]
    >>> [met] = resonant_gears(trains=gears, order=2.0, least_speed_rad_s=20.0, greatest_speed_rad_s=[90.0, 60.0])
    >>> met.gear, met.mode, round(met.frequency_rad_s, 6), round(met.speed_rad_s, 6)
    (1, 1, 100.0, 50.0)
    """
    if not trains:
        raise ValueError("trains is empty; it must hold one train for each gear.")
    orders = _per_gear("order", order, len(trains))
    least = _per_gear("least_speed_rad_s", least_speed_rad_s, len(trains))
    greatest = _per_gear("greatest_speed_rad_s", greatest_speed_rad_s, len(trains))
    found = []
    for gear, train in enumerate(trains):
        frequencies = natural_frequencies(train=train).frequencies_rad_s
        crossings = order_crossings(
            frequencies_rad_s=frequencies,
            order=orders[gear],
            least_speed_rad_s=least[gear],
            greatest_speed_rad_s=greatest[gear],
        )
        for mode in np.flatnonzero(crossings.within).tolist():
            met = GearResonance(gear, mode, float(frequencies[mode]), float(crossings.speeds_rad_s[mode]))
            found.append(met)
    return tuple(found)


def _per_gear(name: str, value: ArrayLike, gears: int) -> FloatArray:
    """Return one number for each gear, from one for all or one for each."""
    numbers = _domain.as_list(value)
    _domain.non_negative(**{name: numbers})
    if numbers.shape not in ((), (gears,)):
        raise ValueError(f"{name} has shape {numbers.shape}; it must be one number or one for each of {gears} gears.")
    return np.broadcast_to(numbers, gears)
