"""How strongly a driveline vibrates in torsion when a joint at an angle or an engine shakes it.

Steady vibration of a linear train about its steady turning. Amplitudes are complex, zero to peak, in the
sine convention: the motion is the imaginary part of amplitude times exp(i w t). Left out: lash, and the
stiffness that a joint makes swing with twice the turning (its zones of instability).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.torsional import TorsionalTrain

ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True)
class TorsionalDamping:
    """Damping of springs and stations; one number for all, or one for each.

    A spring has the damping constant k times spring_time_s [s], a station the drag J times
    station_rate_per_s [1/s]. Both at least 0.
    """

    spring_time_s: ArrayLike = 0.0
    station_rate_per_s: ArrayLike = 0.0


@dataclass(frozen=True)
class TorsionalResponse:
    """Complex amplitudes: angles of the stations [rad] and torques in the springs [N m], last axis."""

    angles_rad: ComplexArray
    spring_torques_nm: ComplexArray


def forced_response(
    *,
    train: TorsionalTrain,
    damping: TorsionalDamping,
    excitation_nm: ArrayLike,
    frequencies_rad_s: ArrayLike,
) -> TorsionalResponse:
    """Steady vibration under torques that act on the stations at given frequencies.

    Formula: (C^T k (1 + i w t) C - w^2 J + i w r J) th = T, C the twists of the springs; torque of a spring
    k (1 + i w t) times its twist.
    Units: N m (complex, one value per station on the last axis), rad/s; result rad, N m.
    Range: frequency > 0, damping >= 0. Undamped, the amplitude at a natural frequency has no bound.
    Raises: ValueError if a value is not finite or out of range, a length does not match the train, or an
    undamped train is driven just at a natural frequency.
    Source: Thomson, Theory of Vibration with Applications, ch. 6 (from memory).

    >>> from beachmark.mechanics.torsional import chain_train
    >>> train = chain_train(inertias_kg_m2=[1.0, 1.0], stiffnesses_nm_rad=[2.0])
    >>> found = forced_response(train=train, damping=TorsionalDamping(), excitation_nm=[1.0, 0.0],
    ...                         frequencies_rad_s=1.0)
    >>> found.angles_rad.real.round(6).tolist()
    [-0.333333, -0.666667]
    """
    loads = np.asarray(excitation_nm, dtype=np.complex128)
    _domain.finite(excitation_nm=loads.real)
    _domain.finite(excitation_nm=loads.imag)
    return _response(train, damping, _domain.as_list(frequencies_rad_s), loads, np.zeros(len(train.joined)))


def joint_order_response(
    *,
    train: TorsionalTrain,
    damping: TorsionalDamping,
    joint_springs: ArrayLike,
    angles_rad: ArrayLike,
    drive_yoke_angles_rad: ArrayLike,
    speeds_rad_s: ArrayLike,
    mean_torque_nm: float = 0.0,
) -> TorsionalResponse:
    """Steady vibration, twice a turn, that joints at an angle force on a train.

    Formula: each joint adds to the twist of its spring the lead tan^2(b/2) exp(2 i g) at w = 2 W, that is a
    relative acceleration of 4 W^2 tan^2(b/2), near W^2 b^2; and under a mean torque T it loads the station
    on its input side with -2 i T tan^2(b/2) exp(2 i g).
    Units: rad, rad/s, N m; joint_springs: numbers (from 0) of the springs that hold the joints, the spring's
    first station on the input side; g as in chain.drive_yoke_angles.
    Range: the train reduced to the shaft that holds the joints; small angles; W > 0; steady mean torque,
    greater than the swing found, or lash opens.
    Raises: ValueError if a value is not finite or out of range, or the lists do not match.
    Source: second order of the joint's exact series, theory of machines (derived); the torque term from the
    balance of power at the joint (derived, confirmed by integrating the motion).

    >>> from beachmark.mechanics.torsional import chain_train
    >>> train = chain_train(inertias_kg_m2=[1e9, 1e-3], stiffnesses_nm_rad=[1e6])
    >>> found = joint_order_response(train=train, damping=TorsionalDamping(), joint_springs=[0],
    ...                              angles_rad=[0.1], drive_yoke_angles_rad=[0.0], speeds_rad_s=100.0)
    >>> round(float(abs(found.angles_rad[1])) * 200.0**2, 1)  # near W^2 b^2 = 100 rad/s^2
    100.2
    """
    angles, yokes = _domain.as_list(angles_rad), _domain.as_list(drive_yoke_angles_rad)
    speeds, springs = _domain.as_list(speeds_rad_s), _domain.as_list(joint_springs)
    _domain.same_length(joint_springs=springs, angles_rad=angles, drive_yoke_angles_rad=yokes)
    _domain.joint_angle(angles_rad=angles)
    _domain.finite(drive_yoke_angles_rad=yokes, mean_torque_nm=mean_torque_nm)
    _domain.positive(speeds_rad_s=speeds)
    places = _places("joint_springs", springs, len(train.joined))
    inputs = np.array([train.joined[place][0] for place in places])
    lead = np.tan(angles / 2) ** 2 * np.exp(2j * yokes)
    twists, loads = np.zeros(len(train.joined), complex), np.zeros(len(train.inertias_kg_m2), complex)
    np.add.at(twists, places, lead)
    np.add.at(loads, inputs, -2j * mean_torque_nm * lead)
    return _response(train, damping, 2 * speeds, loads, twists)


def engine_order_response(
    *,
    train: TorsionalTrain,
    damping: TorsionalDamping,
    station: int,
    order: float,
    torque_nm: ArrayLike,
    speeds_rad_s: ArrayLike,
) -> TorsionalResponse:
    """Steady vibration that one order of the engine's torque forces on a train.

    Formula: forced_response with the torque on one station at w = order x W.
    Units: order in periods per turn; N m (amplitude of that order, one for all speeds or one for each),
    rad/s; station: its number, from 0.
    Range: the train reduced to the crankshaft; W > 0, order > 0 (orders.firing_order for the main one).
    Raises: ValueError if a value is not finite or out of range.
    Source: definition of an order; forced_response.

    >>> from beachmark.mechanics.torsional import chain_train
    >>> train = chain_train(inertias_kg_m2=[1.0, 1.0], stiffnesses_nm_rad=[2.0])
    >>> found = engine_order_response(train=train, damping=TorsionalDamping(), station=0, order=3.0,
    ...                               torque_nm=9.0, speeds_rad_s=[1.0, 2.0])
    >>> found.angles_rad.shape
    (2, 2)
    """
    speeds, torques = _domain.as_list(speeds_rad_s), _domain.as_list(torque_nm)
    _domain.positive(order=order, speeds_rad_s=speeds)
    _domain.finite(torque_nm=torques)
    place = _places("station", np.atleast_1d(float(station)), len(train.inertias_kg_m2))
    loads = np.zeros((*np.broadcast_shapes(speeds.shape, torques.shape), len(train.inertias_kg_m2)), complex)
    loads[..., place] = torques[..., None]
    return _response(train, damping, order * speeds, loads, np.zeros(len(train.joined)))


def _response(
    train: TorsionalTrain,
    damping: TorsionalDamping,
    frequencies: FloatArray,
    loads: ComplexArray,
    added_twists: NDArray[np.inexact],
) -> TorsionalResponse:
    """Return the steady vibration under torques on the stations and twists added to the springs."""
    _domain.positive(frequencies_rad_s=frequencies)
    twist, inertias = train.twist_matrix, np.array(train.inertias_kg_m2)
    times = _one_each("spring_time_s", damping.spring_time_s, len(train.joined))
    rates = _one_each("station_rate_per_s", damping.station_rate_per_s, inertias.size)
    if loads.shape[-1:] != inertias.shape:
        raise ValueError(f"excitation_nm has shape {loads.shape}; it must hold one value for each station.")
    w = frequencies[..., None]
    springs = np.array(train.stiffnesses_nm_rad) * (1 + 1j * w * times)
    stations = inertias * (1j * w * rates - w**2)
    dynamic = twist.T @ (springs[..., None] * twist) + stations[..., None] * np.eye(inertias.size)
    pushed = loads - (springs * added_twists) @ twist
    try:
        angles = np.linalg.solve(dynamic, pushed[..., None])[..., 0]
    except np.linalg.LinAlgError as singular:
        raise ValueError("frequencies_rad_s holds an undamped natural frequency; damping must be given.") from singular
    return TorsionalResponse(angles, springs * (angles @ twist.T + added_twists))


def _one_each(name: str, value: ArrayLike, count: int) -> FloatArray:
    """Return one number at least 0 for each of a count of elements, from one for all or one for each."""
    numbers = _domain.as_list(value)
    _domain.non_negative(**{name: numbers})
    if numbers.shape not in ((), (count,)):
        raise ValueError(f"{name} has shape {numbers.shape}; it must be one number or a list of {count}.")
    return np.broadcast_to(numbers, count)


def _places(name: str, numbers: FloatArray, count: int) -> NDArray[np.intp]:
    """Return whole numbers that count elements from 0."""
    allowed = f"a whole number from 0 to {count - 1}"
    _domain.between(0, count - 1, allowed, **{name: numbers})
    broken = numbers[numbers % 1 != 0]
    if broken.size:
        raise ValueError(f"{name} is {broken[0]:g}; it must be {allowed}.")
    return numbers.astype(np.intp)
