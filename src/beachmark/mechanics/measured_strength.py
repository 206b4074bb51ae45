"""Strength of the part in hand: from hardness, a coupon, a proof load, or a table. Bands, never one number."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from beachmark.mechanics import _domain, tube
from beachmark.mechanics.band import Band

HardnessScale = Literal["HRC", "HB", "HV"]
SteelClass = Literal[
    "hot rolled",
    "cold drawn",
    "quenched and tempered",
    "drawn tube",
    "stress-relieved tube",
    "welded tube",
    "case core",
]
Finish = Literal["ground", "machined", "hot rolled", "as forged"]
Start = Literal["surface", "below the case", "either"]
Origin = Literal["measured", "tabulated"]

# ASTM A370, Tables 3 and 4, approximate conversion for nonaustenitic steels (read in two public reprints):
# Vickers hardness and tensile strength in MPa.
A370_VICKERS = (
    137, 150, 165, 185, 210, 222, 238, 248, 260, 272, 286, 302, 318, 336, 354, 372, 392, 412, 434, 458, 484, 513,
    544, 577, 613, 653,
)  # fmt: skip
A370_TENSILE_MPA = (
    455, 495, 565, 620, 690, 715, 758, 793, 820, 862, 903, 951, 1007, 1048, 1110, 1179, 1255, 1338, 1434, 1524, 1641,
    1758, 1882, 2013, 2158, 2330,
)  # fmt: skip
# Rockwell C and Brinell (3000 kgf) numbers that the same table sets beside the Vickers numbers.
A370_ROCKWELL_C = tuple(range(20, 60, 2))
A370_ROCKWELL_C_VICKERS = A370_VICKERS[6:]
A370_BRINELL = (
    137, 150, 165, 185, 210, 237, 247, 258, 271, 286, 301, 319, 336, 353, 371, 390, 409, 432, 451, 481, 512,
)  # fmt: skip
A370_BRINELL_VICKERS = (
    137, 150, 165, 185, 210, 248, 260, 272, 286, 302, 318, 336, 354, 372, 392, 412, 434, 458, 484, 513, 544,
)  # fmt: skip
# ISO 18265, Table A.1, unalloyed and low-alloy steel (from memory).
ISO_18265_VICKERS = (100, 150, 200, 250, 300, 350, 400, 450, 500, 550, 600, 650, 660)
ISO_18265_TENSILE_MPA = (320, 480, 640, 800, 965, 1125, 1290, 1455, 1630, 1810, 1995, 2180, 2214)
# What is left in doubt beside the tables themselves (common practice, no source; ISO 18265 calls estimates of
# tensile strength its least reliable values).
CONVERSION_SPREAD = 0.10

# Yield over tensile strength. Nominals: Shigley, Tables A-20 (read) and A-21 (from memory), tube distributors'
# sheets (read), core of case-hardened steel from memory. The ends: common practice, no source.
YIELD_RATIOS: dict[SteelClass, Band] = {
    "hot rolled": Band(0.50, 0.55, 0.65),
    "cold drawn": Band(0.80, 0.84, 0.90),
    "quenched and tempered": Band(0.72, 0.88, 0.95),
    "drawn tube": Band(0.80, 0.87, 0.92),
    "stress-relieved tube": Band(0.80, 0.86, 0.90),
    "welded tube": Band(0.65, 0.73, 0.85),
    "case core": Band(0.60, 0.70, 0.80),
}
# Factor (for MPa) and exponent of the surface factor: Shigley, 9th ed., Table 6-2 (read).
FINISHES: dict[Finish, tuple[float, float]] = {
    "ground": (1.58, -0.085),
    "machined": (4.51, -0.265),
    "hot rolled": (57.7, -0.718),
    "as forged": (272.0, -0.995),
}
ENDURANCE_RATIO = Band(0.4, 0.5, 0.6)  # scatter of tests on polished steel: Shigley, Fig. 6-17 (from memory)
ENDURANCE_LIMIT_PA = 700e6
_MPA = 1e6


@dataclass(frozen=True)
class CaseTorque:
    """Torque of first yield [N m] of a case-hardened bar and where it begins."""

    torque_nm: Band
    starts: Start


@dataclass(frozen=True)
class StrengthUsed:
    """The strength to reckon with, where it comes from, and whether it lies inside the tabulated range."""

    band_pa: Band
    origin: Origin
    inside_table: bool


def vickers_from_hardness(*, hardness: Band, scale: HardnessScale) -> Band:
    """Vickers number of a hardness on another scale.

    Formula: straight lines between the rows of the table.
    Units: hardness numbers, dimensionless.
    Range: HRC 20 to 58, HB 137 to 512, HV 137 to 653; carbon and low-alloy steel.
    Raises: ValueError if the band leaves that range or the scale is unknown.
    Source: ASTM A370, conversion tables (read in two public reprints); rows of overlap between the B and C
    scales left out, where the printed tables step.

    >>> vickers_from_hardness(hardness=Band.exactly(30.0), scale="HRC").nominal
    302.0
    """
    rows, vickers = _scale(scale)
    hardness.require_within("hardness", rows[0], rows[-1])
    return Band(*(float(v) for v in np.interp(hardness.corners, rows, vickers)))


def tensile_from_hardness_pa(*, hardness: Band, scale: HardnessScale) -> Band:
    """Tensile strength of steel from its hardness, as a band.

    Formula: nominal: ASTM A370; ends: the lower and higher of A370 and ISO 18265, each with 10 % more.
    Units: hardness number; result Pa.
    Range: as vickers_from_hardness. The hardness must be that of the material that carries: not a hardened case,
    a weld or a decarburised skin. Give the scatter of the readings as the band.
    Raises: ValueError if the band leaves the range or the scale is unknown.
    Source: ASTM A370 (read in reprints), ISO 18265 Table A.1 (from memory); 10 % common practice, no source.

    >>> found = tensile_from_hardness_pa(hardness=Band(28.0, 30.0, 32.0), scale="HRC")
    >>> [round(s / 1e6) for s in found.corners]
    [813, 951, 1125]
    """
    vickers = vickers_from_hardness(hardness=hardness, scale=scale).corners
    american = np.interp(vickers, A370_VICKERS, A370_TENSILE_MPA) * _MPA
    european = np.interp(vickers, ISO_18265_VICKERS, ISO_18265_TENSILE_MPA) * _MPA
    low = min(american[0], european[0]) * (1 - CONVERSION_SPREAD)
    high = max(american[2], european[2]) * (1 + CONVERSION_SPREAD)
    return Band(float(low), float(american[1]), float(high))


def yield_from_tensile_pa(*, tensile_pa: Band, steel: SteelClass) -> Band:
    """Yield strength from tensile strength by class of steel, as a band.

    Formula: ratio x S_ut; ratio by class.
    Units: Pa.
    Range: S_ut > 0; the class must be known, a wrong one errs by up to half.
    Raises: ValueError if the band reaches 0 or the class is unknown.
    Source: nominal ratios Shigley's Mechanical Engineering Design, Tables A-20 (read), A-21 (from memory), tube
    distributors' sheets (read); ends common practice, no source.

    >>> round(yield_from_tensile_pa(tensile_pa=Band.exactly(690e6), steel="cold drawn").nominal / 1e6)
    580
    """
    if steel not in YIELD_RATIOS:
        raise ValueError(f"steel is {steel!r}; it must be one of {', '.join(YIELD_RATIOS)}.")
    tensile_pa.require_positive("tensile_pa")
    ratio = YIELD_RATIOS[steel]
    ends = zip(tensile_pa.corners, ratio.corners, strict=True)
    return Band(*(tensile * share for tensile, share in ends))


def shear_yield_band_pa(*, yield_pa: Band) -> Band:
    """Shear yield stress from the tensile yield stress, as a band.

    Formula: S_y / sqrt(3) = 0.577 S_y.
    Units: Pa.
    Range: ductile metal; S_y > 0.
    Raises: ValueError if the band reaches 0.
    Source: von Mises; Shigley's Mechanical Engineering Design, ch. 5 (from memory).

    >>> round(shear_yield_band_pa(yield_pa=Band.exactly(450e6)).nominal / 1e6, 1)
    259.8
    """
    yield_pa.require_positive("yield_pa")
    return yield_pa.scaled(tube.MISES_SHEAR_RATIO)


@_domain.elementwise
def surface_factor(*, tensile_pa: float, finish: Finish) -> float:
    """Share of the endurance strength that a surface finish leaves.

    Formula: a S_ut^b (S_ut in MPa), at most 1.
    Units: Pa; result dimensionless.
    Range: S_ut > 0; sound surface: no corrosion, decarburised skin or peening.
    Raises: ValueError if the strength is not finite or not greater than 0, or the finish is unknown.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-19, Table 6-2 (read).

    >>> round(surface_factor(tensile_pa=520e6, finish="machined"), 3)
    0.86
    """
    if finish not in FINISHES:
        raise ValueError(f"finish is {finish!r}; it must be one of {', '.join(FINISHES)}.")
    _domain.positive(tensile_pa=tensile_pa)
    factor, exponent = FINISHES[finish]
    return _domain.as_result(np.minimum(factor * np.divide(tensile_pa, _MPA) ** exponent, 1.0))


def endurance_from_tensile_pa(*, tensile_pa: Band, finish: Finish) -> Band:
    """Endurance strength of a part in reversed bending, from tensile strength and finish, as a band.

    Formula: k_a x min(0.5 S_ut, 700 MPa); ends with 0.4 and 0.6.
    Units: Pa.
    Range: steel, S_ut > 0. No notch, size, load, or reliability factor in it (torsion: take 0.59 of it); no
    corrosion, in which there is no endurance strength.
    Raises: ValueError if the band reaches 0 or the finish is unknown.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eqs. 6-8, 6-18, 6-19 (6-8 read in notes).

    >>> round(endurance_from_tensile_pa(tensile_pa=Band.exactly(520e6), finish="machined").nominal / 1e6)
    224
    """
    tensile_pa.require_positive("tensile_pa")
    found = [
        min(ratio * tensile, ratio / ENDURANCE_RATIO.nominal * ENDURANCE_LIMIT_PA)
        * surface_factor(tensile_pa=tensile, finish=finish)
        for ratio, tensile in zip(ENDURANCE_RATIO.corners, tensile_pa.corners, strict=True)
    ]
    # A rough skin costs a strong steel more than it gains: the order of the ends is not certain.
    return Band(min(found), found[1], max(found))


@_domain.elementwise
def case_yield_torque_nm(
    *,
    outer_m: float,
    case_depth_m: float,
    case_shear_yield_pa: float,
    core_shear_yield_pa: float,
    inner_m: float = 0.0,
) -> float:
    """Torque at which a case-hardened bar first yields, at its surface or just under the case.

    Formula: min(tau_case J / c, tau_core J / (c - t)); t the case depth.
    Units: m, Pa; result N m.
    Range: 0 < t < wall; step from case to core; no residual stress (which helps the surface and burdens the
    core), no notch.
    Raises: ValueError if an argument is not finite or out of range.
    Source: torsion formula, derived; case depth to 550 HV as in ISO 18203 (from memory).

    >>> round(case_yield_torque_nm(outer_m=0.05, case_depth_m=0.0025, case_shear_yield_pa=1000e6,
    ...                            core_shear_yield_pa=450e6) / 1e3, 2)
    12.27
    """
    _check_case(outer_m, inner_m, case_depth_m)
    _domain.positive(case_shear_yield_pa=case_shear_yield_pa, core_shear_yield_pa=core_shear_yield_pa)
    surface = np.asarray(outer_m) / 2
    polar = np.pi / 32 * (np.asarray(outer_m) ** 4 - np.asarray(inner_m) ** 4)
    at_surface = case_shear_yield_pa * polar / surface
    return _domain.as_result(np.minimum(at_surface, core_shear_yield_pa * polar / (surface - case_depth_m)))


@_domain.elementwise
def least_case_depth_m(*, outer_m: float, case_shear_yield_pa: float, core_shear_yield_pa: float) -> float:
    """Least case depth with which a bar in torsion yields at its surface and not under the case.

    Formula: c (1 - tau_core / tau_case), at least 0.
    Units: m, Pa; result m.
    Range: all > 0; as case_yield_torque_nm.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: torsion formula, derived.

    >>> round(least_case_depth_m(outer_m=0.05, case_shear_yield_pa=1000e6, core_shear_yield_pa=800e6) * 1e3, 6)
    5.0
    """
    _domain.positive(outer_m=outer_m, case_shear_yield_pa=case_shear_yield_pa, core_shear_yield_pa=core_shear_yield_pa)
    depth = np.asarray(outer_m) / 2 * (1 - np.divide(core_shear_yield_pa, case_shear_yield_pa))
    return _domain.as_result(np.maximum(depth, 0.0))


def case_yield(
    *,
    outer_m: Band,
    case_depth_m: Band,
    case_shear_yield_pa: Band,
    core_shear_yield_pa: Band,
    bore_m: Band | None = None,
) -> CaseTorque:
    """Torque of first yield of a case-hardened bar as a band, and where it begins.

    Formula: case_yield_torque_nm at the low, nominal and high ends; the place from least_case_depth_m.
    Units: m, Pa; result N m.
    Range: as case_yield_torque_nm. "Either" if the bands do not decide. Yield under the case does not show at
    the surface: a crack that starts there points to a case too thin or a core too soft.
    Raises: ValueError if a band is out of range.
    Source: as case_yield_torque_nm.

    >>> found = case_yield(outer_m=Band.exactly(0.05), case_depth_m=Band(0.0018, 0.002, 0.0022),
    ...     case_shear_yield_pa=Band(900e6, 1000e6, 1100e6), core_shear_yield_pa=Band(400e6, 450e6, 500e6))
    >>> found.starts
    'below the case'
    """
    bore = bore_m or Band.exactly(0.0)
    for name, band in (("case_shear_yield_pa", case_shear_yield_pa), ("core_shear_yield_pa", core_shear_yield_pa)):
        band.require_positive(name)
    torques = [
        case_yield_torque_nm(
            outer_m=outer, inner_m=inner, case_depth_m=depth, case_shear_yield_pa=case, core_shear_yield_pa=core
        )
        for outer, inner, depth, case, core in zip(
            outer_m.corners,
            reversed(bore.corners),
            case_depth_m.corners,
            case_shear_yield_pa.corners,
            core_shear_yield_pa.corners,
            strict=True,
        )
    ]
    least = least_case_depth_m(
        outer_m=outer_m.low, case_shear_yield_pa=case_shear_yield_pa.low, core_shear_yield_pa=core_shear_yield_pa.high
    )
    most = least_case_depth_m(
        outer_m=outer_m.high, case_shear_yield_pa=case_shear_yield_pa.high, core_shear_yield_pa=core_shear_yield_pa.low
    )
    starts: Start = "surface" if case_depth_m.low >= most else "either"
    return CaseTorque(Band(*torques), "below the case" if case_depth_m.high < least else starts)


def strength_from_coupons_pa(*, strengths_pa: Sequence[float], place_share: float = 0.03) -> Band:
    """Strength of a part from coupons cut out of it, as a band.

    Formula: nominal: mean; ends: least and greatest, with a share for the difference between places in the part.
    Units: Pa; share dimensionless.
    Range: one coupon or more, all > 0; share 0 to 0.5 (default common practice, no source). Along the load.
    Raises: ValueError if there is no coupon or a value is out of range.
    Source: definition; few coupons do not carry a statistic.

    >>> [round(s / 1e6) for s in strength_from_coupons_pa(strengths_pa=[500e6, 520e6]).corners]
    [485, 510, 536]
    """
    if not len(strengths_pa):
        raise ValueError("strengths_pa is empty; it must hold at least one coupon.")
    _domain.positive(strengths_pa=strengths_pa)
    _domain.between(0.0, 0.5, "from 0 to 0.5", place_share=place_share)
    least, greatest = min(strengths_pa), max(strengths_pa)
    mean = math.fsum(strengths_pa) / len(strengths_pa)
    nominal = min(max(mean, least), greatest)  # the division may round a mean of equal values past them
    return Band(least * (1 - place_share), nominal, greatest * (1 + place_share))


def raised_by_proof(*, strength: Band, proved: Band) -> Band:
    """A strength after a proof test that the part bore without harm: it is at least what was proved.

    Formula: each of low, nominal and high is at least the low end of the proved load.
    Units: any one unit for both (Pa, N m, N); result in it.
    Range: both > 0; the part must have been examined after the test and must not have changed since.
    Raises: ValueError if a band reaches 0.
    Source: definition of a proof test.

    >>> raised_by_proof(strength=Band(8.0, 10.0, 12.0), proved=Band.exactly(9.0)).corners
    (9.0, 10.0, 12.0)
    """
    strength.require_positive("strength")
    proved.require_positive("proved")
    return Band(*(max(value, proved.low) for value in strength.corners))


def strength_used(*, tabulated_pa: Band, measured_pa: Band | None) -> StrengthUsed:
    """The strength to reckon with: a measured one replaces the tabulated one, with its own range.

    Formula: measured if given, else tabulated. Inside: the two ranges meet.
    Units: Pa.
    Range: both > 0. A measured range that misses the table is a finding of its own: wrong steel or treatment,
    or a wrong reading.
    Raises: ValueError if a band reaches 0.
    Source: common practice, no source.

    >>> strength_used(tabulated_pa=Band(4e8, 5e8, 6e8), measured_pa=Band(3e8, 3.2e8, 3.4e8)).inside_table
    False
    """
    tabulated_pa.require_positive("tabulated_pa")
    if measured_pa is None:
        return StrengthUsed(tabulated_pa, "tabulated", True)
    measured_pa.require_positive("measured_pa")
    meets = measured_pa.low <= tabulated_pa.high and measured_pa.high >= tabulated_pa.low
    return StrengthUsed(measured_pa, "measured", meets)


def _scale(scale: HardnessScale) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Rows of the table on one scale and the Vickers numbers beside them."""
    tables = {
        "HRC": (A370_ROCKWELL_C, A370_ROCKWELL_C_VICKERS),
        "HB": (A370_BRINELL, A370_BRINELL_VICKERS),
        "HV": (A370_VICKERS, A370_VICKERS),
    }
    if scale not in tables:
        raise ValueError(f"scale is {scale!r}; it must be one of {', '.join(tables)}.")
    return tables[scale]


def _check_case(outer_m: float, inner_m: float, case_depth_m: float) -> None:
    """Refuse a section without wall and a case that fills it."""
    _domain.ring(outer_m=outer_m, inner_m=inner_m)
    _domain.positive(case_depth_m=case_depth_m)
    share = case_depth_m / ((np.asarray(outer_m) - inner_m) / 2)
    _domain.between(0.0, math.nextafter(1.0, 0.0), "below the wall (1)", case_depth_m_over_wall=share)
