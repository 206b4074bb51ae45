"""The formulas of one joint against its motion: Fourier analysis and differentiation."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from beachmark.mechanics import hooke

TURN = np.linspace(0.0, 2 * math.pi, 4096, endpoint=False)


@pytest.mark.parametrize("angle_deg", [1, 6, 10, 25, 40])
def test_driven_angle_obeys_the_tangent_law_and_never_jumps(angle_deg: float) -> None:
    angle = math.radians(angle_deg)
    turned = hooke.driven_angle(angle_rad=angle, drive_angle_rad=TURN)
    # tan th2 cos b = tan th1, written without the poles of the tangent.
    residue = np.sin(turned) * np.cos(TURN) * math.cos(angle) - np.cos(turned) * np.sin(TURN)
    assert np.abs(residue).max() < 1e-14
    assert np.abs(turned - TURN).max() < math.pi / 2


@pytest.mark.parametrize("angle_deg", [3, 10, 30])
def test_harmonics_of_the_lag_match_a_fourier_analysis_of_the_motion(angle_deg: float) -> None:
    angle = math.radians(angle_deg)
    lag = hooke.driven_angle(angle_rad=angle, drive_angle_rad=TURN) - TURN
    spectrum = np.fft.rfft(lag) / (len(TURN) / 2)
    for order in (2, 4, 6):
        harmonic = hooke.lag_harmonic(angle_rad=angle, order=order)
        assert -spectrum[order].imag == pytest.approx(harmonic, abs=1e-14)
    assert np.abs(spectrum[[1, 3, 5]]).max() < 1e-14


def test_harmonics_at_10_deg_are_powers_of_a_table_tangent() -> None:
    # tan 5 deg = 0.0874887 in a seven-figure table; its square, and half its fourth power.
    angle = math.radians(10)
    assert hooke.lag_harmonic(angle_rad=angle, order=2) == pytest.approx(0.0874887**2, rel=1e-6)
    assert hooke.lag_harmonic(angle_rad=angle, order=4) == pytest.approx(0.0874887**4 / 2, rel=2e-6)


@pytest.mark.parametrize("angle_deg", [2, 15, 35])
def test_ratio_and_acceleration_are_the_derivatives_of_the_motion(angle_deg: float) -> None:
    angle, step = math.radians(angle_deg), 1e-4

    def motion(at: NDArray[np.float64]) -> NDArray[np.float64]:
        return hooke.driven_angle(angle_rad=angle, drive_angle_rad=at)

    ratio = (motion(TURN + step) - motion(TURN - step)) / (2 * step)
    curve = (motion(TURN + step) - 2 * motion(TURN) + motion(TURN - step)) / step**2
    assert hooke.speed_ratio(angle_rad=angle, drive_angle_rad=TURN) == pytest.approx(ratio, abs=1e-7)
    found = hooke.driven_acceleration(angle_rad=angle, drive_angle_rad=TURN, speed_rad_s=1.0)
    assert found == pytest.approx(curve, abs=1e-6)


@pytest.mark.parametrize("angle_deg", [0.01, 6, 20, 45, 80])
def test_greatest_values_are_the_extremes_of_the_curves(angle_deg: float) -> None:
    angle = math.radians(angle_deg)
    fine = np.linspace(0, math.pi, 200_001)
    ratio = hooke.speed_ratio(angle_rad=angle, drive_angle_rad=fine)
    assert hooke.greatest_ratio(angle_rad=angle) == pytest.approx(float(ratio.max()), rel=1e-9)
    assert hooke.least_ratio(angle_rad=angle) == pytest.approx(float(ratio.min()), rel=1e-9)
    curve = np.abs(hooke.driven_acceleration(angle_rad=angle, drive_angle_rad=fine, speed_rad_s=3.0))
    assert hooke.greatest_acceleration(angle_rad=angle, speed_rad_s=3.0) == pytest.approx(float(curve.max()), rel=1e-7)


@pytest.mark.parametrize(("angle_deg", "low_by"), [(6, 0.002), (20, 0.025)])
def test_small_angle_rule_is_low_by_the_stated_share(angle_deg: float, low_by: float) -> None:
    angle = math.radians(angle_deg)
    exact = hooke.greatest_acceleration(angle_rad=angle, speed_rad_s=1.0)
    assert 1 - angle**2 / exact == pytest.approx(low_by, rel=0.1)


def test_greatest_acceleration_at_6_deg_by_brute_force() -> None:
    # 0.0109867 w^2: greatest second difference of atan(tan th / cos b) over a fine turn.
    b, h = math.radians(6), 1e-3
    th = np.linspace(0.3, 1.2, 20_001)
    motion = [np.arctan(np.tan(th + d) / math.cos(b)) for d in (-h, 0.0, h)]
    brute = float(np.abs((motion[0] - 2 * motion[1] + motion[2]) / h**2).max())
    assert hooke.greatest_acceleration(angle_rad=b, speed_rad_s=1.0) == pytest.approx(brute, rel=1e-5)


def test_angle_for_fluctuation_is_the_inverse_of_non_uniformity() -> None:
    for angle in (0.0, 1e-6, 0.05, 0.3, 1.2):
        spread = hooke.non_uniformity(angle_rad=angle)
        assert hooke.angle_for_fluctuation(fluctuation=spread) == pytest.approx(angle, rel=1e-9)
        difference = hooke.greatest_ratio(angle_rad=angle) - hooke.least_ratio(angle_rad=angle)
        assert spread == pytest.approx(difference, abs=1e-12)
