"""Laws that the reading of a twist must keep."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import tube, twist_reading
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import Reading, RoundSection

BAR = {"length_m": 1.9, "shear_modulus_pa": 80e9, "shear_yield_pa": 260e6}
TUBES = st.sampled_from([(0.127, 0.1206), (0.09, 0.08), (0.05, 0.0)])
TWISTS = st.floats(1e-3, 1.5)


@given(size=TUBES, twist=TWISTS, hardening=st.floats(0.0, 0.2))
def test_held_and_released_twist_give_the_same_torque(
    size: tuple[float, float], twist: float, hardening: float
) -> None:
    outer, inner = size
    ring = {"outer_m": outer, "inner_m": inner}
    held = twist_reading.torque_at_twist_nm(twist_rad=twist, hardening_ratio=hardening, **BAR, **ring)
    left = twist - held / tube.torsional_stiffness_nm_rad(length_m=1.9, shear_modulus_pa=80e9, **ring)
    if left > 1e-6:
        back = twist_reading.torque_from_residual_twist_nm(
            residual_twist_rad=left, hardening_ratio=hardening, **BAR, **ring
        )
        assert back == pytest.approx(held, rel=1e-9)


@given(size=TUBES, twist=TWISTS)
def test_without_hardening_the_torque_lies_between_first_and_full_yield(
    size: tuple[float, float], twist: float
) -> None:
    ring = {"outer_m": size[0], "inner_m": size[1]}
    torque = twist_reading.torque_from_residual_twist_nm(residual_twist_rad=twist, **BAR, **ring)
    first = tube.yield_torque_nm(shear_yield_pa=260e6, **ring)
    full = tube.plastic_torque_nm(shear_yield_pa=260e6, **ring)
    assert first * (1 - 1e-12) <= torque <= full * (1 + 1e-12)


@given(twist=st.floats(1e-6, 0.02))
def test_below_yield_the_twist_is_elastic(twist: float) -> None:
    ring = {"outer_m": 0.127, "inner_m": 0.1206}
    torque = twist_reading.torque_at_twist_nm(twist_rad=twist, hardening_ratio=0.05, **BAR, **ring)
    stiffness = tube.torsional_stiffness_nm_rad(length_m=1.9, shear_modulus_pa=80e9, **ring)
    assert torque == pytest.approx(stiffness * twist, rel=1e-12)


@given(size=TUBES, twist=TWISTS, more=st.floats(1.01, 2.0))
def test_more_twist_strength_or_hardening_means_more_torque(
    size: tuple[float, float], twist: float, more: float
) -> None:
    ring = {"outer_m": size[0], "inner_m": size[1], "length_m": 1.9, "shear_modulus_pa": 80e9}

    def torque(left: float, strength: float, hardening: float) -> float:
        return twist_reading.torque_from_residual_twist_nm(
            residual_twist_rad=left, shear_yield_pa=strength, hardening_ratio=hardening, **ring
        )

    base = torque(twist, 260e6, 0.01)
    assert torque(twist * more, 260e6, 0.01) >= base
    assert torque(twist, 260e6 * more, 0.01) >= base
    assert torque(twist, 260e6, 0.01 * more) >= base


@given(
    twist=st.floats(0.1, 0.14), modulus=st.floats(79e9, 81e9), strength=st.floats(450e6, 520e6), h=st.floats(0.0, 0.03)
)
def test_the_band_holds_every_case_inside_its_bands(twist: float, modulus: float, strength: float, h: float) -> None:
    case = twist_reading.torque_from_residual_twist_nm(
        residual_twist_rad=twist, length_m=1.9, shear_modulus_pa=modulus,
        shear_yield_pa=tube.shear_yield_pa(yield_pa=strength), outer_m=0.127, inner_m=0.1206, hardening_ratio=h,
    )  # fmt: skip
    assert _read(0.1206).band.low <= case <= _read(0.1206).band.high


@given(twist=TWISTS)
def test_certain_inputs_give_a_certain_torque(twist: float) -> None:
    read = twist_reading.torque_of_twist_nm(
        section=RoundSection(0.127, 0.1206), residual_twist_rad=Band.exactly(twist), length_m=Band.exactly(1.9),
        shear_modulus_pa=Band.exactly(80e9), yield_pa=Band.exactly(450e6), hardening_ratio=Band.exactly(0.0),
    )  # fmt: skip
    assert read.band.high == pytest.approx(read.band.low, rel=1e-12)


def test_a_thin_wall_is_cautioned_about_and_a_thick_one_is_not() -> None:
    assert any(line.startswith("CAUTION") for line in _read(0.125).assumptions)
    assert not any(line.startswith("CAUTION") for line in _read(0.11).assumptions)


@pytest.mark.parametrize("twist", [Band(0.0, 0.1, 0.2), Band(-0.1, 0.1, 0.2)])
def test_no_twist_is_no_reading(twist: Band) -> None:
    with pytest.raises(ValueError, match=r"residual_twist_rad \(low end\) is .*; it must be"):
        _read(0.1206, twist)


def test_scalar_equals_array() -> None:
    twists = np.array([0.01, 0.1, 0.4])
    ring = {"outer_m": np.array([[0.127], [0.09]]), "inner_m": np.array([[0.1206], [0.0]])}
    many = twist_reading.torque_from_residual_twist_nm(residual_twist_rad=twists, **BAR, **ring)
    assert many.shape == (2, 3)
    for row, (outer, inner) in enumerate([(0.127, 0.1206), (0.09, 0.0)]):
        for column, twist in enumerate(twists):
            one = twist_reading.torque_from_residual_twist_nm(
                residual_twist_rad=float(twist), **BAR, outer_m=outer, inner_m=inner
            )
            assert isinstance(one, float)
            assert one == pytest.approx(many[row, column], rel=1e-12)


def _read(inner: float, twist: Band = Band(0.1, 0.12, 0.14)) -> Reading:  # noqa: B008
    return twist_reading.torque_of_twist_nm(
        section=RoundSection(0.127, inner), residual_twist_rad=twist, length_m=Band.exactly(1.9),
        shear_modulus_pa=Band(79e9, 80e9, 81e9), yield_pa=Band(450e6, 480e6, 520e6),
    )  # fmt: skip
