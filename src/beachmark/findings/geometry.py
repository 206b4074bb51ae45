"""Joint angles, torsional and inertia excitation, and what turning the slip into line would do."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.results import Input, Missing, Quantity, Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain

Reals = npt.NDArray[np.float64]
_ANGLE_METHOD = "angle between the directions of the two shafts in space, from side and plan view"
_EXCITATION_SOURCE = (
    "SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory); the rule without a factor 2 is "
    "confirmed by a reprinted table of that manual, section 3.1.1, and by exact simulation of the chain"
)
_SMALL_ANGLES = "holds for joint angles below about 20 degrees (2.5 % low there)"
_LARGEST_ANGLE = math.radians(20)


@dataclass(frozen=True)
class Bends:
    """Angle and bend plane of every joint with their inputs. `coplanar`: planes were taken as one."""

    angles: tuple[Spread, ...]
    planes: Reals
    inputs: tuple[Input, ...]
    assumptions: tuple[str, ...]


def joint_bends(train: Train) -> Bends | tuple[Missing, ...]:
    """Angles and bend planes from slopes where all are known, else from angles measured at the joints."""
    missing = _missing_slopes(train)
    if not missing:
        return _from_slopes(train)
    if all(joint.angle is not None for joint in train.joints):
        return _from_joint_angles(train)
    return missing


def _pieces(train: Train) -> list[tuple[str, str, End | Shaft]]:
    names = [f"driveline.shafts[{i}]" for i in range(len(train.shafts))]
    words = [f"shaft {i + 1}" for i in range(len(train.shafts))]
    return [
        ("driveline.gearbox_end", "gearbox output", train.gearbox_end),
        *zip(names, words, train.shafts, strict=True),
        ("driveline.axle_end", "axle pinion", train.axle_end),
    ]


def _missing_slopes(train: Train) -> tuple[Missing, ...]:
    return tuple(
        Missing(f"{name}.slope", f"slope of the {words} in side view")
        for name, words, piece in _pieces(train)
        if piece.slope is None
    )


def _from_slopes(train: Train) -> Bends:
    inputs: list[Input] = []
    assumptions: list[str] = []
    for name, words, piece in _pieces(train):
        for view in ("slope", "plan"):
            value = getattr(piece, view)
            if value is not None:
                inputs.append(Input(f"{name}.{view}", f"{view} of the {words}", value))
    if not any(piece.plan is not None for _, _, piece in _pieces(train)):
        assumptions.append("no plan-view angle is stated: the driveline is taken as straight seen from above")
    slopes = [piece.slope or _LEVEL for _, _, piece in _pieces(train)]
    plans = [piece.plan or _LEVEL for _, _, piece in _pieces(train)]
    nominal = _directions([s.si for s in slopes], [p.si for p in plans])
    angles = tuple(_angle_spread(slopes, plans, joint) for joint in range(len(train.joints)))
    return Bends(angles, chain.bend_planes(directions=nominal), tuple(inputs), tuple(assumptions))


_LEVEL = Value.exact(0.0, "angle", Known.ASSUMED, "straight ahead")


def _directions(slopes: Sequence[float], plans: Sequence[float]) -> Reals:
    return np.array([chain.direction(slope_rad=s, plan_rad=p) for s, p in zip(slopes, plans, strict=True)])


def _angle_spread(slopes: Sequence[Value], plans: Sequence[Value], joint: int) -> Spread:
    """Joint angle with the range that the errors of its two shafts allow (corners of the four readings)."""
    near = [slopes[joint], slopes[joint + 1], plans[joint], plans[joint + 1]]
    corners = np.array(np.meshgrid(*[sorted({v.low, v.si, v.high}) for v in near])).reshape(4, -1).T
    found = [_two_shaft_angle(*corner) for corner in corners]
    return Spread(_two_shaft_angle(*(v.si for v in near)), min(found), max(found))


def _two_shaft_angle(slope_a: float, slope_b: float, plan_a: float, plan_b: float) -> float:
    before, after = _directions([slope_a, slope_b], [plan_a, plan_b])
    return chain.joint_angle(before=before, after=after)


def _from_joint_angles(train: Train) -> Bends:
    known = [joint.angle for joint in train.joints if joint.angle is not None]
    inputs = [Input(f"driveline.joints[{i}].angle", f"angle of joint {i + 1}", angle) for i, angle in enumerate(known)]
    planes = [joint.bend_plane.si if joint.bend_plane else 0.0 for joint in train.joints]
    stated = any(joint.bend_plane for joint in train.joints)
    assumption = "the angles were measured at the joints and are taken to lie in one plane"
    angles = tuple(magnitude(angle) for angle in known)
    return Bends(angles, np.array(planes), tuple(inputs), () if stated else (assumption,))


def magnitude(angle: Value) -> Spread:
    """Size of a joint angle whatever its sign; a range that crosses zero reaches down to zero."""
    ends = abs(angle.low), abs(angle.high)
    return Spread(abs(angle.si), 0.0 if angle.low <= 0.0 <= angle.high else min(ends), max(ends))


@dataclass(frozen=True)
class Phases:
    """Phase of each shaft's rear yoke: nominal, and every combination of the ends of their ranges."""

    nominal: Reals  # (shafts,)
    options: Reals  # (rows, shafts), the nominal among them
    inputs: tuple[Input, ...]

    @property
    def in_line(self) -> Phases:
        """The same shafts with every rear yoke in line with its front yoke."""
        level = np.zeros_like(self.nominal)
        return Phases(level, level[None, :], self.inputs)


