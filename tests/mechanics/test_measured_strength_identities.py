"""Laws that strengths from measurements must keep."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import measured_strength
from beachmark.mechanics.band import Band

SCALES = {"HRC": (20.0, 58.0), "HB": (137.0, 512.0), "HV": (137.0, 653.0)}
CLASSES = st.sampled_from(list(measured_strength.YIELD_RATIOS))
FINISHES = st.sampled_from(list(measured_strength.FINISHES))
STRENGTHS = st.lists(st.floats(300e6, 2000e6), min_size=3, max_size=3).map(lambda ends: Band(*sorted(ends)))


@given(scale=st.sampled_from(list(SCALES)), place=st.floats(0.0, 0.9), more=st.floats(0.01, 0.1))
def test_harder_is_stronger_on_every_scale(scale: Any, place: float, more: float) -> None:
    low, high = SCALES[scale]
    soft = measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(low + place * (high - low)), scale=scale)
    hard = measured_strength.tensile_from_hardness_pa(
        hardness=Band.exactly(low + (place + more) * (high - low)), scale=scale
    )
    assert all(h > s for h, s in zip(hard.corners, soft.corners, strict=True))


@given(vickers=st.floats(238.0, 543.0))
def test_the_three_scales_tell_one_story(vickers: float) -> None:
    """A Vickers number brought to Rockwell and Brinell by the rows comes back as itself."""
    rockwell = float(np.interp(vickers, measured_strength.A370_ROCKWELL_C_VICKERS, measured_strength.A370_ROCKWELL_C))
    brinell = float(np.interp(vickers, measured_strength.A370_BRINELL_VICKERS, measured_strength.A370_BRINELL))
    for scale, number in (("HRC", rockwell), ("HB", brinell)):
        back = measured_strength.vickers_from_hardness(hardness=Band.exactly(number), scale=scale)
        assert back.nominal == pytest.approx(vickers, rel=1e-9)


@pytest.mark.parametrize(("scale", "number"), [("HRC", 62.0), ("HRC", 15.0), ("HB", 100.0), ("HV", 700.0)])
def test_a_hardness_off_the_table_is_refused(scale: Any, number: float) -> None:
    with pytest.raises(ValueError, match=r"hardness \(low end\) is .*; it must be from"):
        measured_strength.tensile_from_hardness_pa(hardness=Band.exactly(number), scale=scale)


@given(tensile=STRENGTHS, steel=CLASSES)
def test_yield_lies_below_tensile_strength_and_shear_yield_below_that(tensile: Band, steel: Any) -> None:
    yields = measured_strength.yield_from_tensile_pa(tensile_pa=tensile, steel=steel)
    shear = measured_strength.shear_yield_band_pa(yield_pa=yields)
    assert all(y < t for y, t in zip(yields.corners, tensile.corners, strict=True))
    assert all(s * math.sqrt(3) == pytest.approx(y) for s, y in zip(shear.corners, yields.corners, strict=True))


@given(tensile=STRENGTHS, finish=FINISHES)
def test_endurance_never_exceeds_the_polished_strength(tensile: Band, finish: Any) -> None:
    found = measured_strength.endurance_from_tensile_pa(tensile_pa=tensile, finish=finish)
    assert found.nominal <= min(0.5 * tensile.nominal, 700e6) * (1 + 1e-12)
    assert found.low > 0


@given(strength=st.floats(600e6, 1900e6))
def test_a_rougher_finish_leaves_less(strength: float) -> None:
    factors = [
        measured_strength.surface_factor(tensile_pa=strength, finish=finish)
        for finish in ("ground", "machined", "hot rolled", "as forged")
    ]
    assert factors == sorted(factors, reverse=True)


@given(depth=st.floats(1e-4, 0.02), core=st.floats(300e6, 1200e6))
def test_a_deeper_case_or_a_harder_core_never_yields_earlier(depth: float, core: float) -> None:
    def torque(case_depth: float, core_strength: float) -> float:
        return measured_strength.case_yield_torque_nm(
            outer_m=0.05, case_depth_m=case_depth, case_shear_yield_pa=1000e6, core_shear_yield_pa=core_strength
        )

    assert torque(depth * 1.1, core) >= torque(depth, core)
    assert torque(depth, core * 1.1) >= torque(depth, core)
    through = 1000e6 * math.pi / 16 * 0.05**3
    assert torque(depth, core) <= through * (1 + 1e-12)


@pytest.mark.parametrize(
    ("depth", "core", "starts"), [(0.002, 450e6, "below the case"), (0.008, 800e6, "surface"), (0.007, 700e6, "either")]
)
def test_where_a_case_hardened_bar_yields_first(depth: float, core: float, starts: str) -> None:
    found = measured_strength.case_yield(
        outer_m=Band.exactly(0.05), case_depth_m=Band.spread(depth, 0.05),
        case_shear_yield_pa=Band.spread(1000e6, 0.05), core_shear_yield_pa=Band.spread(core, 0.05),
    )  # fmt: skip
    assert found.starts == starts
    assert found.torque_nm.low < found.torque_nm.nominal < found.torque_nm.high


def test_the_wider_bore_sets_the_low_end() -> None:
    bar: dict[str, Any] = {
        "outer_m": Band.exactly(0.05), "case_depth_m": Band.exactly(0.002),
        "case_shear_yield_pa": Band.exactly(1e9), "core_shear_yield_pa": Band.exactly(5e8),
    }  # fmt: skip
    found = measured_strength.case_yield(**bar, bore_m=Band(0.010, 0.012, 0.020)).torque_nm
    wide = measured_strength.case_yield(**bar, bore_m=Band.exactly(0.020)).torque_nm
    assert found.low == pytest.approx(wide.nominal, rel=1e-12)
    assert found.high > found.nominal > found.low


def test_the_cap_on_endurance_scatters_as_the_ratio_does() -> None:
    """0.4 to 0.6 where 700 MPa stands for 0.5: 560 to 840 MPa before the finish."""
    found = measured_strength.endurance_from_tensile_pa(tensile_pa=Band.exactly(1800e6), finish="ground")
    factor = measured_strength.surface_factor(tensile_pa=1800e6, finish="ground")
    assert [value / factor / 1e6 for value in found.corners] == pytest.approx([560, 700, 840])


@given(values=st.lists(st.floats(3e8, 9e8), min_size=1, max_size=6), share=st.floats(0.0, 0.1))
def test_coupons_lie_in_their_own_band(values: list[float], share: float) -> None:
    found = measured_strength.strength_from_coupons_pa(strengths_pa=values, place_share=share)
    assert all(found.low <= value <= found.high for value in values)


@given(strength=STRENGTHS, proved=st.floats(1e8, 3e9))
def test_a_proof_only_ever_raises(strength: Band, proved: float) -> None:
    after = measured_strength.raised_by_proof(strength=strength, proved=Band.exactly(proved))
    assert after.low >= max(strength.low, proved) * (1 - 1e-15)
    assert measured_strength.raised_by_proof(strength=after, proved=Band.exactly(proved)) == after


def test_measured_replaces_tabulated_with_its_own_range() -> None:
    table, measured = Band(400e6, 500e6, 600e6), Band(550e6, 620e6, 700e6)
    found = measured_strength.strength_used(tabulated_pa=table, measured_pa=measured)
    assert (found.band_pa, found.origin, found.inside_table) == (measured, "measured", True)
    assert not measured_strength.strength_used(tabulated_pa=table, measured_pa=Band.exactly(300e6)).inside_table
    found = measured_strength.strength_used(tabulated_pa=table, measured_pa=None)
    assert (found.band_pa, found.origin) == (table, "tabulated")


@pytest.mark.parametrize(
    ("act", "message"),
    [
        (
            lambda: measured_strength.vickers_from_hardness(hardness=Band.exactly(30.0), scale="HRA"),  # type: ignore[arg-type]
            "scale is 'HRA'; it must be one of HRC, HB, HV",
        ),
        (
            lambda: measured_strength.yield_from_tensile_pa(tensile_pa=Band.exactly(5e8), steel="cast"),  # type: ignore[arg-type]
            "steel is 'cast'; it must be one of",
        ),
        (
            lambda: measured_strength.surface_factor(tensile_pa=5e8, finish="dull"),  # type: ignore[arg-type]
            "finish is 'dull'; it must be one of",
        ),
        (lambda: measured_strength.strength_from_coupons_pa(strengths_pa=[]), "strengths_pa is empty; it must hold"),
        (
            lambda: measured_strength.strength_from_coupons_pa(strengths_pa=[5e8], place_share=math.nan),
            "place_share is nan; it must be",
        ),
        (
            lambda: measured_strength.case_yield_torque_nm(
                outer_m=0.05, case_depth_m=0.025, case_shear_yield_pa=1e9, core_shear_yield_pa=5e8
            ),
            "case_depth_m_over_wall is 1; it must be below the wall",
        ),
    ],
)
def test_nonsense_is_refused_by_name(act: Any, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        act()


def test_scalar_equals_array() -> None:
    depths = np.array([0.001, 0.004, 0.01])
    strengths = {"outer_m": 0.05, "case_shear_yield_pa": 1e9, "core_shear_yield_pa": 7e8}
    many = measured_strength.case_yield_torque_nm(case_depth_m=depths, **strengths)
    one = [measured_strength.case_yield_torque_nm(case_depth_m=float(d), **strengths) for d in depths]
    assert all(isinstance(value, float) for value in one)
    assert many.tolist() == one
