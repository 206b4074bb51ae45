"""The travel of an axle against the distances of its linkage solved numerically, and against rotation matrices."""

import math

import numpy as np
import pytest
from scipy.interpolate import make_interp_spline
from scipy.optimize import fsolve
from scipy.spatial.transform import Rotation

from beachmark.mechanics import chain, travel
from tests.mechanics.calls.travel import LINE

# Lower and upper link [m, deg], distance and lean of the axle pivots: trailing, leading, converging, unequal.
LINKAGES = {
    "parallelogram": (0.6, 4.0, 0.6, 4.0, 0.25, 0.0),
    "converging forward": (0.65, 3.0, 0.5, -9.0, 0.28, 5.0),
    "converging rearward": (0.55, -6.0, 0.6, 7.0, 0.22, -12.0),
    "links that run forward": (0.6, 176.0, 0.45, -172.0, 0.25, 8.0),
    "short upper link": (0.7, 8.0, 0.35, -4.0, 0.3, 0.0),
}
HEIGHTS = np.linspace(0.2, 0.36, 33)
DESIGN = 0.28


def _path(name: str) -> travel.AxlePath:
    lower, lower_deg, upper, upper_deg, apart, lean_deg = LINKAGES[name]
    return travel.four_link_path(
        ride_heights_m=HEIGHTS,
        design_height_m=DESIGN,
        lower_length_m=lower,
        lower_angle_rad=math.radians(lower_deg),
        upper_length_m=upper,
        upper_angle_rad=math.radians(upper_deg),
        axle_pivots_apart_m=apart,
        axle_pivots_lean_rad=math.radians(lean_deg),
    )


def _by_distances(name: str) -> tuple[np.ndarray, np.ndarray]:
    """Shift and tilt at each height: three distances hold, solved for the pivots step by step from the design."""
    lower, lower_deg, upper, upper_deg, apart, lean_deg = LINKAGES[name]
    lower_rad, upper_rad, lean = (math.radians(x) for x in (lower_deg, upper_deg, lean_deg))
    low = np.array([lower * math.cos(lower_rad), lower * math.sin(lower_rad)])
    top = low + apart * np.array([math.sin(lean), math.cos(lean)])
    frame = top - upper * np.array([math.cos(upper_rad), math.sin(upper_rad)])

    def off(unknown: np.ndarray, height: float) -> list[float]:
        x, top_x, top_z = unknown
        z = low[1] + DESIGN - height
        return [
            math.hypot(x, z) - lower,
            math.hypot(top_x - frame[0], top_z - frame[1]) - upper,
            math.hypot(top_x - x, top_z - z) - apart,
        ]

    shift, tilt = np.empty(HEIGHTS.size), np.empty(HEIGHTS.size)
    middle = int(np.argmin(np.abs(HEIGHTS - DESIGN)))
    for way in (range(middle, HEIGHTS.size), range(middle, -1, -1)):
        at = np.array([low[0], *top])
        for row in way:
            at = fsolve(off, at, args=(HEIGHTS[row],), xtol=1e-13)
            shift[row] = at[0] - low[0]
            rise = DESIGN - HEIGHTS[row]
            # The rearward direction turns upward as the line of the pivots, which looks up, turns forward.
            tilt[row] = math.atan2(at[2] - low[1] - rise, at[1] - at[0]) - (math.pi / 2 - lean)
    return shift, tilt


@pytest.mark.parametrize("name", LINKAGES)
def test_four_links_keep_their_lengths(name: str) -> None:
    path = _path(name)
    shift, tilt = _by_distances(name)
    assert path.rise_m == pytest.approx(DESIGN - HEIGHTS, abs=1e-12)
    assert path.shift_m == pytest.approx(shift, abs=1e-9)
    assert path.tilt_rad == pytest.approx(tilt, abs=1e-9)
    if name != "parallelogram":
        assert np.ptp(path.tilt_rad) > 0.01


@pytest.mark.parametrize("name", [name for name in LINKAGES if name != "parallelogram"])
def test_the_axle_turns_about_the_point_where_the_links_meet(name: str) -> None:
    """The rate of tilt over rise is one over how far the instantaneous centre lies ahead of the lower axle pivot."""
    lower, lower_deg, upper, upper_deg, apart, lean_deg = LINKAGES[name]
    lower_rad, upper_rad, lean = (math.radians(x) for x in (lower_deg, upper_deg, lean_deg))
    # Lower link's line through the lower axle pivot (origin), upper link's through the upper one.
    lines = np.array([[math.cos(lower_rad), -math.cos(upper_rad)], [math.sin(lower_rad), -math.sin(upper_rad)]])
    along, _ = np.linalg.solve(lines, apart * np.array([math.sin(lean), math.cos(lean)]))
    ahead = -along * math.cos(lower_rad)
    step = 1e-5
    path = travel.four_link_path(
        ride_heights_m=[DESIGN + step, DESIGN - step],
        design_height_m=DESIGN,
        lower_length_m=lower,
        lower_angle_rad=lower_rad,
        upper_length_m=upper,
        upper_angle_rad=upper_rad,
        axle_pivots_apart_m=apart,
        axle_pivots_lean_rad=lean,
    )
    assert np.diff(path.tilt_rad)[0] / np.diff(path.rise_m)[0] == pytest.approx(1 / ahead, rel=1e-6)