def shaft_phases(train: Train) -> Phases:
    """Phase of each shaft's rear yoke; one tooth out of n is a turn of 360/n degrees, not known is in line."""
    known = [_phase(i, shaft) for i, shaft in enumerate(train.shafts)]
    values = [given.value if given else _LEVEL for given in known]
    ends = [sorted({value.low, value.si, value.high}) for value in values]
    options = np.array(list(itertools.product(*ends)))
    return Phases(np.array([value.si for value in values]), options, tuple(given for given in known if given))


def _phase(index: int, shaft: Shaft) -> Input | None:
    name = f"driveline.shafts[{index}]"
    if shaft.phase is not None:
        return Input(f"{name}.phase", f"phase of shaft {index + 1}", shaft.phase)
    if shaft.slip and shaft.slip.teeth and shaft.slip.teeth_out is not None:
        turn = 2 * math.pi * shaft.slip.teeth_out / shaft.slip.teeth
        words = f"slip of shaft {index + 1}: {shaft.slip.teeth_out} of {shaft.slip.teeth} teeth out"
        value = Value.exact(turn, "angle", Known.COMPUTED, "360 degrees over the teeth")
        return Input(f"{name}.slip.teeth_out", words, value)
    return None


def _silent_without_phase(train: Train, one: Sum) -> Sum:
    """A sum that took an unmeasured phase as in line informs, but is no evidence: the phase may be the fault."""
    unknown = [str(i + 1) for i, shaft in enumerate(train.shafts) if _phase(i, shaft) is None]
    if not unknown:
        return one
    words = f"the yokes of shaft {', '.join(unknown)} are taken as in line, which nobody measured"
    return replace(
        one,
        chances={},
        speaks="neither",
        sentence=f"Speaks for nothing yet: {words}.",
        validity="; ".join(part for part in (one.validity, words) if part),
    )


def angle_sums(knowledge: Knowledge, train: Train) -> list[Sum]:
    """The true working angle of each joint against the least and the large angle."""
    bends = joint_bends(train)
    sums = []
    for number, joint in enumerate(train.joints, start=1):
        at = Address("joint", number)
        asking = Asking(knowledge)
        if isinstance(bends, Bends):
            spread = bends.angles[number - 1]
            asking.inputs = {given.name: given for given in bends.inputs}
        elif joint.angle is not None:
            asking.need(f"driveline.joints[{number - 1}].angle", f"angle of joint {number}", joint.angle)
            spread = magnitude(joint.angle)
        else:
            asking.missing = list(bends)
            sums.append(asking.lacking("finding.joint_angle", "Working angle of the joint", at))
            continue
        sums.append(_angle_sum(knowledge, asking, at, spread))
    return sums


def _angle_sum(knowledge: Knowledge, asking: Asking, at: Address, spread: Spread) -> Sum:
    least, large = knowledge.limits["least_joint_angle"], knowledge.limits["large_joint_angle"]
    answers = ("under_minimum", "ordinary", "large")
    return judged(
        knowledge,
        asking,
        id="finding.joint_angle",
        at=at,
        results=[Quantity("working angle", spread, "angle")],
        chances=chances_by_limits(spread, answers, (least.si, large.si)),
        limit=large if spread.nominal > large.si else least,
        method=_ANGLE_METHOD,
        source="elementary geometry (dot product); checked against worked angles",
    )


