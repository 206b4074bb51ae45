"""Loads of the needles against an energy minimum in two directions (scipy) and against scipy's integration."""

import math

import numpy as np
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]
from scipy.optimize import minimize  # type: ignore[import-untyped]

from beachmark.mechanics import needle_load

LENGTH = 0.02


def _by_energy(force: float, count: int, clearance: float, offset: float) -> np.ndarray:
    """Loads that make the stored energy less the work of the force least; the arm may move sideways as well.

    In micrometres and kilonewtons, so that the search is well scaled.
    """
    stiffness = needle_load.needle_stiffness_si(needle_length_m=LENGTH) * 1e-6 ** (10 / 9) / 1e3
    angles = offset + 2 * np.pi * np.arange(count) / count
    out = np.stack([np.cos(angles), np.sin(angles)], axis=1)

    def pressed(shift: np.ndarray) -> np.ndarray:
        return np.maximum(out @ shift - clearance * 1e6 / 2, 0.0)

    def energy(shift: np.ndarray) -> float:
        return float(stiffness * np.sum(pressed(shift) ** (19 / 9)) * 9 / 19 - force / 1e3 * shift[0])

    start = np.array([clearance * 1e6 / 2 + 5.0, 0.0])
    best = minimize(energy, start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-14, "maxiter": 4000})
    assert best.success
    loads: np.ndarray = stiffness * pressed(best.x) ** (10 / 9) * 1e3
    return loads


@pytest.mark.parametrize(("force", "count", "clearance"), [(6e4, 38, 0.0), (6e4, 38, 4e-5), (5e3, 24, 6e-5)])
@pytest.mark.parametrize("between", [False, True])
def test_loads_are_those_of_least_energy(force: float, count: int, clearance: float, between: bool) -> None:
    """Source: scipy.optimize.minimize, energy of the same contact law; balance itself is not used there."""
    expected = _by_energy(force, count, clearance, math.pi / count if between else 0.0)
    found = needle_load.needle_loads(
        force_n=force, needle_count=count, needle_length_m=LENGTH, clearance_m=clearance, between_needles=between
    )
    assert found.loads_n == pytest.approx(expected, rel=1e-4, abs=force * 1e-5)
    # The place of each needle as well: the loads of least energy balance the force along the module's angles.
    angles = needle_load.needle_angles_rad(needle_count=count, between_needles=between)
    assert expected @ np.cos(angles) == pytest.approx(force, rel=1e-4)
    assert expected @ np.sin(angles) == pytest.approx(0.0, abs=force * 1e-4)


def test_any_other_place_of_the_needles_lies_between_the_two_answers() -> None:
    """Source: scipy.optimize.minimize at places between the two, sideways movement free."""
    cap = {"force_n": 5e3, "needle_count": 24, "needle_length_m": LENGTH, "clearance_m": 6e-5}
    on_one = needle_load.needle_loads(**cap).heaviest_n
    between = needle_load.needle_loads(**cap, between_needles=True).heaviest_n
    assert between < on_one
    for part in (0.1, 0.25, 0.4):
        heaviest = float(_by_energy(5e3, 24, 6e-5, part * 2 * math.pi / 24).max())
        assert between * (1 - 1e-6) <= heaviest <= on_one * (1 + 1e-6)


@pytest.mark.parametrize("zone_share", [0.02, 0.1, 0.3, 0.5, 0.8, 1.0, 1.5, 5.0])
@pytest.mark.parametrize("exponent", [1.0, 10 / 9, 1.5])
def test_integral_of_the_zone_is_that_of_scipy(zone_share: float, exponent: float) -> None:
    """Source: scipy.integrate.quad."""
    edge = math.acos(max(1 - 2 * zone_share, -1.0))

    def inside(angle: float) -> float:
        return float(max(1 - (1 - math.cos(angle)) / (2 * zone_share), 0.0) ** exponent * math.cos(angle))

    expected = quad(inside, 0, edge, epsabs=1e-12, epsrel=1e-12, limit=200)[0] / math.pi
    found = needle_load.load_zone_integral(zone_share=zone_share, exponent=exponent)
    assert found == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("clearance", [0.0, 2e-5, 1e-4])
def test_very_many_needles_carry_as_the_integral_says(clearance: float) -> None:
    """Discrete balance of 500 needles against F / (Z J): two routes to the heaviest load."""
    found = needle_load.needle_loads(force_n=2e5, needle_count=500, needle_length_m=LENGTH, clearance_m=clearance)
    share = (1 - math.cos(found.zone_rad)) / 2
    by_integral = 2e5 / 500 / needle_load.load_zone_integral(zone_share=share)
    assert found.heaviest_n == pytest.approx(by_integral, rel=2e-4)
