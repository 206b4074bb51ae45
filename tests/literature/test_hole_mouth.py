"""Stress at the mouth of a hole against the classical solution and a chart's limit."""

import math

import pytest

from beachmark.mechanics import hole_mouth, trunnion
from beachmark.mechanics.fitting_corner import Sense, Yoke


@pytest.mark.parametrize("degrees", [0, 30, 45, 60, 90])
def test_stress_around_hole__kirsch_1898_edge_of_the_hole(degrees: float) -> None:
    """Under a pull of 1 the hoop stress at r = a is (1/2)(1 + 1) - (1/2)(1 + 3) cos 2t.

    Source: Kirsch, Zeitschrift des Vereines deutscher Ingenieure 42 (1898) 797, as reprinted.
    Known: read.
    """
    expected = 0.5 * (1 + 1) - 0.5 * (1 + 3) * math.cos(2 * math.radians(degrees))
    found = hole_mouth.stress_around_hole_pa(first_pa=1.0, second_pa=0.0, around_rad=math.radians(degrees))
    assert found == pytest.approx(expected, abs=1e-12)


def test_mouth_extremes__kirsch_3_uniaxial_and_2_even_pull() -> None:
    """Pulled one way 3 and -1; pulled evenly 2 all around.

    Source: Kirsch 1898; Lame's thick ring of infinite width for the even pull.
    Known: read (3), derived (2).
    """
    one_way = hole_mouth.mouth_extremes(first_pa=1.0)
    evenly = hole_mouth.mouth_extremes(first_pa=1.0, second_pa=1.0)
    assert (one_way.greatest_pa, one_way.least_pa) == (3.0, -1.0)
    assert (evenly.greatest_pa, evenly.least_pa) == (2.0, 2.0)


def test_mouth_extremes__peterson_limit_4_in_pure_shear() -> None:
    """A very small radial hole in a bar in torsion: 4 times the shear stress, as the fitted chart says.

    Source: Pilkey, Peterson's Stress Concentration Factors, radial hole in torsion (constant term 4).
    Known: read.
    """
    found = hole_mouth.mouth_extremes(first_pa=1.0, second_pa=-1.0)
    chart = trunnion.transverse_hole_torsion_kt(hole_m=1e-9, outer_m=0.02)
    assert found.greatest_pa == pytest.approx(chart, rel=1e-6)


def test_fitting_hole_and_range__opening_corner_by_hand() -> None:
    """Gearbox drives clockwise: corner A1-G2 opens. 200 MPa gives 600 and -200; on overrun 50 MPa gives -150.

    Source: Kirsch 1898 with the sense of the corner from statics (vectors in tests/mechanics); by hand.
    Known: read (Kirsch), derived (sense).
    """
    corner = ("A1", "G2")
    drive = hole_mouth.fitting_hole_stress(
        nominal_pa=200e6, arms=corner, driving_yoke=Yoke.GEARBOX, torque_sense=Sense.CLOCKWISE
    )
    assert (drive.greatest_pa, drive.least_pa) == pytest.approx((600e6, -200e6))
    coast = hole_mouth.corner_stress_pa(
        nominal_pa=50e6, arms=corner, driving_yoke=Yoke.AXLE, torque_sense=Sense.CLOCKWISE
    )
    assert coast == -50e6
    swing = hole_mouth.drive_and_coast_range(
        drive_nominal_pa=200e6, coast_nominal_pa=50e6, arms=corner, rotation=Sense.CLOCKWISE
    )
    assert (swing.amplitude_pa, swing.mean_pa) == pytest.approx((375e6, 225e6))