def test_directions_are_those_of_rotation_matrices() -> None:
    path = travel.arc_path(ride_heights_m=[0.25, 0.28, 0.3], design_height_m=0.28, arm_m=1.0, arm_angle_rad=0.1)
    rows, lengths = travel.directions_over_travel(**LINE | {"path": path})
    lever = np.subtract(LINE["rear_joint_m"], LINE["path_point_m"])
    arm = np.array([math.cos(0.1), 0.0, math.sin(0.1)])
    for row in range(path.tilt_rad.size):
        # About y a positive rotation takes x towards -z: the tilt is its opposite.
        turn = Rotation.from_rotvec([0.0, -path.tilt_rad[row], 0.0])
        # The axle swings with its arm: turned as a whole, the arm ends where the path says.
        assert turn.apply(arm) - arm == pytest.approx([path.shift_m[row], 0.0, path.rise_m[row]], abs=1e-12)
        joint = LINE["path_point_m"] + np.array([path.shift_m[row], 0.0, path.rise_m[row]]) + turn.apply(lever)
        last = joint - LINE["frame_joints_m"][1]
        assert lengths[row] == pytest.approx(np.linalg.norm(last), rel=1e-12)
        assert rows[row, 2] == pytest.approx(last / np.linalg.norm(last), abs=1e-12)
        assert rows[row, 3] == pytest.approx(turn.apply(LINE["pinion_direction"]), abs=1e-12)
        assert rows[row, 0] == pytest.approx(LINE["input_direction"], abs=1e-12)


def test_excitation_over_the_travel_is_that_of_the_exact_motion() -> None:
    """Second order of the exact output over one turn, at every height; the phasor rule leaves out b^4."""
    path = travel.arc_path(ride_heights_m=np.linspace(0.2, 0.36, 9), design_height_m=0.28, arm_m=0.9, arm_angle_rad=0.1)
    phases = [0.0, 0.2]
    found = travel.travel_sweep(**LINE | {"path": path}, phases_rad=phases, speed_rad_s=150.0)
    rows, _ = travel.directions_over_travel(**LINE | {"path": path})
    turn = np.linspace(0.0, 2 * math.pi, 360, endpoint=False)
    output = chain.exact_chain_motion(directions=rows, phases_rad=phases, input_angles_rad=turn)
    second = np.abs(np.fft.fft(output - turn, axis=-1)[:, 2]) / (turn.size / 2)
    simulated = second * (2 * 150.0) ** 2
    allowed = 150.0**2 * np.sum(found.joint_angles_rad**4, axis=-1) / 6
    assert (np.abs(found.torsional_acceleration_rad_s2 - simulated) <= allowed + 1e-9).all()
    assert found.worst_ride_height_m == path.ride_height_m[np.argmax(simulated)]
    assert np.ptp(simulated) > 50.0


@pytest.mark.parametrize("name", ["converging forward", "short upper link"])
def test_a_measured_table_is_read_between_its_entries_by_first_order_splines(name: str) -> None:
    """A table with uneven steps, its entries from the distances solved numerically, marks and slopes from any zero."""
    known = [0, 3, 9, 16, 27, 32]  # places in HEIGHTS
    _, tilt = _by_distances(name)
    entries = {"table_heights_m": HEIGHTS[known], "table_pinion_slopes_rad": 0.04 + tilt[known]}
    path = travel.table_path(
        ride_heights_m=HEIGHTS, design_height_m=DESIGN, table_rises_m=1.2 - HEIGHTS[known], **entries
    )
    spline = make_interp_spline(HEIGHTS[known], 0.04 + tilt[known], k=1)
    assert path.tilt_rad == pytest.approx(spline(HEIGHTS) - float(spline(DESIGN)), abs=1e-12)
    assert path.rise_m == pytest.approx(DESIGN - HEIGHTS, abs=1e-12)
    # Between entries a straight line misses the true curve a little, and at the entries only by what it misses at
    # the design height.
    missed = float(spline(DESIGN)) - 0.04 - float(np.interp(DESIGN, HEIGHTS, tilt))
    assert path.tilt_rad[known] == pytest.approx(tilt[known] - missed, abs=1e-9)
    assert np.abs(path.tilt_rad - tilt).max() < 0.02 * np.ptp(tilt)
