"""Equations of motion of a train, part by part, written onto a sheet.

Source: Newton and the power balance of turning parts with gears and joints (derived). Each part takes out of its
driving side the power that it passes on, stores or loses: so the audit of energy in ``outcome`` adds up.
"""

import numpy as np

from beachmark.mechanics.replay.courses import add_courses
from beachmark.mechanics.replay.joint import lead_and_ratio
from beachmark.mechanics.replay.sheet import Sheet, inverse_of, inverse_or_zero
from beachmark.mechanics.replay.slipping import add_clutch, add_converter, add_tyre
from beachmark.mechanics.replay.sources import add_engine, add_outer_torque, add_vehicle
from beachmark.mechanics.replay.train import Coupling, Layout

LASH_RAMP_PER_RAD = 2000.0
"""Damping of a flank grows in over the first 0.5 mrad of its contact, so that it does not set in with a blow."""


def equations(layout: Layout) -> Sheet:
    """Sheet of a whole layout."""
    sheet = Sheet(layout)
    add_courses(sheet)
    for coupling in layout.couplings:
        _add_coupling(sheet, coupling)
    for clutch in layout.clutches:
        add_clutch(sheet, clutch)
    for converter in layout.converters:
        add_converter(sheet, converter)
    for tyre in layout.tyres:
        add_tyre(sheet, tyre)
    for engine in layout.engines:
        add_engine(sheet, engine)
    for torque in layout.outer_torques:
        add_outer_torque(sheet, torque)
    if layout.vehicle is not None:
        add_vehicle(sheet, layout.vehicle)
    _add_drags(sheet)
    _add_accelerations(sheet)
    return sheet


def _add_coupling(sheet: Sheet, part: Coupling) -> None:
    """Spring and damper between what the driving side asks for and what the driven side has turned."""
    asked, ratio = _behind_gear_and_joint(sheet, part)
    twist = sheet.line(f"{asked} - {_shared(sheet, part, 'q')}")
    rate = sheet.line(f"{ratio}*w{sheet.layout.place[part.driving]} - {_shared(sheet, part, 'w')}")
    stiffness = sheet.constant(f"{part.name}.stiffness_nm_rad")
    time = sheet.constant(f"{part.name}.spring_time_s")
    pressed = f"{twist} + {time}*{rate}"
    if part.lash:
        gap = sheet.constant(f"{part.name}.half_gap_rad")
        twist = sheet.line(f"hi({twist} - {gap}, 0.0) + lo({twist} + {gap}, 0.0)")
        damped = sheet.line(f"{twist} + {time}*{rate}*lo(1.0, {LASH_RAMP_PER_RAD}*mag({twist}))")
        pressed = f"pick({twist} > 0.0, hi({damped}, 0.0), lo({damped}, 0.0))"  # a flank can press, not pull
    torque = sheet.load(part.name, f"{stiffness}*({pressed})")
    capacity = f"{part.name}.capacity_nm"
    sheet.capacities[part.name] = sheet.constant(f"1/{capacity}", lambda values: inverse_or_zero(values[capacity]))
    sheet.push(part.driving, f"- {ratio}*{torque}")
    for name, share in zip(part.driven, _shares(sheet, part), strict=True):
        sheet.push(name, f"+ {share}*{torque}")
    sheet.damped.append(f"({torque} - {stiffness}*{twist})*{rate}")
    sheet.stored.append(f"0.5*{stiffness}*{twist}*{twist}")


def _behind_gear_and_joint(sheet: Sheet, part: Coupling) -> tuple[str, str]:
    """Return the angle that the driving side asks for behind gear and joint, and its rate over the driving speed."""
    angle, ratio = f"q{sheet.layout.place[part.driving]}", "1.0"
    if part.geared:
        ratio = sheet.constant(f"1/{part.name}.ratio", lambda values: 1.0 / values[f"{part.name}.ratio"])
        angle = sheet.line(f"{angle}*{ratio}")
    if not part.jointed:
        return angle, ratio
    yoke = sheet.constant(f"{part.name}.yoke_rad")
    bend = sheet.constant(f"e of {part.name}", lambda values: np.tan(values[f"{part.name}.angle_rad"] / 2) ** 2)
    lead, joint_ratio = lead_and_ratio(sheet.line(f"{angle} + {yoke}"), bend, sheet.line)
    return sheet.line(f"{angle} + {lead}"), sheet.line(f"{joint_ratio}*{ratio}")


def _shares(sheet: Sheet, part: Coupling) -> tuple[str, ...]:
    """Return what part of the torque goes to each driven station."""
    if len(part.driven) == 1:
        return ("1.0",)
    share = sheet.constant(f"{part.name}.first_share")
    return share, f"(1.0 - {share})"


def _shared(sheet: Sheet, part: Coupling, letter: str) -> str:
    """Return the angle or speed of the driven side; of an open differential, the mean by its shares."""
    places = [sheet.layout.place[name] for name in part.driven]
    if len(places) == 1:
        return f"{letter}{places[0]}"
    return f"({' + '.join(f'{s}*{letter}{n}' for s, n in zip(_shares(sheet, part), places, strict=True))})"


def _add_drags(sheet: Sheet) -> None:
    """Drag in proportion to speed on the stations that have it."""
    for station in sheet.layout.stations:
        if station.dragged:
            drag, speed = sheet.constant(f"{station.name}.drag_nm_s_rad"), f"w{sheet.layout.place[station.name]}"
            sheet.push(station.name, f"- {drag}*{speed}")
            sheet.damped.append(f"{drag}*{speed}*{speed}")


def _add_accelerations(sheet: Sheet) -> None:
    """Acceleration of every freedom: what pushes it over what must be moved."""
    for place, name in enumerate(sheet.layout.freedoms):
        vehicle = sheet.layout.vehicle is not None and name == sheet.layout.vehicle.name
        inertia = f"{name}.{'mass_kg' if vehicle else 'inertia_kg_m2'}"
        light = sheet.constant(f"1/{inertia}", inverse_of(inertia))
        sheet.rates.append(f"a{place} = {light}*(0.0 {' '.join(sheet.pushes.get(place, []))})")
