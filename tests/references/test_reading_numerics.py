"""Readings against other methods: pixels, distance maps, quadrature, searches inside bands, scans, Monte Carlo."""

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, ndimage, optimize

from beachmark.mechanics import balance_sources, fracture_reading, measured_strength, torque_witness, twist_reading
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import RoundSection
from beachmark.mechanics.torque_witness import Witness

PIXELS = 1200
RADIUS = 0.03
SOFT = {"toughness_pa_sqrt_m": Band.exactly(300e6), "yield_pa": Band.exactly(1e6), "ultimate_pa": Band.exactly(1e6)}


def _pixels(zone: str, bore: float, share: float) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """What is left of a ring, pixel by pixel; the grid lies askew so that a chord is not a row of pixels."""
    axis = (np.arange(PIXELS) + 0.5) / PIXELS * 2.1 * RADIUS - 1.05 * RADIUS
    across, along = np.meshgrid(axis, axis)
    x, y = 0.8 * across - 0.6 * along, 0.6 * across + 0.8 * along
    ring = (np.hypot(x, y) <= RADIUS) & (np.hypot(x, y) >= bore)
    order = {"one side": y, "two sides": np.abs(y), "all round": np.hypot(x, y)}[zone]
    level = np.quantile(order[ring], share)
    return ring & (order <= level), x, y, float((axis[1] - axis[0]) ** 2)


def _read(loading: str, zone: str, bore: float, share: float) -> Band:
    return fracture_reading.final_zone_load(
        section=RoundSection(2 * RADIUS, 2 * bore), loading=loading, zone=zone, final_share=Band.exactly(share), **SOFT
    ).load


@pytest.mark.parametrize("zone", ["one side", "two sides", "all round"])
@pytest.mark.parametrize(("bore", "share"), [(0.0, 0.1), (0.0, 0.5), (0.006, 0.3), (0.006, 0.8), (0.027, 0.6)])
def test_limit_moment_is_the_sum_over_pixels_about_the_line_that_halves_them(
    zone: str, bore: float, share: float
) -> None:
    left, _, y, cell = _pixels(zone, bore, share)
    heights = y[left]
    moment = 1e6 * float(np.abs(heights - np.median(heights)).sum()) * cell
    assert _read("bending", zone, bore, share).nominal == pytest.approx(moment, rel=0.005)


@pytest.mark.parametrize(("bore", "share"), [(0.0, 0.15), (0.0, 0.5), (0.006, 0.3), (0.006, 0.8), (0.024, 0.7)])
def test_limit_pull_through_the_centre_by_linear_programming(bore: float, share: float) -> None:
    """Greatest sum of pixel stresses between -S and S whose moment about the centre is nil."""
    left, _, y, cell = _pixels("one side", bore, share)
    heights, counts = np.unique(np.round(y[left], 4), return_counts=True)  # strips of 0.1 mm
    areas = counts * cell
    scale = areas.sum()
    found = optimize.linprog(
        -areas / scale, A_eq=[areas * heights / scale / RADIUS], b_eq=[0.0], bounds=[(-1, 1)] * len(areas)
    )
    band = _read("tension", "one side", bore, share)
    assert band.low == pytest.approx(-found.fun * scale * 1e6, rel=0.01)
    assert band.high == pytest.approx(scale * 1e6, rel=0.003)


@pytest.mark.parametrize("zone", ["one side", "two sides", "all round"])
@pytest.mark.parametrize(("bore", "share"), [(0.0, 0.2), (0.0, 0.6), (0.018, 0.4)])
def test_least_limit_torque_is_the_sand_heap_of_a_distance_map(zone: str, bore: float, share: float) -> None:
    """Twice the volume under the distance to the nearest edge (a closed bore is filled by its own flat top)."""
    left, x, y, cell = _pixels(zone, bore, share)
    padded = np.pad(left, 1)
    closed = zone == "all round" and bore > 0
    if closed:  # the slope of a ring falls outward from the bore all the way: measure from the outer edge
        filled = padded | np.pad(np.hypot(x, y) < bore, 1)
        heap = ndimage.distance_transform_edt(filled)
        heap[~padded & filled] = heap[padded].max()
    else:
        heap = ndimage.distance_transform_edt(padded)
    torque = 2 * 1e6 / math.sqrt(3) * float(heap.sum()) * cell * math.sqrt(cell)
    band = _read("torsion", zone, bore, share)
    # A pixel map reads half a pixel too much at each edge: 3 % of the widest slope here.
    assert band.low == pytest.approx(torque, rel=0.03)
    turned = 1e6 / math.sqrt(3) * float(np.hypot(x, y)[left].sum()) * cell
    assert band.high == pytest.approx(turned, rel=0.005)


