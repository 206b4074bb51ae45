"""What must always hold of critical speeds by closed formulas."""

import math

import pytest

from beachmark.mechanics import whirl


def test_the_lumped_shaft_alone_is_as_fast_as_the_smooth_one_within_a_thousandth() -> None:
    bounds = whirl.shaft_with_masses(
        masses_kg=[1e-9], positions_m=[0.5], length_m=1.0, rigidity_n_m2=1e4, mass_per_length_kg_m=5.0
    )
    smooth = math.pi**2 * math.sqrt(1e4 / 5.0)
    # Static sag as the assumed shape is 0.2 % high by itself (Rayleigh: sqrt(3024/31) against pi^2).
    assert bounds.rayleigh_rad_s == pytest.approx(smooth * math.sqrt(3024 / 31) / math.pi**2, rel=1e-3)
    assert bounds.dunkerley_rad_s == pytest.approx(smooth, rel=1e-6)


def test_equivalent_centre_load_keeps_the_speed() -> None:
    load, place, length, rigidity = 300.0, 0.3, 1.4, 5.0e4
    centre = whirl.equivalent_centre_load(load_n=load, position_m=place, length_m=length)
    speeds = [
        whirl.shaft_with_masses(
            masses_kg=[force / 9.80665], positions_m=[at], length_m=length, rigidity_n_m2=rigidity
        ).dunkerley_rad_s
        for force, at in ((load, place), (centre, length / 2))
    ]
    assert speeds[0] == pytest.approx(speeds[1], rel=1e-12)


def test_deflection_and_bounce_speed_are_one_law() -> None:
    # sag = m g / k, so sqrt(g / sag) = sqrt(k / m).
    stiffness, mass = 4.0e5, 12.0
    by_sag = whirl.speed_from_deflection(deflection_m=mass * 9.80665 / stiffness)
    assert whirl.bounce_speed(stiffness_n_m=stiffness, mass_kg=mass) == pytest.approx(by_sag, rel=1e-12)
