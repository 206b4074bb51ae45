"""Rainflow counting against the open package ``rainflow`` on long random histories, cycle by cycle."""

import numpy as np
import pytest

from beachmark.mechanics.rainflow import rainflow_cycles

rainflow = pytest.importorskip("rainflow", reason="the package rainflow (a test dependency) is not installed")

COUNT = 20_000
RNG = np.random.default_rng(85)
SWING = np.where(np.arange(COUNT) % 2 == 0, 1.0, -1.0)
HISTORIES = {
    "noise": RNG.normal(size=COUNT),
    "walk": np.cumsum(RNG.normal(size=COUNT)),
    "narrow band": np.convolve(RNG.normal(size=COUNT), np.sin(np.arange(60) * 0.5), "same"),
    "many equal heights": RNG.integers(-5, 6, COUNT).astype(float),
    "flat tops": np.repeat(RNG.integers(-50, 51, COUNT // 4), 4).astype(float),
    "shrinking, then growing": SWING * np.abs(np.arange(COUNT) - COUNT / 2 + 0.25),
}


@pytest.mark.parametrize("name", HISTORIES)
def test_every_cycle_is_the_one_that_the_package_counts(name: str) -> None:
    """Source: PyPI package rainflow 3.2.0, ASTM E1049-85 sec. 5.4.4. Ranges, means, counts and places, exactly."""
    series = HISTORIES[name]
    found = rainflow_cycles(series=series)
    mine = np.stack([found.ranges, found.means, found.counts, found.first_index, found.second_index], axis=1)
    theirs = np.array(list(rainflow.extract_cycles(series.tolist())), dtype=float)
    assert len(theirs) > 100
    assert mine.tolist() == theirs[np.argsort(theirs[:, 3])].tolist()
