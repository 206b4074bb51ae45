"""The whole driveline in bending: critical speeds with joints, slip, soft ends and centre bearings, and margins."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.ranges import ratio, spread, spread_of_costly
from beachmark.findings.results import HeldAgainst, Missing, Quantity, Sum
from beachmark.findings.speed import shaft_speed_at
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.beam import BeamLine, CriticalSpeeds, PointMass, Section, Spring, WhirlModes, critical_speeds

ID = "sum.whirl_line"
TITLE = "Critical speeds of the whole driveline"
_METHOD = (
    "Timoshenko beam elements with stepped shafts, joints as hinges, masses of joints and slip, soft ends and the "
    "rubber of centre bearings; whirl forward with gyroscopic action; half-critical where twice the speed meets it"
)
_SOURCE = (
    "Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (from memory); agrees with an open rotor "
    "dynamics library on four lines within 0.01 % on the same mesh"
)
_VALIDITY = (
    "shafts nearly in line, supports alike in all directions, no damping; a centre bearing that bounces in its rubber "
    "is damped and is usually passed without harm"
)
_END = {"gearbox_end": "gearbox output", "axle_end": "axle pinion"}
_ELEMENTS = 4  # of a shaft; the lowest whirl is then less than 0.1 % off a fine mesh
_STEPS = 40  # speeds of the diagram

Numbers = tuple[tuple[str, float], ...]


def whirl_line_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Critical speeds of the whole line and how near each gear, the road speed and an overspeed come to them."""
    asking, at = Asking(knowledge), Address("train")
    values = _line_values(asking, train)
    if values is None:
        return [asking.lacking(ID, TITLE, at)]
    lowest = _speed_of(train, values, bounce=False)
    half = _half(train, values, lowest)
    results = [
        Quantity(f"lowest bending critical speed, where {_where(train, values)}", lowest, "rotation", "rpm"),
        Quantity("half-critical: twice a turn meets it", half, "rotation", "rpm"),
        *_bounces(train, values),
    ]
    shares = _shares(asking, vehicle, lowest)
    limit = knowledge.limits["whirl_ratio"]
    return [
        Sum(
            id=ID,
            title=TITLE,
            at=at,
            inputs=tuple(asking.inputs.values()),
            results=(*shares[:1], *results, *shares[1:]),
            held_against=HeldAgainst(limit.words, limit.value) if shares else None,
            sentence=_sentence(shares, limit.si) + _half_words(asking, vehicle, half),
            method=_METHOD,
            source=_SOURCE,
            validity=_VALIDITY,
        )
    ]


def nominal_line(knowledge: Knowledge, train: Train) -> BeamLine | None:
    """The beam model with every input at its nominal value, for the speed diagram; None when tubes are not known."""
    values = _line_values(Asking(knowledge), train)
    return _nominal(train, values) if values else None


def _line_values(asking: Asking, train: Train) -> dict[str, Value] | None:
    """Every input of the beam model by its name in the case file, or None with what is missing noted."""
    asked: dict[str, Value | None] = {}

    def need(name: str, words: str, value: Value | None, typical: str = "") -> None:
        asked[name] = asking.need(name, words, value, typical)

    for end, piece in (("gearbox_end", train.gearbox_end), ("axle_end", train.axle_end)):
        stiffness, mass = piece.radial_stiffness, piece.mass
        need(f"driveline.{end}.radial_stiffness", f"radial stiffness of the {_END[end]}", stiffness, "end_stiffness")
        need(f"driveline.{end}.mass", f"mass of the flange on the {_END[end]}", mass, "end_mass")
    for i, joint in enumerate(train.joints):
        need(f"driveline.joints[{i}].mass", "mass of a joint with its yokes", joint.mass, "joint_mass")
    for i, shaft in enumerate(train.shafts):
        name = f"driveline.shafts[{i}]"
        need(f"{name}.length", "length between joint centres", shaft.length)
        need(f"{name}.tube.outer_diameter", "tube outside diameter", shaft.tube.outer_diameter)
        need(f"{name}.tube.wall", "tube wall", shaft.tube.wall)
        need(f"{name}.tube.youngs_modulus", "Young's modulus", shaft.tube.youngs_modulus, "steel_youngs_modulus")
        need(f"{name}.tube.density", "density", shaft.tube.density, "steel_density")
        if shaft.slip is not None:
            need(f"{name}.slip.mass", "mass of the slip", shaft.slip.mass, "slip_mass")
            need(f"{name}.slip.position", "slip behind the joint before it", shaft.slip.position, "slip_position")
        if shaft.support and i < len(train.shafts) - 1:
            held, base = shaft.centre_bearing, f"{name}.centre_bearing"
            words = "centre bearing before the joint behind it"
            need(f"{base}.position", words, held.position, "centre_bearing_position")
            need(f"{base}.mass", "mass of the centre bearing that moves", held.mass, "centre_bearing_mass")
            stiffness = held.radial_stiffness
            need(f"{base}.radial_stiffness", "rubber of the centre bearing", stiffness, "centre_bearing_stiffness")
    found = {name: value for name, value in asked.items() if value is not None}
    loose = [i for i, shaft in enumerate(train.shafts[:-1]) if not shaft.support]
    asking.missing += [
        Missing(f"driveline.shafts[{i}].support", f"a centre bearing behind shaft {i + 1}") for i in loose
    ]
    outside = _outside(found, len(train.shafts))
    asking.missing += outside
    return found if len(found) == len(asked) and not loose and not outside else None


