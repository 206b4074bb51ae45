"""The stated ranges are the ones in force: just inside is accepted, just outside is refused by name."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from beachmark.mechanics import chain, fatigue, hooke, needle_bearing, spline, torque_path, trunnion, tube, whirl

LINE = fatigue.basquin_line(ultimate_pa=1000e6, endurance_pa=400e6, strength_fraction=0.9)
FIRST_YIELD_NM = tube.yield_torque_nm(shear_yield_pa=150e6, outer_m=0.05)


def _core(torque_nm: float) -> float:
    return tube.elastic_core_radius_m(torque_nm=torque_nm, shear_yield_pa=150e6, outer_m=0.05)


def _hole(hole_m: float, inner_m: float) -> float:
    return trunnion.transverse_hole_torsion_kt(hole_m=hole_m, outer_m=1.0, inner_m=inner_m)


def _reliable(reliability: float) -> float:
    return needle_bearing.required_rating_n(force_n=1.0, life_ratio=1.0, reliability=reliability)


def _centre_load(position_m: float) -> float:
    return whirl.equivalent_centre_load(load_n=1.0, position_m=position_m, length_m=2.0)


def _mass_at(position_m: float) -> object:
    return whirl.shaft_with_masses(masses_kg=[1.0], positions_m=[position_m], length_m=2.0, rigidity_n_m2=1e4)


# A call of one number, the values at both ends that are still sound, and values beyond them.
LIMITS: dict[str, tuple[Callable[[float], Any], list[float], list[float]]] = {
    "geometry_ratio": (
        lambda x: needle_bearing.geometry_factor(geometry_ratio=x),
        [0.01, 0.22],
        [0.0099, 0.2201],
    ),
    "poisson": (
        lambda x: needle_bearing.contact_modulus_pa(youngs_pa=2e11, poisson=x),
        [0.0, 0.5],
        [-0.001, 0.501],
    ),
    "reliability": (_reliable, [0.001, 0.999], [0.0]),
    "failing_share": (_reliable, [0.5], [1.0, 1.5]),
    "hole_over_outer": (lambda x: _hole(x, 0.0), [0.0, 0.4], [0.401]),
    "inner_over_outer": (lambda x: _hole(0.1, x), [0.0, 0.8], [0.801]),
    "ultimate_pa": (lambda x: trunnion.neuber_root_m(ultimate_pa=x), [345e6, 1725e6], [344e6, 1726e6]),
    "kt": (
        lambda x: trunnion.notch_sensitivity_kf(kt=x, radius_m=0.001, ultimate_pa=7e8),
        [1.0],
        [0.999],
    ),
    "cycles": (lambda x: fatigue.strength_at(line=LINE, cycles=x), [1e3, 1e6], [999.0, 1.001e6]),
    "amplitude_pa": (
        lambda x: fatigue.cycles_at(line=LINE, amplitude_pa=x),
        [0.0, 900e6],
        [-1.0, 901e6],
    ),
    "torque_cycles": (
        lambda x: spline.fatigue_factor(torque_cycles=x, reversed_torque=True),
        [1.0, 1e7],
        [0.0, 1.001e7],
    ),
    "torque_nm": (_core, [FIRST_YIELD_NM, 1.3333 * FIRST_YIELD_NM], [0.999 * FIRST_YIELD_NM, 1.334 * FIRST_YIELD_NM]),
    "damping_ratio": (lambda x: torque_path.step_load_factor(damping_ratio=x), [0.0, 0.999], [-0.001, 1.0]),
    "efficiency": (
        lambda x: torque_path.engine_path_torque(engine_torque_nm=1.0, ratio=1.0, efficiency=x),
        [0.001, 1.0],
        [0.0, 1.001],
    ),
    "angle_rad": (lambda x: hooke.greatest_ratio(angle_rad=x), [0.0, 1.57], [-0.001, math.pi / 2]),
    "slope_rad": (
        lambda x: chain.direction(slope_rad=x, plan_rad=0.0),
        [-1.57, 1.57],
        [-math.pi / 2, math.pi / 2],
    ),
    "position_m": (_centre_load, [0.0, 2.0], [-0.001, 2.001]),
    "positions_m": (_mass_at, [0.001, 1.999], [0.0, 2.0]),
}


@pytest.mark.parametrize("name", LIMITS)
def test_the_ends_of_the_range_are_accepted(name: str) -> None:
    call, sound, _ = LIMITS[name]
    for value in sound:
        call(value)


@pytest.mark.parametrize("name", LIMITS)
def test_beyond_the_range_is_refused_by_name(name: str) -> None:
    call, _, unsound = LIMITS[name]
    for value in unsound:
        with pytest.raises(ValueError, match=rf"^{name} is .*; it must be .*\.$"):
            call(value)


@pytest.mark.parametrize(
    ("kt", "low", "high"),
    [
        (trunnion.shoulder_fillet_bending_kt, 0.25, 20.0),
        (trunnion.shoulder_fillet_bending_kt_peterson, 0.1, 20.0),
        (trunnion.shoulder_fillet_torsion_kt, 0.25, 4.0),
    ],
)
def test_fillet_fits_hold_between_their_printed_ratios(kt: Callable[..., float], low: float, high: float) -> None:
    for steep in (low, high):
        assert kt(large_m=0.1, small_m=0.05, radius_m=0.025 / steep) > 1
    for steep in (low * 0.999, high * 1.001):
        with pytest.raises(ValueError, match=r"^shoulder_height_over_radius is .*; it must be from .*\.$"):
            kt(large_m=0.1, small_m=0.05, radius_m=0.025 / steep)


def test_a_characteristic_life_below_the_minimum_is_refused() -> None:
    with pytest.raises(ValueError, match="characteristic_above_minimum is -1; it must be"):
        needle_bearing.weibull_reliability(life_ratio=1.0, minimum=2.0, characteristic=1.0, shape=1.5)


def test_a_wall_that_fills_the_tube_and_a_bore_without_wall_are_refused() -> None:
    with pytest.raises(ValueError, match=r"wall_m is 0\.05; it must be smaller than half of outer_m \(0\.05\)"):
        tube.buckling_stress_long_tube_pa(outer_m=0.1, wall_m=0.05, youngs_pa=2e11)
    with pytest.raises(ValueError, match=r"bore_m is 0\.033; it must be smaller than diameter_m \(0\.033\)"):
        trunnion.arm_root_shear_pa(force_n=1.0, diameter_m=0.033, bore_m=0.033)


def test_lists_that_do_not_belong_together_are_refused() -> None:
    with pytest.raises(ValueError, match=r"travels has shape \(1,\); it must be one list"):
        needle_bearing.mean_load(loads_n=[1.0, 2.0], travels=[1.0])
    with pytest.raises(ValueError, match=r"speeds_rad_s has shape \(0,\)"):
        whirl.dunkerley_speed(speeds_rad_s=[])
    with pytest.raises(ValueError, match="sum_of_travels is 0"):
        needle_bearing.mean_load(loads_n=[1.0], travels=[0.0])