def test_one_sided_crack_with_closed_bore_lies_between_bar_and_open_ring() -> None:
    """The heap with a flat top over the bore: less than without bore, more than with the bore as a free edge."""
    bore, share = 0.006, 0.9
    band = _read("torsion", "one side", bore, share)
    left, x, y, cell = _pixels("one side", bore, share)
    factor = 2 * 1e6 / math.sqrt(3) * cell * math.sqrt(cell)
    free = factor * float(ndimage.distance_transform_edt(np.pad(left, 1)).sum())
    solid = factor * float(ndimage.distance_transform_edt(np.pad(left | (np.hypot(x, y) < bore), 1)).sum())
    assert free * 1.02 < band.low < solid * 0.99


LENGTH = 1.9


def _torque_of_a_released_bar(
    residual: float, modulus: float, yields: float, hardening: float, ring: tuple[float, float]
) -> float:
    """Load by quadrature of the stress over the radius, release elastically, and find the load by Brent's method."""
    outer, inner = ring
    first = yields / modulus

    def torque(twist: float) -> float:
        def around(radius: float) -> float:
            strain = radius * twist / LENGTH
            stress = modulus * min(strain, first) + hardening * modulus * max(strain - first, 0.0)
            return 2 * math.pi * radius**2 * stress

        kink = first * LENGTH / twist
        points = [kink] if inner / 2 < kink < outer / 2 else None
        return float(integrate.quad(around, inner / 2, outer / 2, points=points, epsrel=1e-10)[0])

    stiffness = modulus * math.pi / 32 * (outer**4 - inner**4) / LENGTH
    start = first * LENGTH / (outer / 2)
    twist = optimize.brentq(lambda t: t - torque(t) / stiffness - residual, start, start + 10 * residual + 10 * start)
    return torque(twist)


def _extremes(of: Callable[[np.ndarray], float], bands: list[Band]) -> list[float]:
    """Least and greatest value inside the bands, from several starts by Powell's search."""
    limits = np.array([(band.low, band.high) for band in bands])
    starts = np.random.default_rng(2).uniform(0.1, 0.9, (3, len(bands)))

    def of_share(share: np.ndarray, sign: float) -> float:
        return sign * of(limits[:, 0] + np.clip(share, 0, 1) * np.ptp(limits, axis=1))

    return [
        sign
        * min(
            float(optimize.minimize(of_share, start, args=(sign,), method="Powell", bounds=[(0, 1)] * len(bands)).fun)
            for start in starts
        )
        for sign in (1.0, -1.0)
    ]


@pytest.mark.parametrize(("outer", "inner"), [(0.05, 0.0), (0.09, 0.06), (0.127, 0.1206)])
@pytest.mark.parametrize("hardening", [0.0, 0.02])
@pytest.mark.parametrize("residual", [0.002, 0.02, 0.3])
def test_residual_twist_returns_the_torque_of_a_twisted_and_released_bar(
    outer: float, inner: float, hardening: float, residual: float
) -> None:
    found = twist_reading.torque_from_residual_twist_nm(
        residual_twist_rad=residual, length_m=LENGTH, shear_modulus_pa=80e9, shear_yield_pa=260e6,
        outer_m=outer, inner_m=inner, hardening_ratio=hardening,
    )  # fmt: skip
    assert found == pytest.approx(_torque_of_a_released_bar(residual, 80e9, 260e6, hardening, (outer, inner)), rel=1e-6)