def excitation_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Torsional excitation of the driven end, with the yokes as found and with them in line."""
    at = Address("train")
    title = knowledge.questions["finding.torsional_excitation"].question
    asking = Asking(knowledge)
    bends = joint_bends(train)
    speed = top_shaft_speed(asking, vehicle)
    if not isinstance(bends, Bends):
        asking.missing += bends
        return [asking.lacking("finding.torsional_excitation", title, at)]
    if speed is None:
        lacking = asking.lacking("finding.torsional_excitation", title, at)
        return [lacking, *_in_line_without_speed(knowledge, train, at, bends)]
    phases = shaft_phases(train)
    asking.inputs |= {given.name: given for given in (*bends.inputs, *phases.inputs)}
    found = _excitation(bends, phases, speed)
    sums = [_silent_without_phase(train, _excitation_sum(knowledge, asking, at, bends, found))]
    if _out_of_line(phases):
        in_line = _excitation(bends, phases.in_line, speed)
        sums.append(_in_line_sum(knowledge, asking, at, found, in_line, bends))
    return sums


@dataclass(frozen=True)
class _Excitation:
    angle: Spread
    acceleration: Spread


def _out_of_line(phases: Phases) -> bool:
    """True when any yoke stands, or may stand, out of line; half a turn is in line again."""
    return bool(np.any(np.abs(np.sin(phases.options)) > 1e-6))


def _phasor_sizes(bends: Bends, phases: Phases, joints: slice) -> Spread:
    """Size of the phasor sum over some joints, rad², over the corners of angles and phases."""

    def sizes(angles: Reals, turned: Reals) -> Reals:
        yokes = chain.drive_yoke_angles(phases_rad=turned, bend_plane_rad=bends.planes)
        return np.abs(chain.partial_phasors(angles_rad=angles[:, joints], drive_yoke_angles_rad=yokes[joints])[:, -1])

    nominal = float(sizes(np.array([[angle.nominal for angle in bends.angles]]), phases.nominal)[0])
    corners = np.array(list(itertools.product(*[sorted({a.low, a.nominal, a.high}) for a in bends.angles])))
    found = np.concatenate([[nominal], *(sizes(corners, turned) for turned in phases.options)])
    return Spread(nominal, float(found.min()), float(found.max()))


def _at_speed(sizes: Spread, speed: Spread) -> Spread:
    """Angular acceleration, rad/s², of a phasor sum at a range of shaft speeds."""

    def acceleration(size: float, speed_rad_s: float) -> float:
        return chain.torsional_acceleration(equivalent_angle_rad=math.sqrt(size), speed_rad_s=speed_rad_s)

    return Spread(
        acceleration(sizes.nominal, speed.nominal),
        acceleration(sizes.low, speed.low),
        acceleration(sizes.high, speed.high),
    )


def _excitation(bends: Bends, phases: Phases, speed: Spread) -> _Excitation:
    sizes = _phasor_sizes(bends, phases, slice(None))
    angle = Spread(math.sqrt(sizes.nominal), math.sqrt(sizes.low), math.sqrt(sizes.high))
    return _Excitation(angle, _at_speed(sizes, speed))


def _validity(bends: Bends) -> tuple[bool, str]:
    valid = all(angle.nominal <= _LARGEST_ANGLE for angle in bends.angles)
    return valid, "; ".join((_SMALL_ANGLES, *bends.assumptions))


def _excitation_sum(knowledge: Knowledge, asking: Asking, at: Address, bends: Bends, found: _Excitation) -> Sum:
    limit = knowledge.limits["torsional_excitation"]
    valid, words = _validity(bends)
    answers = ("within", "between", "above")
    return judged(
        knowledge,
        asking,
        id="finding.torsional_excitation",
        at=at,
        results=[
            Quantity("torsional excitation, zero to peak, rad/s²", found.acceleration, "number"),
            Quantity("equivalent angle of the chain", found.angle, "angle"),
        ],
        chances=chances_by_limits(found.acceleration, answers, (limit.value.low, limit.si)),
        limit=limit,
        method="speed² × |sum of angle² × exp(2i × driving-yoke angle)| over all joints, at the top shaft speed",
        source=_EXCITATION_SOURCE,
        valid=valid,
        validity=words,
    )


def _in_line_sum(
    knowledge: Knowledge, asking: Asking, at: Address, found: _Excitation, in_line: _Excitation, bends: Bends
) -> Sum:
    limit = knowledge.limits["torsional_excitation"]
    valid, words = _validity(bends)
    # "cancels" also when lining up takes most of what is there away, even below the limit
    remains = max(in_line.acceleration.chance_above(limit.value.low), _left(found, in_line))
    return judged(
        knowledge,
        asking,
        id="finding.excitation_in_phase",
        at=at,
        results=[
            Quantity("with the yokes in line, rad/s²", in_line.acceleration, "number"),
            Quantity("as found, rad/s²", found.acceleration, "number"),
            Quantity("equivalent angle with the yokes in line", in_line.angle, "angle"),
        ],
        chances={"cancels": 1.0 - remains, "remains": remains},
        limit=limit,
        method="the same sum with every rear yoke in line with its front yoke",
        source=_EXCITATION_SOURCE,
        valid=valid,
        validity=words,
    )


def _in_line_without_speed(knowledge: Knowledge, train: Train, at: Address, bends: Bends) -> list[Sum]:
    """What lining up the yokes would take away, from angles and phase alone: the ratio needs no speed."""
    phases = shaft_phases(train)
    if not _out_of_line(phases):
        return []
    asking = Asking(knowledge, inputs={given.name: given for given in (*bends.inputs, *phases.inputs)})
    unit = Spread(1.0, 1.0, 1.0)
    found, in_line = _excitation(bends, phases, unit), _excitation(bends, phases.in_line, unit)
    valid, words = _validity(bends)
    remains = _left(found, in_line)
    return [
        judged(
            knowledge,
            asking,
            id="finding.excitation_in_phase",
            at=at,
            results=[
                Quantity("equivalent angle with the yokes in line", in_line.angle, "angle"),
                Quantity("equivalent angle as found", found.angle, "angle"),
            ],
            chances={"cancels": 1.0 - remains, "remains": remains},
            limit=None,
            method="the squares of the two equivalent angles compared; remains when half or more is left in line",
            source=_EXCITATION_SOURCE,
            valid=valid,
            validity=f"{words}; no speed is known, so the excitation itself is not computed",
        )
    ]


def _left(found: _Excitation, in_line: _Excitation) -> float:
    """1 when lining up the yokes leaves half or more of the excitation, 0 when it leaves less."""
    return 1.0 if in_line.acceleration.nominal >= 0.5 * found.acceleration.nominal else 0.0


def inertia_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Angular acceleration forced on each shaft, counted from the gearbox in drive, from the axle on coast."""
    bends = joint_bends(train)
    title = knowledge.questions["finding.inertia_excitation"].question
    sums = []
    for number in range(1, len(train.shafts) + 1):
        at = Address("shaft", number)
        asking = Asking(knowledge)
        speed = top_shaft_speed(asking, vehicle)
        if not isinstance(bends, Bends):
            asking.missing += bends
        if not isinstance(bends, Bends) or speed is None:
            sums.append(asking.lacking("finding.inertia_excitation", title, at))
            continue
        phases = shaft_phases(train)
        asking.inputs |= {given.name: given for given in (*bends.inputs, *phases.inputs)}
        sums.append(_silent_without_phase(train, _inertia_sum(knowledge, asking, at, bends, phases, speed)))
    return sums


