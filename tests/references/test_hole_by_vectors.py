"""The sign of the stress in a cross's corner, and at a hole there, from force vectors on the ends of the arms."""

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray

from beachmark.mechanics import hole_mouth
from beachmark.mechanics.fitting_corner import Sense, Yoke

REARWARD, UP = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
# As seen by one who looks rearward: G1 up, A1 on his right (the vehicle's left), and so on clockwise.
ARMS: dict[str, NDArray[np.float64]] = {
    "G1": UP, "A1": np.cross(REARWARD, UP), "G2": -UP, "A2": -np.cross(REARWARD, UP),
}  # fmt: skip
CORNERS = [("G1", "A1"), ("A1", "G2"), ("G2", "A2"), ("A2", "G1")]
CASES = list(itertools.product(CORNERS, Yoke, Sense))


def _strain_of_corner(corner: tuple[str, str], driving: Yoke, sense: Sense) -> float:
    """How fast the ends of the corner's two arms part under the yokes' forces: positive if it opens.

    Clockwise for one who looks along +x is a positive turn about +x. An arm end yields in the direction of its
    force, so the distance between two ends changes as (f_a - f_b) . (r_a - r_b).
    """
    turn = 1.0 if sense is Sense.CLOCKWISE else -1.0
    forces = {}
    for name, arm in ARMS.items():
        held_by_driver = name.startswith("G") == (driving is Yoke.GEARBOX)
        forces[name] = (turn if held_by_driver else -turn) * np.cross(REARWARD, arm)
    first, second = corner
    return float((forces[first] - forces[second]) @ (ARMS[first] - ARMS[second]))


@pytest.mark.parametrize(("corner", "driving", "sense"), CASES)
def test_corner_is_in_tension_where_the_yokes_pull_its_arms_apart(
    corner: tuple[str, str], driving: Yoke, sense: Sense
) -> None:
    stress = hole_mouth.corner_stress_pa(nominal_pa=2e8, arms=corner, driving_yoke=driving, torque_sense=sense)
    assert stress == math.copysign(2e8, _strain_of_corner(corner, driving, sense))


@pytest.mark.parametrize(("corner", "driving", "sense"), CASES)
def test_mouth_sees_three_times_the_stress_and_once_with_the_other_sign(
    corner: tuple[str, str], driving: Yoke, sense: Sense
) -> None:
    found = hole_mouth.fitting_hole_stress(nominal_pa=2e8, arms=corner, driving_yoke=driving, torque_sense=sense)
    opens = _strain_of_corner(corner, driving, sense) > 0
    assert (found.greatest_pa, found.least_pa) == ((6e8, -2e8) if opens else (2e8, -6e8))


@pytest.mark.parametrize(("corner", "rotation"), list(itertools.product(CORNERS, Sense)))
def test_drive_and_overrun_pull_a_corner_both_ways(corner: tuple[str, str], rotation: Sense) -> None:
    found = hole_mouth.drive_and_coast_range(drive_nominal_pa=2e8, coast_nominal_pa=2e8, arms=corner, rotation=rotation)
    assert (found.amplitude_pa, found.mean_pa) == (6e8, 0.0)
    alone = hole_mouth.drive_and_coast_range(drive_nominal_pa=2e8, coast_nominal_pa=0.0, arms=corner, rotation=rotation)
    assert alone.amplitude_pa == 3e8
    assert alone.mean_pa == math.copysign(3e8, _strain_of_corner(corner, Yoke.GEARBOX, rotation))