def _outside(found: Mapping[str, Value], shafts: int) -> list[Missing]:
    """Places of slips and centre bearings that do not lie on their shaft."""
    lacking = []
    for i in range(shafts):
        name = f"driveline.shafts[{i}]"
        length = found.get(f"{name}.length")
        for key, words in (("slip.position", "slip"), ("centre_bearing.position", "centre bearing")):
            place = found.get(f"{name}.{key}")
            if place is not None and length is not None and place.high > length.low:
                lacking.append(Missing(f"{name}.{key}", f"a place of the {words} that lies on shaft {i + 1}"))
    return lacking


def _line(train: Train, si: Mapping[str, float]) -> BeamLine:
    sections, masses, supports = [], [], []
    last = len(train.shafts) - 1
    for i, shaft in enumerate(train.shafts):
        name = f"driveline.shafts[{i}]"
        length, outer = si[f"{name}.length"], si[f"{name}.tube.outer_diameter"]
        inner = outer - 2 * si[f"{name}.tube.wall"]
        tube = Section(
            outer_m=outer,
            inner_m=inner,
            length_m=length,
            youngs_pa=si[f"{name}.tube.youngs_modulus"],
            density_kg_m3=si[f"{name}.tube.density"],
        )
        sections.append((tube,))
        masses.append(PointMass(shaft=i, position_m=0.0, mass_kg=si[f"driveline.joints[{i}].mass"]))
        if shaft.slip is not None:
            place = si[f"{name}.slip.position"]
            masses.append(PointMass(shaft=i, position_m=place, mass_kg=si[f"{name}.slip.mass"]))
        if shaft.support and i < last:
            base = f"{name}.centre_bearing"
            supports.append(
                Spring(
                    shaft=i,
                    position_m=length - si[f"{base}.position"],
                    radial_n_m=si[f"{base}.radial_stiffness"],
                    mass_kg=si[f"{base}.mass"],
                )
            )
    rear = si[f"driveline.shafts[{last}].length"]
    masses.append(PointMass(shaft=last, position_m=rear, mass_kg=si[f"driveline.joints[{last + 1}].mass"]))
    for end, shaft_number, place in (("gearbox_end", 0, 0.0), ("axle_end", last, rear)):
        stiffness, mass = si[f"driveline.{end}.radial_stiffness"], si[f"driveline.{end}.mass"]
        supports.append(Spring(shaft=shaft_number, position_m=place, radial_n_m=stiffness, mass_kg=mass))
    return BeamLine(
        shafts=tuple(sections), masses=tuple(masses), supports=tuple(supports), elements_per_shaft=_ELEMENTS
    )


@lru_cache(maxsize=4096)
def _criticals(line: BeamLine, order: float) -> CriticalSpeeds:
    return critical_speeds(line=line, order=order, count=2 * len(line.shafts) + 1)


def moves(line: BeamLine, modes: WhirlModes, mode: int) -> tuple[str, bool]:
    """What moves in a mode, and whether that is more than a bounce in the rubber of a centre bearing."""
    part, rubbers = modes.dominant[mode], len(line.supports) - 2  # the two ends stand last
    if part.kind == "support" and part.index < rubbers:
        return f"bounce on bearing {part.index + 1}", False
    if part.kind == "support":
        return ("gearbox end moves", "axle end moves")[part.index - rubbers], True
    return f"shaft {int(np.argmax(modes.shaft_shares[mode])) + 1} bends", True


def _lowest(line: BeamLine, order: float, *, bounce: bool) -> tuple[float, str]:
    """Speed and mover of the lowest whirl that bends the line, or that bounces in the rubber of a centre bearing."""
    found = _criticals(line, order)
    for mode, speed in enumerate(found.spins_rad_s):
        words, bends = moves(line, found.modes, mode)
        if bends is not bounce:
            return float(speed), words
    return math.nan, ""


def _speed_of(train: Train, values: Mapping[str, Value], *, bounce: bool) -> Spread:
    """Speed of the lowest whirl of a kind; names of the case file cannot be argument names, so they are numbered."""
    names = {f"x{i}": name for i, name in enumerate(values)}

    def at(**numbers: float) -> float:
        return _lowest(_line(train, {names[key]: number for key, number in numbers.items()}), 1.0, bounce=bounce)[0]

    return spread_of_costly(at, **{key: values[name] for key, name in names.items()})


