"""What must always hold of the forces and stresses of a yoke."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import hooke, tube, yoke

SECTION = {"width_m": 0.07, "thickness_m": 0.03}
EAR = {**SECTION, "ear_length_m": 0.045}


@given(st.floats(-2e4, 2e4), st.floats(0.0, 1.4), st.floats(-7, 7))
def test_no_ear_carries_more_than_the_arm_of_the_cross(torque: float, angle: float, turn: float) -> None:
    joint = {"torque_nm": torque, "arm_radius_m": 0.07, "angle_rad": angle}
    arm = hooke.arm_force_n(**joint)
    for driven in (False, True):
        ear = yoke.ear_forces(**joint, drive_angle_rad=turn, driven=driven)
        assert math.hypot(ear.tangential_n, ear.pull_n) <= arm * (1 + 1e-12) + 1e-12
        assert abs(ear.pull_n) <= yoke.greatest_pull_n(**joint, driven=driven) * (1 + 1e-12) + 1e-12
        half_a_turn_on = yoke.ear_forces(**joint, drive_angle_rad=turn + math.pi, driven=driven)
        assert half_a_turn_on.pull_n == pytest.approx(-ear.pull_n, abs=1e-6 * (1 + arm))


@given(st.floats(1.0, 5e3), st.floats(0.005, 0.1))
def test_a_curve_raises_the_inner_edge_and_spares_the_outer(moment: float, radius: float) -> None:
    bent = yoke.curved_beam_stress(moment_nm=moment, inner_radius_m=radius, **SECTION)
    straight = 6 * moment / (0.07 * 0.03**2)
    assert bent.inner_pa > straight > -bent.outer_pa > 0
    closed = yoke.curved_beam_stress(moment_nm=-moment, inner_radius_m=radius, **SECTION)
    assert (closed.inner_pa, closed.outer_pa) == (-bent.inner_pa, -bent.outer_pa)


def test_an_almost_straight_bar_is_the_straight_one() -> None:
    bent = yoke.curved_beam_stress(moment_nm=1e3, inner_radius_m=0.03 * 9e3, **SECTION)
    straight = 6e3 / (0.07 * 0.03**2)
    assert (bent.inner_pa, -bent.outer_pa) == pytest.approx((straight, straight), rel=1e-4)


@given(st.floats(-1e5, 1e5), st.floats(-2e4, 2e4), st.floats(-0.02, 0.02))
def test_root_stress_is_bounded_by_its_parts(tangential: float, pull: float, offset: float) -> None:
    root = yoke.ear_root_stress(tangential_n=tangential, pull_n=pull, offset_m=offset, inner_radius_m=0.02, **EAR)
    assert root.greatest_pa >= root.tangential_bending_pa - abs(pull) / (0.07 * 0.03) * 12
    assert root.greatest_pa >= root.least_pa
    assert root.greatest_pa - root.least_pa == pytest.approx(
        2 * root.tangential_bending_pa + abs(root.inner_pa - root.outer_pa),
        abs=1e-12 * abs(root.greatest_pa),  # rounding, where great stresses cancel
    )
    mirrored = yoke.ear_root_stress(tangential_n=-tangential, pull_n=pull, offset_m=offset, inner_radius_m=0.02, **EAR)
    assert mirrored == root


def test_pull_in_the_middle_of_the_root_only_stretches_it_and_outside_bends_the_outer_edge_open() -> None:
    straight = yoke.ear_root_stress(tangential_n=0.0, pull_n=1e4, offset_m=0.0, inner_radius_m=0.02, **EAR)
    assert straight.inner_pa == straight.outer_pa == pytest.approx(1e4 / (0.07 * 0.03))
    outside = yoke.ear_root_stress(tangential_n=0.0, pull_n=1e4, offset_m=0.01, inner_radius_m=270.0, **EAR)
    # An eccentric pull on a straight bar: N / A +- 6 N o / (w t^2), the greater on the side of the load.
    bending = 6 * 1e4 * 0.01 / (0.07 * 0.03**2)
    assert outside.outer_pa == pytest.approx(1e4 / 0.0021 + bending, rel=1e-4)
    assert outside.inner_pa == pytest.approx(1e4 / 0.0021 - bending, rel=1e-4)


def test_lug_parts_follow_their_areas() -> None:
    lug = {"bore_m": 0.05, "width_m": 0.08, "thickness_m": 0.03, "edge_m": 0.045}
    found = yoke.lug_stress(force_n=np.array([1e4, -2e4]), **lug)
    assert found.net_tension_pa[1] == 2 * found.net_tension_pa[0]
    assert found.net_tension_pa[0] * 0.03 * 0.03 == pytest.approx(1e4)
    assert found.shear_out_pa[0] * 2 * 0.03 * 0.02 == pytest.approx(1e4)
    with pytest.raises(ValueError, match=r"half_of_bore_m is 0\.025; it must be smaller than edge_m \(0\.02\)"):
        yoke.lug_stress(force_n=1e4, **(lug | {"edge_m": 0.02}))


@given(st.floats(0.02, 0.1), st.floats(0.001, 0.05))
def test_weld_of_a_thin_throat_is_a_thin_tube(radius: float, share: float) -> None:
    throat = radius * share
    mean = yoke.weld_throat_shear_pa(torque_nm=1e4, weld_radius_m=radius, throat_m=throat)
    outer = tube.shear_stress_pa(torque_nm=1e4, outer_m=2 * radius + throat, inner_m=2 * radius - throat)
    # At mid wall the tube's stress is lower than at its surface, by the ratio of the radii.
    assert mean == pytest.approx(outer * radius / (radius + throat / 2), rel=share**2)
