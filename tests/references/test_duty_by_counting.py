"""Damage, turning points and orders by the package rainflow, by drawing lines, by statistics and by counting."""

import itertools
import math

import numpy as np
import pytest
from scipy.special import gamma  # type: ignore[import-untyped]

from beachmark.mechanics import duty, fatigue
from beachmark.mechanics.rainflow import turning_points
from beachmark.mechanics.torsional_orders import order_crossings

rainflow = pytest.importorskip("rainflow", reason="the package rainflow (a test dependency) is not installed")

ULTIMATE, ENDURANCE, SHARE = 900e6, 300e6, 0.85
LINE = fatigue.basquin_line(ultimate_pa=ULTIMATE, endurance_pa=ENDURANCE, strength_fraction=SHARE)


def _on_log_paper(amplitude: float) -> float:
    """Life by a straight line on double logarithmic paper through 1e3 and 1e6 cycles; below it the half slope.

    The half slope (Haibach) goes through the knee and, two decades of stress lower, 2 (2 k - 1) decades later.
    """
    slope = 3 / math.log10(SHARE * ULTIMATE / ENDURANCE)
    strengths = np.log10([ENDURANCE / 100, ENDURANCE, SHARE * ULTIMATE])
    lives = [6 + 2 * (2 * slope - 1), 6.0, 3.0]
    return float(10 ** np.interp(math.log10(amplitude), strengths, lives))


def test_lives_are_read_off_log_paper() -> None:
    amplitudes = np.array([4e6, 80e6, 299e6, 301e6, 500e6, 760e6])
    found = duty.lives_at(line=LINE, amplitudes_pa=amplitudes, below_endurance="half_slope")
    assert found == pytest.approx(np.array([_on_log_paper(a) for a in amplitudes]), rel=1e-9)


@pytest.mark.parametrize(("amplitude", "mean"), [(150e6, 200e6), (80e6, 0.0), (40e6, 650e6)])
def test_goodman_is_the_point_where_the_line_meets_the_axis(amplitude: float, mean: float) -> None:
    """The straight line through (mean, amplitude) and (ultimate, 0), solved for its height at no mean stress."""
    height, _ = np.linalg.solve([[1.0, mean], [1.0, 700e6]], [amplitude, 0.0])
    found = fatigue.goodman_amplitude_pa(amplitude_pa=amplitude, mean_pa=mean, ultimate_pa=700e6)
    assert found == pytest.approx(height, rel=1e-12)
    many = duty.reversed_amplitudes_pa(ranges_pa=2 * amplitude, means_pa=[mean, -mean], ultimate_pa=700e6)
    assert many.tolist() == pytest.approx([height, amplitude], rel=1e-12)  # pressure is not credited


def test_damage_of_a_history_by_the_package_and_the_lines_drawn() -> None:
    """Source: PyPI package rainflow 3.2.0 for the cycles; means by Goodman's line, lives off log paper."""
    rng = np.random.default_rng(12)
    stresses = 60e6 + 140e6 * rng.normal(size=3000)
    summed, by_cycle = 0.0, []
    for size, mean, count, _, _ in rainflow.extract_cycles(stresses.tolist()):
        height, _ = np.linalg.solve([[1.0, max(mean, 0.0)], [1.0, ULTIMATE]], [size / 2, 0.0])
        by_cycle.append((size, mean, count))
        summed += count / _on_log_paper(height) if height else 0.0
    found = duty.damage_of_history(line=LINE, stresses_pa=stresses, ultimate_pa=ULTIMATE)
    assert summed > 1e-4
    assert found == pytest.approx(summed, rel=1e-9)
    ranges, means, counts = np.array(by_cycle).T
    listed = duty.damage_of_cycles(line=LINE, ranges_pa=ranges, means_pa=means, cycles=counts, ultimate_pa=ULTIMATE)
    assert listed == pytest.approx(summed, rel=1e-9)


def test_miner_by_spending_life_cycle_by_cycle() -> None:
    """Whole cycles in turn, each takes its share; the sum is counted up, not multiplied."""
    lives, rest, cycles = [500.0, 2000.0, 8000.0], 1.0, 0
    for life in itertools.cycle([*lives, lives[-1]]):
        if rest <= 0:
            break
        rest, cycles = rest - 1 / life, cycles + 1
    shares = [1.0, 1.0, 2.0]
    assert fatigue.miner_life(shares=shares, lives=lives) == pytest.approx(cycles, abs=4)
    each = [cycles * share / 4 for share in shares]
    assert fatigue.miner_damage(cycles=each, lives=lives) == pytest.approx(1.0, abs=5e-3)


@pytest.mark.parametrize("exponent", [3.0, 5.0, 9.0])
def test_equivalent_torque_of_a_rayleigh_spectrum(exponent: float) -> None:
    """Amplitudes of a narrow-band noise: (E T^k)^(1/k) = sqrt 2 s Gamma(1 + k/2)^(1/k).

    Source: moments of the Rayleigh distribution; narrow-band fatigue, e.g. Bendat (from memory).
    """
    spread = 900.0
    edges = np.linspace(0.0, 12 * spread, 20_001)
    middle = (edges[1:] + edges[:-1]) / 2
    counts = -np.diff(np.exp(-((edges / spread) ** 2) / 2)) * 1e6
    found = duty.equivalent_torque(torques_nm=middle, cycles=counts, exponent=exponent, reference_cycles=1e6)
    closed = math.sqrt(2) * spread * gamma(1 + exponent / 2) ** (1 / exponent)
    assert float(found) == pytest.approx(closed, rel=1e-5)


def test_distance_by_driving_until_the_damage_is_one() -> None:
    """3 starts in each kilometre, each takes 1.7e-4: driven kilometre by kilometre."""
    damage, km = 0.0, 0
    while damage < 1:
        km += 1
        for _ in range(3):
            damage += 1.7e-4
    found = duty.distance_to_crack_start_m(damage_per_start=1.7e-4, starts_per_m=3e-3)
    assert float(found) / 1e3 == pytest.approx(km, abs=1)


@pytest.mark.parametrize("kind", ["noise", "walk", "equal heights"])
def test_turning_points_are_the_reversals_of_the_package(kind: str) -> None:
    """Source: PyPI package rainflow 3.2.0, reversals (heights; of a flat top it names another point)."""
    rng = np.random.default_rng(3)
    series = {
        "noise": rng.normal(size=5000),
        "walk": np.cumsum(rng.normal(size=5000)),
        "equal heights": rng.integers(-3, 4, 5000).astype(float),
    }[kind]
    theirs = [height for _, height in rainflow.reversals(series.tolist())]
    assert len(theirs) > 1000
    assert series[turning_points(series=series)].tolist() == theirs


def test_an_order_shakes_at_the_natural_frequency_just_where_it_is_said_to_cross() -> None:
    """A signal of the order, sampled on a shaft at the speed found, has its line in the spectrum at the frequency."""
    seconds, rate = 16.0, 4096
    time = np.arange(int(seconds * rate)) / rate
    for hertz, order in ((43.0, 2.0), (150.0, 3.0), (61.5, 1.0)):
        crossing = order_crossings(
            frequencies_rad_s=2 * math.pi * hertz, order=order, least_speed_rad_s=0.0, greatest_speed_rad_s=1e4
        )
        turned = float(crossing.speeds_rad_s) * time
        spectrum = np.abs(np.fft.rfft(np.sin(order * turned)))
        assert np.argmax(spectrum) / seconds == pytest.approx(hertz, abs=1 / seconds)
        assert bool(crossing.within)
