"""The shafts of a case as springs with joints, and what their parts bear."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.positions import Address, in_words
from beachmark.driveline.train import Train
from beachmark.findings.angles import joint_bends
from beachmark.findings.asking import Asking
from beachmark.findings.measured import raised_by_proof
from beachmark.findings.phase import shaft_phases
from beachmark.findings.replay.numbers import ROWS, Numbers, Reals, ReplayPart, row
from beachmark.findings.strength import arm_yields, stub_yields, tube_yields
from beachmark.mechanics import chain
from beachmark.mechanics.replay import Coupling, Station
from beachmark.mechanics.tube import polar_moment_m4, torsional_stiffness_nm_rad

_SERIES_LIMIT_RAD = math.radians(44.0)


@dataclass(frozen=True)
class Line:
    """Stations and couplings from the gearbox output to the pinion, their values, and the parts on them."""

    stations: tuple[Station, ...]  # between the output and the pinion
    couplings: tuple[Coupling, ...]
    values: dict[str, Reals]
    parts: tuple[ReplayPart, ...]


def line_of(numbers: Numbers, train: Train, *, behind: str, before: str) -> Line:
    """The jointed shafts between two stations; each joint and the shaft behind it are one coupling."""
    names = [behind, *(f"shaft {n}" for n in range(1, len(train.shafts) + 1)), before]
    couplings = tuple(
        Coupling(name=joint_name(n), driving=names[n - 1], driven=(names[n],), jointed=True)
        for n in range(1, len(train.joints) + 1)
    )
    values = _values(numbers, train)
    return Line(
        stations=tuple(Station(name=name) for name in names[1:-1]),
        couplings=couplings,
        values=values,
        parts=_parts(numbers, train, [values[f"{part.name}.angle_rad"] for part in couplings]),
    )


def joint_name(number: int) -> str:
    """Name of the coupling of joint `number` with the shaft behind it."""
    return f"joint {number}"


def _values(numbers: Numbers, train: Train) -> dict[str, Reals]:
    """Stiffness, damping, angle and phase of every coupling, and the inertias between them."""
    angles, yokes = _joints(numbers, train)
    joint = numbers.usual("joint_stiffness", "twist stiffness of a joint with its yokes")
    pinion = numbers.usual("pinion_stiffness", "twist stiffness of the pinion shaft")
    damping = numbers.usual("spring_time", "damping over stiffness of steel parts")
    shafts = [_shaft(numbers, train, number) for number in range(1, len(train.shafts) + 1)]
    behind = [*(stiffness for stiffness, _ in shafts), pinion]
    found: dict[str, Reals] = {}
    for n, stiffness in enumerate(behind, start=1):
        name = joint_name(n)
        found[f"{name}.stiffness_nm_rad"] = 1.0 / (1.0 / joint + 1.0 / stiffness)
        found[f"{name}.spring_time_s"] = damping
        if abs(angles[0, n - 1]) > _SERIES_LIMIT_RAD:
            raise ValueError(f"the angle of joint {n} is above 44 degrees, more than the replay takes.")
        found[f"{name}.angle_rad"] = np.minimum(np.abs(angles[:, n - 1]), _SERIES_LIMIT_RAD)
        found[f"{name}.yoke_rad"] = yokes[:, n - 1]
    for n, (_, inertia) in enumerate(shafts, start=1):
        found[f"shaft {n}.inertia_kg_m2"] = inertia + _at_joint(numbers, train, n + 1)
    return found


def _at_joint(numbers: Numbers, train: Train, number: int) -> Reals:
    """Inertia of a joint with what is mounted on it."""
    joint, name = numbers.usual("joint_inertia", "inertia of a joint"), f"driveline.joints[{number - 1}].added_inertia"
    added = train.joint(number).added_inertia
    if added is None:
        return joint
    return joint + numbers.of(name, f"inertia mounted on joint {number}", added, "joint_inertia")


def inertia_at_output(numbers: Numbers, train: Train) -> Reals:
    """Inertia of the first joint with what is mounted on it, to be added to that of the gearbox output."""
    return _at_joint(numbers, train, 1)


def _shaft(numbers: Numbers, train: Train, number: int) -> tuple[Reals, Reals]:
    """Twist stiffness and inertia of one shaft: from its tube, else usual ones."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    tube, stated = shaft.tube, (shaft.length, shaft.tube.outer_diameter, shaft.tube.wall)
    inertia = numbers.of(f"{name}.inertia", f"inertia of shaft {number}", shaft.inertia, "shaft_inertia")
    if any(value is None for value in stated):
        return numbers.usual("shaft_stiffness", "twist stiffness of a shaft"), inertia
    length = numbers.of(f"{name}.length", "length between joint centres", shaft.length, "")
    outer = numbers.of(f"{name}.tube.outer_diameter", "tube outside diameter", tube.outer_diameter, "")
    wall = numbers.of(f"{name}.tube.wall", "tube wall", tube.wall, "")
    if np.any(outer <= 2 * wall):
        raise ValueError(f"{name}.tube.wall does not fit into the tube's diameter.")
    shear = numbers.usual("steel_shear_modulus", "shear modulus")
    density = numbers.usual("steel_density", "density")
    inner = outer - 2 * wall
    stiffness = np.asarray(
        torsional_stiffness_nm_rad(outer_m=outer, inner_m=inner, length_m=length, shear_modulus_pa=shear)
    )
    if shaft.inertia is None:
        inertia = density * length * np.asarray(polar_moment_m4(outer_m=outer, inner_m=inner))
    return stiffness, inertia


