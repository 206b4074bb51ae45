"""Where a train starts: angles in which no spring is twisted, and speeds that fit together.

Angles run down from the stations that no coupling drives. Speeds run up from the wheels, so that joints that are just
then fast or slow do not set wheels and vehicle against each other; what has no wheel behind it takes its speed from
its driving side.
"""

import numpy as np

from beachmark.mechanics import hooke
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.train import Coupling


def start_state(draws: Draws) -> tuple[FloatArray, FloatArray]:
    """Angles [rad] and speeds [rad/s] of all freedoms (vehicle: m, m/s) at the start, one row each."""
    angles = _angles(draws)
    speeds = _speeds(draws, angles)
    names = [station.name for station in draws.layout.stations]
    rows = np.array([angles[name] for name in names]), np.array([speeds[name] for name in names])
    if draws.layout.vehicle is None:
        return rows
    start = draws[f"{draws.layout.vehicle.name}.start_speed_m_s"]
    return np.vstack((rows[0], np.zeros(len(draws)))), np.vstack((rows[1], start))


def _angles(draws: Draws) -> dict[str, FloatArray]:
    """Angle of every station, springs untwisted."""
    angles = {name: draws[f"{name}.start_angle_rad"] for name in draws.layout.roots}
    for part in draws.layout.from_the_engine:
        angle = angles[part.driving] / (draws[f"{part.name}.ratio"] if part.geared else 1.0)
        if part.jointed:
            yoke, bend = draws[f"{part.name}.yoke_rad"], draws[f"{part.name}.angle_rad"]
            angle = hooke.driven_angle(angle_rad=bend, drive_angle_rad=angle + yoke) - yoke
        if part.lash:
            angle = angle - draws[f"{part.name}.start_rad"]
        angles.update(dict.fromkeys(part.driven, angle))
    return angles


def _speeds(draws: Draws, angles: dict[str, FloatArray]) -> dict[str, FloatArray]:
    """Speed of every station."""
    speeds = {tyre.wheel: draws[f"{tyre.wheel}.start_speed_rad_s"] for tyre in draws.layout.tyres}
    for part in reversed(draws.layout.from_the_engine):
        if part.driving not in speeds and all(name in speeds for name in part.driven):
            speeds[part.driving] = _mean(draws, part, speeds) / speed_ratio(draws, part, angles[part.driving])
    for name in draws.layout.roots:
        speeds.setdefault(name, draws[f"{name}.start_speed_rad_s"])
    for part in draws.layout.from_the_engine:
        for name in part.driven:
            if name not in speeds:
                speeds[name] = speeds[part.driving] * speed_ratio(draws, part, angles[part.driving])
    return speeds


def _mean(draws: Draws, part: Coupling, speeds: dict[str, FloatArray]) -> FloatArray:
    """Speed of the driven side: of an open differential, the mean by its shares."""
    if len(part.driven) == 1:
        return speeds[part.driven[0]]
    share = draws[f"{part.name}.first_share"]
    return share * speeds[part.driven[0]] + (1 - share) * speeds[part.driven[1]]


def speed_ratio(draws: Draws, part: Coupling, driving_angle: FloatArray) -> FloatArray:
    """Speed that a coupling asks of its driven side over that of its driving side."""
    ratio = 1.0 / draws[f"{part.name}.ratio"] if part.geared else np.ones(len(draws))
    if not part.jointed:
        return ratio
    drive_angle = driving_angle * ratio + draws[f"{part.name}.yoke_rad"]
    return ratio * hooke.speed_ratio(angle_rad=draws[f"{part.name}.angle_rad"], drive_angle_rad=drive_angle)
