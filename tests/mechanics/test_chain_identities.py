"""The phasor rule of a chain against exact spatial motion, and what must hold for any chain."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from beachmark.mechanics import chain, hooke

Array = NDArray[np.float64]
TURN = np.linspace(0.0, 2 * math.pi, 720, endpoint=False)
# A crooked chain of five joints that leans both ways in both views, with two odd yoke phases.
CROOKED_DEG = [(0, 0), (4, 2), (1, 5), (-3, 3), (2, -1), (0, 0)]
CROOKED_PHASES_DEG = [0.0, 17.0, -33.0, 90.0]


def _chain(slopes_and_plans_deg: Sequence[tuple[float, float]]) -> Array:
    return np.array(
        [
            chain.direction(slope_rad=math.radians(slope), plan_rad=math.radians(plan))
            for slope, plan in slopes_and_plans_deg
        ]
    )


def _in_plane(bends_deg: list[float]) -> Array:
    """Shafts in the vertical plane from the bend at each joint."""
    slopes = np.radians(np.concatenate(([0.0], np.cumsum(bends_deg))))
    return np.column_stack((np.cos(slopes), np.zeros_like(slopes), np.sin(slopes)))


def _second_order(lead: Array) -> complex:
    return complex(np.fft.fft(lead)[2] / (len(lead) / 2))


def _phasor_angle(directions: Array, phases: Array) -> float:
    yokes = chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=chain.bend_planes(directions=directions))
    return chain.equivalent_angle(angles_rad=chain.joint_angles(directions=directions), drive_yoke_angles_rad=yokes)


def _simulated_angle(directions: Array, phases: Array) -> float:
    """Angle of the one joint whose second-order lead, tan^2(b/2), equals that of the exact chain."""
    output = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=TURN)
    return 2 * math.atan(math.sqrt(abs(_second_order(output - TURN))))


def _rotate(vectors: Array, axis: Array, angle: Array | float) -> Array:
    """Rodrigues' rotation of each row about a unit axis."""
    turn = np.broadcast_to(np.asarray(angle, dtype=float), (len(vectors),))[:, None]
    along = (vectors @ axis)[:, None] * axis
    result: Array = along + np.cos(turn) * (vectors - along) + np.sin(turn) * np.cross(axis, vectors)
    return result


@pytest.mark.parametrize(("slope_deg", "plan_deg", "true_deg"), [(3.0, 4.0, 4.9942), (2.5, 5.5, 6.0352)])
def test_true_angle_against_an_axial_shaft(slope_deg: float, plan_deg: float, true_deg: float) -> None:
    """tan^2 b = tan^2 v + tan^2 h by hand: .0524078, .0699268 and .0436609, .0962890."""
    rows = _chain([(0, 0), (slope_deg, plan_deg)])
    by_hand = math.hypot(math.tan(math.radians(slope_deg)), math.tan(math.radians(plan_deg)))
    found = float(chain.joint_angles(directions=rows)[0])
    assert math.tan(found) == pytest.approx(by_hand, rel=1e-12)
    assert math.degrees(found) == pytest.approx(true_deg, abs=5e-5)


def test_true_angle_of_two_inclined_shafts_is_not_the_root_of_the_differences() -> None:
    rows = _chain([(15, 10), (20, -8)])
    t = [math.tan(math.radians(a)) for a in (15, 10, 20, -8)]
    cosine = (1 + t[1] * t[3] + t[0] * t[2]) / math.sqrt((1 + t[1] ** 2 + t[0] ** 2) * (1 + t[3] ** 2 + t[2] ** 2))
    found = chain.joint_angle(before=rows[0], after=rows[1])
    assert found == pytest.approx(math.acos(cosine), rel=1e-12)
    assert math.hypot(5, 18) / math.degrees(found) == pytest.approx(1.044, abs=0.0005)


@pytest.mark.parametrize("angle_deg", [5, 30, 60])
def test_exact_chain_of_one_joint_is_the_hooke_joint(angle_deg: float) -> None:
    angle = math.radians(angle_deg)
    # Bent towards y, where the input angle 0 puts the driving pin: into the plane of the shafts.
    rows = [[1.0, 0.0, 0.0], [math.cos(angle), math.sin(angle), 0.0]]
    output = chain.exact_chain_motion(directions=rows, phases_rad=[], input_angles_rad=TURN)
    assert output == pytest.approx(hooke.driven_angle(angle_rad=angle, drive_angle_rad=TURN), abs=1e-12)


@pytest.mark.parametrize("bends_deg", [[20.0, -20.0], [20.0, 20.0]])
def test_equal_angles_with_yokes_in_line_give_steady_output(bends_deg: list[float]) -> None:
    output = chain.exact_chain_motion(directions=_in_plane(bends_deg), phases_rad=[0.0], input_angles_rad=TURN)
    assert np.abs(output - TURN).max() < 1e-12


@pytest.mark.parametrize(
    ("bends_deg", "phase_deg", "by_hand_deg"),
    [
        ([4.0, 3.0], [0.0], math.sqrt(16 - 9)),
        ([4.0, 3.0], [90.0], math.sqrt(16 + 9)),
        ([4.0, 3.0], [22.5], abs(16 - 9 * complex(math.cos(math.pi / 4), math.sin(math.pi / 4))) ** 0.5),
        ([2.0, 5.0, 3.0], [90.0, 0.0], math.sqrt(4 + 25 - 9)),
    ],
    ids=["in line", "90 deg out", "22.5 deg out", "three joints + + -"],
)
def test_phasor_rule_in_one_plane_by_hand_and_by_simulation(
    bends_deg: list[float], phase_deg: list[float], by_hand_deg: float
) -> None:
    rows, phases = _in_plane(bends_deg), np.radians(phase_deg)
    found = math.degrees(_phasor_angle(rows, phases))
    assert found == pytest.approx(by_hand_deg, rel=1e-9)
    # The rule drops terms of the order b^4; at 5 deg that is below 0.1 % of the equivalent angle.
    assert math.degrees(_simulated_angle(rows, phases)) == pytest.approx(by_hand_deg, rel=1e-3)


