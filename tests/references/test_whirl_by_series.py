"""Critical speeds against an independent solution of the pinned beam (sine series, Rayleigh-Ritz)."""

import math

import numpy as np
import pytest

from beachmark.mechanics import whirl

RPM = math.pi / 30


def _first_speed(rigidity: float, per_length: float, length: float, masses: list[float], places: list[float]) -> float:
    """Lowest natural speed of a pinned beam with masses, from 60 sine shapes."""
    n = np.arange(1, 61)
    stiffness = rigidity * (n * math.pi / length) ** 4 * length / 2
    inertia = np.diag(np.full(len(n), per_length * length / 2))
    for mass, place in zip(masses, places, strict=True):
        shape = np.sin(n * math.pi * place / length)
        inertia = inertia + mass * np.outer(shape, shape)
    # Scaled so that the largest eigenvalue of the symmetric flexibility form is 1 / w^2.
    scaled = inertia / np.sqrt(np.outer(stiffness, stiffness))
    return float(1 / math.sqrt(np.linalg.eigvalsh(scaled)[-1]))


@pytest.mark.parametrize(
    ("outer_m", "wall_m", "length_m", "rpm"),
    [(0.0889, 0.00211, 1.524, 6380.5), (0.127, 0.00635, 1.9, 5712.8)],
    ids=["tube A", "tube B"],
)
def test_closed_form_is_the_beam_solution(outer_m: float, wall_m: float, length_m: float, rpm: float) -> None:
    """The rpm are those of a finite-element beam of 206 GPa and 7850 kg/m^3 solved beforehand."""
    inner = outer_m - 2 * wall_m
    rigidity = whirl.flexural_rigidity_n_m2(outer_m=outer_m, inner_m=inner)
    per_length = 7850 * math.pi / 4 * (outer_m**2 - inner**2)
    found = whirl.pinned_tube_critical_speed(outer_m=outer_m, inner_m=inner, length_m=length_m)
    assert found == pytest.approx(_first_speed(rigidity, per_length, length_m, [], []), rel=1e-12)
    assert found / RPM == pytest.approx(rpm, abs=0.05)


@pytest.mark.parametrize(
    ("masses", "places"),
    [([3.0], [0.9]), ([2.0, 5.0], [0.4, 1.5]), ([1.0, 1.0, 8.0], [0.2, 0.95, 1.7])],
)
@pytest.mark.parametrize("per_length", [0.5, 20.0])
def test_dunkerley_and_rayleigh_enclose_the_beam_solution(
    masses: list[float], places: list[float], per_length: float
) -> None:
    length, rigidity = 1.9, 2.0e5
    bounds = whirl.shaft_with_masses(
        masses_kg=masses,
        positions_m=places,
        length_m=length,
        rigidity_n_m2=rigidity,
        mass_per_length_kg_m=per_length,
    )
    exact = _first_speed(rigidity, per_length, length, masses, places)
    assert bounds.dunkerley_rad_s <= exact
    # The lumps of the shaft's own mass may take up to 0.1 % off the upper bound.
    assert bounds.rayleigh_rad_s >= exact * (1 - 1e-3)
    assert bounds.rayleigh_rad_s / bounds.dunkerley_rad_s < 1.12


def test_influence_coefficients_are_those_of_the_sine_series_and_symmetric() -> None:
    length, rigidity = 1.3, 7.0e4
    n = np.arange(1, 4001)
    for a, x in [(0.2, 0.2), (0.2, 1.1), (0.65, 0.9)]:
        series = (np.sin(n * math.pi * a / length) * np.sin(n * math.pi * x / length) / n**4).sum()
        by_series = 2 * length**3 / (math.pi**4 * rigidity) * series
        there, back = (
            whirl.influence_coefficient(load_at_m=p, seen_at_m=q, length_m=length, rigidity_n_m2=rigidity)
            for p, q in ((a, x), (x, a))
        )
        assert there == pytest.approx(by_series, rel=1e-9)
        assert there == back
