"""What must always hold of seat, rubber and balls of a centre bearing."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import centre_bearing as cb
from beachmark.mechanics import needle_bearing, whirl


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.5))
def test_misalignment_is_symmetric_and_bounded(static: float, wobble: float) -> None:
    found = cb.misalignment(static_rad=static, wobble_rad=wobble)
    assert found == cb.misalignment(static_rad=wobble, wobble_rad=static)
    assert 0 <= found.least_rad <= max(static, wobble) <= found.greatest_rad


@given(st.lists(st.floats(-0.1, 0.1), min_size=3, max_size=3), st.floats(0.1, 5.0))
def test_travel_along_and_across_make_up_the_movement(movement: list[float], length: float) -> None:
    shaft = np.array([0.9, -0.2, 0.3]) * length
    use = cb.axial_use(movement_m=movement, shaft_direction=shaft, set_offset_m=0.0, free_travel_m=0.01)
    assert math.hypot(use.axial_m, use.across_m) == pytest.approx(float(np.linalg.norm(movement)), abs=1e-12)
    back = cb.axial_use(movement_m=movement, shaft_direction=-shaft, set_offset_m=0.0, free_travel_m=0.01)
    assert back.axial_m == pytest.approx(-use.axial_m)
    assert use.share == pytest.approx(abs(use.axial_m) / 0.01)


@given(st.floats(0.01, 1.0))
def test_transmission_starts_at_one_and_falls_beyond_the_resonance(loss: float) -> None:
    passed = cb.transmitted_ratio(
        excitation_rad_s=np.array([0.0, 300.0, 600.0, 900.0]), bounce_rad_s=200.0, loss_factor=loss
    )
    assert passed[0] == pytest.approx(1.0)
    assert np.all(np.diff(passed[1:]) < 0)
    at_bounce = cb.transmitted_ratio(excitation_rad_s=200.0, bounce_rad_s=200.0, loss_factor=loss)
    assert at_bounce == pytest.approx(math.sqrt(1 + 1 / loss**2))


@given(st.floats(1e4, 2e6), st.floats(1.0, 60.0))
def test_order_one_meets_the_bounce_at_its_own_speed(stiffness: float, mass: float) -> None:
    rubber = {"stiffness_n_m": stiffness, "mass_kg": mass}
    bounce = whirl.bounce_speed(**rubber)
    assert cb.bounce_shaft_speed_rad_s(**rubber, order=1.0) == pytest.approx(bounce)
    assert cb.bounce_shaft_speed_rad_s(**rubber) == pytest.approx(bounce / 2)


@given(st.floats(100.0, 1e5), st.floats(10.0, 1e5), st.floats(0.1, 1e3))
def test_half_the_load_is_eight_lives_and_the_rating_undoes_the_life(rating: float, load: float, speed: float) -> None:
    life = cb.ball_life_h(rating_n=rating, load_n=load, speed_rad_s=speed)
    assert cb.ball_life_h(rating_n=rating, load_n=load / 2, speed_rad_s=speed) == pytest.approx(8 * life)
    turns = life * 3600 * speed / (2 * math.pi) / 1e6
    assert needle_bearing.required_rating_n(force_n=load, life_ratio=turns, exponent=3.0) == pytest.approx(rating)


@given(st.floats(0.0, 1e4), st.floats(0.0, 1e4))
def test_equivalent_load_is_never_below_the_radial_load(radial: float, axial: float) -> None:
    found = cb.equivalent_ball_load_n(radial_n=radial, axial_n=axial, radial_factor=0.56, axial_factor=1.6)
    assert found >= radial
    assert found == max(radial, 0.56 * radial + 1.6 * axial)


def test_deflection_and_wobble_take_arrays() -> None:
    forces = np.array([-600.0, 0.0, 300.0])
    assert cb.rubber_deflection_m(force_n=forces, stiffness_n_m=3e5).tolist() == [0.002, 0.0, 0.001]
    tilts = cb.wobble_rad(face_runout_m=np.array([0.0, 1e-4]), diameter_m=0.1)
    assert tilts.tolist() == [0.0, cb.wobble_rad(face_runout_m=1e-4, diameter_m=0.1)]


@pytest.mark.parametrize("direction", [[0.0, 0.0, 0.0], [1.0, 0.0], 3.0])
def test_a_direction_that_is_none_is_refused(direction: object) -> None:
    with pytest.raises(ValueError, match=r"shaft_direction .*; it must"):
        cb.axial_use(movement_m=[0, 0, 0], shaft_direction=direction, set_offset_m=0.0, free_travel_m=0.01)  # type: ignore[arg-type]
