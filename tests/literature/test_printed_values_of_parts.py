"""Printed values for single functions that the worked examples of the other files reach only through others."""

import math

import pytest

from beachmark.mechanics import beam, duty, fatigue, hooke, spline, trunnion, tube, whirl

RPM = math.pi / 30
INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
KPSI = 1e3 * PSI
KIP_IN = 1e3 * LBF * INCH
GRAVITY_IN = 386.1 * INCH  # m/s^2, as the example in inches takes it


def test_angle_for_fluctuation__khurmi_gupta_ch_9_answer_16_4_deg() -> None:
    """A total fluctuation of 100 rpm at 1200 rpm: 16.4 deg.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint.
    Known: from memory (the solved page that was read gives 16.2 deg against its own cosine of 0.9592).
    """
    angle = hooke.angle_for_fluctuation(fluctuation=100 / 1200)
    assert math.degrees(angle) == pytest.approx(16.4, abs=0.03)  # one decimal, cut off from 16.42


def test_influence_coefficient__shigley_9e_example_7_5_p_386() -> None:
    """1 in shaft, 31 in long, loads at 7 and 20 in: 2.061e-4, 2.224e-4 and 3.534e-4 in/lbf.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386.
    Known: from memory (coefficients; inputs read).
    """
    rigidity = whirl.flexural_rigidity_n_m2(outer_m=INCH, inner_m=0.0, youngs_pa=30e6 * PSI)
    for load_in, seen_in, printed in ((7, 7, 2.061e-4), (7, 20, 2.224e-4), (20, 7, 2.224e-4), (20, 20, 3.534e-4)):
        found = whirl.influence_coefficient(
            load_at_m=load_in * INCH, seen_at_m=seen_in * INCH, length_m=31 * INCH, rigidity_n_m2=rigidity
        )
        # The book rounds I to 0.04909 in^4 (four digits) beforehand.
        assert found * LBF / INCH == pytest.approx(printed, rel=5e-4)


def test_rayleigh_speed__shigley_9e_example_7_5_p_386() -> None:
    """35 and 55 lbf sag by 0.01945 and 0.02722 in: 125 rad/s.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386.
    Known: from memory (sag by hand from the printed influence coefficients).
    """
    speed = whirl.rayleigh_speed(
        loads_n=[35 * LBF, 55 * LBF], deflections_m=[0.01945 * INCH, 0.02722 * INCH], gravity_m_s2=GRAVITY_IN
    )
    assert speed == pytest.approx(125, abs=0.5)  # whole rad/s


def test_dunkerley_speed__shigley_9e_example_7_5_p_386() -> None:
    """Both loads alone 120.4 rad/s, the shaft alone 520 rad/s, together 117.3 rad/s.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386.
    Known: from memory.
    """
    assert whirl.dunkerley_speed(speeds_rad_s=[120.4, 520.0]) == pytest.approx(117.3, abs=0.05)  # one decimal


def test_margins__library_critical_speed_6331_rpm() -> None:
    """3000 rpm is 0.474 of the critical speed of 6331 rpm; 6400 rpm lies just past it.

    Source: critical speed of tube A by ross-rotordynamics 2.3.0 (see test_whirl_beam.py); the share by hand.
    Known: derived (3000 / 6331).
    """
    slow, fast = beam.margins(critical_rad_s=[6331 * RPM], reached_rad_s=[3000 * RPM, 6400 * RPM])
    assert slow.share_of_lowest == pytest.approx(0.474, abs=0.0005)  # three decimals
    assert (slow.criticals_passed, fast.criticals_passed) == (0, 1)


def test_torsional_stiffness__beer_johnston_sample_problem_3_7() -> None:
    """2.25 / 1.5 in, 60 in long: 37.7 kip in turn it by 5.73 deg.

    Source: Beer & Johnston, Mechanics of Materials, Sample Problem 3.7.
    Known: from memory.
    """
    stiffness = tube.torsional_stiffness_nm_rad(
        length_m=60 * INCH, shear_modulus_pa=11.2e6 * PSI, outer_m=2.25 * INCH, inner_m=1.5 * INCH
    )
    # Torque and angle are printed with three digits each: 0.2 %.
    assert stiffness * math.radians(5.73) / KIP_IN == pytest.approx(37.7, rel=0.002)


def test_buckling_stress__timoshenko_gere_and_nasa_sp_8007_127_mm_tube() -> None:
    """127 x 3.2 mm, 1.9 m, 207 GPa: 615.5 MPa as a long tube; 688.0 MPa, with 0.67 461.0 MPa by SP-8007.

    Source: Timoshenko & Gere, Theory of Elastic Stability; NASA SP-8007 (the document exists, read).
    Known: from memory (formulas; the numbers were worked beforehand).
    """
    size = {"outer_m": 0.127, "wall_m": 0.0032, "youngs_pa": 207e9}
    # One decimal of the MPa.
    assert tube.buckling_stress_long_tube_pa(**size) == pytest.approx(615.5e6, abs=0.05e6)
    moderate = tube.buckling_stress_sp_8007_pa(length_m=1.9, knock_down=1.0, **size)
    assert moderate == pytest.approx(688.0e6, abs=0.05e6)
    assert tube.buckling_stress_sp_8007_pa(length_m=1.9, **size) == pytest.approx(461.0e6, abs=0.05e6)


