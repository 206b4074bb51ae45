"""Cracks by the stress field ahead of them and by growing them cycle by cycle (NumPy and SciPy)."""

import math

import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]
from scipy.optimize import brentq  # type: ignore[import-untyped]

from beachmark.mechanics import fatigue


def _field_intensity(stress: float, half_length: float) -> float:
    """K of a through crack from Westergaard's stress s x / sqrt(x^2 - a^2), close ahead of its tip."""
    ahead = 1e-9 * half_length
    x = half_length + ahead
    opening = stress * x / math.sqrt(ahead * (x + half_length))
    return opening * math.sqrt(2 * math.pi * ahead)


@pytest.mark.parametrize(("stress", "half_length"), [(100e6, 0.01), (350e6, 0.0004)])
def test_stress_intensity_is_the_strength_of_the_singular_field(stress: float, half_length: float) -> None:
    """Source: Westergaard, Bearing pressures and cracks, J. Appl. Mech. 6 (1939) (from memory); shape factor 1."""
    found = fatigue.stress_intensity_pa_sqrt_m(stress_pa=stress, crack_m=half_length, shape_factor=1.0)
    assert found == pytest.approx(_field_intensity(stress, half_length), rel=1e-7)


def test_critical_crack_is_where_the_field_reaches_the_toughness() -> None:
    crack = brentq(lambda a: _field_intensity(220e6, a) - 60e6, 1e-5, 1.0)
    found = fatigue.critical_crack_m(toughness_pa_sqrt_m=60e6, stress_pa=220e6, shape_factor=1.0)
    assert found == pytest.approx(crack, rel=1e-6)


@pytest.mark.parametrize("exponent", [2.0, 3.0, 3.8])
def test_paris_life_is_the_count_when_the_crack_is_grown(exponent: float) -> None:
    """The law integrated forward in cycles until the depth is reached, K taken from the stress field."""
    coefficient, stress = 5e-12 / 1e6**exponent, 140e6

    def growth(_: float, depth: list[float]) -> list[float]:
        return [coefficient * _field_intensity(stress, depth[0]) ** exponent]

    def there(_: float, depth: list[float]) -> float:
        return float(depth[0] - 0.012)

    there.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(growth, (0.0, 1e9), [0.001], events=there, rtol=1e-9, atol=1e-12)
    found = fatigue.paris_life(
        growth_coefficient_si=coefficient,
        growth_exponent=exponent,
        stress_range_pa=stress,
        shape_factor=1.0,
        first_crack_m=0.001,
        last_crack_m=0.012,
    )
    assert found == pytest.approx(run.t_events[0][0], rel=1e-5)
    # The advance in one cycle half way, taken for a spacing of striations, leads back to the intensity there.
    spacing = growth(0.0, [0.006])[0]
    back = fatigue.intensity_range_from_spacing(
        spacing_m=spacing, growth_coefficient_si=coefficient, growth_exponent=exponent
    )
    assert back == pytest.approx(_field_intensity(stress, 0.006), rel=1e-9)
