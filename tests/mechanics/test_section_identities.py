"""Stresses of arms, tubes and splines against summation over the section and plain equilibrium."""

import math

import numpy as np
import pytest

from beachmark.mechanics import hooke, spline, trunnion, tube


def _rings(outer: float, inner: float) -> tuple[np.ndarray, float]:
    edges = np.linspace(inner / 2, outer / 2, 20_001)
    return (edges[1:] + edges[:-1]) / 2, float(edges[1] - edges[0])


@pytest.mark.parametrize(("outer", "inner"), [(0.05, 0.0), (0.1, 0.07), (0.127, 0.1206)])
def test_torques_of_a_tube_are_the_sum_of_its_shear_stress(outer: float, inner: float) -> None:
    radius, step = _rings(outer, inner)
    tau = 260e6
    plastic = float((2 * math.pi * radius**2 * tau * step).sum())
    elastic = float((2 * math.pi * radius**2 * tau * radius / (outer / 2) * step).sum())
    size = {"outer_m": outer, "inner_m": inner}
    assert tube.plastic_torque_nm(shear_yield_pa=tau, **size) == pytest.approx(plastic, rel=1e-7)
    first = tube.yield_torque_nm(shear_yield_pa=tau, **size)
    assert first == pytest.approx(elastic, rel=1e-7)
    assert tube.shear_stress_pa(torque_nm=-first, **size) == pytest.approx(tau, rel=1e-12)


def test_elastic_core_carries_with_the_yielded_shell_exactly_the_torque() -> None:
    outer, tau = 0.05, 150e6
    first = tube.yield_torque_nm(shear_yield_pa=tau, outer_m=outer)
    for share in (1.0, 1.15, 4 / 3):
        core = tube.elastic_core_radius_m(torque_nm=share * first, shear_yield_pa=tau, outer_m=outer)
        radius, step = _rings(outer, 0.0)
        stress = tau * np.minimum(radius / max(core, 1e-12), 1.0)
        carried = float((2 * math.pi * radius**2 * stress * step).sum())
        assert carried == pytest.approx(share * first, rel=1e-6)


def test_twist_at_first_yield_is_the_shear_strain_of_the_surface() -> None:
    size = {"outer_m": 0.09, "inner_m": 0.08}
    torque = tube.yield_torque_nm(shear_yield_pa=250e6, **size)
    twist = tube.twist_rad(torque_nm=torque, length_m=1.5, shear_modulus_pa=80e9, **size)
    surface = tube.yielded_twist_rad(
        shear_yield_pa=250e6, length_m=1.5, shear_modulus_pa=80e9, elastic_radius_m=0.045
    )
    assert twist == pytest.approx(surface, rel=1e-12)
    stiffness = tube.torsional_stiffness_nm_rad(length_m=1.5, shear_modulus_pa=80e9, **size)
    assert stiffness * twist == pytest.approx(torque, rel=1e-12)


def test_a_usual_tube_yields_in_shear_before_it_buckles() -> None:
    """127 x 3.2 mm (r/t 19): both buckling rules lie above the shear yield of a 450 MPa tube."""
    tau = tube.shear_yield_pa(yield_pa=450e6)
    assert tau == pytest.approx(0.577 * 450e6, rel=1e-3)
    size = {"outer_m": 0.127, "wall_m": 0.0032, "youngs_pa": 207e9}
    assert tube.buckling_stress_long_tube_pa(**size) > tau
    assert tube.buckling_stress_sp_8007_pa(length_m=1.9, **size) > tau
    # A tin of the same diameter does buckle first: the comparison can go the other way.
    tin = {"outer_m": 0.127, "wall_m": 0.0005, "youngs_pa": 207e9}
    assert tube.buckling_stress_long_tube_pa(**tin) < tau


def test_buckling_rules_by_hand_from_the_wall_ratio() -> None:
    """r to mid wall 61.9 mm, t/r .0516963: (t/r)^1.5 = .0117541; r/t 19.34375, L/r 30.695."""
    size = {"outer_m": 0.127, "wall_m": 0.0032, "youngs_pa": 207e9}
    long_tube = 207e9 * 0.0117541 / (3 * 1.414214 * 0.91**0.75)
    assert tube.buckling_stress_long_tube_pa(**size) == pytest.approx(long_tube, rel=1e-4)
    moderate = 0.747 * 207e9 / (19.34375**1.25 * 30.695**0.5)
    found = tube.buckling_stress_sp_8007_pa(length_m=1.9, knock_down=1.0, **size)
    assert found == pytest.approx(moderate, rel=1e-4)