def test_root_shear__pope_rules_of_thumb_p_301_hollow_shaft() -> None:
    """1600 lbf in on a root of 0.70 in with a bore of 0.45 in: 28 650 psi.

    Source: Pope, Rules of Thumb for Mechanical Engineers, p. 301 (a hollow shaft; a spline's root is one).
    Known: read.
    """
    stress = spline.root_shear_pa(torque_nm=1600 * LBF * INCH, root_diameter_m=0.70 * INCH, bore_m=0.45 * INCH)
    assert stress / PSI == pytest.approx(28_650, abs=5)  # four significant digits


@pytest.mark.parametrize(("teeth", "height", "small", "printed"), [(10, 0.095, 0.81, 430), (6, 0.100, 0.80, 270)])
def test_side_pressure__mott_sae_spline_table(teeth: int, height: float, small: float, printed: float) -> None:
    """430 D^2 lbf in on ten teeth of fit C, 270 D^2 on six of fit C, an inch long: 1000 psi on the sides.

    Source: Mott, Machine Elements in Mechanical Design, SAE straight-sided splines at 1000 psi.
    Known: from memory.
    """
    pressure = spline.side_pressure_pa(
        torque_nm=printed * LBF * INCH,
        pitch_diameter_m=(1 + small) / 2 * INCH,
        teeth=teeth,
        engaged_length_m=INCH,
        tooth_height_m=height * INCH,
    )
    assert pressure / PSI == pytest.approx(1000, rel=0.002)  # whole numbers of some 300 to 400


# Tensile strength [kpsi] and the root of Neuber's length [sqrt in].
NEUBER_STEEL = {
    60: 0.108, 70: 0.093, 80: 0.080, 90: 0.070, 100: 0.062, 110: 0.055, 120: 0.049, 130: 0.044, 140: 0.039,
    160: 0.031, 180: 0.024, 200: 0.018, 220: 0.013, 240: 0.009,
}  # fmt: skip


@pytest.mark.parametrize("strength", NEUBER_STEEL)
def test_neuber_root__norton_table_of_steels(strength: int) -> None:
    """Root of Neuber's length for steels of 60 to 240 kpsi; in torsion that of a steel 20 kpsi stronger.

    Source: Norton, Machine Design, table of Neuber's constant for steels (chapter on fatigue).
    Known: from memory.
    """

    def root(strength_kpsi: float, torsion: bool) -> float:
        return math.sqrt(trunnion.neuber_root_m(ultimate_pa=strength_kpsi * KPSI, torsion=torsion) / INCH)

    # The cubic of another author runs through the three-digit table: 0.0027 sqrt in, below 1 % of the notch factor at
    # a radius of 1 mm.
    assert root(strength, torsion=False) == pytest.approx(NEUBER_STEEL[strength], abs=0.0027)
    if 80 <= strength <= 200:
        assert root(strength - 20, torsion=True) == pytest.approx(NEUBER_STEEL[strength], abs=0.0027)


def test_lives_at__shigley_9e_example_6_2_p_286() -> None:
    """S_ut 90, f 0.86, S_e 45 kpsi: 77 500 cycles at 55 kpsi; one level of a list of them.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 6-2, p. 286.
    Known: read.
    """
    line = fatigue.basquin_line(ultimate_pa=90 * KPSI, endurance_pa=45 * KPSI, strength_fraction=0.86)
    lives = duty.lives_at(line=line, amplitudes_pa=[55 * KPSI, 45 * KPSI, 0.86 * 90 * KPSI * (1 - 1e-12)])
    # The book works on with the rounded a and b; life goes with the 13th power of stress: 0.3 %.
    assert lives[0] == pytest.approx(77_500, rel=0.003)
    assert lives[1:].tolist() == pytest.approx([1e6, 1e3], rel=1e-6)  # the two ends that define the line


def test_lefm_size__anderson_fracture_mechanics_e399_example() -> None:
    """A structural steel of 350 MPa with 200 MPa sqrt m would need a specimen of 0.816 m.

    Source: Anderson, Fracture Mechanics, chapter on toughness testing, example on ASTM E399.
    Known: from memory.
    """
    size = fatigue.lefm_size_m(stress_intensity_pa_sqrt_m=200e6, yield_pa=350e6)
    assert size == pytest.approx(0.816, abs=0.0005)  # three decimals
