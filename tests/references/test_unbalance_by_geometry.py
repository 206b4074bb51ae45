"""Unbalance of a body of point masses that is turned past a dial, or pushed to its stops, by search (SciPy)."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq, linprog  # type: ignore[import-untyped]

from beachmark.mechanics import balance_sources

Array = NDArray[np.float64]
AROUND = np.linspace(0.0, 2 * math.pi, 720, endpoint=False)
CIRCLE = np.stack([np.cos(AROUND), np.sin(AROUND)], axis=1)
CASES = [(30.0, 1.0, 2e-4), (40.0, 0.5, 6e-5), (52.0, 0.35, 9e-4)]


def _unbalance(mass: float, share: float, centre: Array) -> float:
    """Sum of mass times place: a share of the body sits on a circle about its own centre, the rest about the axis."""
    shifted = share * mass / len(CIRCLE) * (0.05 * CIRCLE + centre)
    true = (1 - share) * mass / len(CIRCLE) * (0.05 * CIRCLE)
    return float(np.linalg.norm((shifted + true).sum(axis=0)))


def _dial(offset: float, radius: float = 0.06) -> float:
    """Full reading of a dial on a circle that is off the axis: where its plunger meets the circle, over one turn."""

    def height(angle: float) -> float:
        centre = offset * np.array([math.cos(angle), math.sin(angle)])
        return float(brentq(lambda y: math.hypot(centre[0], y - centre[1]) - radius, radius / 2, 2 * radius))

    heights = [height(angle) for angle in AROUND[::4]]
    return max(heights) - min(heights)


def _offset_of_reading(reading: float) -> float:
    return float(brentq(lambda offset: _dial(offset) - reading, 0.0, 0.02, xtol=1e-14))


def _play_in_a_bore(clearance: float, radius: float = 0.05) -> float:
    """How far a round pilot or spline can be pushed in a bore until its edge meets the wall."""
    pilot = (radius - clearance / 2) * CIRCLE

    def gap(shift: float) -> float:
        return radius - float(np.linalg.norm(np.add(pilot, [shift, 0.0]), axis=1).max())

    return float(brentq(gap, 0.0, 2 * clearance + 1e-9, xtol=1e-15))


def _play_along_the_arms(end_play: float, across: float = 0.14) -> float:
    """How far a cross stands from the middle at a stop, as a linear programme: two tips between two caps.

    The caps' bottoms lie at 0 and at the width of the cross and its end play; unknown are the places of both tips.
    """
    bottoms = [(0.0, across + end_play)] * 2
    ends = [linprog([sign, 0.0], A_eq=[[-1.0, 1.0]], b_eq=[across], bounds=bottoms).x.mean() for sign in (1.0, -1.0)]
    return float(abs(ends[1] - ends[0]) / 2)


@pytest.mark.parametrize(("mass", "share", "width"), CASES)
def test_a_dial_reads_twice_what_the_mass_is_off(mass: float, share: float, width: float) -> None:
    centre = np.array([0.6, 0.8]) * _offset_of_reading(width)
    found = balance_sources.runout_unbalance_kg_m(mass_kg=mass, runout_m=width, mass_share=share)
    assert found == pytest.approx(_unbalance(mass, share, centre), rel=1e-6)


@pytest.mark.parametrize(("mass", "share", "width"), CASES)
def test_pilot_that_runs_out_and_is_loose_moves_the_mass_by_both(mass: float, share: float, width: float) -> None:
    """At the worst the pilot is pushed the way in which it already runs out."""
    clearance = width / 3
    centre = np.array([0.0, _offset_of_reading(width) + _play_in_a_bore(clearance)])
    found = balance_sources.pilot_unbalance_kg_m(
        mass_kg=mass, mass_share=share, pilot_runout_m=width, pilot_clearance_m=clearance
    )
    assert found == pytest.approx(_unbalance(mass, share, centre), rel=1e-6)


@pytest.mark.parametrize(("mass", "share", "width"), CASES)
def test_play_moves_the_mass_from_the_middle_to_a_stop(mass: float, share: float, width: float) -> None:
    loose = {"mass_kg": mass, "mass_share": share}
    cross = _unbalance(mass, share, np.array([_play_along_the_arms(width), 0.0]))
    assert balance_sources.joint_play_unbalance_kg_m(end_play_m=width, **loose) == pytest.approx(cross, rel=1e-9)
    slip = _unbalance(mass, share, np.array([_play_in_a_bore(width), 0.0]))
    assert balance_sources.spline_unbalance_kg_m(clearance_m=width, **loose) == pytest.approx(slip, rel=1e-6)