def _nominal(train: Train, values: Mapping[str, Value]) -> BeamLine:
    return _line(train, {name: value.si for name, value in values.items()})


def _half(train: Train, values: Mapping[str, Value], lowest: Spread) -> Spread:
    """Speed at which twice the speed meets the lowest whirl: its range is in proportion that of the critical speed."""
    share = _lowest(_nominal(train, values), 2.0, bounce=False)[0] / lowest.nominal
    return spread(lambda lowest: lowest * share, lowest=lowest)


def _where(train: Train, values: Mapping[str, Value]) -> str:
    return _lowest(_nominal(train, values), 1.0, bounce=False)[1]


def _bounces(train: Train, values: Mapping[str, Value]) -> list[Quantity]:
    """Speed at which the line bounces in the rubber of its centre bearings; nothing without any."""
    if not any(shaft.support for shaft in train.shafts[:-1]):
        return []
    found = _speed_of(train, values, bounce=True)
    return (
        []
        if math.isnan(found.nominal + found.low)
        else [Quantity("bounce on the centre bearing", found, "rotation", "rpm")]
    )


def _shares(asking: Asking, vehicle: Vehicle, lowest: Spread) -> tuple[Quantity, ...]:
    """Speed reached over the lowest critical speed, the nearest first: every gear, top road speed, downhill."""
    reached = [*gear_speeds(asking, vehicle), *_road_speeds(asking, vehicle)]
    found = [Quantity(f"{words}, over critical", ratio(speed, lowest), "number") for words, speed in reached]
    return tuple(sorted(found, key=lambda one: -one.spread.nominal))


def gear_speeds(asking: Asking, vehicle: Vehicle) -> list[tuple[str, Spread]]:
    """Greatest shaft speed in each known gear above the lowest, at governed engine speed."""
    gearbox = vehicle.gearbox
    engine = asking.take("vehicle.engine.governed_speed", "governed engine speed", vehicle.engine.governed_speed)
    gears = [(f"vehicle.gearbox.gears[{i}].ratio", "gear ratio", gear.ratio) for i, gear in enumerate(gearbox.gears)]
    gears.append(("vehicle.gearbox.top_gear", "top gear ratio", gearbox.top_gear))
    gears.sort(key=lambda gear: -(gear[2].si if gear[2] else 0.0))  # the lowest gear first
    found: list[tuple[str, Spread]] = []
    for name, words, stated in gears:
        if stated is not None and any(f"{stated.si:.2f}" in told for told, _ in found):
            continue  # the top gear may stand in the list as well
        ratio_of = asking.take(name, words, stated) if engine is not None else None
        if engine is not None and ratio_of is not None:
            speed = spread(lambda engine, gear: engine / gear, engine=engine, gear=ratio_of)
            found.append((f"governed speed in the gear of {ratio_of.si:.2f}", speed))
    return found


def _road_speeds(asking: Asking, vehicle: Vehicle) -> list[tuple[str, Spread]]:
    duty = vehicle.duty
    stated = (
        ("top_speed", "top road speed", duty.top_speed),
        ("overspeed", "greatest road speed downhill", duty.overspeed),
    )
    found = []
    for name, words, road in stated:
        part = asking.part()
        speed = shaft_speed_at(part, vehicle, road, name, words)
        if speed is not None:
            asking.inputs |= part.inputs
            found.append((words, speed))
    return found


def _half_words(asking: Asking, vehicle: Vehicle, half: Spread) -> str:
    """Whether a speed that is reached passes the half-critical one, where joint couples and weight shake the line."""
    reached = [speed for _, speed in (*gear_speeds(asking.part(), vehicle), *_road_speeds(asking.part(), vehicle))]
    if not reached:
        return ""
    fastest = max(reached, key=lambda speed: speed.nominal)
    if fastest.high < half.low:
        return " The half-critical speed is not reached."
    if fastest.low > half.high:
        return " The half-critical speed is passed on the way: at large joint angles a shake there is ordinary."
    return " Whether the half-critical speed is reached is open: its range holds the fastest speed."


def _sentence(shares: tuple[Quantity, ...], limit: float) -> str:
    if not shares:
        return "No speed is known that the shafts reach, so no margin is said."
    worst = max(shares, key=lambda one: one.spread.nominal)
    share = worst.spread.nominal
    words = worst.words.removesuffix(", over critical")
    if worst.spread.low > limit:
        return f"The nearest approach, {words}, is {share:.2f} of the lowest critical speed: nearer than is accepted."
    if worst.spread.high <= limit:
        return f"The nearest approach, {words}, is {share:.2f} of the lowest critical speed: within what is accepted."
    return (
        f"The nearest approach, {words}, is {share:.2f} of the lowest critical speed; its range straddles what is "
        "accepted, so the widest input is worth measuring."
    )
