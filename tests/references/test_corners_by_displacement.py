"""Which corners of a cross close, from the angle between its arms after the forces have bent them."""

import itertools
import math

import numpy as np
import pytest

from beachmark.mechanics.fitting_corner import CornerState, Sense, Yoke, closing_corners, corner_state

# Seen from the gearbox looking rearward (x away from the viewer, his right is the vehicle's left, -y).
CLOCK = {"G1": 0.0, "A1": 90.0, "G2": 180.0, "A2": 270.0}  # deg clockwise from the top
CORNERS = [("G1", "A1"), ("A1", "G2"), ("G2", "A2"), ("A2", "G1")]


def _place(clock_deg: float) -> np.ndarray:
    return np.array([0.0, -math.sin(math.radians(clock_deg)), math.cos(math.radians(clock_deg))])


def _bent_arms(driving: Yoke, sense: Sense) -> dict[str, np.ndarray]:
    """Arm ends after each was pushed a little along the force of its yoke; least forces for the two couples."""
    turn = 1.0 if sense is Sense.CLOCKWISE else -1.0  # clockwise for that viewer is positive about +x
    ends: dict[str, np.ndarray] = {}
    for yoke, names in ((Yoke.GEARBOX, ("G1", "G2")), (Yoke.AXLE, ("A1", "A2"))):
        arms = [_place(CLOCK[name]) for name in names]
        # Forces f of both arms: sum 0, sum of arm x f = couple of this yoke on the cross.
        cross = [np.array([[0, -a[2], a[1]], [a[2], 0, -a[0]], [-a[1], a[0], 0]]) for a in arms]
        rows = np.block([[np.eye(3), np.eye(3)], [cross[0], cross[1]]])
        couple = turn if yoke is driving else -turn
        forces, *_ = np.linalg.lstsq(rows, np.array([0, 0, 0, couple, 0, 0]), rcond=None)
        assert rows @ forces == pytest.approx(np.array([0, 0, 0, couple, 0, 0]), abs=1e-12)
        ends |= {name: arm + 0.01 * force for name, arm, force in zip(names, arms, np.split(forces, 2), strict=True)}
    return ends


@pytest.mark.parametrize(("driving", "sense"), list(itertools.product(Yoke, Sense)))
def test_corners_close_where_the_bent_arms_stand_nearer(driving: Yoke, sense: Sense) -> None:
    ends = _bent_arms(driving, sense)
    closer = set()
    for one, other in CORNERS:
        cosine = ends[one] @ ends[other] / np.linalg.norm(ends[one]) / np.linalg.norm(ends[other])
        assert abs(cosine) > 1e-3
        state = corner_state(arms=(one, other), driving_yoke=driving, torque_sense=sense)
        assert state is (CornerState.CLOSES if cosine > 0 else CornerState.OPENS)
        if cosine > 0:
            closer.add(frozenset((one, other)))
    assert closing_corners(driving_yoke=driving, torque_sense=sense) == closer
    assert len(closer) == 2