def test_phasor_rule_for_a_crooked_chain_with_odd_phases() -> None:
    rows, phases = _chain(CROOKED_DEG), np.radians(CROOKED_PHASES_DEG)
    assert _simulated_angle(rows, phases) == pytest.approx(_phasor_angle(rows, phases), rel=5e-3)
    # Forgetting the phases must show, or this test could not fail.
    assert _phasor_angle(rows, 0 * phases) != pytest.approx(_phasor_angle(rows, phases), rel=0.05)


@settings(max_examples=60, deadline=None)
@given(bends=st.lists(st.tuples(st.floats(-6, 6), st.floats(-6, 6), st.floats(-180, 180)), min_size=2, max_size=5))
def test_phasor_rule_for_random_chains_in_space(bends: list[tuple[float, float, float]]) -> None:
    rows = _chain([(0.0, 0.0), *((slope, plan) for slope, plan, _ in bends)])
    phases = np.radians([phase for _, _, phase in bends[1:]])
    output = chain.exact_chain_motion(directions=rows, phases_rad=phases, input_angles_rad=TURN)
    measured = abs(_second_order(output - TURN))
    angles = chain.joint_angles(directions=rows)
    # The lead of second order is b_e^2 / 4; what the rule leaves out is of the order of b^4.
    allowed = float(np.sum(angles**2)) ** 2 / 4 + 1e-12
    assert measured == pytest.approx(_phasor_angle(rows, phases) ** 2 / 4, abs=allowed)


def test_equivalent_angle_does_not_depend_on_where_the_axes_lie() -> None:
    rows, phases = _chain(CROOKED_DEG), np.radians(CROOKED_PHASES_DEG)
    axis = np.array([1.0, 2.0, 3.0]) / math.sqrt(14)
    turned = _rotate(rows, axis, 1.1)
    assert _phasor_angle(turned, phases) == pytest.approx(_phasor_angle(rows, phases), rel=1e-9)


def test_straight_joint_adds_nothing_wherever_its_yokes_stand() -> None:
    straight = _chain([(0, 0), (4, 0), (4, 0), (1, 0)])
    planes = chain.bend_planes(directions=straight)
    assert planes[1] == 0.0
    for phase in (0.0, 1.0):
        merged = _phasor_angle(_chain([(0, 0), (4, 0), (1, 0)]), np.array([phase + math.pi / 2 + 0.3]))
        assert _phasor_angle(straight, np.array([phase, 0.3])) == pytest.approx(merged, rel=1e-9)


def test_torsional_acceleration_is_the_amplitude_of_the_simulated_acceleration() -> None:
    rows, phases = _chain(CROOKED_DEG), np.radians(CROOKED_PHASES_DEG)
    lead = chain.exact_chain_motion(directions=rows, phases_rad=phases, input_angles_rad=TURN) - TURN
    speed = 150.0
    zero_to_peak = abs(_second_order(lead)) * (2 * speed) ** 2
    found = chain.torsional_acceleration(equivalent_angle_rad=_phasor_angle(rows, phases), speed_rad_s=speed)
    assert found == pytest.approx(zero_to_peak, rel=0.01)


def _rule_accelerations(rows: Array, phases: Array, *, from_rear: bool) -> Array:
    yokes = chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=chain.bend_planes(directions=rows))
    return chain.shaft_accelerations(
        angles_rad=chain.joint_angles(directions=rows),
        drive_yoke_angles_rad=yokes,
        speed_rad_s=100.0,
        from_rear=from_rear,
    )


@pytest.mark.parametrize("shaft", [1, 2, 3, 4])
def test_shaft_acceleration_in_drive_is_that_of_the_chain_cut_behind_the_shaft(shaft: int) -> None:
    rows, phases = _chain(CROOKED_DEG), np.radians(CROOKED_PHASES_DEG)
    lead = (
        chain.exact_chain_motion(directions=rows[: shaft + 1], phases_rad=phases[: shaft - 1], input_angles_rad=TURN)
        - TURN
    )
    simulated = abs(_second_order(lead)) * 200.0**2
    found = _rule_accelerations(rows, phases, from_rear=False)[shaft - 1]
    assert found == pytest.approx(simulated, rel=0.01)


def test_allowed_rear_angle_uses_up_the_limit_exactly() -> None:
    front, speed, limit = math.radians(3), 180.0, 300.0
    rear = chain.allowed_rear_angle(front_angle_rad=front, speed_rad_s=speed, limit_rad_s2=limit)
    left = chain.equivalent_angle(angles_rad=[front, rear], drive_yoke_angles_rad=[0.0, math.pi / 2])
    assert chain.torsional_acceleration(equivalent_angle_rad=left, speed_rad_s=speed) == pytest.approx(limit)


@pytest.mark.parametrize(
    ("directions", "phases", "words"),
    [
        ([[1, 0, 0]], [], "directions has 1 shaft"),
        ([[1, 0, 0], [0, 0, 0]], [], "directions holds"),
        ([[1, 0], [1, 0]], [], "directions has shape"),
        ([[1, 0, 0], [-1, 0.1, 0]], [], "joint_angle_rad is"),
        ([[1, 0, 0], [1, 0.1, 0]], [0.0], "phases_rad has shape"),
    ],
)
def test_malformed_chains_are_refused_with_a_sentence(
    directions: list[list[float]], phases: list[float], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=[0.0])