@pytest.mark.parametrize("ring", [(0.127, 0.1206), (0.05, 0.0)])
def test_band_of_a_twist_ends_where_a_search_inside_the_bands_ends(ring: tuple[float, float]) -> None:
    bands = [Band(0.1, 0.12, 0.14), Band(79e9, 80e9, 81e9), Band(450e6, 480e6, 520e6), Band(0.0, 0.01, 0.03)]

    def released(case: np.ndarray) -> float:
        residual, modulus, tensile, hardening = case.tolist()
        return _torque_of_a_released_bar(residual, modulus, tensile / math.sqrt(3), hardening, ring)

    read = twist_reading.torque_of_twist_nm(
        section=RoundSection(*ring), residual_twist_rad=bands[0], length_m=Band.exactly(LENGTH),
        shear_modulus_pa=bands[1], yield_pa=bands[2], hardening_ratio=bands[3],
    ).band  # fmt: skip
    # Powell's search stops short of an end by some ten thousandths of the band.
    assert [read.low, read.high] == pytest.approx(_extremes(released, bands), rel=1e-4)
    assert read.nominal == pytest.approx(released(np.array([band.nominal for band in bands])), rel=1e-6)


def test_band_of_marks_ends_where_a_search_inside_the_bands_ends() -> None:
    """The later stress is searched so that its blocks of cycles grow the crack by what the marks show."""
    bands = [Band(1.5, 2.0, 2.6), Band(2.5, 3.0, 3.5), Band(2.25, 3.0, 4.0), Band(0.5, 1.0, 2.0), Band(0.9, 1.0, 1.2)]

    def later_stress(case: np.ndarray) -> float:
        spacing, depth, exponent, cycles, shape = case.tolist()

        def excess(log_stress: float) -> float:
            at_first = math.sqrt(math.pi) ** exponent
            later = cycles * (shape * math.exp(log_stress) * math.sqrt(math.pi * depth)) ** exponent
            return math.log(later / at_first) - math.log(spacing)

        return math.exp(optimize.brentq(excess, -5.0, 5.0))

    names = ("spacing_ratio", "crack_ratio", "growth_exponent", "cycles_ratio", "shape_ratio")
    read = fracture_reading.stress_range_ratio_of_marks(**dict(zip(names, bands, strict=True))).band
    assert [read.low, read.high] == pytest.approx(_extremes(later_stress, bands), rel=1e-4)
    assert read.nominal == pytest.approx(later_stress(np.array([band.nominal for band in bands])), rel=1e-9)


@pytest.mark.parametrize(("first", "second"), [(100e6, 100e6), (100e6, 140e6), (150e6, 90e6)])
def test_spacing_of_a_crack_grown_cycle_by_cycle_gives_back_the_stress_ratio(first: float, second: float) -> None:
    """Paris law integrated over blocks of 200 cycles at two depths of one crack."""

    def spacing(stress: float, depth: float) -> float:
        grown = integrate.solve_ivp(
            lambda _, a: 6.9e-12 * (stress / 1e6 * np.sqrt(math.pi * a)) ** 3, (0, 200), [depth], rtol=1e-10, atol=1e-15
        )
        return float(grown.y[0, -1] - depth)

    found = fracture_reading.stress_range_ratio(
        spacing_ratio=spacing(second, 0.012) / spacing(first, 0.004), crack_ratio=3.0, growth_exponent=3.0
    )
    assert found == pytest.approx(second / first, rel=0.01)  # the depth grows a little within a block


