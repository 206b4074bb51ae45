"""Laws that readings of a fracture must keep."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.mechanics import fracture_reading
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import RoundSection

LOADINGS = st.sampled_from(["bending", "tension", "torsion"])
ZONES = st.sampled_from(["one side", "two sides", "all round"])
SHARES = st.floats(0.02, 0.95)
TOUGH = {"toughness_pa_sqrt_m": Band(150e6, 200e6, 250e6)}  # a soft steel, thick crack needed: plastic limit
STEEL = {"yield_pa": Band(400e6, 450e6, 500e6), "ultimate_pa": Band(600e6, 650e6, 700e6)}
HARD: dict[str, Any] = {
    "toughness_pa_sqrt_m": Band(15e6, 20e6, 30e6),
    "yield_pa": Band(1400e6, 1500e6, 1600e6),
    "ultimate_pa": Band(1700e6, 1800e6, 1900e6),
}


def _share_of_depth(ratio: float) -> float:
    angle = math.acos(1 - 2 * ratio)
    return 1 - (angle - math.sin(angle) * math.cos(angle)) / math.pi


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(loading=LOADINGS, zone=ZONES, share=SHARES, bore=st.floats(0.0, 0.9))
def test_soft_steel_breaks_at_its_plastic_limit_and_says_so(loading: str, zone: str, share: float, bore: float) -> None:
    section = RoundSection(0.06, 0.06 * bore)
    read = fracture_reading.final_zone_load(
        section=section, loading=loading, zone=zone, final_share=Band.exactly(share), **TOUGH, **STEEL
    )
    assert read.route == "plastic limit"
    assert read.load.low <= read.load.nominal <= read.load.high
    assert any("2.5 (K / S)²" in line for line in read.assumptions)


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(loading=LOADINGS, zone=ZONES, share=SHARES, more=st.floats(1.01, 1.5))
def test_more_left_carried_more(loading: str, zone: str, share: float, more: float) -> None:
    def load(left: float) -> float:
        return fracture_reading.final_zone_load(
            section=RoundSection(0.06), loading=loading, zone=zone, final_share=Band.exactly(left), **TOUGH, **STEEL
        ).load.high

    assert load(min(share * more, 0.99)) > load(share)


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(share=SHARES, scale=st.floats(0.2, 5.0), loading=LOADINGS)
def test_limit_stress_does_not_know_the_size_of_the_bar(share: float, scale: float, loading: str) -> None:
    """Plastic limits scale with the cube (pull: the square) of the diameter; the nominal stress stays."""

    def stress(diameter: float) -> float:
        return fracture_reading.final_zone_load(
            section=RoundSection(diameter, 0.3 * diameter), loading=loading, zone="one side",
            final_share=Band.exactly(share), toughness_pa_sqrt_m=Band.exactly(1e9), **STEEL,
        ).stress_pa.nominal  # fmt: skip

    assert stress(0.06 * scale) == pytest.approx(stress(0.06), rel=1e-6)


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(share=SHARES)
def test_an_even_ring_bears_the_same_torque_by_both_theorems(share: float) -> None:
    read = fracture_reading.final_zone_load(
        section=RoundSection(0.06, 0.02), loading="torsion", zone="all round", final_share=Band.exactly(share),
        toughness_pa_sqrt_m=TOUGH["toughness_pa_sqrt_m"], yield_pa=Band.exactly(4e8), ultimate_pa=Band.exactly(4e8),
    )  # fmt: skip
    assert read.load.low == pytest.approx(read.load.high, rel=3e-3)


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(depths=st.lists(st.floats(0.12, 0.55), min_size=3, max_size=3).map(sorted))
def test_hard_bar_breaks_at_its_toughness_and_below_the_limit(depths: list[float]) -> None:
    share = Band(*(_share_of_depth(ratio) for ratio in reversed(depths)))
    face: dict[str, Any] = {"section": RoundSection(0.06), "loading": "bending", "zone": "one side"}
    hard = fracture_reading.final_zone_load(**face, final_share=share, **HARD)
    limit = fracture_reading.final_zone_load(
        **face, final_share=share, **(HARD | {"toughness_pa_sqrt_m": Band.exactly(1e9)})
    )
    assert hard.route == "fracture toughness"
    assert all(h <= most for h, most in zip(hard.stress_pa.corners, limit.stress_pa.corners, strict=True))


@settings(max_examples=60, deadline=None)  # each sums up a section of 80 000 cells
@given(
    depths=st.lists(st.floats(0.1, 0.9), min_size=3, max_size=3).map(sorted),
    tough=st.lists(st.floats(20e6, 150e6), min_size=3, max_size=3).map(sorted),
    yields=st.lists(st.floats(500e6, 1500e6), min_size=3, max_size=3).map(sorted),
)
def test_the_route_is_sure_only_if_every_corner_of_the_bands_is(
    depths: list[float], tough: list[float], yields: list[float]
) -> None:
    met = [2.5 * (k / y) ** 2 <= 0.06 * min(depth, 1 - depth) for k in tough for y in yields for depth in depths]
    read = fracture_reading.final_zone_load(
        section=RoundSection(0.06), loading="bending", zone="one side",
        final_share=Band(*(_share_of_depth(ratio) for ratio in reversed(depths))), toughness_pa_sqrt_m=Band(*tough),
        yield_pa=Band(*yields), ultimate_pa=Band(*yields), shape_factor=Band(0.6, 0.7, 0.8),
    )  # fmt: skip
    expected = "fracture toughness" if all(met) else "between both" if any(met) else "plastic limit"
    assert read.route == expected


def test_a_thin_wall_is_no_plane_strain_however_long_the_crack() -> None:
    """2.5 (50 / 1000)^2 = 6.25 mm: less than crack and rest of either, more than the wall of 3 mm."""
    face: dict[str, Any] = {
        "loading": "bending", "zone": "one side", "final_share": Band.exactly(0.5),
        "toughness_pa_sqrt_m": Band.exactly(50e6), "yield_pa": Band.exactly(1000e6),
        "ultimate_pa": Band.exactly(1100e6), "shape_factor": Band.exactly(1.0),
    }  # fmt: skip
    assert fracture_reading.final_zone_load(section=RoundSection(0.1), **face).route == "fracture toughness"
    assert fracture_reading.final_zone_load(section=RoundSection(0.1, 0.094), **face).route == "plastic limit"


def test_a_band_astride_the_size_rule_holds_both_routes() -> None:
    face: dict[str, Any] = {
        "section": RoundSection(0.06), "loading": "bending", "zone": "one side",
        "final_share": Band.exactly(_share_of_depth(0.3)), "shape_factor": Band(0.6, 0.7, 0.8),
        "yield_pa": Band.exactly(900e6), "ultimate_pa": Band.exactly(1000e6),
    }  # fmt: skip
    both = fracture_reading.final_zone_load(**face, toughness_pa_sqrt_m=Band(40e6, 60e6, 120e6))
    tough = fracture_reading.final_zone_load(**face, toughness_pa_sqrt_m=Band.exactly(40e6))
    soft = fracture_reading.final_zone_load(**face, toughness_pa_sqrt_m=Band.exactly(120e6))
    assert (both.route, tough.route, soft.route) == ("between both", "fracture toughness", "plastic limit")
    assert both.stress_pa.low == pytest.approx(tough.stress_pa.low)
    assert both.stress_pa.high == pytest.approx(soft.stress_pa.high)


@pytest.mark.parametrize(
    ("loading", "zone", "inner", "share"),
    [
        ("torsion", "one side", 0.0, 0.6), ("bending", "two sides", 0.0, 0.6), ("bending", "one side", 0.03, 0.6),
        ("bending", "one side", 0.0, 0.05),
    ],
)  # fmt: skip
def test_where_no_shape_factor_is_known_it_is_asked_for(loading: str, zone: str, inner: float, share: float) -> None:
    face: dict[str, Any] = {
        "section": RoundSection(0.06, inner), "loading": loading, "zone": zone, "final_share": Band.exactly(share),
    }  # fmt: skip
    with pytest.raises(ValueError, match=r"shape_factor is not given; it must be given for"):
        fracture_reading.final_zone_load(**face, **HARD)
    assert fracture_reading.final_zone_load(**face, **HARD, shape_factor=Band(0.7, 0.9, 1.1)).stress_pa.low > 0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"loading": "push"}, "loading is 'push'; it must be one of"),
        ({"zone": "middle"}, "zone is 'middle'; it must be one of"),
        ({"final_share": Band(0.0, 0.1, 0.2)}, r"final_share \(low end\) is 0; it must be from"),
        ({"final_share": Band(0.2, 0.5, 1.0)}, r"final_share \(high end\) is 1; it must be from"),
        ({"yield_pa": Band.exactly(0.0)}, r"yield_pa \(low end\) is 0; it must be"),
        ({"ultimate_pa": Band.exactly(1e8)}, "ultimate_pa is .*; it must not lie below yield_pa"),
        ({"toughness_pa_sqrt_m": Band.exactly(-1.0)}, r"toughness_pa_sqrt_m \(low end\) is -1; it must be"),
    ],
)
def test_a_face_that_cannot_be_is_refused_by_name(change: dict[str, Any], message: str) -> None:
    face: dict[str, Any] = {
        "section": RoundSection(0.06), "loading": "bending", "zone": "one side", "final_share": Band.exactly(0.5),
        **TOUGH, **STEEL,
    }  # fmt: skip
    with pytest.raises(ValueError, match=message):
        fracture_reading.final_zone_load(**(face | change))


@given(ratio=st.floats(0.2, 5.0), depth=st.floats(1.0, 8.0), exponent=st.floats(2.0, 4.5))
def test_ratios_of_marks_turn_over_with_the_order_of_the_places(ratio: float, depth: float, exponent: float) -> None:
    forward = fracture_reading.stress_range_ratio(
        spacing_ratio=ratio, crack_ratio=depth, growth_exponent=exponent, cycles_ratio=1.3
    )
    back = fracture_reading.stress_range_ratio(
        spacing_ratio=1 / ratio, crack_ratio=1 / depth, growth_exponent=exponent, cycles_ratio=1 / 1.3
    )
    assert forward * back == pytest.approx(1.0, rel=1e-12)


@given(spacing=st.floats(0.3, 4.0), depth=st.floats(1.0, 6.0), m=st.floats(2.25, 4.0), n=st.floats(0.5, 2.0))
def test_the_band_of_marks_holds_every_case_inside_its_bands(spacing: float, depth: float, m: float, n: float) -> None:
    read = fracture_reading.stress_range_ratio_of_marks(
        spacing_ratio=Band.exactly(spacing), crack_ratio=Band.exactly(depth)
    )
    case = fracture_reading.stress_range_ratio(
        spacing_ratio=spacing, crack_ratio=depth, growth_exponent=m, cycles_ratio=n
    )
    assert read.band.low * (1 - 1e-12) <= case <= read.band.high * (1 + 1e-12)
    assert "not one cycle" in read.assumptions[0]


@pytest.mark.parametrize("spacing", [0.05e-6, 2e-6, 1e-3])
def test_a_spacing_that_is_no_striation_is_refused(spacing: float) -> None:
    with pytest.raises(ValueError, match=r"spacing_m \(low end\) is .*; it must be from 1e-07 to 1e-06"):
        fracture_reading.intensity_range_of_striations_pa_sqrt_m(
            spacing_m=Band.exactly(spacing), steel="ferritic-pearlitic"
        )


@given(
    low=st.floats(1e-7, 9e-7), more=st.floats(1.0, 1.1), steel=st.sampled_from(["ferritic-pearlitic", "martensitic"])
)
def test_wider_striations_mean_more_intensity(low: float, more: float, steel: str) -> None:
    def band(spacing: float) -> Band:
        return fracture_reading.intensity_range_of_striations_pa_sqrt_m(
            spacing_m=Band.exactly(spacing), steel=steel
        ).band

    assert band(low * more).low >= band(low).low
    assert band(low).low < band(low).nominal < band(low).high


def test_scalar_equals_array() -> None:
    depths = np.array([0.1, 0.3, 0.5])
    for loading in ("bending", "tension"):
        for front in ("straight", "curved"):
            many = fracture_reading.bar_shape_factor(depth_ratio=depths, loading=loading, front=front)
            one = [fracture_reading.bar_shape_factor(depth_ratio=d, loading=loading, front=front) for d in depths]
            assert many.tolist() == pytest.approx(one, rel=1e-15)
