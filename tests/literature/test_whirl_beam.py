"""The beam model of a whole line against printed values and handbook roots. Tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import whirl
from beachmark.mechanics.beam import (
    BeamLine,
    PointMass,
    Section,
    Spring,
    cowper_shear_coefficient,
    critical_speeds,
    half_critical,
    whirl_modes,
)

RPM = math.pi / 30
INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
LB_PER_IN3 = 0.45359237 / INCH**3
G = 9.80665
PIN = math.inf
NO_MASS_KG_M3 = 1e-3  # a shaft "without mass": its own speed is then some thousand times that of the masses

TUBE_A = Section(outer_m=0.0889, inner_m=0.0889 - 2 * 0.00211, length_m=1.524, youngs_pa=206e9, density_kg_m3=7850)
TUBE_B = Section(outer_m=0.127, inner_m=0.127 - 2 * 0.00635, length_m=1.9, youngs_pa=206e9, density_kg_m3=7850)
ROD = Section(outer_m=0.01, inner_m=0.0, length_m=4.0)  # slender: shear and tilt cost below 0.01 % in mode 1


def _ends(section: Section, radial_n_m: float = PIN, mass_kg: float = 0.0) -> tuple[Spring, ...]:
    places = (0.0, section.length_m)
    return tuple(Spring(shaft=0, position_m=x, radial_n_m=radial_n_m, mass_kg=mass_kg) for x in places)


def _held(*, section: Section, front: str, rear: str) -> BeamLine:
    """A tube whose ends are ``free``, ``pinned`` or ``clamped``."""
    supports = [
        Spring(shaft=0, position_m=x, radial_n_m=PIN, angular_nm_rad=PIN if end == "clamped" else 0.0)
        for x, end in ((0.0, front), (section.length_m, rear))
        if end != "free"
    ]
    return BeamLine(shafts=((section,),), supports=tuple(supports), elements_per_shaft=24)


def _roots(section: Section, front: str, rear: str) -> list[float]:
    """The numbers b of w = b^2 sqrt(E I / (rho A)) / L^2, modes that move as a rigid body left out."""
    speeds = whirl_modes(line=_held(section=section, front=front, rear=rear), count=6).speeds_rad_s
    scale = math.sqrt(section.youngs_pa * section.second_moment_m4 / (section.density_kg_m3 * section.area_m2))
    return [math.sqrt(speed / scale) * section.length_m for speed in speeds if speed > 0]


@pytest.mark.parametrize(
    ("front", "rear", "roots"),
    [
        ("free", "free", [4.730, 7.853, 10.996]),
        ("clamped", "free", [1.875, 4.694, 7.855]),
        ("clamped", "clamped", [4.730, 7.853, 10.996]),
        ("clamped", "pinned", [3.927, 7.069, 10.210]),
        ("pinned", "free", [3.927, 7.069, 10.210]),
        ("pinned", "pinned", [3.1416, 6.2832, 9.4248]),
    ],
)
def test_whirl_modes__blevins_table_8_1_single_span_beams(front: str, rear: str, roots: list[float]) -> None:
    """Roots of slender single-span beams: 4.730, 7.853, 10.996 free-free; 1.875, 4.694, 7.855 clamped-free ...

    Source: Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1 (straight, slender, uniform beams).
    Known: from memory.
    """
    # Three printed decimals, and up to 0.01 % of shear and tilt of the third mode of this rod.
    assert _roots(ROD, front, rear)[:3] == pytest.approx(roots, abs=6e-4, rel=1e-4)


def test_whirl_modes__closed_form_of_the_slender_pinned_tube() -> None:
    """The slender tube tends to the closed form; tubes A and B lie 1.2 and 1.4 % below it.

    Source: Euler-Bernoulli beam, derived; with shear and tilt 6306.3 and 5630.5 rpm by an independent element model
    made beforehand.
    Known: derived.
    """
    for tube, closed_rpm, own_rpm in ((TUBE_A, 6380.47, 6306.26), (TUBE_B, 5712.76, 5630.48)):
        closed = whirl.pinned_tube_critical_speed(
            outer_m=tube.outer_m, inner_m=tube.inner_m, length_m=tube.length_m, youngs_pa=206e9, density_kg_m3=7850
        )
        assert closed / RPM == pytest.approx(closed_rpm, rel=1e-5)
        found = whirl_modes(line=BeamLine(shafts=((tube,),), supports=_ends(tube)), count=1).speeds_rad_s[0]
        # Both models have their own mesh and Poisson's number: 0.02 %.
        assert found / RPM == pytest.approx(own_rpm, rel=2e-4)
    closed = whirl.pinned_tube_critical_speed(
        outer_m=0.01, inner_m=0.0, length_m=4.0, youngs_pa=ROD.youngs_pa, density_kg_m3=ROD.density_kg_m3
    )
    slender = whirl_modes(line=BeamLine(shafts=((ROD,),), supports=_ends(ROD)), count=1).speeds_rad_s[0]
    assert slender == pytest.approx(closed, rel=1e-5)


@pytest.mark.parametrize(
    ("tube", "still_rpm", "critical_rpm", "on_springs_rpm"),
    [(TUBE_A, 6306.84, 6331.0, 6096.67), (TUBE_B, 5631.24, 5658.0, 4960.47)],
    ids=["tube A", "tube B"],
)
def test_whirl_modes__rotordynamics_library_of_general_use(
    tube: Section, still_rpm: float, critical_rpm: float, on_springs_rpm: float
) -> None:
    """Two tubes still, with spin, and with 6 kg at each end on 2e7 N/m.

    Source: ross-rotordynamics 2.3.0, run beforehand; more of its results are compared in tests/references.
    Known: derived.
    """
    pinned = BeamLine(shafts=((tube,),), supports=_ends(tube))
    soft = BeamLine(shafts=((tube,),), supports=_ends(tube, 2e7, 6.0))
    assert whirl_modes(line=pinned, count=1).speeds_rad_s[0] / RPM == pytest.approx(still_rpm, rel=2e-4)
    # The critical speeds are noted in whole rpm.
    assert critical_speeds(line=pinned, count=1).spins_rad_s[0] / RPM == pytest.approx(critical_rpm, rel=2e-4)
    assert whirl_modes(line=soft, count=1).speeds_rad_s[0] / RPM == pytest.approx(on_springs_rpm, rel=2e-4)


def _shigley(density_kg_m3: float, loaded: bool) -> float:
    """First whirl speed of the 1 in shaft of 31 in, with or without its two loads."""
    shaft = Section(outer_m=INCH, inner_m=0.0, length_m=31 * INCH, youngs_pa=30e6 * PSI, density_kg_m3=density_kg_m3)
    loads = ((35.0, 7.0), (55.0, 20.0)) if loaded else ()
    masses = tuple(PointMass(shaft=0, position_m=place * INCH, mass_kg=load * LBF / G) for load, place in loads)
    line = BeamLine(shafts=((shaft,),), supports=_ends(shaft), masses=masses)
    return float(whirl_modes(line=line, count=1).speeds_rad_s[0])


def test_whirl_modes__shigley_9e_example_7_5_p_386() -> None:
    """Loads alone between Dunkerley 120.4 and Rayleigh 125, shaft alone 520, all together above 117.3 rad/s.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Example 7-5, p. 386.
    Known: from memory (answers only partly remembered; inputs read).
    """
    light, heavy = _shigley(NO_MASS_KG_M3, True), _shigley(0.282 * LB_PER_IN3, True)
    # The true speed lies between the bounds, near the upper one. Printed without decimals, and the book leaves
    # out shear, which takes 0.2 to 0.4 % off a shaft of this slenderness: 0.6 %.
    assert 120.4 < light < 125.0
    assert light == pytest.approx(125, rel=0.006)
    assert _shigley(0.282 * LB_PER_IN3, False) == pytest.approx(520, rel=0.006)
    assert 117.3 < heavy < light


def test_whirl_modes__ugural_example_9_6() -> None:
    """Stepped shaft, 2 I in the middle half, with 400 N at the centre: sag 3 W L^3 / (256 E I), 3384 rpm.

    Source: Ugural, Mechanical Design of Machine Components, Example 9.6.
    Known: read (statement and deflection; the last figure follows from the deflection).
    """
    thin, thick = ((64 * second / math.pi) ** 0.25 for second in (0.3e-6, 0.6e-6))
    pieces = tuple(
        Section(outer_m=outer, inner_m=0.0, length_m=length, youngs_pa=200e9, density_kg_m3=NO_MASS_KG_M3)
        for outer, length in ((thin, 0.25), (thick, 0.5), (thin, 0.25))
    )
    centre = PointMass(shaft=0, position_m=0.5, mass_kg=400 / 9.81)
    ends = tuple(Spring(shaft=0, position_m=x, radial_n_m=PIN) for x in (0.0, 1.0))
    line = BeamLine(shafts=(pieces,), supports=ends, masses=(centre,))
    found = float(whirl_modes(line=line, count=1).speeds_rad_s[0])
    # The book leaves out shear. Its sag, W / 2 times L / 4 of each diameter over kappa G A, is added by hand.
    bending = 3 * 400 * 1.0**3 / (256 * 200e9 * 0.3e-6)
    shear = 400 / 2 * 0.25 * (1 / pieces[0].shear_rigidity_n + 1 / pieces[1].shear_rigidity_n)
    assert math.sqrt(9.81 / (bending + shear)) == pytest.approx(found, rel=1e-6)
    assert 3384 * (1 - 0.005) < found / RPM < 3384
    assert found / RPM * math.sqrt(1 + shear / bending) == pytest.approx(3384, abs=0.5)  # whole rpm printed


def test_cowper_shear_coefficient__cowper_1966_thin_tube_and_full_rod() -> None:
    """Full round 6 (1 + v) / (7 + 6 v), thin round tube 2 (1 + v) / (4 + 3 v).

    Source: Cowper, J. Appl. Mech. 33 (1966), pp. 335-340, table 1.
    Known: from memory.
    """
    for poisson in (0.0, 0.25, 0.3, 0.5):
        full = cowper_shear_coefficient(outer_m=0.1, inner_m=0.0, poisson=poisson)
        thin = cowper_shear_coefficient(outer_m=0.1, inner_m=0.1 - 1e-6, poisson=poisson)
        assert full == pytest.approx(6 * (1 + poisson) / (7 + 6 * poisson), rel=1e-12)
        assert thin == pytest.approx(2 * (1 + poisson) / (4 + 3 * poisson), rel=1e-8)


def test_half_critical__rosenberg_1958_second_order() -> None:
    """Couples of twice the spin excite the whirl near half the critical speed.

    Source: Rosenberg, On the dynamical behavior of rotating shafts driven by universal (Hooke) couplings, J. Appl.
    Mech. 25 (1958).
    Known: from memory (that it is half; no number of the paper is used).
    """
    line = BeamLine(shafts=((TUBE_A,),), supports=_ends(TUBE_A))
    half, whole = half_critical(line=line, count=1).spins_rad_s[0], critical_speeds(line=line, count=1).spins_rad_s[0]
    # Exactly half but for the gyroscopic action, whose whole gain is below 0.5 % for a driveline tube.
    assert half == pytest.approx(whole / 2, rel=0.005)
    assert half < whole / 2
