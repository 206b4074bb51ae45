"""What the seat, the rubber and the balls of a centre bearing make of the forces on it.

The forces themselves: ``centre_bearing_force``. Vectors: x rearward, y to the right-hand side, z up.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray

BALL_LIFE_EXPONENT = 3.0
_MILLION = 1e6


@dataclass(frozen=True)
class Misalignment:
    """Angle [rad] between inner and outer ring within a turn: least and greatest."""

    least_rad: float
    greatest_rad: float


@dataclass(frozen=True)
class AxialUse:
    """Travel of the shaft along itself and across [m], and the share of the free travel that is used up."""

    axial_m: float
    across_m: float
    share: float


@_domain.elementwise
def wobble_rad(*, face_runout_m: float, diameter_m: float) -> float:
    """Tilt of the inner ring's seat against the axis of rotation, from the runout of a face.

    Formula: atan(total dial reading / diameter of the circle it was read on).
    Units: m; result rad.
    Range: runout >= 0, diameter > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: geometry, derived.

    >>> round(wobble_rad(face_runout_m=0.1e-3, diameter_m=0.1) * 1e3, 3)
    1.0
    """
    _domain.non_negative(face_runout_m=face_runout_m)
    _domain.positive(diameter_m=diameter_m)
    return _domain.as_result(np.arctan(face_runout_m / diameter_m))


@_domain.elementwise_record
def misalignment(*, static_rad: float, wobble_rad: float) -> Misalignment:
    """Angle between the rings of the bearing within a turn: a skew seat and a wobbling inner ring together.

    Formula: |static - wobble| to static + wobble.
    Units: rad. Static: chain.joint_angle of the bracket's axis and the shaft. Wobble: wobble_rad.
    Range: both >= 0, their sum below pi/2. What a bearing and its rubber bear is for its maker to say.
    Raises: ValueError if an argument is not finite or out of range.
    Source: spherical geometry, derived.

    >>> misalignment(static_rad=0.75, wobble_rad=0.5)
    Misalignment(least_rad=0.25, greatest_rad=1.25)
    """
    _domain.non_negative(static_rad=static_rad, wobble_rad=wobble_rad)
    together = np.add(static_rad, wobble_rad)
    _domain.joint_angle(static_rad_and_wobble_rad=together)
    apart = np.abs(np.subtract(static_rad, wobble_rad))
    return Misalignment(least_rad=_domain.as_result(apart), greatest_rad=_domain.as_result(together))


def axial_use(
    *, movement_m: ArrayLike, shaft_direction: ArrayLike, set_offset_m: float, free_travel_m: float
) -> AxialUse:
    """Travel that a movement of the shaft against its bracket asks of the centre bearing.

    Formula: along = d . u; across = |d - (d . u) u|; share = |offset + along| / free travel to one side.
    Units: m (movement as (x, y, z), offset at fitting positive rearward, free travel to each side).
    Range: free travel > 0. Above 1 the bearing is pushed along: thrust on the balls, rubber sheared.
    Raises: ValueError if an argument is malformed, not finite or out of range.
    Source: geometry, derived.

    >>> use = axial_use(movement_m=[0.004, 0, 0.003], shaft_direction=[1, 0, 0], set_offset_m=0.002,
    ...                 free_travel_m=0.005)
    >>> use.axial_m, use.across_m, round(use.share, 3)
    (0.004, 0.003, 1.2)
    """
    _domain.finite(set_offset_m=set_offset_m)
    _domain.positive(free_travel_m=free_travel_m)
    moved, unit = _vector(movement_m=movement_m), _vector(shaft_direction=shaft_direction)
    _domain.positive(length_of_shaft_direction=float(np.linalg.norm(unit)))
    unit = unit / np.linalg.norm(unit)
    along = float(moved @ unit)
    across = float(np.linalg.norm(moved - along * unit))
    return AxialUse(axial_m=along, across_m=across, share=abs(set_offset_m + along) / free_travel_m)


@_domain.elementwise
def rubber_deflection_m(*, force_n: float, stiffness_n_m: float) -> float:
    """Deflection of the bearing's rubber under a steady force.

    Formula: F / k.
    Units: N, N/m; result m, magnitude.
    Range: k > 0; small against the rubber's thickness (rubber stiffens before it bottoms out). k spreads
    from 1e5 to 1e6 N/m between bearings and with age and cold (from memory, wide): measure it.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition of stiffness.

    >>> rubber_deflection_m(force_n=-600.0, stiffness_n_m=300e3)
    0.002
    """
    _domain.finite(force_n=force_n)
    _domain.positive(stiffness_n_m=stiffness_n_m)
    return _domain.as_result(np.abs(force_n) / stiffness_n_m)


@_domain.elementwise
def bounce_shaft_speed_rad_s(*, stiffness_n_m: float, mass_kg: float, order: float = 2.0) -> float:
    """Shaft speed at which an order meets the bounce of the bearing's mass on its rubber.

    Formula: sqrt(k / m) / order; frequency of the bounce itself: sqrt(k / m) / (2 pi).
    Units: N/m, kg (what the bearing carries of both shafts), order per turn; result rad/s.
    Range: all > 0; one rigid mass. Order 2: the joints' couples; order 1: unbalance.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: single-mass vibration (any vibration text), derived.

    >>> bounce_shaft_speed_rad_s(stiffness_n_m=400e3, mass_kg=10.0)
    100.0
    """
    _domain.positive(stiffness_n_m=stiffness_n_m, mass_kg=mass_kg, order=order)
    return _domain.as_result(np.sqrt(stiffness_n_m / mass_kg) / order)


@_domain.elementwise
def transmitted_ratio(*, excitation_rad_s: float, bounce_rad_s: float, loss_factor: float) -> float:
    """Force that reaches the cross member over the force that shakes the bearing.

    Formula: sqrt((1 + h^2) / ((1 - r^2)^2 + h^2)), r = excitation / bounce, h = loss factor.
    Units: rad/s (twice the shaft speed for the joints' second order); loss factor and result dimensionless.
    Range: excitation >= 0, bounce > 0, loss factor > 0 (rubber 0.1 to 0.2, from memory); stiff cross member.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Den Hartog, Mechanical Vibrations, with damping by loss factor (from memory).

    >>> round(transmitted_ratio(excitation_rad_s=200.0, bounce_rad_s=200.0, loss_factor=0.1), 2)
    10.05
    """
    _domain.non_negative(excitation_rad_s=excitation_rad_s)
    _domain.positive(bounce_rad_s=bounce_rad_s, loss_factor=loss_factor)
    ratio = excitation_rad_s / bounce_rad_s
    return _domain.as_result(np.sqrt((1 + loss_factor**2) / ((1 - ratio**2) ** 2 + loss_factor**2)))


@_domain.elementwise
def equivalent_ball_load_n(*, radial_n: float, axial_n: float, radial_factor: float, axial_factor: float) -> float:
    """Radial load that wears a ball bearing as fast as radial and axial load together.

    Formula: P = max(X Fr + Y Fa, Fr).
    Units: N; X and Y dimensionless, from the bearing's own table.
    Range: all >= 0.
    Raises: ValueError if an argument is not finite or negative.
    Source: ISO 281, dynamic equivalent radial load (from memory, clause not seen).

    >>> round(equivalent_ball_load_n(radial_n=2500.0, axial_n=1000.0, radial_factor=0.56, axial_factor=1.6), 6)
    3000.0
    """
    _domain.non_negative(radial_n=radial_n, axial_n=axial_n, radial_factor=radial_factor, axial_factor=axial_factor)
    return _domain.as_result(np.maximum(radial_factor * radial_n + axial_factor * axial_n, radial_n))


@_domain.elementwise
def ball_life_h(*, rating_n: float, load_n: float, speed_rad_s: float) -> float:
    """Life that nine of ten ball bearings reach.

    Formula: L10 = 1e6 (C / P)^3 turns, over the speed.
    Units: N, rad/s; result hours.
    Range: all > 0; clean, greased, straight: a skew seat, dirt or current marks end it far earlier.
    Raises: ValueError if an argument is not finite or not greater than 0.
    Source: ISO 281, basic rating life (from memory, clause not seen).

    >>> round(ball_life_h(rating_n=7350.0, load_n=3000.0, speed_rad_s=720 * math.pi / 30), 1)
    340.4
    """
    _domain.positive(rating_n=rating_n, load_n=load_n, speed_rad_s=speed_rad_s)
    turns = _MILLION * (rating_n / load_n) ** BALL_LIFE_EXPONENT
    return _domain.as_result(turns * 2 * math.pi / speed_rad_s / 3600)


def _vector(**named: ArrayLike) -> FloatArray:
    """Return one (x, y, z), refusing another shape and what is not finite."""
    ((name, value),) = named.items()
    row = _domain.as_list(value)
    _domain.finite(**{name: row})
    if row.shape != (3,):
        raise ValueError(f"{name} has shape {row.shape}; it must hold one (x, y, z).")
    return row
