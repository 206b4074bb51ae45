"""What a duty takes out of a part's life: cycles or a whole history, summed up to the start of a crack."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.fatigue import HIGH_CYCLES, StressLifeLine, miner_damage
from beachmark.mechanics.rainflow import rainflow_cycles

# What cycles below the endurance strength do: nothing; harm along a line of half the slope; harm as above it.
BelowEndurance = Literal["harmless", "half_slope", "same_line"]
_CHOICES: tuple[BelowEndurance, ...] = ("harmless", "half_slope", "same_line")


def reversed_amplitudes_pa(*, ranges_pa: ArrayLike, means_pa: ArrayLike, ultimate_pa: float) -> FloatArray:
    """Fully reversed amplitudes that do as much as ranges on their mean stresses.

    Formula: s_a = range / 2; S = s_a / (1 - s_m / S_u); a compressive mean counts as 0.
    Units: Pa.
    Range: ranges >= 0, means below S_u; ranges and means broadcast against each other.
    Raises: ValueError if an argument is not finite or out of range.
    Source: modified Goodman line; Shigley's Mechanical Engineering Design, ch. 6 (from memory).

    >>> found = reversed_amplitudes_pa(ranges_pa=300e6, means_pa=[200e6, -200e6], ultimate_pa=700e6)
    >>> (found / 1e6).round(6).tolist()
    [210.0, 150.0]
    """
    ranges, means = _domain.as_list(ranges_pa), _domain.as_list(means_pa)
    _domain.non_negative(ranges_pa=ranges)
    _domain.positive(ultimate_pa=ultimate_pa)
    _domain.finite(means_pa=means)
    if means.size:
        _domain.less_than("ultimate_pa", ultimate_pa, means_pa=means)
    amplitudes: FloatArray = ranges / 2 / (1 - np.maximum(means, 0.0) / ultimate_pa)
    return amplitudes


def lives_at(
    *, line: StressLifeLine, amplitudes_pa: ArrayLike, below_endurance: BelowEndurance = "half_slope"
) -> FloatArray:
    """Cycles to failure at fully reversed amplitudes, with what happens below the endurance strength chosen.

    Formula: N = (S / a)^(1/b) above S_e; below it infinite (harmless), N = 1e6 (S_e / S)^(2k - 1) with
    k = -1/b (half_slope), or the same line (same_line).
    Units: Pa; result cycles (count).
    Range: 0 to the strength at 1e3 cycles. Harmless is right only if no cycle of the duty exceeds S_e.
    Raises: ValueError if an amplitude is not finite or out of range, or the choice is not one of the three.
    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. 6-16 (read); the half slope is Haibach's
    rule, Haibach, Betriebsfestigkeit (from memory).

    >>> from beachmark.mechanics.fatigue import basquin_line
    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> lives_at(line=line, amplitudes_pa=[310e6, 155e6], below_endurance="harmless").tolist()
    [inf, inf]
    """
    amplitudes = _domain.as_list(amplitudes_pa)
    top = line.strength_at_low_cycles_pa
    _domain.between(0.0, top, f"from 0 to {top:g}, the strength at 1e3 cycles", amplitudes_pa=amplitudes)
    if below_endurance not in _CHOICES:
        raise ValueError(f"below_endurance is {below_endurance!r}; it must be one of {', '.join(_CHOICES)}.")
    slope = -1 / line.exponent
    below = {"harmless": np.inf, "half_slope": 2 * slope - 1, "same_line": slope}[below_endurance]
    with np.errstate(divide="ignore", over="ignore"):  # no stress, or next to none: endless life
        ratio = line.endurance_pa / amplitudes
        # At harmless a ratio of just 1 must be endless too, as it is in fatigue.cycles_at.
        beyond = np.where(ratio >= 1, np.inf, 0.0) if below == np.inf else HIGH_CYCLES * ratio**below
        return np.where(amplitudes > line.endurance_pa, HIGH_CYCLES * ratio**slope, beyond)


def damage_of_cycles(
    *,
    line: StressLifeLine,
    ranges_pa: ArrayLike,
    means_pa: ArrayLike,
    cycles: ArrayLike,
    ultimate_pa: float,
    below_endurance: BelowEndurance = "half_slope",
) -> float:
    """Share of life that a list of cycles takes.

    Formula: D = sum n_i / N_i, N from the fully reversed amplitude of each range on its mean.
    Units: Pa (stress at the place that cracks, notch and surface already in it or in the line); cycles
    (count); result dimensionless.
    Range: as reversed_amplitudes_pa and lives_at; no cycles, no damage. Tests scatter widely about D = 1.
    Raises: ValueError if an argument is not finite or out of range, or the lists differ in length.
    Source: Palmgren-Miner rule; Shigley's Mechanical Engineering Design, ch. 6 (from memory).

    >>> from beachmark.mechanics.fatigue import basquin_line
    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> round(damage_of_cycles(line=line, ranges_pa=[620e6], means_pa=[0.0], cycles=[1e6], ultimate_pa=620e6), 9)
    1.0
    """
    ranges, means, counts = (_domain.as_list(x) for x in (ranges_pa, means_pa, cycles))
    if not ranges.size == means.size == counts.size == 0:
        _domain.same_length(ranges_pa=ranges, means_pa=means, cycles=counts)
    amplitudes = reversed_amplitudes_pa(ranges_pa=ranges, means_pa=means, ultimate_pa=ultimate_pa)
    lives = lives_at(line=line, amplitudes_pa=amplitudes, below_endurance=below_endurance)
    return miner_damage(cycles=counts, lives=lives) if counts.size else 0.0


def damage_of_history(
    *,
    line: StressLifeLine,
    stresses_pa: ArrayLike,
    ultimate_pa: float,
    below_endurance: BelowEndurance = "half_slope",
) -> float:
    """Share of life that a history of stress takes once.

    Formula: rainflow cycles, then damage_of_cycles.
    Units: Pa (stress at the place that cracks); result dimensionless.
    Range: as rainflow_cycles and damage_of_cycles. A steady history takes nothing.
    Raises: ValueError if an argument is not finite or out of range.
    Source: ASTM E1049-85, sec. 5.4.4 (from memory), and the Palmgren-Miner rule.

    >>> from beachmark.mechanics.fatigue import basquin_line
    >>> line = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
    >>> start = damage_of_history(line=line, stresses_pa=[-310e6, 310e6, -310e6], ultimate_pa=620e6)
    >>> round(start * 1e6, 9)
    1.0
    """
    found = rainflow_cycles(series=_named(stresses_pa))
    return damage_of_cycles(
        line=line,
        ranges_pa=found.ranges,
        means_pa=found.means,
        cycles=found.counts,
        ultimate_pa=ultimate_pa,
        below_endurance=below_endurance,
    )


def equivalent_torque(
    *, torques_nm: ArrayLike, cycles: ArrayLike, exponent: float, reference_cycles: float
) -> FloatArray | float:
    """Steady torque amplitude that, over a number of cycles, harms as much as a spectrum of torques.

    Formula: T = (sum n_i |T_i|^k / n)^(1/k), the sum over the last axis.
    Units: N m; cycles (counts); exponent dimensionless; result N m.
    Range: counts >= 0, k > 0, n > 0; stress proportional to torque, one slope k for every level.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Palmgren-Miner rule on N = c T^-k, derived.

    >>> round(float(equivalent_torque(torques_nm=[3e3, 4e3], cycles=[1.0, 1.0], exponent=2.0,
    ...                               reference_cycles=1.0)), 6)
    5000.0
    """
    torques, counts = np.abs(_domain.as_list(torques_nm)), _domain.as_list(cycles)
    _domain.finite(torques_nm=torques)
    _domain.non_negative(cycles=counts)
    _domain.positive(exponent=exponent, reference_cycles=reference_cycles)
    # Taken out of the power, the greatest torque keeps it from overflowing.
    greatest = max(float(torques.max(initial=0.0)), np.finfo(float).tiny)
    summed = np.sum(counts * (torques / greatest) ** _domain.as_list(exponent)[..., np.newaxis], axis=-1)
    equivalent: FloatArray | float = greatest * (summed / reference_cycles) ** (1 / exponent)
    return equivalent


def distance_to_crack_start_m(*, damage_per_start: ArrayLike, starts_per_m: ArrayLike) -> FloatArray:
    """Distance after which a crack is to be expected, from the damage of one start and how often it comes.

    Formula: s = 1 / (D f).
    Units: damage dimensionless per start; starts in 1/m; result m.
    Range: both >= 0; either 0 gives infinity. A line drawn for complete failure of a small bar is taken for
    the start of a crack in the part (common practice, no source); expect a factor of several either way.
    Raises: ValueError if an argument is not finite or negative.
    Source: Palmgren-Miner rule, damage 1.

    >>> km = distance_to_crack_start_m(damage_per_start=2e-5, starts_per_m=2e-3) / 1e3
    >>> round(float(km))
    25000
    """
    damage, often = _domain.as_list(damage_per_start), _domain.as_list(starts_per_m)
    _domain.non_negative(damage_per_start=damage, starts_per_m=often)
    with np.errstate(divide="ignore"):  # no damage: never
        return np.divide(1.0, damage * often)


def _named(stresses_pa: ArrayLike) -> FloatArray:
    """Refuse a history of stress by its own name before it becomes a plain series."""
    values = _domain.as_list(stresses_pa)
    _domain.same_length(stresses_pa=values)
    _domain.finite(stresses_pa=values)
    return values
