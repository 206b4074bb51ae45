"""What must always hold of preload, clamping and stress of a bolt."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import cap_bolts

THREAD = {"diameter_m": 0.012, "pitch_m": 0.00125}
FORCES = st.floats(0.0, 1e5)
SHARES = st.floats(0.0, 1.0)


@given(st.floats(0.1, 500), st.floats(0.05, 0.2), st.floats(1.0, 2.0), st.floats(1.0, 2.0))
def test_the_band_holds_its_nominal_and_gives_the_torque_back(t: float, k: float, up: float, more: float) -> None:
    band = cap_bolts.preload_band(
        torque_nm=t, diameter_m=0.012, least_nut_factor=k, nominal_nut_factor=k * up, greatest_nut_factor=k * up * more
    )
    assert band.low_n <= band.nominal_n <= band.high_n
    assert band.high_n * k * 0.012 == pytest.approx(t)


@given(FORCES, FORCES, SHARES)
def test_clamp_and_bolt_force_differ_by_the_pull(preload: float, pull: float, share: float) -> None:
    joint = {"preload_n": preload, "pull_n": pull, "load_share": share}
    bolt = cap_bolts.bolt_stress_pa(**joint, **THREAD) * cap_bolts.stress_area_m2(**THREAD)
    assert bolt - cap_bolts.clamp_left_n(**joint) == pytest.approx(pull, abs=1e-6)


@given(st.floats(1.0, 1e5), st.floats(1.0, 1e5), st.floats(0.0, 0.95))
def test_at_the_separation_margin_nothing_is_left(preload: float, pull: float, share: float) -> None:
    joint = {"preload_n": preload, "load_share": share}
    margin = cap_bolts.separation_margin(**joint, pull_n=pull)
    assert cap_bolts.clamp_left_n(**joint, pull_n=pull * margin) == pytest.approx(0.0, abs=preload * 1e-9)
    assert cap_bolts.clamp_left_n(**joint, pull_n=pull * margin * 0.99) > 0


def test_no_load_has_an_endless_margin() -> None:
    joint = {"preload_n": 4e4, "pull_n": 0.0, "load_share": 0.2}
    assert cap_bolts.separation_margin(**joint) == math.inf
    assert cap_bolts.slip_margin(**joint, transverse_n=0.0, friction=0.1) == math.inf
    pulls = cap_bolts.separation_margin(preload_n=4e4, pull_n=np.array([0.0, 2e4]), load_share=0.0)
    assert pulls.tolist() == [math.inf, 2.0]


@given(st.floats(0.0, 1e5), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_friction_costs_torque_and_stress(preload: float, friction: float, more: float) -> None:
    head = {"head_bearing_m": 0.015, "head_friction": 0.1}
    rough = min(friction + more, 1.0)
    smooth_torque, rough_torque = (
        cap_bolts.tightening_torque_nm(preload_n=preload, thread_friction=mu, **head, **THREAD)
        for mu in (friction, rough)
    )
    assert rough_torque >= smooth_torque
    smooth, worse = (
        cap_bolts.tightening_stress_pa(preload_n=preload, thread_friction=mu, **THREAD) for mu in (friction, rough)
    )
    assert worse >= smooth >= preload / cap_bolts.stress_area_m2(**THREAD)


def test_a_frictionless_screw_turns_its_torque_into_lift_alone() -> None:
    """Work of one turn, 2 pi T, equals the preload times the pitch."""
    torque = cap_bolts.tightening_torque_nm(
        preload_n=4e4, head_bearing_m=0.015, thread_friction=0.0, head_friction=0.0, **THREAD
    )
    assert 2 * math.pi * torque == pytest.approx(4e4 * 0.00125)


def test_nut_factors_out_of_order_and_threads_without_core_are_refused() -> None:
    with pytest.raises(ValueError, match=r"nominal_nut_factor_above_least_nut_factor is -0\.05; it must be"):
        cap_bolts.preload_band(torque_nm=90.0, diameter_m=0.012, least_nut_factor=0.25)
    with pytest.raises(ValueError, match=r"pitch_m_times_1_23 is .*; it must be smaller than diameter_m"):
        cap_bolts.stress_area_m2(diameter_m=0.012, pitch_m=0.01)
