"""What torque a tube or bar has seen, from the twist that stayed in it."""

from itertools import product

import numpy as np

from beachmark.mechanics import _domain, tube
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import Reading, RoundSection

HARDENING_RANGE = (0.0, 0.2)  # slope after yield over the shear modulus
HARDENING = Band(0.0, 0.01, 0.03)  # common practice, no source


@_domain.elementwise
def torque_at_twist_nm(
    *,
    twist_rad: float,
    length_m: float,
    shear_modulus_pa: float,
    shear_yield_pa: float,
    outer_m: float,
    inner_m: float = 0.0,
    hardening_ratio: float = 0.0,
) -> float:
    """Torque while a tube or bar is held twisted beyond yield.

    Formula: (1 - h) T_i + h G J phi / L; T_i ideally plastic: elastic inside rho = tau_y L / (G phi), yielded
    outside it.
    Units: rad, m, Pa; h dimensionless; result N m.
    Range: twist >= 0, loaded once from zero, 0 <= h <= 0.2 (straight line after yield); the twist is even over
    the length; round section, no dent, no buckle.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, ch. 3, elastoplastic torsion (from memory); hardening derived.

    >>> round(torque_at_twist_nm(twist_rad=0.14812, length_m=1.2, shear_modulus_pa=77e9, shear_yield_pa=150e6,
    ...                          outer_m=0.05))
    4600
    """
    _check_bar(length_m, shear_modulus_pa, shear_yield_pa, outer_m, inner_m)
    _domain.non_negative(twist_rad=twist_rad)
    _domain.between(*HARDENING_RANGE, "from 0 to 0.2", hardening_ratio=hardening_ratio)
    rate = np.divide(twist_rad, length_m)
    ideal = _ideal_torque(rate, shear_modulus_pa, shear_yield_pa, outer_m, inner_m)
    elastic = shear_modulus_pa * _polar(outer_m, inner_m) * rate
    return _domain.as_result((1 - np.asarray(hardening_ratio)) * ideal + hardening_ratio * elastic)


@_domain.elementwise
def torque_from_residual_twist_nm(
    *,
    residual_twist_rad: float,
    length_m: float,
    shear_modulus_pa: float,
    shear_yield_pa: float,
    outer_m: float,
    inner_m: float = 0.0,
    hardening_ratio: float = 0.0,
) -> float:
    """Greatest torque that a tube or bar has seen, from the twist left in it after it sprang back.

    Formula: phi - T_i(phi) L / (G J) = phi_r / (1 - h), solved for phi; T = T(phi), which springs back by
    T L / (G J).
    Units: rad, m, Pa; h dimensionless; result N m.
    Range: phi_r > 0; as torque_at_twist_nm; springs back elastically. A dent or a buckle makes it meaningless.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Beer & Johnston, Mechanics of Materials, Example 3.09 (unloading, from memory); solved by halving.

    >>> import math
    >>> t = torque_from_residual_twist_nm(residual_twist_rad=math.radians(1.81), length_m=1.2,
    ...                                   shear_modulus_pa=77e9, shear_yield_pa=150e6, outer_m=0.05)
    >>> round(t / 1e3, 1)
    4.6
    """
    _check_bar(length_m, shear_modulus_pa, shear_yield_pa, outer_m, inner_m)
    _domain.positive(residual_twist_rad=residual_twist_rad)
    _domain.between(*HARDENING_RANGE, "from 0 to 0.2", hardening_ratio=hardening_ratio)
    wanted = np.divide(residual_twist_rad, length_m) / (1 - np.asarray(hardening_ratio))
    stiffness = shear_modulus_pa * _polar(outer_m, inner_m)
    bar = (shear_modulus_pa, shear_yield_pa, outer_m, inner_m)
    low = np.zeros(np.broadcast(wanted, stiffness, shear_yield_pa).shape)
    high = wanted + _ideal_torque(np.inf, *bar) / stiffness
    for _ in range(64):
        middle = (low + high) / 2
        beyond = middle - _ideal_torque(middle, *bar) / stiffness > wanted
        low, high = np.where(beyond, low, middle), np.where(beyond, middle, high)
    ideal = _ideal_torque(high, *bar)
    return _domain.as_result((1 - np.asarray(hardening_ratio)) * ideal + hardening_ratio * stiffness * high)


