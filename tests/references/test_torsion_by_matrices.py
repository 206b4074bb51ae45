"""Holzer's residual and resonant gears against the matrices of the geared train itself, by NumPy and SciPy."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq  # type: ignore[import-untyped]

from beachmark.mechanics.torsional import TorsionalTrain, holzer_residual, reduced_train
from beachmark.mechanics.torsional_orders import resonant_gears

Array = NDArray[np.float64]
# An invented tipper: engine, gearbox output, centre, pinion, wheels, each turning at its own speed.
INERTIAS, STIFFNESSES, FINAL = [3.9, 0.36, 0.3, 0.15, 122.0], [28e3, 240e3, 220e3, 200e3], 4.3
RATIOS = [12.3, 8.5, 5.9, 4.1, 2.8, 2.0, 1.4, 1.0]


def _matrices(train: TorsionalTrain) -> tuple[Array, Array]:
    """Stiffness and inertia of a train without gears."""
    stiffness = np.zeros((len(train.inertias_kg_m2),) * 2)
    for (a, b), k in zip(train.joined, train.stiffnesses_nm_rad, strict=True):
        stiffness[np.ix_([a, b], [a, b])] += k * np.array([[1, -1], [-1, 1]])
    return stiffness, np.diag(train.inertias_kg_m2)


def _random_tree(rng: np.random.Generator) -> TorsionalTrain:
    count = int(rng.integers(2, 8))
    return TorsionalTrain(
        inertias_kg_m2=tuple(rng.uniform(0.05, 20.0, count).tolist()),
        stiffnesses_nm_rad=tuple(rng.uniform(1e4, 1e6, count - 1).tolist()),
        joined=tuple((int(rng.integers(n)), n) for n in range(1, count)),
    )


def test_holzer_residual_is_the_determinant_of_the_matrices() -> None:
    """T(w) = -det(K - w^2 J) / product of k, the springs' product by Kirchhoff's matrix-tree theorem."""
    rng = np.random.default_rng(17)
    for _ in range(60):
        train = _random_tree(rng)
        stiffness, inertia = _matrices(train)
        for trial in rng.uniform(1.0, 4000.0, 5):
            dynamic = stiffness - trial**2 * inertia
            expected = -np.linalg.det(dynamic / np.array([*train.stiffnesses_nm_rad, 1.0])[:, None])
            found = float(holzer_residual(train=train, frequencies_rad_s=trial))
            scale = np.prod(np.linalg.norm(dynamic, axis=1)) / np.prod(train.stiffnesses_nm_rad)
            assert found == pytest.approx(float(expected), rel=1e-9, abs=1e-13 * float(scale))


def _geared(ratio: float) -> tuple[Array, Array]:
    """Stiffness and inertia over the real angles: each spring's twist, in its own turns, through the gears."""
    own = np.array([ratio, 1.0, 1.0, 1.0, 1 / FINAL])  # turns of each station for one of the propeller shaft
    springs = [ratio, 1.0, 1.0, 1 / FINAL]
    stiffness = np.zeros((5, 5))
    for n, (k, turns) in enumerate(zip(STIFFNESSES, springs, strict=True)):
        twist = np.zeros(5)
        twist[n], twist[n + 1] = turns / own[n], -turns / own[n + 1]
        stiffness += k * np.outer(twist, twist)
    return stiffness, np.diag(INERTIAS)


def _below(ratio: float, frequency: float) -> int:
    """How many natural frequencies lie below one: the negative eigenvalues of K - w^2 J (Sylvester)."""
    stiffness, inertia = _geared(ratio)
    return int((np.linalg.eigvalsh(stiffness - frequency**2 * inertia) < 0).sum())


def _crossings(ratio: float, order: float, least: float, greatest: float) -> list[float]:
    """Speeds at which the count of frequencies below the order changes, narrowed down by Brent's method."""
    speeds = np.linspace(least, greatest, 501)
    counts = [_below(ratio, order * speed) for speed in speeds]
    at = np.flatnonzero(np.diff(counts))
    return [
        float(brentq(lambda speed, n=n: _below(ratio, order * speed) - counts[n] - 0.5, speeds[n], speeds[n + 1]))
        for n in at
    ]


def test_resonant_gears_are_those_that_a_search_over_speed_finds() -> None:
    orders = [3 * ratio for ratio in RATIOS]  # firing of six cylinders, counted in turns of the propeller shaft
    least, greatest = [60 / ratio for ratio in RATIOS], [220 / ratio for ratio in RATIOS]
    trains = [
        reduced_train(
            inertias_kg_m2=INERTIAS,
            stiffnesses_nm_rad=STIFFNESSES,
            station_ratios=[ratio, 1.0, 1.0, 1.0, 1 / FINAL],
            spring_ratios=[ratio, 1.0, 1.0, 1 / FINAL],
        )
        for ratio in RATIOS
    ]
    found = resonant_gears(trains=trains, order=orders, least_speed_rad_s=least, greatest_speed_rad_s=greatest)
    expected = [
        (gear, speed)
        for gear, ratio in enumerate(RATIOS)
        for speed in _crossings(ratio, orders[gear], least[gear], greatest[gear])
    ]
    assert len(expected) > 2
    assert {gear for gear, _ in expected} < set(range(len(RATIOS)))  # some gears are free of it
    assert [one.gear for one in found] == [gear for gear, _ in expected]
    assert [one.speed_rad_s for one in found] == pytest.approx([speed for _, speed in expected], rel=1e-9)
