"""Which turning part a measured frequency belongs to."""

import math

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import elementwise


@elementwise
def order_frequency_hz(*, speed_rad_s: float, order: float) -> float:
    """Frequency of one order of a turning part.

    Formula: f = order x w / (2 pi).
    Units: rad/s; the order counts periods per revolution; result Hz.
    Range: speed >= 0, order > 0.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition.

    >>> round(order_frequency_hz(speed_rad_s=1800 * math.pi / 30, order=2), 6)
    60.0
    """
    _domain.non_negative(speed_rad_s=speed_rad_s)
    _domain.positive(order=order)
    return order * speed_rad_s / (2 * math.pi)


@elementwise
def order_of_frequency(*, frequency_hz: float, speed_rad_s: float) -> float:
    """Order that a measured frequency has on a part turning at a known speed.

    Formula: order = 2 pi f / w.
    Units: Hz, rad/s; result periods per revolution.
    Range: frequency >= 0, speed > 0 and steady while it was measured.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition.

    >>> round(order_of_frequency(frequency_hz=60.0, speed_rad_s=1800 * math.pi / 30), 6)
    2.0
    """
    _domain.non_negative(frequency_hz=frequency_hz)
    _domain.positive(speed_rad_s=speed_rad_s)
    return 2 * math.pi * frequency_hz / speed_rad_s


@elementwise
def shaft_speed_rad_s(*, road_speed_m_s: float, tyre_radius_m: float, axle_ratio: float) -> float:
    """Speed of the drive shaft at a road speed; with an axle ratio of 1, that of the wheel.

    Formula: w = v i / r.
    Units: m/s, m (rolling radius); result rad/s.
    Range: v >= 0, r > 0, i > 0; no tyre slip, straight ahead.
    Raises: ValueError if an argument is not finite or out of range.
    Source: definition.

    >>> w = shaft_speed_rad_s(road_speed_m_s=80 / 3.6, tyre_radius_m=0.505, axle_ratio=3.58)
    >>> round(w * 30 / math.pi, 1)
    1504.4
    """
    _domain.non_negative(road_speed_m_s=road_speed_m_s)
    _domain.positive(tyre_radius_m=tyre_radius_m, axle_ratio=axle_ratio)
    return road_speed_m_s * axle_ratio / tyre_radius_m


@elementwise
def firing_order(*, cylinders: int) -> float:
    """Order of the firing of a four-stroke engine on its crankshaft.

    Formula: z / 2.
    Units: periods per revolution.
    Range: four-stroke, evenly spaced firing, all cylinders working.
    Raises: ValueError if the number of cylinders is not finite or not greater than 0.
    Source: definition.

    >>> firing_order(cylinders=6)
    3.0
    """
    _domain.positive(cylinders=cylinders)
    return cylinders / 2
