"""Which corner of a cross closes: the rule against the bending stress at the roots of the arms."""

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray

from beachmark.mechanics.fitting_corner import CornerState, Sense, Yoke, closing_corners, corner_state

Array = NDArray[np.float64]
RADIUS = 0.07
REARWARD, RIGHT, UP = np.eye(3)  # x rearward, y to the vehicle's right-hand side, z up
# G1 stands up; the others follow clockwise for a viewer who looks rearward.
VIEWERS_RIGHT = np.cross(REARWARD, UP)
ARMS: dict[str, Array] = {"G1": UP, "A1": VIEWERS_RIGHT, "G2": -UP, "A2": -VIEWERS_RIGHT}
CORNERS = [("G1", "A1"), ("A1", "G2"), ("G2", "A2"), ("A2", "G1")]
CASES = list(itertools.product(Yoke, Sense, CORNERS))


def _forces_on_arms(driving: Yoke, sense: Sense) -> dict[str, Array]:
    """Forces on the arm ends: the driving yoke's couple, and the driven yoke's equal and opposite one.

    Clockwise for a viewer looking along +x is a positive turn about +x (right-hand rule).
    """
    forces = {}
    for name, arm in ARMS.items():
        held_by = Yoke.GEARBOX if name.startswith("G") else Yoke.AXLE
        moment = (1.0 if sense is Sense.CLOCKWISE else -1.0) * (1 if held_by is driving else -1)
        forces[name] = moment / (2 * RADIUS) * np.cross(REARWARD, arm)
    return forces


def _moment(forces: dict[str, Array], arms: tuple[str, ...]) -> Array:
    total = np.zeros(3)
    for name in arms:
        total = total + np.cross(RADIUS * ARMS[name], forces[name])
    return total


def _root_stress(arm: str, neighbour: str, forces: dict[str, Array]) -> float:
    """Bending stress, tension positive, at the root of an arm on the side of its neighbour.

    The arm is a cantilever from the body of the cross: the side towards which its end is pushed is
    shortened, so the stress has the sign of -(force . side).
    """
    return -float(forces[arm] @ ARMS[neighbour])


def test_a_viewer_looking_rearward_has_the_vehicles_left_on_his_right() -> None:
    assert pytest.approx(-RIGHT) == VIEWERS_RIGHT
    # A positive turn about +x moves the upper arm to the viewer's right: clockwise.
    assert np.cross(REARWARD, ARMS["G1"]) == pytest.approx(ARMS["A1"])


@pytest.mark.parametrize(("driving", "sense"), list(itertools.product(Yoke, Sense)))
def test_the_forces_of_the_proof_are_in_balance(driving: Yoke, sense: Sense) -> None:
    forces = _forces_on_arms(driving, sense)
    assert np.sum(list(forces.values()), axis=0) == pytest.approx(np.zeros(3))
    assert _moment(forces, tuple(ARMS)) == pytest.approx(np.zeros(3))
    driving_arms = ("G1", "G2") if driving is Yoke.GEARBOX else ("A1", "A2")
    applied = _moment(forces, driving_arms) @ REARWARD
    assert applied == pytest.approx(1.0 if sense is Sense.CLOCKWISE else -1.0)


@pytest.mark.parametrize(("driving", "sense", "corner"), CASES)
def test_corner_closes_where_both_arm_roots_are_pressed(driving: Yoke, sense: Sense, corner: tuple[str, str]) -> None:
    forces = _forces_on_arms(driving, sense)
    both = [_root_stress(*corner, forces), _root_stress(*corner[::-1], forces)]
    assert math.copysign(1, both[0]) == math.copysign(1, both[1])
    expected = CornerState.CLOSES if both[0] < 0 else CornerState.OPENS
    assert corner_state(arms=corner, driving_yoke=driving, torque_sense=sense) is expected


def test_two_opposite_corners_close_and_they_swap_on_overrun_and_in_reverse() -> None:
    pull = closing_corners(driving_yoke=Yoke.GEARBOX, torque_sense=Sense.CLOCKWISE)
    # Overrun: the axle drives and turns the cross the same way round. Reverse: the gearbox turns it back.
    overrun = closing_corners(driving_yoke=Yoke.AXLE, torque_sense=Sense.CLOCKWISE)
    reverse = closing_corners(driving_yoke=Yoke.GEARBOX, torque_sense=Sense.ANTICLOCKWISE)
    assert pull == {frozenset(("G1", "A1")), frozenset(("G2", "A2"))}
    assert overrun == reverse == {frozenset(corner) for corner in CORNERS} - pull


@pytest.mark.parametrize("arms", [("G1", "G2"), ("A1", "A1"), ("G1", "A3"), ("", "A1")])
def test_arms_that_share_no_corner_are_refused(arms: tuple[str, str]) -> None:
    with pytest.raises(ValueError, match=r"arms is .*; it must be one of G1, G2 and one of A1, A2"):
        corner_state(arms=arms, driving_yoke=Yoke.GEARBOX, torque_sense=Sense.CLOCKWISE)
