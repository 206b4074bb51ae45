"""Curved bar, weld ring, bolted joint and rubber against integration and time stepping (scipy)."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp  # type: ignore[import-untyped]
from scipy.optimize import brentq  # type: ignore[import-untyped]

from beachmark.mechanics import cap_bolts, centre_bearing, yoke

WIDTH, THICK = 0.04, 0.03


@pytest.mark.parametrize("inner", [0.005, 0.015, 0.06, 0.5])
def test_curved_bar_carries_exactly_its_moment_and_no_force(inner: float) -> None:
    """Source: scipy.integrate.quad over plane sections turning about a centre: s = a + c / r through both edges."""
    moment = 800.0
    found = yoke.curved_beam_stress(moment_nm=moment, width_m=WIDTH, thickness_m=THICK, inner_radius_m=inner)
    outer = inner + THICK
    slope = (found.inner_pa - found.outer_pa) / (1 / inner - 1 / outer)
    level = found.inner_pa - slope / inner
    force = quad(lambda r: (level + slope / r) * WIDTH, inner, outer)[0]
    carried = quad(lambda r: -(level + slope / r) * (r - inner - THICK / 2) * WIDTH, inner, outer)[0]
    assert force == pytest.approx(0.0, abs=1e-6 * found.inner_pa * WIDTH * THICK)
    assert carried == pytest.approx(moment, rel=1e-6)


@pytest.mark.parametrize("throat", [0.002, 0.004, 0.008])
def test_weld_mean_shear_is_that_of_the_ring_within_the_throat(throat: float) -> None:
    """Source: scipy.integrate.quad of a uniform shear stress over the ring."""
    radius, torque = 0.0635, 1e4
    tau = yoke.weld_throat_shear_pa(torque_nm=torque, weld_radius_m=radius, throat_m=throat)
    carried = quad(lambda r: 2 * math.pi * r**2 * tau, radius - throat / 2, radius + throat / 2)[0]
    assert carried == pytest.approx(torque, rel=(throat / radius) ** 2)  # what a thin ring leaves out


@pytest.mark.parametrize("pull", [0.0, 1e4, 4e4, 5.3e4, 5.4e4, 8e4])
def test_bolted_joint_is_two_springs_of_which_one_cannot_pull(pull: float) -> None:
    """Source: scipy.optimize.brentq for the opening at which bolt, parts and pull are in balance."""
    bolt, parts, preload = 2e8, 6e8, 4e4  # N/m, N/m, N
    share = bolt / (bolt + parts)

    def rest(opening: float) -> float:
        return preload + bolt * opening - max(preload - parts * opening, 0.0) - pull

    opening = brentq(rest, -1e-3, 1e-2, xtol=1e-16)
    area = cap_bolts.stress_area_m2(diameter_m=0.012, pitch_m=0.00125)
    closed = {"preload_n": preload, "pull_n": pull, "load_share": share}
    stress = cap_bolts.bolt_stress_pa(**closed, diameter_m=0.012, pitch_m=0.00125)
    assert stress * area == pytest.approx(preload + bolt * opening, rel=1e-9)
    clamp = cap_bolts.clamp_left_n(**closed)
    assert clamp == pytest.approx(max(preload - parts * opening, 0.0), abs=1e-6)
    assert (cap_bolts.separation_margin(**closed) > 1) == (clamp > 0)


@pytest.mark.parametrize("speed_ratio", [0.4, 1.0, 2.5])
def test_transmitted_force_is_that_of_a_mass_shaken_in_time(speed_ratio: float) -> None:
    """Source: scipy.integrate.solve_ivp with the dashpot that equals the loss factor at this frequency."""
    mass, bounce, loss = 10.0, 200.0, 0.15
    stiffness, excitation = mass * bounce**2, speed_ratio * bounce
    dashpot = stiffness * loss / excitation

    def motion(t: float, state: np.ndarray) -> list[float]:
        push = math.sin(excitation * t)
        return [state[1], (push - stiffness * state[0] - dashpot * state[1]) / mass]

    settled = 60 / (loss * bounce) * max(1.0, speed_ratio)  # the free motion is gone by then
    times = np.linspace(settled, settled + 2 * math.pi / excitation, 400)
    run = solve_ivp(motion, (0, times[-1]), [0.0, 0.0], t_eval=times, rtol=1e-9, atol=1e-14)
    passed = np.abs(stiffness * run.y[0] + dashpot * run.y[1]).max()
    found = centre_bearing.transmitted_ratio(excitation_rad_s=excitation, bounce_rad_s=bounce, loss_factor=loss)
    assert found == pytest.approx(passed, rel=1e-3)


def test_rings_skewed_by_seat_and_wobble_within_a_turn() -> None:
    """Source: angle between turned vectors: the seat's axis stands, the inner ring's goes round the shaft's."""
    static, wobble = 0.03, 0.012
    seat = np.array([math.cos(static), math.sin(static), 0.0])
    turn = np.linspace(0, 2 * math.pi, 721)
    ring = np.stack(
        [np.full_like(turn, math.cos(wobble)), math.sin(wobble) * np.cos(turn), math.sin(wobble) * np.sin(turn)]
    )
    between = np.arctan2(np.linalg.norm(np.cross(seat, ring.T), axis=1), seat @ ring)
    found = centre_bearing.misalignment(static_rad=static, wobble_rad=wobble)
    assert found.least_rad == pytest.approx(between.min(), rel=1e-9)
    assert found.greatest_rad == pytest.approx(between.max(), rel=1e-9)