@pytest.mark.parametrize("bore", [0.0, 0.006, 0.02])
def test_arm_stresses_are_those_of_the_ring_section(bore: float) -> None:
    """Bending F l c / I, and the shear flow V Q / (I b) at the neutral line, by sums over strips."""
    force, arm, diameter = 66.667e3, 0.012, 0.033
    y = (np.arange(200_000) + 0.5) * diameter / 2 / 200_000
    dy = y[1] - y[0]
    width = 2 * np.sqrt((diameter / 2) ** 2 - y**2)
    width = width - 2 * np.sqrt(np.maximum((bore / 2) ** 2 - y**2, 0.0))
    inertia, first_moment = 2 * float((y**2 * width * dy).sum()), float((y * width * dy).sum())
    bending = trunnion.arm_root_bending_pa(force_n=force, arm_m=arm, diameter_m=diameter, bore_m=bore)
    assert bending == pytest.approx(force * arm * diameter / 2 / inertia, rel=1e-6)
    shear = trunnion.arm_root_shear_pa(force_n=force, diameter_m=diameter, bore_m=bore)
    assert shear == pytest.approx(force * first_moment / (inertia * (diameter - bore)), rel=1e-6)


def test_arm_root_of_a_10_knm_joint_by_hand() -> None:
    """10 kN m on 75 mm: 66.67 kN; with 12 mm arm on 33 / 6 mm: 800 N m / 3.5242e-6 m^3 = 227.0 MPa."""
    force = hooke.arm_force_n(torque_nm=10e3, arm_radius_m=0.075)
    assert force == pytest.approx(66.67e3, abs=5)
    stress = trunnion.arm_root_bending_pa(force_n=force, arm_m=0.012, diameter_m=0.033, bore_m=0.006)
    assert stress == pytest.approx(227.0e6, abs=0.05e6)


@pytest.mark.parametrize(
    "kt", [trunnion.shoulder_fillet_bending_kt, trunnion.shoulder_fillet_bending_kt_peterson]
)
def test_the_two_branches_of_a_fillet_fit_meet_at_a_height_of_two_radii(kt) -> None:  # type: ignore[no-untyped-def]
    radius, small = 0.002, 0.03
    below, above = (
        kt(large_m=small + 2 * ratio * radius, small_m=small, radius_m=radius) for ratio in (1.9999, 2.0001)
    )
    assert below == pytest.approx(above, rel=0.01)


def test_a_sharper_fillet_and_a_harder_steel_notch_more() -> None:
    factors = [
        trunnion.shoulder_fillet_torsion_kt(large_m=0.04, small_m=0.032, radius_m=r)
        for r in (0.006, 0.003, 0.0015)
    ]
    assert factors == sorted(factors)
    for torsion in (False, True):
        kf = [
            trunnion.notch_sensitivity_kf(kt=1.8, radius_m=0.001, ultimate_pa=s * 1e6, torsion=torsion)
            for s in (400, 700, 1000, 1400, 1700)
        ]
        assert kf == sorted(kf)
        assert 1 < kf[0] < kf[-1] <= 1.8


def test_a_shoulder_outside_the_charts_is_refused() -> None:
    with pytest.raises(ValueError, match=r"shoulder_height_over_radius is 0\.2; it must be from 0\.25 to 4"):
        trunnion.shoulder_fillet_torsion_kt(large_m=0.0304, small_m=0.03, radius_m=0.001)


def test_spline_stresses_balance_the_torque() -> None:
    torque, pitch, teeth, length = 9000.0, 0.06, 24, 0.08
    shared = {"pitch_diameter_m": pitch, "teeth": teeth, "engaged_length_m": length}
    side = spline.side_pressure_pa(torque_nm=torque, tooth_height_m=0.0025, **shared)  # type: ignore[arg-type]
    assert side * 0.0025 * length * teeth * pitch / 2 == pytest.approx(torque)
    root = spline.pitch_line_shear_pa(torque_nm=torque, tooth_thickness_m=0.004, **shared)  # type: ignore[arg-type]
    assert root * 0.004 * length * (teeth / 2) * pitch / 2 == pytest.approx(torque)
    shaft = spline.root_shear_pa(torque_nm=torque, root_diameter_m=0.055, bore_m=0.02)
    same = tube.shear_stress_pa(torque_nm=torque, outer_m=0.055, inner_m=0.02)
    assert shaft == pytest.approx(same, rel=1e-12)


def test_spline_factors_raise_and_lower_the_stress_as_named() -> None:
    base = {"torque_nm": 9000.0, "root_diameter_m": 0.055}
    plain = spline.root_shear_pa(**base)
    assert spline.root_shear_pa(application_factor=1.8, **base) == pytest.approx(1.8 * plain)
    factor = spline.fatigue_factor(torque_cycles=5e5, reversed_torque=True)
    assert spline.root_shear_pa(fatigue_life_factor=factor, **base) == pytest.approx(plain / 0.3)
