"""Critical speeds against printed values. The source's own digits; tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import whirl

RPM = math.pi / 30
INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
LB_PER_IN3 = 0.45359237 / INCH**3
SLUG_PER_IN3 = 32.17405 * LB_PER_IN3
G = 9.80665


def _tube_constant(youngs_pa: float, density_kg_m3: float, unit_m: float) -> float:
    """K of n = K sqrt(D^2 + d^2) / L^2 in rpm and the given unit of length."""
    speed = whirl.pinned_tube_critical_speed(
        outer_m=4 * unit_m,
        inner_m=3 * unit_m,
        length_m=60 * unit_m,
        youngs_pa=youngs_pa,
        density_kg_m3=density_kg_m3,
    )
    return speed / RPM * 60**2 / math.hypot(4, 3)


def test_pinned_tube_critical_speed__handbook_inch_constant_4_705e6() -> None:
    """The inch constant 4.705e6 of the handbooks.

    Source: handbook constant for steel tubes in inch units.
    Known: from memory.
    """
    # E of 29 to 30 million psi and 0.283 to 0.284 lb/in^3 are both called steel: 4.678e6 to 4.767e6.
    assert _tube_constant(29e6 * PSI, 0.283 * LB_PER_IN3, INCH) == pytest.approx(4.705e6, rel=0.006)
    assert _tube_constant(29e6 * PSI, 0.284 * LB_PER_IN3, INCH) < 4.705e6
    assert _tube_constant(30e6 * PSI, 0.283 * LB_PER_IN3, INCH) > 4.705e6


def test_pinned_tube_critical_speed__practice_metric_constant_1_22e8() -> None:
    """The metric constant 1.22e8.

    Source: common practice value for steel tubes in mm.
    Known: from memory.
    """
    # Three digits of a constant that is rounded up for E 210 GPa: 1.207e8 to 1.219e8, so 1.2 %.
    assert _tube_constant(206e9, 7850.0, 1e-3) == pytest.approx(1.22e8, rel=0.012)


def test_shaft_with_masses__khurmi_gupta_ch_23_heavy_shaft_2598_rpm() -> None:
    """20 mm x 0.6 m shaft of 40 t/m^3 with 1 kg at mid span: 43.3 Hz, 2598 rpm.

    Source: Khurmi & Gupta, Theory of Machines, ch. 23, f = 0.4985 / sqrt(d1 + ds / 1.27); solved page.
    Known: read.
    """
    rigidity = whirl.flexural_rigidity_n_m2(outer_m=0.02, inner_m=0.0, youngs_pa=200e9)
    bounds = whirl.shaft_with_masses(
        masses_kg=[1.0],
        positions_m=[0.3],
        length_m=0.6,
        rigidity_n_m2=rigidity,
        mass_per_length_kg_m=40e3 * math.pi / 4 * 0.02**2,
    )
    # The page carries the deflections with two and three digits: 0.1 %.
    assert bounds.dunkerley_rad_s / RPM == pytest.approx(2598, rel=0.001)


def test_equivalent_centre_load__shigley_9e_example_7_5_p_386() -> None:
    """1 in shaft, 31 in long, 35 lbf at 7 in and 55 lbf at 20 in: 17.1 and 46.1 lbf at the centre.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386 (figure labels).
    Known: read.
    """
    first = whirl.equivalent_centre_load(load_n=35 * LBF, position_m=7 * INCH, length_m=31 * INCH)
    second = whirl.equivalent_centre_load(load_n=55 * LBF, position_m=20 * INCH, length_m=31 * INCH)
    assert first / LBF == pytest.approx(17.1, abs=0.05)  # one printed decimal
    assert second / LBF == pytest.approx(46.1, abs=0.05)


def test_dunkerley_and_rayleigh__shigley_9e_example_7_5_p_386() -> None:
    """Same shaft: Rayleigh 125, Dunkerley 120.4, shaft alone 520, all together 117.3 rad/s.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386.
    Known: from memory (answers only partly remembered; inputs read).
    """
    rigidity = whirl.flexural_rigidity_n_m2(outer_m=INCH, inner_m=0.0, youngs_pa=30e6 * PSI)
    per_length = 0.282 * LB_PER_IN3 * math.pi / 4 * INCH**2
    masses, places = [35 * LBF / G, 55 * LBF / G], [7 * INCH, 20 * INCH]
    bare = whirl.pinned_tube_critical_speed(
        outer_m=INCH,
        inner_m=0.0,
        length_m=31 * INCH,
        youngs_pa=30e6 * PSI,
        density_kg_m3=0.282 * LB_PER_IN3,
    )
    light, heavy = (
        whirl.shaft_with_masses(
            masses_kg=masses,
            positions_m=places,
            length_m=31 * INCH,
            rigidity_n_m2=rigidity,
            mass_per_length_kg_m=own,
        )
        for own in (0.0, per_length)
    )
    # Whole numbers and four-digit values worked from three-digit influence coefficients: 0.3 %.
    assert light.rayleigh_rad_s == pytest.approx(125, rel=0.003)
    assert light.dunkerley_rad_s == pytest.approx(120.4, rel=0.003)
    assert bare == pytest.approx(520, rel=0.003)
    assert heavy.dunkerley_rad_s == pytest.approx(117.3, rel=0.003)


def test_speed_from_deflection__ugural_example_9_6() -> None:
    """Stepped shaft with 400 N at the centre, sag 3 W L^3 / (256 E I): 3384 rpm.

    Source: Ugural, Mechanical Design of Machine Components, Example 9.6.
    Known: read (statement and deflection; the last figure follows from the deflection).
    """
    sag = 3 * 400 * 1.0**3 / (256 * 200e9 * 0.3e-6)
    speed = whirl.speed_from_deflection(deflection_m=sag, gravity_m_s2=9.81)
    assert speed / RPM == pytest.approx(3384, abs=0.5)  # whole rpm printed


def test_pinned_tube_critical_speed__textbook_exercise_48_in_tube_is_not_met() -> None:
    """The printed 5800 rpm for a 3 in x 1/8 in steel tube of 48 in is NOT met: it lumps the mass.

    The exercise puts the whole mass of the tube at mid span. The mass of a tube is spread along it, and
    that tube whirls at 8262 rpm: pi^2 / sqrt(48) times the printed figure. The exercise must never serve
    as acceptance of a whirl calculation.

    Source: textbook exercise, E 29e6 psi and 0.00883 slug/in^3 (answer 5800 rpm).
    Known: read (doubtful as a check of whirl).
    """
    outer, inner, length = 3 * INCH, 2.75 * INCH, 48 * INCH
    youngs, density = 29e6 * PSI, 0.00883 * SLUG_PER_IN3
    spread = whirl.pinned_tube_critical_speed(
        outer_m=outer, inner_m=inner, length_m=length, youngs_pa=youngs, density_kg_m3=density
    )
    whole_mass = density * math.pi / 4 * (outer**2 - inner**2) * length
    lumped = whirl.shaft_with_masses(
        masses_kg=[whole_mass],
        positions_m=[length / 2],
        length_m=length,
        rigidity_n_m2=whirl.flexural_rigidity_n_m2(outer_m=outer, inner_m=inner, youngs_pa=youngs),
    )
    assert spread / RPM > 1.4 * 5800
    # Two significant digits are printed: 5800 stands for 5750 to 5850.
    assert lumped.dunkerley_rad_s / RPM == pytest.approx(5800, abs=50)
    assert spread / lumped.dunkerley_rad_s == pytest.approx(math.pi**2 / math.sqrt(48), rel=1e-9)