def test_bracket_is_what_a_scan_of_all_torques_leaves() -> None:
    """Every torque of a fine scan is put to every witness; what all allow is the bracket."""
    rng = np.random.default_rng(5)
    torques = np.linspace(0, 60e3, 60_001)
    met = {True: 0, False: 0}
    for _ in range(60):
        witnesses = []
        for number in range(4):
            ends = np.sort(rng.uniform(5e3, 40e3, 3))
            ratio = Band(*np.sort(rng.uniform(0.8, 1.6, 3)))
            kind = ("at least", "at most", "about")[rng.integers(3)]
            witnesses.append(Witness(str(number), kind, Band(*ends), ratio))
        allowed = np.ones(torques.size, dtype=bool)
        for w in witnesses:
            # A witness allows a torque if some ratio in its band brings it into what the part says.
            least, most = torques * w.torque_ratio.low, torques * w.torque_ratio.high
            above, below = most >= w.torque_nm.low, least <= w.torque_nm.high
            allowed &= {"at least": above, "at most": below, "about": above & below}[w.kind]
            brought, within = torque_witness.torque_at_reference_nm(witness=w), torques[above & below]
            assert (within.min(), within.max()) == pytest.approx((brought.low, min(brought.high, 60e3)), abs=1.0)
        found = torque_witness.bracket(witnesses=witnesses)
        met[found.agrees] += 1
        if found.high_nm - found.low_nm > 2:
            assert found.agrees
            assert torques[allowed].min() == pytest.approx(found.low_nm, abs=1.0)
            assert torques[allowed].max() == pytest.approx(min(found.high_nm, 60e3), abs=1.0)
        elif found.high_nm < found.low_nm:
            assert not allowed.any()
            assert not found.agrees
    assert min(met.values()) > 5  # both kinds were met


@pytest.mark.parametrize("depth", [0.001, 0.004, 0.008])
def test_case_yields_where_a_scan_of_the_radius_first_meets_its_strength(depth: float) -> None:
    outer, case, core = 0.05, 1000e6, 700e6
    radius = np.linspace(1e-4, outer / 2, 200_001)
    strength = np.where(radius > outer / 2 - depth, case, core)
    stress_per_torque = radius / (math.pi / 32 * outer**4)
    utilised = stress_per_torque / strength
    strengths = {"case_shear_yield_pa": case, "core_shear_yield_pa": core}
    found = measured_strength.case_yield_torque_nm(outer_m=outer, case_depth_m=depth, **strengths)
    assert found == pytest.approx(1 / utilised.max(), rel=1e-4)
    starts_inside = radius[utilised.argmax()] < outer / 2 - depth / 2
    assert starts_inside == (depth < measured_strength.least_case_depth_m(outer_m=outer, **strengths))


def test_root_sum_square_is_the_quadratic_mean_over_chance_angles() -> None:
    """200 000 shafts with four sources at independent angles; more than a third exceed it."""
    sources = {"runout": 0.003, "pilot": 0.001, "spline": 0.002, "weight": 0.0025}
    angles = np.random.default_rng(11).uniform(0, 2 * math.pi, (200_000, 4))
    sums = np.abs((np.array(list(sources.values())) * np.exp(1j * angles)).sum(axis=1))
    found = balance_sources.combined_unbalance(sources_kg_m=sources)
    assert found.root_sum_square_kg_m == pytest.approx(float(np.sqrt((sums**2).mean())), rel=0.01)
    assert sums.max() <= found.worst_kg_m
    assert sums.max() > 0.97 * found.worst_kg_m
    assert float((sums > found.root_sum_square_kg_m).mean()) > 1 / 3


def test_support_forces_hold_a_turning_beam_in_balance() -> None:
    """Forces and moments of 50 random unbalances, inside and overhung, by solving the two equations of statics."""
    rng = np.random.default_rng(3)
    for position in rng.uniform(-0.5, 2.0, 50):
        force = 0.004 * 250.0**2
        first, second = np.linalg.solve([[1.0, 1.0], [0.0, 1.5]], [force, force * position])
        load = {"unbalance_kg_m": 0.004, "speed_rad_s": 250.0, "span_m": 1.5}
        assert balance_sources.support_force_n(position_m=position, **load) == pytest.approx(abs(first), abs=1e-9)
        assert balance_sources.support_force_n(position_m=1.5 - position, **load) == pytest.approx(
            abs(second), abs=1e-9
        )


def test_tables_of_hardness_rise_row_by_row() -> None:
    columns = (
        measured_strength.A370_VICKERS, measured_strength.A370_TENSILE_MPA, measured_strength.A370_BRINELL,
        measured_strength.A370_BRINELL_VICKERS, measured_strength.ISO_18265_VICKERS,
        measured_strength.ISO_18265_TENSILE_MPA,
    )  # fmt: skip
    for column in columns:
        assert all(low < high for low, high in pairwise(column))