def _joints(numbers: Numbers, train: Train) -> tuple[Reals, Reals]:
    """Angles and driving-yoke angles of all joints, (ROWS, joints); usual angles in line where none is known."""
    part, joints = numbers.asking.part(), len(train.joints)
    bends = joint_bends(part, train)
    if bends is None:
        usual = numbers.usual("joint_angle", "working angle of a joint")
        angles = np.stack([_own_angle(numbers, train, n, usual) for n in range(1, joints + 1)], axis=1)
        planes = np.zeros((ROWS, joints))
    else:
        numbers.asking.inputs |= part.inputs
        angles, planes = bends.angles, bends.planes
    phases = shaft_phases(numbers.asking, train).rows
    return angles, chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=planes)


def _own_angle(numbers: Numbers, train: Train, number: int, usual: Reals) -> Reals:
    angle, name = train.joint(number).angle, f"driveline.joints[{number - 1}].angle"
    return usual if angle is None else np.abs(numbers.of(name, f"angle of joint {number}", angle, ""))


# ---- what the parts bear --------------------------------------------------------------------------------------


def _parts(numbers: Numbers, train: Train, angles: list[Reals]) -> tuple[ReplayPart, ...]:
    """Cross of every joint; tube and slip of every shaft. What they bear is told as torque of the driven side.

    A cross feels at most the torque over the cosine of its joint's angle: so much less torque it bears.
    """
    over = numbers.usual("fracture_over_yield", "torque at fracture over that at first yield")
    found = []
    for n in range(1, len(train.joints) + 1):
        cross = _part(numbers, _Kind("cross", "joint_capacity"), train, n, over)
        share = np.cos(angles[n - 1])
        found.append(replace(cross, yields_nm=cross.yields_nm * share, breaks_nm=cross.breaks_nm * share))
        if n <= len(train.shafts):
            found.append(_part(numbers, _Kind("tube", "shaft_capacity"), train, n, over))
            if train.shaft(n).slip is not None:
                found.append(_part(numbers, _Kind("slip", "slip_capacity"), train, n, over))
    return tuple(found)


@dataclass(frozen=True)
class _Kind:
    kind: str
    usual: str

    @property
    def strength(self) -> str:
        """Field of the strength on which what it bears rests, in the case file."""
        return {
            "cross": "driveline.joints[{i}].cross.yield_stress",
            "tube": "driveline.shafts[{i}].tube.yield_stress",
            "slip": "driveline.shafts[{i}].slip.yield_stress",
        }[self.kind]

    def at(self, number: int) -> Address:
        """Where the part is."""
        if self.kind == "cross":
            return Address("joint", number)
        return Address("shaft", number, "slip") if self.kind == "slip" else Address("shaft", number)


_YIELDS = {"cross": arm_yields, "tube": tube_yields, "slip": stub_yields}


def _part(numbers: Numbers, kind: _Kind, train: Train, number: int, over: Reals) -> ReplayPart:
    """One part with what it bears: computed from its sizes, else usual for the class of vehicle."""
    own = numbers.asking.part()
    found = _YIELDS[kind.kind](own, train, number)
    at = kind.at(number)
    because = ""
    if found is None:
        because = own.missing[0].words if own.missing else "its sizes"
        yields = numbers.usual(kind.usual, f"torque at which a {kind.kind} first yields")
    else:
        numbers.asking.inputs |= own.inputs
        because = _assumed_strength(own, kind, number)
        if kind.kind != "cross":  # that of a cross is raised where it is worked out
            proved = train.shaft(number).proved_torque
            found = raised_by_proof(numbers.asking, f"driveline.shafts[{number - 1}]", proved, found)
        yields = row(_at_least_something(found))
    words = f"{_WORDS[kind.kind]} of {in_words(Address(at.unit, at.number))}"
    return ReplayPart(
        f"{kind.kind}@{at}", kind.kind, at, words, joint_name(number), yields, yields * over, not because, because
    )


_WORDS = {"cross": "cross", "tube": "tube", "slip": "slip"}


def _assumed_strength(own: Asking, kind: _Kind, number: int) -> str:
    """What makes a computed strength an assumed one; nothing where the material was measured or stated."""
    value: Value | None = None
    name = kind.strength.format(i=number - 1)
    if name in own.inputs:
        value = own.inputs[name].value
    if value is None or value.known is Known.ASSUMED:
        return {
            "cross": "the hardness of its core",
            "tube": "the hardness of the tube",
            "slip": "the hardness of the stub's core",
        }[kind.kind]
    return ""


def _at_least_something(found: Spread) -> Spread:
    """What a part bears, never nothing: a draw at the very edge of what its sizes allow still divides a load."""
    if found.sample is None:
        return found
    return Spread(found.nominal, found.low, found.high, np.maximum(found.sample[:COUNT], 1e-6))