def torque_of_twist_nm(
    *,
    section: RoundSection,
    residual_twist_rad: Band,
    length_m: Band,
    shear_modulus_pa: Band,
    yield_pa: Band,
    hardening_ratio: Band = HARDENING,
) -> Reading:
    """Torque implied by the twist left in a tube or bar, as a band.

    Formula: torque_from_residual_twist_nm at all corners of the bands, shear yield S_y / sqrt 3; the low end is
    ideally plastic if the hardening band starts at 0.
    Units: rad, m, Pa; result N m.
    Range: as torque_from_residual_twist_nm. Hardening by default 0 to 0.03 (common practice, no source).
    Raises: ValueError if a band reaches 0 or leaves its range.
    Source: as torque_from_residual_twist_nm; von Mises for the shear yield.

    >>> read = torque_of_twist_nm(section=RoundSection(0.127, 0.1206), residual_twist_rad=Band(0.15, 0.17, 0.2),
    ...     length_m=Band.exactly(1.9), shear_modulus_pa=Band(79e9, 80e9, 81e9), yield_pa=Band(450e6, 480e6, 520e6))
    >>> [round(t / 1e3, 1) for t in read.band.corners]
    [20.0, 21.7, 24.4]
    """
    bands = {
        "residual_twist_rad": residual_twist_rad,
        "length_m": length_m,
        "shear_modulus_pa": shear_modulus_pa,
        "shear_yield_pa": yield_pa.scaled(tube.MISES_SHEAR_RATIO),
    }
    yield_pa.require_positive("yield_pa")
    for name, band in bands.items():
        band.require_positive(name)
    hardening_ratio.require_within("hardening_ratio", *HARDENING_RANGE)
    bands["hardening_ratio"] = hardening_ratio
    ends = np.array(list(product(*((band.low, band.high) for band in bands.values())))).T
    size = {"outer_m": section.outer_m, "inner_m": section.inner_m}
    torques = torque_from_residual_twist_nm(**dict(zip(bands, ends, strict=True)), **size)
    nominal = float(torque_from_residual_twist_nm(**{name: band.nominal for name, band in bands.items()}, **size))
    found = [*map(float, torques), nominal]
    band = Band(min(found), nominal, max(found))
    return Reading(band, _assumptions(section, yield_pa))


def _assumptions(section: RoundSection, yield_pa: Band) -> tuple[str, ...]:
    """What the reading of a twist rests on."""
    listed = [
        "The twist was put in once, in one sense; the part was straight and untwisted, and its yokes in phase, before.",
        "The twist is even over the length that was measured and none of it is in a joint, spline or weld.",
        "The tube is round: no dent, no buckle, no spiral fold.",
        "It sprang back elastically, and hardening after yield is a straight line within its band.",
        "Shear yield is 0.577 of the tensile yield (von Mises).",
    ]
    if section.inner_m and _may_buckle(section, yield_pa.high * tube.MISES_SHEAR_RATIO):
        listed.append("CAUTION: a wall this thin may buckle before it yields; the torque may then be lower.")
    return tuple(listed)


def _may_buckle(section: RoundSection, shear_yield: float) -> bool:
    """Whether a long tube would buckle near its shear yield (half the elastic value, for the scatter of tests)."""
    wall = (section.outer_m - section.inner_m) / 2
    elastic = tube.buckling_stress_long_tube_pa(outer_m=section.outer_m, wall_m=wall, youngs_pa=206e9)
    return elastic / 2 < shear_yield


def _check_bar(length_m: float, shear_modulus_pa: float, shear_yield_pa: float, outer_m: float, inner_m: float) -> None:
    """Refuse a bar without length, stiffness, strength or wall."""
    _domain.positive(length_m=length_m, shear_modulus_pa=shear_modulus_pa, shear_yield_pa=shear_yield_pa)
    _domain.ring(outer_m=outer_m, inner_m=inner_m)


def _polar(outer_m: float, inner_m: float) -> _domain.FloatArray:
    """Polar second moment of area, of arrays too."""
    result: _domain.FloatArray = np.pi / 32 * (np.asarray(outer_m) ** 4 - np.asarray(inner_m) ** 4)
    return result


def _ideal_torque(
    rate: "float | _domain.FloatArray", modulus: float, shear_yield: float, outer_m: float, inner_m: float
) -> _domain.FloatArray:
    """Torque at a twist per length of an elastic, then ideally plastic ring."""
    outside, inside = np.asarray(outer_m) / 2, np.asarray(inner_m) / 2
    with np.errstate(divide="ignore"):  # no twist: all elastic
        core = np.clip(np.asarray(shear_yield) / (modulus * np.asarray(rate)), inside, outside)
    slope = np.where(np.isinf(rate), 0.0, modulus * np.where(np.isinf(rate), 0.0, rate))
    elastic = np.pi / 2 * slope * (core**4 - inside**4)
    result: _domain.FloatArray = elastic + 2 * np.pi / 3 * shear_yield * (outside**3 - core**3)
    return result
