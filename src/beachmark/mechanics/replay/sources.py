"""Lines for what drives or holds a train from outside: engine, other torques, grade, hole, kerb, vehicle brake.

Source: definitions; the shapes of governor, hole and kerb are plain assumptions (no source).
"""

import math

import numpy as np

from beachmark.mechanics.replay.courses import course
from beachmark.mechanics.replay.sheet import Sheet, inverse_of
from beachmark.mechanics.replay.slipping import add_slider, table
from beachmark.mechanics.replay.train import Engine, OuterTorque, Vehicle

GRAVITY_M_S2 = 9.80665
"""Standard gravity (ISO 80000-3, from memory)."""
_HOLE = 1.5 * math.sqrt(3.0)
_STOPS_BELOW_RAD_S = 10.0
"""Below this speed an engine's own drag and idle governor fade out, so that it can come to rest."""


def add_engine(sheet: Sheet, part: Engine) -> None:
    """Throttle times full-load torque up to the governed speed, idle governor, drag."""
    speed, name = f"w{sheet.layout.place[part.station]}", part.name
    full = table(sheet, f"{name}.speed_rad_s", f"{name}.full_load_nm", part.knots, speed)
    end, band = f"{name}.governed_rad_s", f"{name}.governor_band_rad_s"
    top = sheet.constant(f"top of {name}", lambda values: values[end] + values[band])
    per = sheet.constant(f"1/{band}", lambda values: 1.0 / values[band])
    governed = f"hi(0.0, lo(1.0, ({top} - {speed})*{per}))"
    alive = sheet.line(f"hi(-1.0, lo(1.0, {speed}*{1 / _STOPS_BELOW_RAD_S!r}))")
    idle, gain, most, drag, viscous = (
        sheet.constant(f"{name}.{quantity}")
        for quantity in ("idle_rad_s", "idle_gain_nm_s_rad", "idle_greatest_nm", "drag_nm", "drag_nm_s_rad")
    )
    idling = f"lo({most}, hi(0.0, {gain}*({idle} - {speed})))*hi(0.0, {alive})"
    fired = f"{course(sheet, f'{name}.throttle', '')}*{full}*{governed} + {idling}"
    add_torque(sheet, part.station, f"{fired} - {drag}*{alive} - {viscous}*{speed}")


def add_outer_torque(sheet: Sheet, part: OuterTorque) -> None:
    """Torque that follows a course of time."""
    add_torque(sheet, part.station, course(sheet, f"{part.name}.torque", "_nm"))


def add_torque(sheet: Sheet, freedom: str, expression: str) -> None:
    """Write a torque or force from outside; its power counts as work done on the train."""
    torque = sheet.line(expression)
    sheet.push(freedom, f"+ {torque}")
    sheet.work.append(f"{torque}*w{sheet.layout.place[freedom]}")


def add_vehicle(sheet: Sheet, part: Vehicle) -> None:
    """Grade, hole and kerb, and the brake of the axles that are not driven."""
    mass, grade = f"{part.name}.mass_kg", f"{part.name}.grade_rad"
    weight = sheet.constant(
        f"grade of {part.name}", lambda values: -GRAVITY_M_S2 * values[mass] * np.sin(values[grade])
    )
    terms = [weight, *(_obstacles(sheet, part) if part.obstacle else ())]
    add_torque(sheet, part.name, " - ".join(terms))
    if part.braked:
        capacity = sheet.line(f"hi(0.0, {course(sheet, f'{part.name}.brake', '_n')})")
        spring = (f"{part.name}.brake_stiffness_n_m", f"{part.name}.brake_damping_n_s_m")
        slid, speed, force = add_slider(sheet, [sheet.layout.place[part.name]], spring, capacity)
        sheet.push(part.name, f"- {force}")
        sheet.losses[part.name] = f"{force}*{speed} - {sheet.constant(spring[0])}*{slid}*d{slid}"


def _obstacles(sheet: Sheet, part: Vehicle) -> list[str]:
    """Return the forces against the motion: a hole pulls back from both sides, a kerb resists where it stands.

    Both reach one length to either side of their place. Hole: u (1 - u^2) over its greatest value; kerb: 1 - |u|.
    """
    travelled, found = f"q{sheet.layout.place[part.name]}", []
    for kind in ("hole", "kerb"):
        force, at = sheet.constant(f"{part.name}.{kind}_n"), sheet.constant(f"{part.name}.{kind}_place_m")
        length = f"{part.name}.{kind}_length_m"
        per = sheet.constant(f"1/{length}", inverse_of(length))
        away = sheet.line(f"({travelled} - {at})*{per}")
        shape = f"{_HOLE!r}*{away}*hi(0.0, 1.0 - {away}*{away})" if kind == "hole" else f"hi(0.0, 1.0 - mag({away}))"
        found.append(f"{force}*{shape}")
    return found
