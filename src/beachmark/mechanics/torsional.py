"""How a driveline twists in vibration: its lumps, its natural frequencies and shapes, Holzer's check.

A train is a tree of turning inertias (stations) joined by springs: a chain, or one that branches to several
axles. Gears are taken out beforehand (``reduced_train``): every element is counted at the speed of one
reference shaft. The ends are free, so the whole train can turn as one: the first mode has frequency 0.
Branches must not meet again: where several axles push one vehicle, each carries its share of the mass.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray


@dataclass(frozen=True)
class TorsionalTrain:
    """Inertias [kg m^2], springs [N m/rad], and the pair of stations (from 0) that each spring joins.

    Refused with ValueError unless all are finite and greater than 0, and the springs join the stations
    into one tree: one spring fewer than stations, nothing left apart.
    """

    inertias_kg_m2: tuple[float, ...]
    stiffnesses_nm_rad: tuple[float, ...]
    joined: tuple[tuple[int, int], ...]

    def __post_init__(self) -> None:
        _domain.same_length(inertias_kg_m2=_domain.as_list(self.inertias_kg_m2))
        _domain.positive(inertias_kg_m2=self.inertias_kg_m2, stiffnesses_nm_rad=self.stiffnesses_nm_rad)
        springs = len(self.inertias_kg_m2) - 1
        if len(self.stiffnesses_nm_rad) != springs or len(self.joined) != springs:
            raise ValueError(
                f"stiffnesses_nm_rad has {len(self.stiffnesses_nm_rad)} and joined {len(self.joined)} entries;"
                f" each must have {springs}, one fewer than inertias_kg_m2."
            )
        reached = {springs, *(far for _, _, far in self.from_the_root)}
        if reached != set(range(springs + 1)):
            raise ValueError(f"joined is {self.joined}; it must join all stations from 0 to {springs} into one tree.")

    @property
    def from_the_root(self) -> tuple[tuple[int, int, int], ...]:
        """Springs as (spring, nearer station, farther station), outward from the last station."""
        known, found = {len(self.inertias_kg_m2) - 1}, list[tuple[int, int, int]]()
        waiting = dict(enumerate(self.joined))
        while next_ones := [(s, a, b) for s, (a, b) in waiting.items() if (a in known) != (b in known)]:
            spring, a, b = next_ones[0]
            near, far = (a, b) if a in known else (b, a)
            found.append((spring, near, far))
            known.add(far)
            del waiting[spring]
        return tuple(found)

    @property
    def twist_matrix(self) -> FloatArray:
        """Twist of each spring (first station of its pair less second) for unit angles of the stations."""
        matrix = np.zeros((len(self.joined), len(self.inertias_kg_m2)))
        for spring, (first, second) in enumerate(self.joined):
            matrix[spring, first], matrix[spring, second] = 1.0, -1.0
        return matrix


@dataclass(frozen=True)
class TorsionalModes:
    """Natural frequencies [rad/s], rising from 0, and shapes (column by column, greatest angle 1)."""

    frequencies_rad_s: FloatArray
    shapes: FloatArray


def chain_train(*, inertias_kg_m2: ArrayLike, stiffnesses_nm_rad: ArrayLike) -> TorsionalTrain:
    """Train whose stations stand in one row, each spring joining two neighbours.

    Formula: spring n joins station n and station n + 1.
    Units: kg m^2, N m/rad, all at one shaft's speed.
    Range: all > 0; one spring fewer than inertias.
    Raises: ValueError if a value is not finite or not greater than 0, or the lists do not match.
    Source: definition.

    >>> chain_train(inertias_kg_m2=[5.0, 11.0, 22.0], stiffnesses_nm_rad=[1e5, 2e5]).joined
    ((0, 1), (1, 2))
    """
    springs = _floats(stiffnesses_nm_rad=stiffnesses_nm_rad)
    joined = tuple((n, n + 1) for n in range(len(springs)))
    return TorsionalTrain(_floats(inertias_kg_m2=inertias_kg_m2), springs, joined)


def reduced_train(
    *,
    inertias_kg_m2: ArrayLike,
    stiffnesses_nm_rad: ArrayLike,
    station_ratios: ArrayLike,
    spring_ratios: ArrayLike,
    joined: Sequence[tuple[int, int]] | None = None,
) -> TorsionalTrain:
    """Train with its gears taken out: every element brought to the speed of one reference shaft.

    Formula: J' = J s^2, k' = k s^2, s the element's speed over that of the reference shaft. Angles of the
    real element are s times, torques 1/s times those of the reduced train.
    Units: kg m^2, N m/rad; ratios dimensionless; joined holds station numbers from 0 (None: one row).
    Range: all > 0; gears without lash, loss or mass of their own.
    Raises: ValueError if a value is not finite or out of range, or the lists do not match.
    Source: equal kinetic and strain energy; Den Hartog, Mechanical Vibrations, ch. 5 (from memory).

    >>> wheel_at_shaft = reduced_train(inertias_kg_m2=[2.0, 120.0], stiffnesses_nm_rad=[16e4],
    ...                                station_ratios=[1.0, 0.25], spring_ratios=[0.25])
    >>> wheel_at_shaft.inertias_kg_m2, wheel_at_shaft.stiffnesses_nm_rad
    ((2.0, 7.5), (10000.0,))
    """
    inertias, at_station = _domain.as_list(inertias_kg_m2), _domain.as_list(station_ratios)
    springs, at_spring = _domain.as_list(stiffnesses_nm_rad), _domain.as_list(spring_ratios)
    _domain.same_length(inertias_kg_m2=inertias, station_ratios=at_station)
    _domain.same_length(stiffnesses_nm_rad=springs, spring_ratios=at_spring)
    _domain.positive(inertias_kg_m2=inertias, stiffnesses_nm_rad=springs)
    _domain.positive(station_ratios=at_station, spring_ratios=at_spring)
    row = chain_train(inertias_kg_m2=inertias * at_station**2, stiffnesses_nm_rad=springs * at_spring**2)
    return row if joined is None else TorsionalTrain(row.inertias_kg_m2, row.stiffnesses_nm_rad, _pairs(joined))


def natural_frequencies(*, train: TorsionalTrain) -> TorsionalModes:
    """Undamped natural frequencies and shapes of a train, the turning as one included.

    Formula: (K - w^2 J) phi = 0, as the singular values of sqrt(k) C / sqrt(J), C the twists of the springs:
    the same symmetric eigenproblem without squaring its range.
    Units: rad/s; shapes dimensionless.
    Range: any train; frequency 0 comes first.
    Raises: ValueError only from the making of the train.
    Source: Thomson, Theory of Vibration with Applications, ch. 6 and 12 (from memory).

    >>> train = chain_train(inertias_kg_m2=[5.0, 11.0, 22.0], stiffnesses_nm_rad=[1e5, 2e5])
    >>> natural_frequencies(train=train).frequencies_rad_s.round(3).tolist()
    [0.0, 123.666, 202.658]
    """
    root_inertia = np.sqrt(train.inertias_kg_m2)
    scaled = np.sqrt(train.stiffnesses_nm_rad)[:, None] * train.twist_matrix / root_inertia
    _, frequencies, rows = np.linalg.svd(scaled)
    shapes = rows[::-1].T / root_inertia[:, None]
    greatest = np.argmax(np.abs(shapes), axis=0)
    return TorsionalModes(
        frequencies_rad_s=np.append(0.0, frequencies[::-1]),
        shapes=shapes / shapes[greatest, np.arange(greatest.size)],
    )


def holzer_residual(*, train: TorsionalTrain, frequencies_rad_s: ArrayLike) -> FloatArray:
    """Torque that the last station would need to keep the train moving at a trial frequency.

    Formula: from each free end inward T += J w^2 th, th(next) = th - T / k; where branches meet, each is
    scaled by the angles of the others. 0 at every natural frequency; it changes sign there.
    Units: rad/s; result N m for unit angle at the free end (scaled likewise in a branched train).
    Range: frequency >= 0.
    Raises: ValueError if a frequency is not finite or negative.
    Source: Thomson, Theory of Vibration with Applications, sec. 12.4 (recursion read); the meeting of
    branches, derived.

    >>> train = chain_train(inertias_kg_m2=[1.0, 1.0], stiffnesses_nm_rad=[2.0])
    >>> holzer_residual(train=train, frequencies_rad_s=[1.0, 2.0, 3.0]).tolist()
    [1.5, 0.0, -22.5]
    """
    trial = _domain.as_list(frequencies_rad_s)
    _domain.non_negative(frequencies_rad_s=trial)
    angles = [np.ones_like(trial) for _ in train.inertias_kg_m2]
    torques = [np.zeros_like(trial) for _ in train.inertias_kg_m2]
    for spring, near, far in reversed(train.from_the_root):
        torque = torques[far] + train.inertias_kg_m2[far] * trial**2 * angles[far]
        angle = angles[far] - torque / train.stiffnesses_nm_rad[spring]
        torques[near] = torques[near] * angle + torque * angles[near]
        angles[near] = angles[near] * angle
    return torques[-1] + train.inertias_kg_m2[-1] * trial**2 * angles[-1]


def _floats(**named: ArrayLike) -> tuple[float, ...]:
    """Return one list of numbers as a tuple, refused by name if it is not one list."""
    ((name, value),) = named.items()
    numbers = _domain.as_list(value)
    if numbers.ndim != 1:
        raise ValueError(f"{name} has shape {numbers.shape}; it must be one list.")
    return tuple(numbers.tolist())


def _pairs(joined: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Return pairs of station numbers, refused if they are not whole numbers two by two."""
    numbers = _domain.as_list(joined)
    _domain.finite(joined=numbers)
    if numbers.ndim != 2 or numbers.shape[1] != 2 or np.any(numbers % 1):
        raise ValueError(f"joined has shape {numbers.shape}; it must hold pairs of station numbers.")
    return tuple((int(first), int(second)) for first, second in numbers)
