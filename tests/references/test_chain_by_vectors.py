"""Motion of a crooked chain from the normals of its crosses as plain vectors: no carried frame, no yoke angle."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import cumulative_simpson  # type: ignore[import-untyped]
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from beachmark.mechanics import chain

Array = NDArray[np.float64]
TURN = np.linspace(0.0, 2 * math.pi, 720, endpoint=False)
# A crooked chain of five joints that leans both ways in both views: rise and sideways run of each shaft per metre.
SHAFTS = np.array([[1, 0, 0], [1, 0.035, 0.07], [1, 0.087, 0.017], [1, 0.052, -0.052], [1, -0.017, 0.035], [1, 0, 0]])
DIRECTIONS: Array = SHAFTS / np.linalg.norm(SHAFTS, axis=1, keepdims=True)
PHASES = np.radians([0.0, 17.0, -33.0, 90.0])


def _ratio(joints: int, turned: Array) -> Array:
    """Speed behind so many joints over that of the input, which starts with its pin along y."""
    pins = Rotation.from_rotvec(turned[:, None] * DIRECTIONS[0]).apply([0.0, 1.0, 0.0])
    ratio = np.ones(len(turned))
    for joint in range(joints):
        before, after = DIRECTIONS[joint], DIRECTIONS[joint + 1]
        driven = np.cross(after, pins)
        driven /= np.linalg.norm(driven, axis=1)[:, None]
        normal = np.cross(pins, driven)
        ratio = ratio * (normal @ before) / (normal @ after)
        if joint + 1 < joints:
            pins = Rotation.from_rotvec(PHASES[joint] * after).apply(driven)
    return ratio


def test_exact_motion_matches_speed_ratios_from_plain_vectors() -> None:
    step = 1e-5
    ahead, behind = (
        chain.exact_chain_motion(directions=DIRECTIONS, phases_rad=PHASES, input_angles_rad=TURN + d)
        for d in (step, -step)
    )
    ratio = _ratio(5, TURN)
    assert np.ptp(ratio) > 0.005  # uneven enough to show
    assert (ahead - behind) / (2 * step) == pytest.approx(ratio, abs=1e-9)


@pytest.mark.parametrize("from_rear", [False, True], ids=["drive", "overrun"])
@pytest.mark.parametrize("shaft", [1, 2, 3, 4])
def test_shaft_acceleration_is_the_second_order_seen_from_the_end_that_turns_evenly(
    shaft: int, from_rear: bool
) -> None:
    """The ratios summed up over the turn; on overrun the output turns evenly: where does that put the shaft?"""
    drive = np.linspace(0.0, 2 * math.pi, 7201)
    middle = cumulative_simpson(_ratio(shaft, drive), x=drive, initial=0.0)
    even = cumulative_simpson(_ratio(5, drive), x=drive, initial=0.0) if from_rear else drive
    lead = np.interp(TURN, even, middle - even)
    second = abs(np.fft.fft(lead)[2]) / (len(TURN) / 2)
    yokes = chain.drive_yoke_angles(phases_rad=PHASES, bend_plane_rad=chain.bend_planes(directions=DIRECTIONS))
    found = chain.shaft_accelerations(
        angles_rad=chain.joint_angles(directions=DIRECTIONS),
        drive_yoke_angles_rad=yokes,
        speed_rad_s=100.0,
        from_rear=from_rear,
    )
    # The rule leaves out terms of the order b^4: below 1 % at angles of 3 to 7 deg.
    assert found[shaft - 1] == pytest.approx(second * 200.0**2, rel=0.01)
