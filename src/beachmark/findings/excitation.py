"""Torsional and inertia excitation of a chain of joints, and what turning the slip into line would do."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import Bends, joint_bends
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.phase import Phases, phase_sums, shaft_phases, unmeasured_phases
from beachmark.findings.ranges import of_sample, spread
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.speed import shaft_speed_at, top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain

_EXCITATION_SOURCE = (
    "SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory); the rule without a factor 2 is "
    "confirmed by a reprinted table of that manual, section 3.1.1, and by exact simulation of the chain"
)
_SMALL_ANGLES = "joint angles below about 20 degrees (2.5 % low there)"
_TOP = "greatest shaft speed"
_LARGEST_ANGLE = math.radians(20)
_SAME_SPEED = 1e-3  # a complaint this near the greatest speed is at that speed


def _silent_without_phase(train: Train, one: Sum) -> Sum:
    """A sum that took an unmeasured phase as in line informs, but is no evidence: the phase may be the fault."""
    unknown = unmeasured_phases(train)
    if not unknown:
        return one
    [words] = unknown
    validity = "; ".join(part for part in (one.validity, words) if part)
    return replace(_silenced(one, f"Speaks for nothing yet: {words}."), validity=validity)


def excitation_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """How the yokes stand, then the torsional excitation of the driven end as found and with the yokes in line."""
    return [*phase_sums(knowledge, train), *_torsional_sums(knowledge, vehicle, train)]


def _torsional_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    at = Address("train")
    title = knowledge.questions["finding.torsional_excitation"].question
    asking = Asking(knowledge)
    speed = top_shaft_speed(asking, vehicle)
    bends = joint_bends(asking, train)
    if bends is None:
        return [asking.lacking("finding.torsional_excitation", title, at)]
    if speed is None:
        lacking = asking.lacking("finding.torsional_excitation", title, at)
        return [lacking, *_in_line_without_speed(knowledge, train, at)]
    phases = shaft_phases(asking, train)
    found = _excitation(bends, phases, speed)
    told = _silent_without_phase(train, _excitation_sum(knowledge, asking, at, bends, found))
    there = shaft_speed_at(asking.part(), vehicle, vehicle.duty.event_speed, "event_speed", "road speed at the event")
    sums = [_with_complaint(knowledge, told, _Complaint(there, speed), bends, phases)]
    if phases.out_of_line:
        in_line = _excitation(bends, phases.in_line, speed)
        sums.append(_in_line_sum(knowledge, asking, at, found, in_line, bends))
    return sums


_EVEN = 0.5
_WITHIN = (
    "As found and with the yokes in line the excitation is within the stricter limit: it speaks neither for nor "
    "against the phase."
)
_NO_SPEED = (
    "With the yokes in line the excitation would fall to less than half; without a speed nobody knows whether it "
    "was above the limit, so this speaks for nothing yet."
)
_AT_SPEED = {
    "within": "is below the stricter limit and does not explain a shake",
    "between": "lies between the stricter and the wider limit",
    "above": "is above the limit",
}


@dataclass(frozen=True)
class _Complaint:
    """Shaft speeds, rad/s: at the complaint, where it is known, and the greatest one reached."""

    speed: Spread | None
    top: Spread


def _with_complaint(knowledge: Knowledge, told: Sum, complaint: _Complaint, bends: Bends, phases: Phases) -> Sum:
    """The same sum with what it comes to at the speed of the complaint, where that is lower; it informs only."""
    speed, top = complaint.speed, complaint.top
    if speed is None or speed.nominal >= top.nominal * (1 - _SAME_SPEED):
        return told
    there = _excitation(bends, phases, speed).acceleration
    results = (
        *told.results,
        Quantity("at the speed of the complaint, rad/s²", there, "number"),
        Quantity("shaft speed of the complaint", speed, "rotation", "rpm"),
        Quantity("greatest shaft speed reached", top, "rotation", "rpm"),
    )
    return replace(told, results=results, sentence=f"{told.sentence}{_complaint_words(knowledge, told, there)}")


def _complaint_words(knowledge: Knowledge, told: Sum, there: Spread) -> str:
    """What to add to the sentence when the answer at the speed of the complaint is another one."""
    limit = knowledge.limits["torsional_excitation"].value
    at_top, at_complaint = (_class(one, limit) for one in (told.results[0].spread, there))
    if at_top == at_complaint:
        return ""
    there_words = f"at the speed of the complaint it {_AT_SPEED[at_complaint]}"
    return f" At the greatest shaft speed it {_AT_SPEED[at_top]}; {there_words}."


def _class(acceleration: Spread, limit: Value) -> str:
    chances = chances_by_limits(acceleration, ("within", "between", "above"), (limit.low, limit.si))
    return max(chances, key=lambda answer: chances[answer])


@dataclass(frozen=True)
class _Excitation:
    angle: Spread
    acceleration: Spread


def _phasor_sizes(bends: Bends, phases: Phases, joints: slice) -> Spread:
    """Size of the phasor sum over some joints, rad²."""
    yokes = chain.drive_yoke_angles(phases_rad=phases.rows, bend_plane_rad=bends.planes)
    sums = chain.partial_phasors(angles_rad=bends.angles[:, joints], drive_yoke_angles_rad=yokes[:, joints])
    sizes = np.abs(sums[:, -1])
    nominal = float(sizes[0])
    if all(bends.certain) and phases.certain:
        return Spread(nominal, nominal, nominal)
    return of_sample(nominal, sizes[1:])


def _at_speed(sizes: Spread, speed: Spread) -> Spread:
    """Angular acceleration, rad/s², of a phasor sum at a range of shaft speeds."""
    return spread(
        lambda size, speed: chain.torsional_acceleration(equivalent_angle_rad=np.sqrt(size), speed_rad_s=speed),
        size=sizes,
        speed=speed,
    )


def _excitation(bends: Bends, phases: Phases, speed: Spread) -> _Excitation:
    sizes = _phasor_sizes(bends, phases, slice(None))
    return _Excitation(spread(lambda size: np.sqrt(size), size=sizes), _at_speed(sizes, speed))


def _validity(bends: Bends) -> tuple[bool, str]:
    valid = bool(np.all(bends.angles[0] <= _LARGEST_ANGLE))
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
            Quantity(
                "torsional excitation at the greatest shaft speed, zero to peak, rad/s²", found.acceleration, "number"
            ),
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
    one = judged(
        knowledge,
        asking,
        id="finding.excitation_in_phase",
        at=at,
        results=[
            Quantity("with the yokes in line, rad/s²", in_line.acceleration, "number"),
            Quantity("as found, rad/s²", found.acceleration, "number"),
            Quantity("equivalent angle with the yokes in line", in_line.angle, "angle"),
        ],
        chances=_lining_up(found, in_line, limit.value.low),
        limit=limit,
        method="the same sum with every rear yoke in line with its front yoke",
        source=_EXCITATION_SOURCE,
        valid=valid,
        validity=words,
    )
    return _silenced(one, _WITHIN) if _both_within(found, in_line, limit.value.low) else one


def _lining_up(found: _Excitation, in_line: _Excitation, stricter: float) -> dict[str, float]:
    """Chances that lining up the yokes brings what is above the stricter limit within it, or leaves most of it."""
    remains = max(in_line.acceleration.chance_above(stricter), _left(found, in_line))
    return {"cancels": 1.0 - remains, "remains": remains}


def _both_within(found: _Excitation, in_line: _Excitation, stricter: float) -> bool:
    """True when there is nothing above the stricter limit to take away, and lining up does not lift it above."""
    return all(one.acceleration.chance_above(stricter) < _EVEN for one in (found, in_line))


def _silenced(one: Sum, words: str) -> Sum:
    """The same sum as one that informs and is no evidence."""
    return replace(one, chances={}, speaks="neither", sentence=words)


def _in_line_without_speed(knowledge: Knowledge, train: Train, at: Address) -> list[Sum]:
    """What lining up the yokes would take away, from angles and phase alone: the ratio needs no speed.

    Without a speed nobody knows whether there is anything to take away: that it would cancel is no evidence.
    """
    asking = Asking(knowledge)
    bends, phases = joint_bends(asking, train), shaft_phases(asking, train)
    if bends is None or not phases.out_of_line:
        return []
    unit = Spread(1.0, 1.0, 1.0)
    found, in_line = _excitation(bends, phases, unit), _excitation(bends, phases.in_line, unit)
    valid, words = _validity(bends)
    remains = _left(found, in_line)
    one = judged(
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
    return [one if remains else _silenced(one, _NO_SPEED)]


def _left(found: _Excitation, in_line: _Excitation) -> float:
    """1 when lining up the yokes leaves half or more of the excitation, 0 when it leaves less."""
    return 1.0 if in_line.acceleration.nominal >= 0.5 * found.acceleration.nominal else 0.0


def inertia_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Angular acceleration forced on each shaft, counted from the gearbox in drive, from the axle on coast."""
    title = knowledge.questions["finding.inertia_excitation"].question
    sums = []
    for number in range(1, len(train.shafts) + 1):
        at = Address("shaft", number)
        asking = Asking(knowledge)
        speed = top_shaft_speed(asking, vehicle)
        bends = joint_bends(asking, train)
        if bends is None or speed is None:
            sums.append(asking.lacking("finding.inertia_excitation", title, at))
            continue
        phases = shaft_phases(asking, train)
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
