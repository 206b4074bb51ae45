"""What a fracture says about the load: final zone, beach marks and striations. Bands, never one number.

A face is read by eye, and toughness and flow stress are known to a band at best: the low and the high
end belong to the answer. A reading supports a person's judgement; it does not replace a metallurgist.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np

from beachmark.mechanics import _domain, fatigue, tube
from beachmark.mechanics._constants import STEEL_YOUNGS_PA
from beachmark.mechanics._remaining_section import (
    RemainingSection,
    left_below_a_chord,
    left_between_chords,
    left_inside,
)
from beachmark.mechanics.band import Band

Loading = Literal["bending", "tension", "torsion"]
Zone = Literal["one side", "two sides", "all round"]
Front = Literal["straight", "curved"]
Route = Literal["fracture toughness", "plastic limit", "between both"]
Steel = Literal["ferritic-pearlitic", "martensitic"]

DEPTH_RATIO_RANGE = (0.06, 0.75)  # crack depth over diameter; above 0.625 the straight fit only runs on
STRIATION_RANGE_M = (1e-7, 1e-6)  # below: not one per cycle; above: tearing adds to it (from memory)
# Crack growth per cycle C dK^m in m and MPa sqrt(m): Barsom & Rolfe, Fracture and Fatigue Control (from memory).
GROWTH_LINES: dict[Steel, tuple[float, float]] = {
    "ferritic-pearlitic": (6.9e-12, 3.0),
    "martensitic": (1.36e-10, 2.25),
}
RATE_SCATTER = 2.0  # growth rates of one class of steel, either way (common practice, no source)
# Defaults between two places of one crack: see stress_range_ratio_of_marks.
GROWTH_EXPONENT = Band(2.25, 3.0, 4.0)
CYCLES_RATIO = Band(0.5, 1.0, 2.0)
SHAPE_RATIO = Band(0.8, 1.0, 1.25)
STEEL_YOUNGS = Band.exactly(STEEL_YOUNGS_PA)
_MPA = 1e6
_LEFT: dict[Zone, Callable[[float, float, float], RemainingSection]] = {
    "one side": left_below_a_chord,
    "two sides": left_between_chords,
    "all round": left_inside,
}
# Zero crack first, by powers of depth over diameter.
_STRAIGHT: dict[str, tuple[float, ...]] = {
    "bending": (1.04, -3.64, 16.86, -32.59, 28.41),
    "tension": (0.926, -1.771, 26.421, -78.481, 87.911),
}


@dataclass(frozen=True)
class RoundSection:
    """A round bar, tube or cross arm by its diameters [m]."""

    outer_m: float
    inner_m: float = 0.0

    def __post_init__(self) -> None:
        _domain.ring(outer_m=self.outer_m, inner_m=self.inner_m)


@dataclass(frozen=True)
class Reading:
    """A band (its unit stands in the name of the function that gives it) and what it rests on."""

    band: Band
    assumptions: tuple[str, ...]


@dataclass(frozen=True)
class FinalZoneReading:
    """Nominal stress on the whole section and load [N m; N in tension] at the last moment, and how they were found."""

    stress_pa: Band
    load: Band
    route: Route
    assumptions: tuple[str, ...]


def final_zone_load(
    *,
    section: RoundSection,
    loading: Loading,
    zone: Zone,
    final_share: Band,
    toughness_pa_sqrt_m: Band,
    yield_pa: Band,
    ultimate_pa: Band,
    shape_factor: Band | None = None,
) -> FinalZoneReading:
    """Load under which the rest of a cracked section broke, from the share of the face that is final fracture.

    Formula: where crack, rest and wall exceed 2.5 (K_Ic / S_y)^2: s = K_Ic / (Y sqrt(pi a)), at most the
    plastic limit; elsewhere the plastic limit of what was left (flow stress from yield to tensile strength;
    over sqrt 3 in torsion). Where the band straddles the rule both count.
    Units: share dimensionless, Pa sqrt(m), Pa, m; result Pa (nominal, whole section) and N m (tension: N).
    Range: share above 0 and below 1; bands above 0; ultimate not below yield. One crack plane across the axis,
    straight edge. Y is built in only for one side of a solid bar or arm (bore at most 0.3 D), depth 0.06 to
    0.75 D, bending or tension: give it elsewhere, if the size rule holds. In torsion limit analysis leaves a
    lower and an upper bound: nominal is midway. In tension low is with ends that tilt, high with guided ends.
    No credit is given for the constraint of a deep sharp crack, which can raise the limit by some 20 %.
    Raises: ValueError if an argument is out of range or Y is needed and missing.
    Source: ASTM E399 size rule (from memory); limit analysis (Prager & Hodge; sand heap of Nadai, from
    memory), sections derived here; Y as in bar_shape_factor.

    >>> read = final_zone_load(section=RoundSection(0.05), loading="bending", zone="all round",
    ...     final_share=Band.exactly(0.25), toughness_pa_sqrt_m=Band(60e6, 80e6, 120e6),
    ...     yield_pa=Band.exactly(400e6), ultimate_pa=Band.exactly(600e6))
    >>> read.route, round(read.load.low)  # 400 MPa x (25 mm)^3 / 6
    ('plastic limit', 1042)
    """
    _check_face(loading, zone, final_share, toughness_pa_sqrt_m, yield_pa, ultimate_pa)
    radius, bore = section.outer_m / 2, section.inner_m / 2
    left = [_LEFT[zone](radius, bore, share) for share in final_share.corners]
    flow = Band(yield_pa.low, (yield_pa.nominal + ultimate_pa.nominal) / 2, ultimate_pa.high)
    unit = _load_per_stress(section, loading)
    limit = _plastic_limit(left, loading, flow).scaled(1 / unit)
    sizes = _size_rule(left, section, toughness_pa_sqrt_m, yield_pa)
    route: Route = "between both"
    if not any(sizes):
        route = "plastic limit"
    elif all(sizes):
        route = "fracture toughness"
    stress = limit
    if route != "plastic limit":
        depths = [radius - part.top_m for part in left]
        shapes = [_shape(section, loading, zone, depth, shape_factor) for depth in depths]
        tough = _tough_stress(toughness_pa_sqrt_m, depths, shapes, limit)
        stress = tough
        if route == "between both":
            nominal = tough.nominal if sizes[1] else limit.nominal
            stress = Band(min(tough.low, limit.low), nominal, max(tough.high, limit.high))
    return FinalZoneReading(stress, stress.scaled(unit), route, _face_assumptions(route, loading, zone))


@_domain.elementwise
def bar_shape_factor(*, depth_ratio: float, loading: Loading, front: Front) -> float:
    """Shape factor Y of a crack from one side of a solid round bar, at its deepest point.

    Formula: K = Y s sqrt(pi a). Straight front: polynomial in a/D. Curved front (arc square to the surface):
    Y = g (0.923 + 0.199 q) in bending, g (0.752 + 2.02 a/D + 0.37 (1 - sin t)^3) in tension, t = pi a / (2 D),
    q = (1 - sin t)^4, g = 0.92 (2/pi) sqrt(tan(t) / t) / cos(t).
    Units: a/D dimensionless; result dimensionless, on the nominal stress of the whole section.
    Range: a/D 0.06 to 0.75; the straight front was fitted up to 0.625 and only runs on above it. A real front
    lies between straight and curved: use both as a band.
    Raises: ValueError if the ratio is not finite or out of range, or a choice is unknown.
    Source: straight: Daoud & Cartwright (1984, 1985) as in Murakami's handbook; curved: Forman & Shivakumar,
    ASTM STP 905 (1986); both from memory, no page seen.

    >>> round(bar_shape_factor(depth_ratio=0.25, loading="bending", front="straight"), 3)
    0.786
    """
    x = np.asarray(depth_ratio, dtype=np.float64)
    _domain.between(*DEPTH_RATIO_RANGE, "from 0.06 to 0.75", depth_ratio=x)
    _choice("loading", loading, tuple(_STRAIGHT))
    _choice("front", front, ("straight", "curved"))
    if front == "straight":
        return _domain.as_result(np.polynomial.polynomial.polyval(x, _STRAIGHT[loading]))
    t = np.pi / 2 * x
    common = 0.92 * 2 / np.pi * np.sqrt(np.tan(t) / t) / np.cos(t)
    near = 1 - np.sin(t)
    shape = 0.923 + 0.199 * near**4 if loading == "bending" else 0.752 + 2.02 * x + 0.37 * near**3
    return _domain.as_result(common * shape)


@_domain.elementwise
def stress_range_ratio(
    *,
    spacing_ratio: float,
    crack_ratio: float,
    growth_exponent: float,
    cycles_ratio: float = 1.0,
    shape_ratio: float = 1.0,
) -> float:
    """Stress range at the later of two pairs of beach marks over that at the earlier one.

    Formula: (spacing ratio / cycles ratio)^(1/m) / (Y ratio sqrt(a ratio)); all ratios later over earlier.
    Units: ratios, dimensionless.
    Range: all > 0. Beach marks are changes of load or stops, not cycles: without the number of cycles between
    them only this relation is left, and an even spacing on a deeper crack means a LOWER stress.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: Paris law, Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-5 (from memory); derived.

    >>> stress_range_ratio(spacing_ratio=8.0, crack_ratio=4.0, growth_exponent=3.0)
    1.0
    """
    _domain.positive(spacing_ratio=spacing_ratio, crack_ratio=crack_ratio, growth_exponent=growth_exponent)
    _domain.positive(cycles_ratio=cycles_ratio, shape_ratio=shape_ratio)
    rate = np.divide(spacing_ratio, cycles_ratio) ** np.divide(1.0, growth_exponent)
    return _domain.as_result(rate / (np.asarray(shape_ratio) * np.sqrt(crack_ratio)))


def stress_range_ratio_of_marks(
    *,
    spacing_ratio: Band,
    crack_ratio: Band,
    growth_exponent: Band = GROWTH_EXPONENT,
    cycles_ratio: Band = CYCLES_RATIO,
    shape_ratio: Band = SHAPE_RATIO,
) -> Reading:
    """How the stress range changed between two pairs of beach marks, as a band.

    Formula: stress_range_ratio at all corners of the bands.
    Units: ratios, dimensionless (later over earlier).
    Range: as stress_range_ratio. Exponent: ductile steels 2.25 to 4. Cycles between marks and the change of Y
    are unknown unless the duty tells: their defaults are common practice, no source.
    Raises: ValueError if a band reaches 0.
    Source: as stress_range_ratio; exponents Barsom & Rolfe (from memory).

    >>> read = stress_range_ratio_of_marks(spacing_ratio=Band.exactly(8.0), crack_ratio=Band.exactly(4.0))
    >>> round(read.band.nominal, 3), read.band.low < 0.6, read.band.high > 1.7
    (1.0, True, True)
    """
    bands = {
        "spacing_ratio": spacing_ratio,
        "crack_ratio": crack_ratio,
        "growth_exponent": growth_exponent,
        "cycles_ratio": cycles_ratio,
        "shape_ratio": shape_ratio,
    }
    for name, band in bands.items():
        band.require_positive(name)
    ends = product(*((band.low, band.high) for band in bands.values()))
    ratios = [float(stress_range_ratio(**dict(zip(bands, values, strict=True)))) for values in ends]
    nominal = float(stress_range_ratio(**{name: band.nominal for name, band in bands.items()}))
    return Reading(Band(min(*ratios, nominal), nominal, max(*ratios, nominal)), _MARK_ASSUMPTIONS)


def intensity_range_of_striations_pa_sqrt_m(
    *, spacing_m: Band, steel: Steel, youngs_pa: Band = STEEL_YOUNGS
) -> Reading:
    """Range of stress intensity that left a spacing of striations, as a band.

    Formula: nominal (s / C)^(1/m); ends: the same at twice and half the rate, and E sqrt(s / 6).
    Units: m per striation, Pa; result Pa sqrt(m).
    Range: spacing 0.1 to 1 um, seen in the electron microscope, one per cycle. Refused outside it, where one
    striation is not one cycle or tearing adds to it. Never for beach marks.
    Raises: ValueError if a band leaves the range or the steel is unknown.
    Source: Barsom & Rolfe lines; Bates & Clark, Trans. ASM 62 (1969) 380 for 6 (dK / E)^2 (from memory);
    factor 2 common practice, no source.

    >>> read = intensity_range_of_striations_pa_sqrt_m(spacing_m=Band.exactly(0.2e-6), steel="ferritic-pearlitic")
    >>> [round(k / 1e6, 1) for k in read.band.corners]
    [24.4, 30.7, 38.7]
    """
    spacing_m.require_within("spacing_m", *STRIATION_RANGE_M)
    youngs_pa.require_positive("youngs_pa")
    _choice("steel", steel, tuple(GROWTH_LINES))
    low = min(_paris(spacing_m.low / RATE_SCATTER, steel), _striation_rule(spacing_m.low, youngs_pa.low))
    high = max(_paris(spacing_m.high * RATE_SCATTER, steel), _striation_rule(spacing_m.high, youngs_pa.high))
    return Reading(Band(low, _paris(spacing_m.nominal, steel), high), _STRIATION_ASSUMPTIONS)


_MARK_ASSUMPTIONS = (
    "A beach mark is a stop or a change of load, not one cycle; only the relation of two places is read.",
    "The number of cycles between marks is taken as equal within its band.",
    "The crack grows by the Paris law at both places, with one exponent, above the threshold.",
    "The load ratio and the environment did not change.",
)
_STRIATION_ASSUMPTIONS = (
    "What was measured are striations, one per cycle, confirmed in the electron microscope.",
    "The steel grows cracks as its class does on average, within a factor of 2 in rate.",
    "The range of stress intensity holds for that place and depth only.",
)
_ROUTE_ASSUMPTION: dict[Route, str] = {
    "fracture toughness": "Crack, rest and wall exceed 2.5 (K / S)²: the rest broke at its toughness.",
    "plastic limit": "Crack, rest or wall lie below 2.5 (K / S)²: the rest broke when it had yielded throughout.",
    "between both": "The size rule 2.5 (K / S)² holds for part of the bands only: both routes are in the band.",
}


def _face_assumptions(route: Route, loading: Loading, zone: Zone) -> tuple[str, ...]:
    """What a reading of the final zone rests on."""
    listed = [
        _ROUTE_ASSUMPTION[route],
        f"The load was {loading} alone, steady enough that speed of loading did not count.",
        f"The crack came from {zone}, in one plane across the axis, and its edge was straight or an even ring.",
        "All that is not fatigue on the face broke at once, under one load.",
    ]
    if loading == "torsion":
        listed.append("On a face at 45 degrees the share is a rough guide only: the plane across the axis is assumed.")
    return tuple(listed)


def _check_face(
    loading: Loading, zone: Zone, final_share: Band, toughness: Band, yield_pa: Band, ultimate_pa: Band
) -> None:
    """Refuse what final_zone_load cannot read."""
    _choice("loading", loading, ("bending", "tension", "torsion"))
    _choice("zone", zone, tuple(_LEFT))
    final_share.require_within("final_share", 1e-3, 1 - 1e-3)
    toughness.require_positive("toughness_pa_sqrt_m")
    yield_pa.require_positive("yield_pa")
    if any(u < y for u, y in zip(ultimate_pa.corners, yield_pa.corners, strict=True)):
        raise ValueError(f"ultimate_pa is {ultimate_pa.corners}; it must not lie below yield_pa {yield_pa.corners}.")


def _load_per_stress(section: RoundSection, loading: Loading) -> float:
    """Load of the whole section at a nominal stress of 1 Pa."""
    polar = tube.polar_moment_m4(outer_m=section.outer_m, inner_m=section.inner_m)
    if loading == "tension":
        return math.pi / 4 * (section.outer_m**2 - section.inner_m**2)
    return 2 * polar / section.outer_m if loading == "torsion" else polar / section.outer_m


def _plastic_limit(left: list[RemainingSection], loading: Loading, flow: Band) -> Band:
    """Limit load of the three sections, smallest first."""
    if loading == "bending":
        carried = [(part.bending_modulus(),) * 2 for part in left]
    elif loading == "tension":
        carried = [(part.free_tension_area(), part.area()) for part in left]
    else:
        carried = [part.torsion_moduli() for part in left]
    low, high = carried[0][0], carried[-1][1]
    yields = flow.scaled(tube.MISES_SHEAR_RATIO) if loading == "torsion" else flow
    return Band(low * yields.low, sum(carried[1]) / 2 * yields.nominal, high * yields.high)


def _size_rule(left: list[RemainingSection], section: RoundSection, toughness: Band, yield_pa: Band) -> list[bool]:
    """Whether the size rule holds at best, nominally and at worst."""
    wall = (section.outer_m - section.inner_m) / 2 if section.inner_m else section.outer_m
    room = [min(section.outer_m / 2 - part.top_m, part.top_m - part.bottom_m, wall) for part in left]
    sizes = [
        fatigue.lefm_size_m(stress_intensity_pa_sqrt_m=k, yield_pa=y)
        for k, y in zip(toughness.corners, reversed(yield_pa.corners), strict=True)
    ]
    return [sizes[0] <= max(room), sizes[1] <= room[1], sizes[2] <= min(room)]


def _shape(section: RoundSection, loading: Loading, zone: Zone, depth: float, given: Band | None) -> Band:
    """Shape factor at one depth: the given one, or from curved to straight front."""
    if given is not None:
        given.require_positive("shape_factor")
        return given
    ratio = depth / section.outer_m
    low, high = DEPTH_RATIO_RANGE
    solid = section.inner_m <= 0.3 * section.outer_m
    if loading not in _STRAIGHT or zone != "one side" or not solid or not low <= ratio <= high:
        raise ValueError(
            f"shape_factor is not given; it must be given for {loading} with a crack from {zone}, {ratio:.2g} of the "
            "diameter deep, where the size rule holds (built in: one side of a solid bar, bending or tension, 0.06 to "
            "0.75 deep)."
        )
    curved = bar_shape_factor(depth_ratio=ratio, loading=loading, front="curved")
    straight = bar_shape_factor(depth_ratio=ratio, loading=loading, front="straight")
    return Band(min(curved, straight), (curved + straight) / 2, max(curved, straight))


def _tough_stress(toughness: Band, depths: list[float], shapes: list[Band], limit: Band) -> Band:
    """Stress at fast fracture, at most the plastic limit; the depths run from deep to shallow."""
    factors = (shapes[0].high, shapes[1].nominal, shapes[2].low)
    found = [
        min(k / (factor * math.sqrt(math.pi * depth)), most)
        for k, factor, depth, most in zip(toughness.corners, factors, depths, limit.corners, strict=True)
    ]
    return Band(*found)


def _paris(spacing: float, steel: Steel) -> float:
    """Range of stress intensity at a rate of growth."""
    coefficient, exponent = GROWTH_LINES[steel]
    found = fatigue.intensity_range_from_spacing(
        spacing_m=spacing, growth_coefficient_si=coefficient / _MPA**exponent, growth_exponent=exponent
    )
    return float(found)


def _striation_rule(spacing: float, youngs: float) -> float:
    """Range of stress intensity by s = 6 (dK / E)^2."""
    return youngs * math.sqrt(spacing / 6)


def _choice(name: str, value: str, allowed: tuple[str, ...]) -> None:
    """Refuse a word that is not one of a list."""
    if value not in allowed:
        raise ValueError(f"{name} is {value!r}; it must be one of {', '.join(allowed)}.")