def _inertia_sum(knowledge: Knowledge, asking: Asking, at: Address, bends: Bends, phases: Phases, speed: Spread) -> Sum:
    limit = knowledge.limits["inertia_excitation"]
    valid, words = _validity(bends)
    drive, coast = (_forced(bends, phases, speed, at.number, from_rear) for from_rear in (False, True))
    worst = drive if drive.nominal >= coast.nominal else coast
    return judged(
        knowledge,
        asking,
        id="finding.inertia_excitation",
        at=at,
        results=[
            Quantity("in drive, rad/s²", drive, "number"),
            Quantity("on overrun, rad/s²", coast, "number"),
        ],
        chances=chances_by_limits(worst, ("within", "above"), (limit.si,)),
        limit=limit,
        method="speed² × |partial sum of angle² × exp(2i × driving-yoke angle)| up to this shaft",
        source="derived from exact joint kinematics, confirmed by simulation; limit: common practice, no source",
        valid=valid,
        validity=words,
    )


def _forced(bends: Bends, phases: Phases, speed: Spread, shaft: int, from_rear: bool) -> Spread:
    """Acceleration of one shaft: only the joints between it and the end that turns steadily count."""
    joints = slice(shaft, None) if from_rear else slice(0, shaft)
    return _at_speed(_phasor_sizes(bends, phases, joints), speed)
