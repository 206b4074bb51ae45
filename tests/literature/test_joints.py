"""One joint and two joints against printed values. The source's own digits; tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import chain, hooke

RPM = math.pi / 30


def test_angle_for_fluctuation__khurmi_gupta_ch_9_1200_rpm_total_fluctuation_100_rpm() -> None:
    """Greatest angle for a total fluctuation of 100 rpm at 1200 rpm: cos b 0.9592, 1251 and 1151 rpm.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint; solved page.
    Known: read (the page rounds the angle itself wrongly to 16.2 deg; its own cosine gives 16.42 deg).
    """
    angle = hooke.angle_for_fluctuation(fluctuation=100 / 1200)
    # Four printed digits of the cosine and whole rpm: half a unit of the last digit.
    assert math.cos(angle) == pytest.approx(0.9592, abs=0.00005)
    assert 1200 * hooke.greatest_ratio(angle_rad=angle) == pytest.approx(1251, abs=0.5)
    assert 1200 * hooke.least_ratio(angle_rad=angle) == pytest.approx(1151, abs=0.5)


def test_greatest_acceleration__khurmi_gupta_ch_9_20_deg_1500_rpm() -> None:
    """20 deg, 1500 rpm, 12 kg at a radius of gyration of 0.1 m: 3090 rad/s^2 and 371 N m.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint worked example.
    Known: from memory.
    """
    acceleration = hooke.greatest_acceleration(angle_rad=math.radians(20), speed_rad_s=1500 * RPM)
    # The book works with w = 157 rad/s and rounds sines to four digits: 0.4 %.
    assert acceleration == pytest.approx(3090, rel=0.004)
    assert acceleration * 12 * 0.1**2 == pytest.approx(371, rel=0.004)


def test_drive_angle_of_greatest_acceleration__khurmi_gupta_ch_9_20_deg() -> None:
    """The driven shaft accelerates hardest at 41.43 deg.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint worked example.
    Known: from memory.
    """
    worst = hooke.drive_angle_of_greatest_acceleration(angle_rad=math.radians(20))
    # The book's cos 2th = 2 sin^2 b / (2 - sin^2 b) is an approximation, 0.03 deg low at 20 deg.
    assert math.degrees(worst) == pytest.approx(41.43, abs=0.05)


def test_drive_angle_of_unit_ratio__khurmi_gupta_ch_9_18_deg() -> None:
    """Both shafts turn equally fast 44.3 deg from the position of greatest ratio.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint worked example.
    Known: from memory.
    """
    equal = hooke.drive_angle_of_unit_ratio(angle_rad=math.radians(18))
    assert math.degrees(equal) == pytest.approx(44.3, abs=0.05)  # one printed decimal
    ratio = hooke.speed_ratio(angle_rad=math.radians(18), drive_angle_rad=math.radians(44.3))
    assert ratio == pytest.approx(1.0, abs=0.0005)


def test_angle_for_fluctuation__khurmi_gupta_ch_9_plus_minus_6_percent() -> None:
    """A total variation of +-6 % allows 19.64 deg.

    Source: Khurmi & Gupta, Theory of Machines, ch. 9, Hooke joint worked example.
    Known: from memory.
    """
    angle = hooke.angle_for_fluctuation(fluctuation=0.12)
    assert math.degrees(angle) == pytest.approx(19.64, abs=0.005)  # two printed decimals


def test_speed_ratio__exercise_25_deg_100_rad_s() -> None:
    """At 25 deg and 100 rad/s the driven shaft runs between 90.63 and 110.34 rad/s.

    Source: common exercise of machine theory texts (statement read); cosine of 25 deg from a table.
    Known: derived (100 / 0.906308 and 100 x 0.906308 by hand).
    """
    angle = math.radians(25)
    # Two printed decimals.
    assert 100 * hooke.speed_ratio(angle_rad=angle, drive_angle_rad=0.0) == pytest.approx(110.34, abs=0.005)
    square = hooke.speed_ratio(angle_rad=angle, drive_angle_rad=math.pi / 2)
    assert 100 * square == pytest.approx(90.63, abs=0.005)


def test_secondary_couple__seherr_thoss_schmelz_aucktor_10_deg() -> None:
    """Tan 10 deg, sin 10 deg and 1 / cos 10 deg: 0.176327, 0.173648, 1.01543 of the torque.

    Source: Seherr-Thoss, Schmelz & Aucktor, Universal Joints and Driveshafts (relations); tables.
    Known: derived (relation from memory; see the vector test in tests/mechanics).
    """
    couple = hooke.secondary_couple(torque_nm=1.0, angle_rad=math.radians(10))
    # Six digits of a trigonometric table.
    assert couple.driving_yoke_nm == pytest.approx(0.176327, abs=5e-7)
    assert couple.driven_yoke_nm == pytest.approx(0.173648, abs=5e-7)
    assert couple.cross_nm == pytest.approx(1.01543, abs=5e-6)


ALLOWED_ANGLES = {
    1500: [7.3, 7.4, 7.6, 7.9, 8.3, 8.9, 9.5, 10.1, 10.8, 11.6],
    1600: [6.9, 6.9, 7.1, 7.5, 7.9, 8.5, 9.1, 9.8, 10.5],
    1700: [6.5, 6.5, 6.8, 7.1, 7.6, 8.2, 8.8],
}


def _assert_row_of_allowed_angles(rpm: int) -> None:
    for front_deg, printed_deg in enumerate(ALLOWED_ANGLES[rpm]):
        rear = chain.allowed_rear_angle(
            front_angle_rad=math.radians(front_deg), speed_rad_s=rpm * RPM, limit_rad_s2=400.0
        )
        # One printed decimal (0.05); the table rounds partly upward, so 0.02 more.
        assert math.degrees(rear) == pytest.approx(printed_deg, abs=0.07)
        acceleration = chain.torsional_acceleration(
            equivalent_angle_rad=math.sqrt(math.radians(printed_deg) ** 2 - math.radians(front_deg) ** 2),
            speed_rad_s=rpm * RPM,
        )
        # A factor 2 in the convention would show as 800: the printed row means 400 zero to peak.
        assert acceleration == pytest.approx(400, rel=0.03)


def test_allowed_rear_angle__sae_ae_7_sec_3_1_1_1500_rpm() -> None:
    """Row 1500 rpm of the table of allowed second angles.

    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual, sec. 3.1.1, reprinted in a general
    engineering reference page.
    Known: read (the reprint).
    """
    _assert_row_of_allowed_angles(1500)


def test_allowed_rear_angle__sae_ae_7_sec_3_1_1_1600_rpm() -> None:
    """Row 1600 rpm of the table of allowed second angles.

    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual, sec. 3.1.1, reprinted.
    Known: read (the reprint).
    """
    _assert_row_of_allowed_angles(1600)


def test_allowed_rear_angle__sae_ae_7_sec_3_1_1_1700_rpm() -> None:
    """Row 1700 rpm of the table of allowed second angles.

    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual, sec. 3.1.1, reprinted.
    Known: read (the reprint).
    """
    _assert_row_of_allowed_angles(1700)


def test_non_uniformity__vdi_2722_3_deg_is_0_0027() -> None:
    """A resulting angle of 3 deg and a degree of non-uniformity of 0.0027 are the same limit.

    Source: VDI 2722 practice (clause not seen).
    Known: from memory.
    """
    # Two significant digits are printed; 0.0027 may stand for up to 0.00275.
    assert hooke.non_uniformity(angle_rad=math.radians(3)) == pytest.approx(0.0027, abs=0.00005)
