"""Strengths from a stress tensor, from a proof test of many parts, and from ranges that meet, by SciPy and NumPy."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import brentq, linprog  # type: ignore[import-untyped]
from scipy.stats import triang  # type: ignore[import-untyped]

from beachmark.mechanics import measured_strength
from beachmark.mechanics.band import Band


def _equivalent(shear: float) -> float:
    """Von Mises stress of pure shear from its principal stresses."""
    one, two, three = np.linalg.eigvalsh([[0.0, shear, 0.0], [shear, 0.0, 0.0], [0.0, 0.0, 0.0]])
    return float(np.sqrt(((one - two) ** 2 + (two - three) ** 2 + (three - one) ** 2) / 2))


def test_shear_yield_band_is_where_the_shear_reaches_each_yield() -> None:
    yields = Band(430e6, 480e6, 560e6)
    expected = [brentq(lambda shear, s=s: _equivalent(shear) - s, 1e6, 1e9) for s in yields.corners]
    assert measured_strength.shear_yield_band_pa(yield_pa=yields).corners == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("proved", [7.0, 9.0, 10.5, 11.9])
def test_a_proof_leaves_the_part_of_the_distribution_that_bore_it(proved: float) -> None:
    """Parts of triangular strength; those below the proved load are gone: ends and likeliest of those that are left."""
    strength = Band(8.0, 10.0, 12.0)
    values = np.linspace(6.0, 13.0, 70_001)
    density = triang.pdf(values, 0.5, loc=8.0, scale=4.0) * (values >= proved)
    left = values[density > 0]
    found = measured_strength.raised_by_proof(strength=strength, proved=Band(proved, proved + 0.1, proved + 0.2))
    assert found.corners == pytest.approx((left.min(), values[density.argmax()], left.max()), abs=3e-4)


def test_a_proof_above_the_whole_range_is_itself_the_strength() -> None:
    found = measured_strength.raised_by_proof(strength=Band(8.0, 10.0, 12.0), proved=Band.exactly(13.0))
    assert found == Band.exactly(13.0)


def test_ranges_meet_where_a_linear_programme_finds_a_common_strength() -> None:
    """300 random pairs: some one strength in both ranges, or none; the measured range is the one to reckon with."""
    rng = np.random.default_rng(23)
    met = []
    for _ in range(300):
        table, measured = (Band(*np.sort(rng.uniform(300e6, 900e6, 3)).tolist()) for _ in range(2))
        found = measured_strength.strength_used(tabulated_pa=table, measured_pa=measured)
        common = linprog(
            [0.0], bounds=[(table.low / 1e6, table.high / 1e6)], A_ub=[[1.0], [-1.0]],
            b_ub=[measured.high / 1e6, -measured.low / 1e6],
        )  # fmt: skip
        assert found.inside_table == (common.status == 0)
        assert (found.band_pa, found.origin) == (measured, "measured")
        met.append(found.inside_table)
    assert 30 < sum(met) < 270  # both kinds were met


def _first_yield(outer: float, bore: float, depth: float, case: float, core: float) -> tuple[float, bool]:
    """Torque at which a scan of the radius first meets its strength, and whether that is at the surface."""
    surface = outer / 2
    radius = np.linspace(bore / 2, surface, 20_001)[1:]
    polar = math.pi / 32 * (outer**4 - bore**4)
    torque = np.where(radius > surface - depth, case, core) * polar / radius
    return float(torque.min()), bool(radius[torque.argmin()] == surface)


@pytest.mark.parametrize(
    ("depth", "core", "starts"), [(0.002, 450e6, "below the case"), (0.008, 800e6, "surface"), (0.007, 700e6, "either")]
)
def test_case_yield_band_is_that_of_all_parts_between_the_ends(depth: float, core: float, starts: str) -> None:
    """Every combination of low and high ends and 300 random parts between them, each by a scan of its radius."""
    bands = [
        Band.spread(0.05, 0.01), Band.spread(0.012, 0.05), Band.spread(depth, 0.05), Band.spread(1e9, 0.05),
        Band.spread(core, 0.05),
    ]  # fmt: skip
    ends = list(itertools.product(*((band.low, band.high) for band in bands)))
    low, high = np.array([(band.low, band.high) for band in bands]).T
    between = np.random.default_rng(7).uniform(low, high, (300, len(bands))).tolist()
    torques, at_surface = zip(*(_first_yield(*part) for part in [*ends, *between]), strict=True)
    outer, bore, deep, case, soft = bands
    found = measured_strength.case_yield(
        outer_m=outer, bore_m=bore, case_depth_m=deep, case_shear_yield_pa=case, core_shear_yield_pa=soft
    )
    # One step of the scan is 1/20 000 of the wall: 1e-4 of the torque with room to spare.
    assert (found.torque_nm.low, found.torque_nm.high) == pytest.approx((min(torques), max(torques)), rel=1e-4)
    assert found.torque_nm.nominal == pytest.approx(_first_yield(*(band.nominal for band in bands))[0], rel=1e-4)
    assert found.starts == starts
    assert set(at_surface) == {"below the case": {False}, "surface": {True}, "either": {True, False}}[starts]
