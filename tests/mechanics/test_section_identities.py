"""Stresses of arms, tubes and splines against summation over the section and plain equilibrium."""

import math

import numpy as np
import pytest

from beachmark.mechanics import hooke, spline, trunnion, tube


def _rings(outer: float, inner: float) -> tuple[np.ndarray, float]:
    edges = np.linspace(inner / 2, outer / 2, 20_001)
    return (edges[1:] + edges[:-1]) / 2, float(edges[1] - edges[0])


def test_a_bar_is_a_tube_without_bore() -> None:
    """J = pi d^4 / 32 = 613 592 mm^4 and tau = 16 T / (pi d^3) = 40.744 MPa for 50 mm and 1 kN m."""
    assert tube.polar_moment_m4(outer_m=0.05) == pytest.approx(613_592e-12, rel=1e-6)
    assert tube.shear_stress_pa(torque_nm=1e3, outer_m=0.05) == pytest.approx(40.744e6, rel=1e-5)
    twist = tube.twist_rad(torque_nm=1e3, length_m=2.0, shear_modulus_pa=80e9, outer_m=0.05)
    assert twist == pytest.approx(2e3 / (80e9 * 613_592e-12), rel=1e-6)


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
    surface = tube.yielded_twist_rad(shear_yield_pa=250e6, length_m=1.5, shear_modulus_pa=80e9, elastic_radius_m=0.045)
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


def test_arm_root_of_a_10_knm_joint_by_hand() -> None:
    """10 kN m on 75 mm: 66.67 kN; with 12 mm arm on 33 / 6 mm: 800 N m / 3.5242e-6 m^3 = 227.0 MPa."""
    force = hooke.arm_force_n(torque_nm=10e3, arm_radius_m=0.075)
    assert force == pytest.approx(66.67e3, abs=5)
    stress = trunnion.arm_root_bending_pa(force_n=force, arm_m=0.012, diameter_m=0.033, bore_m=0.006)
    assert stress == pytest.approx(227.0e6, abs=0.05e6)


@pytest.mark.parametrize("kt", [trunnion.shoulder_fillet_bending_kt, trunnion.shoulder_fillet_bending_kt_peterson])
def test_the_two_branches_of_a_fillet_fit_meet_at_a_height_of_two_radii(kt) -> None:  # type: ignore[no-untyped-def]
    radius, small = 0.002, 0.03
    below, above = (
        kt(large_m=small + 2 * ratio * radius, small_m=small, radius_m=radius) for ratio in (1.9999, 2.0001)
    )
    assert below == pytest.approx(above, rel=0.01)


@pytest.mark.parametrize(
    ("kt", "steep", "by_hand"),
    [
        (trunnion.shoulder_fillet_bending_kt, 0.25, 1.480 - 1.41625 / 2 + 1.5785 / 4 - 0.643 / 8),
        (trunnion.shoulder_fillet_bending_kt, 9.0, 3.628 - 3.229 / 2 + 0.630 / 4 - 0.026 / 8),
        (trunnion.shoulder_fillet_bending_kt_peterson, 0.25, 1.51725 - 1.45175 / 2 + 1.61875 / 4 - 0.664 / 8),
        (trunnion.shoulder_fillet_bending_kt_peterson, 9.0, 3.656 - 3.249 / 2 + 0.640 / 4 - 0.029 / 8),
        (trunnion.shoulder_fillet_torsion_kt, 0.25, 1.27775 - 1.28325 / 2 + 1.949 / 4 - 0.954 / 8),
        (trunnion.shoulder_fillet_torsion_kt, 4.0, 2.171 - 2.163 / 2 + 1.391 / 4 - 0.375 / 8),
    ],
)
def test_fillet_coefficients_by_hand_on_a_shoulder_of_half_the_diameter(kt, steep, by_hand) -> None:  # type: ignore[no-untyped-def]
    """C1 to C4 summed with pencil from the tables at h/r .25, 4 or 9 (whole roots) and 2h/D = 1/2."""
    found = kt(large_m=0.1, small_m=0.05, radius_m=0.025 / steep)
    assert found == pytest.approx(by_hand, abs=1e-9)


def test_transverse_hole_in_a_tube_by_hand() -> None:
    """Bore ratio 1/2: C2 -5.32825, C3 27.67525, C4 -38.33 + 51.542 x .707107 - 13.7415 = -15.62579."""
    by_hand = 4 - 5.32825 * 0.4 + 27.67525 * 0.16 - 15.62579 * 0.064
    found = trunnion.transverse_hole_torsion_kt(hole_m=0.04, outer_m=0.1, inner_m=0.05)
    assert found == pytest.approx(by_hand, abs=1e-5)


def test_notch_length_by_hand() -> None:
    """100 kpsi: sqrt(a) .246 - .308 + .151 - .0267 = .0623, in torsion .190 - .251 + .135 - .0267 = .0473."""
    for torsion, root in ((False, 0.0623), (True, 0.0473)):
        length = trunnion.neuber_root_m(ultimate_pa=689.4757e6, torsion=torsion)
        assert length == pytest.approx(root**2 * 25.4e-3, rel=1e-5)


def test_a_sharper_fillet_and_a_harder_steel_notch_more() -> None:
    factors = [
        trunnion.shoulder_fillet_torsion_kt(large_m=0.04, small_m=0.032, radius_m=r) for r in (0.006, 0.003, 0.0015)
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
    teeth = {"torque_nm": 9000.0, "pitch_diameter_m": 0.06, "teeth": 24, "engaged_length_m": 0.08}
    high, thick = {**teeth, "tooth_height_m": 0.0025}, {**teeth, "tooth_thickness_m": 0.004}
    raised = {"application_factor": 1.8, "distribution_factor": 1.5}
    worn = spline.side_pressure_pa(wear_factor=0.5, **raised, **high)  # type: ignore[arg-type]
    assert worn / spline.side_pressure_pa(**high) == pytest.approx(1.8 * 1.5 / 0.5)  # type: ignore[arg-type]
    tired = spline.pitch_line_shear_pa(fatigue_life_factor=0.4, **raised, **thick)  # type: ignore[arg-type]
    assert tired / spline.pitch_line_shear_pa(**thick) == pytest.approx(1.8 * 1.5 / 0.4)  # type: ignore[arg-type]
    factor = spline.fatigue_factor(torque_cycles=5e5, reversed_torque=True)
    assert spline.root_shear_pa(fatigue_life_factor=factor, **base) == pytest.approx(plain / 0.3)
