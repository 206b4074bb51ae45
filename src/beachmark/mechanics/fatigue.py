"""Cycles to failure, summed damage, and the growth of a crack."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import as_result, elementwise, elementwise_record

LOW_CYCLES = 1e3
HIGH_CYCLES = 1e6


@dataclass(frozen=True)
class StressLifeLine:
    """Basquin line S = a N^b between 1e3 and 1e6 cycles, with the strengths at both ends [Pa]."""

    coefficient_pa: float
    exponent: float
    strength_at_low_cycles_pa: float
    endurance_pa: float


@elementwise_record
def basquin_line(*, ultimate_pa: float, endurance_pa: float, strength_fraction: float) -> StressLifeLine:
    """Stress-life line of steel from its strengths at 1e3 and 1e6 cycles.

    Formula: a = (f S_u)^2 / S_e, b = -log10(f S_u / S_e) / 3.
    Units: Pa; f dimensionless.
    Range: 0 < f <= 1, S_e < f S_u; fully reversed stress; S_e with all its factors on it.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eqs. 6-13 to 6-15; Example 6-2 (read).

    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> round(line.exponent, 4)
    -0.0785
    """
    _domain.positive(ultimate_pa=ultimate_pa, endurance_pa=endurance_pa)
    _domain.fraction(strength_fraction=strength_fraction)
    low = strength_fraction * ultimate_pa
    _domain.less_than("strength_fraction x ultimate_pa", low, endurance_pa=endurance_pa)
    return StressLifeLine(
        coefficient_pa=low**2 / endurance_pa,
        exponent=as_result(-np.log10(low / endurance_pa) / 3),
        strength_at_low_cycles_pa=low,
        endurance_pa=endurance_pa,
    )


@elementwise
def strength_at(*, line: StressLifeLine, cycles: float) -> float:
    """Fully reversed stress that leads to failure after a number of cycles.

    Formula: S = a N^b.
    Units: cycles (count); result Pa.
    Range: 1e3 to 1e6 cycles.
    Raises: ValueError if the count is not finite or out of range.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-13 (read).

    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> round(strength_at(line=line, cycles=1e6) / 1e6)
    310
    """
    _domain.between(LOW_CYCLES, HIGH_CYCLES, "from 1e3 to 1e6", cycles=cycles)
    return as_result(line.coefficient_pa * cycles**line.exponent)


@elementwise
def cycles_at(*, line: StressLifeLine, amplitude_pa: float) -> float:
    """Cycles to failure at a fully reversed stress; infinite at or below the endurance strength.

    Formula: N = (S / a)^(1/b).
    Units: Pa; result cycles (count).
    Range: up to the strength at 1e3 cycles. The endurance strength holds for constant amplitude without
    corrosion only; a spectrum with larger cycles in it damages below it too.
    Raises: ValueError if the stress is not finite, negative, or above the strength at 1e3 cycles.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-16; Example 6-2 (read).

    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> cycles_at(line=line, amplitude_pa=300e6)
    inf
    """
    top = line.strength_at_low_cycles_pa
    _domain.between(0.0, top, "from 0 to {high:g}, the strength at 1e3 cycles", amplitude_pa=amplitude_pa)
    counted = np.maximum(amplitude_pa, line.endurance_pa) / line.coefficient_pa
    return as_result(np.where(amplitude_pa <= line.endurance_pa, math.inf, counted ** (1 / line.exponent)))


@elementwise
def goodman_amplitude_pa(*, amplitude_pa: float, mean_pa: float, ultimate_pa: float) -> float:
    """Fully reversed amplitude that does as much as an amplitude on a tensile mean stress.

    Formula: S = s_a / (1 - s_m / S_u).
    Units: Pa.
    Range: s_a >= 0, 0 <= s_m < S_u; a compressive mean is not credited: pass 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: modified Goodman line; Shigley's Mechanical Engineering Design, ch. 6 (from memory).

    >>> round(goodman_amplitude_pa(amplitude_pa=150e6, mean_pa=200e6, ultimate_pa=700e6) / 1e6, 6)
    210.0
    """
    _domain.non_negative(amplitude_pa=amplitude_pa, mean_pa=mean_pa)
    _domain.positive(ultimate_pa=ultimate_pa)
    _domain.less_than("ultimate_pa", ultimate_pa, mean_pa=mean_pa)
    return amplitude_pa / (1 - mean_pa / ultimate_pa)


def miner_damage(*, cycles: ArrayLike, lives: ArrayLike) -> float:
    """Share of life used by several blocks of cycles; failure is expected near 1.

    Formula: D = sum n_i / N_i; a block with infinite life adds nothing.
    Units: cycles (counts); result dimensionless. The sum runs over the last axis.
    Range: n >= 0, N > 0 (infinity allowed); order of loading ignored; test results scatter widely about 1.
    Raises: ValueError if a count is not finite or out of range, or the lists differ in length.
    Source: Palmgren-Miner rule; Shigley's Mechanical Engineering Design, ch. 6 (from memory).

    >>> miner_damage(cycles=[500.0, 10.0], lives=[1000.0, math.inf])
    0.5
    """
    counts, allowed = _domain.as_list(cycles), _domain.as_list(lives)
    _domain.same_last_length(cycles=counts, lives=allowed)
    _domain.non_negative(cycles=counts)
    _domain.positive(lives=allowed[~np.isposinf(allowed)])
    return as_result(np.sum(counts / allowed, axis=-1))


def miner_life(*, shares: ArrayLike, lives: ArrayLike) -> float:
    """Life of a part that spends given shares of its cycles at several levels.

    Formula: N = sum(shares) / sum(share_i / N_i).
    Units: shares in any one common unit; lives and result in cycles (or both in hours). The sums run over the
    last axis.
    Range: as miner_damage; at least one share above 0. Infinite if no level does damage.
    Raises: ValueError if a value is not finite or out of range, or the lists differ in length.
    Source: Palmgren-Miner rule; Shigley's Mechanical Engineering Design, ch. 6 (from memory).

    >>> round(miner_life(shares=[1.0, 1.0], lives=[1000.0, 3000.0]), 6)
    1500.0
    """
    total = np.sum(_domain.as_list(shares), axis=-1)
    _domain.positive(sum_of_shares=total)
    with np.errstate(divide="ignore"):  # no damage: endless
        return as_result(np.divide(total, miner_damage(cycles=shares, lives=lives)))


@elementwise
def stress_intensity_pa_sqrt_m(*, stress_pa: float, crack_m: float, shape_factor: float) -> float:
    """Stress intensity of a crack.

    Formula: K = Y s sqrt(pi a).
    Units: Pa, m; result Pa sqrt(m).
    Range: a >= 0, Y > 0; linear elastic (see lefm_size_m).
    Raises: ValueError if an argument is not finite or out of range.
    Source: linear elastic fracture mechanics; Shigley's Mechanical Engineering Design, ch. 5 (from memory).

    >>> round(stress_intensity_pa_sqrt_m(stress_pa=1.0, crack_m=1 / math.pi, shape_factor=1.12), 6)
    1.12
    """
    _domain.finite(stress_pa=stress_pa)
    _domain.non_negative(crack_m=crack_m)
    _domain.positive(shape_factor=shape_factor)
    return as_result(shape_factor * stress_pa * np.sqrt(math.pi * crack_m))


@elementwise
def critical_crack_m(*, toughness_pa_sqrt_m: float, stress_pa: float, shape_factor: float) -> float:
    """Depth of crack at which the rest breaks at once.

    Formula: a_c = (K_Ic / (Y s))^2 / pi.
    Units: Pa sqrt(m), Pa; result m.
    Range: all > 0. Toughness is known to a factor of about 2 at best: work with a band.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: linear elastic fracture mechanics; Callister, Materials Science and Engineering (from memory).

    >>> a = critical_crack_m(toughness_pa_sqrt_m=60e6, stress_pa=300e6, shape_factor=0.73)
    >>> round(a * 1e3, 1)
    23.9
    """
    _domain.positive(toughness_pa_sqrt_m=toughness_pa_sqrt_m, stress_pa=stress_pa, shape_factor=shape_factor)
    return (toughness_pa_sqrt_m / (shape_factor * stress_pa)) ** 2 / math.pi


@elementwise
def lefm_size_m(*, stress_intensity_pa_sqrt_m: float, yield_pa: float) -> float:
    """Least crack length and ligament for which linear elastic fracture mechanics holds.

    Formula: 2.5 (K / S_y)^2.
    Units: Pa sqrt(m), Pa; result m.
    Range: K >= 0, S_y > 0; plane strain.
    Raises: ValueError if an argument is not finite or out of range.
    Source: size rule of ASTM E399 (from memory).

    >>> round(lefm_size_m(stress_intensity_pa_sqrt_m=60e6, yield_pa=600e6) * 1e3, 1)
    25.0
    """
    _domain.non_negative(stress_intensity_pa_sqrt_m=stress_intensity_pa_sqrt_m)
    _domain.positive(yield_pa=yield_pa)
    return 2.5 * (stress_intensity_pa_sqrt_m / yield_pa) ** 2


@elementwise
def paris_life(
    *,
    growth_coefficient_si: float,
    growth_exponent: float,
    stress_range_pa: float,
    shape_factor: float,
    first_crack_m: float,
    last_crack_m: float,
) -> float:
    """Cycles in which a crack grows from one depth to another.

    Formula: integral of da / (C (Y ds sqrt(pi a))^m), Y held constant.
    Units: C in m per cycle and (Pa sqrt(m))^m, stress Pa, depth m; result cycles (count).
    Range: above the threshold, below fast fracture; 0 < a0 < a_f. (C for MPa sqrt(m) times 1e-6 to the m.)
    Raises: ValueError if an argument is not finite or out of range.
    Source: Paris law; Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-6 (from memory).

    >>> n = paris_life(growth_coefficient_si=1e-30, growth_exponent=3.0, stress_range_pa=100e6,
    ...                shape_factor=1.0, first_crack_m=0.002, last_crack_m=0.0199)
    >>> round(n / 1e6, 1)
    5.5
    """
    _domain.positive(
        growth_coefficient_si=growth_coefficient_si,
        growth_exponent=growth_exponent,
        stress_range_pa=stress_range_pa,
        shape_factor=shape_factor,
        first_crack_m=first_crack_m,
        last_crack_m=last_crack_m,
    )
    _domain.less_than("last_crack_m", last_crack_m, first_crack_m=first_crack_m)
    rate = growth_coefficient_si * (shape_factor * stress_range_pa * math.sqrt(math.pi)) ** growth_exponent
    power = 1 - growth_exponent / 2
    logarithmic = np.abs(power) < 1e-12  # at exponent 2 the integral of 1/a is a logarithm
    safe = np.where(logarithmic, 1.0, power)
    grown = np.where(
        logarithmic, np.log(last_crack_m / first_crack_m), (last_crack_m**safe - first_crack_m**safe) / safe
    )
    return as_result(grown / rate)


@elementwise
def intensity_range_from_spacing(*, spacing_m: float, growth_coefficient_si: float, growth_exponent: float) -> float:
    """Range of stress intensity that leaves a given spacing of striations.

    Formula: dK = (spacing / C)^(1/m).
    Units: m per cycle; C as in paris_life; result Pa sqrt(m).
    Range: striations seen in the microscope, one per cycle. NOT for beach marks: those count changes of
    load, not cycles, and give relative rate only.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: Paris law; Barsom & Rolfe, ferritic-pearlitic steel 6.9e-12 dK^3 (m, MPa sqrt m; from memory).

    >>> dk = intensity_range_from_spacing(spacing_m=0.2e-6, growth_coefficient_si=6.9e-30,
    ...                                   growth_exponent=3.0)
    >>> round(dk / 1e6, 1)
    30.7
    """
    _domain.positive(spacing_m=spacing_m, growth_coefficient_si=growth_coefficient_si, growth_exponent=growth_exponent)
    return as_result((spacing_m / growth_coefficient_si) ** (1 / growth_exponent))
