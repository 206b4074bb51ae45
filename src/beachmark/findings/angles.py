"""Joint angles and bend planes from what is known of the slopes, with their ranges."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.ranges import of_sample, spread
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain

Reals = npt.NDArray[np.float64]
_ANGLE_METHOD = "angle between the directions of the two shafts in space, from side and plan view"
LEVEL = Value.exact(0.0, "angle", Known.ASSUMED, "straight ahead")


@dataclass(frozen=True)
class Bends:
    """Angle and bend plane of every joint: the nominal ones in the first row, the draws below it."""

    angles: Reals  # (1 + draws, joints)
    planes: Reals  # (1 + draws, joints)
    certain: tuple[bool, ...]  # which joints have an angle without a range
    assumptions: tuple[str, ...]
    directions: Reals | None = None  # of all shafts and ends, (1 + draws, shafts + 2, 3); known from slopes only

    def angle(self, number: int) -> Spread:
        """Working angle of joint `number`, counted from 1 at the gearbox."""
        column = self.angles[:, number - 1]
        nominal = float(column[0])
        return Spread(nominal, nominal, nominal) if self.certain[number - 1] else of_sample(nominal, column[1:])


def joint_bends(asking: Asking, train: Train) -> Bends | None:
    """Angles and bend planes from slopes where all are known, else from angles measured at the joints.

    What is used, or missing, is noted in `asking`.
    """
    missing = _missing_slopes(train)
    if not missing:
        return _from_slopes(asking, train)
    if all(joint.angle is not None for joint in train.joints):
        return _from_joint_angles(asking, train)
    asking.missing += missing
    return None


def pieces(train: Train) -> list[tuple[str, str, End | Shaft]]:
    """Name in the case file, words, and part of everything that has a direction, from the gearbox output on."""
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
        for name, words, piece in pieces(train)
        if piece.slope is None
    )


def _from_slopes(asking: Asking, train: Train) -> Bends:
    asked = {view: _asked(asking, train, view) for view in ("slope", "plan")}
    assumptions = []
    if not any(asked["plan"]):
        assumptions.append("no plan-view angle is stated: the driveline is taken as straight seen from above")
    slopes, plans = ([value or LEVEL for value in asked[view]] for view in ("slope", "plan"))
    directions = chain.direction(slope_rad=rows_of(slopes), plan_rad=rows_of(plans))
    exact = [slope.low >= slope.high and plan.low >= plan.high for slope, plan in zip(slopes, plans, strict=True)]
    certain = tuple(before and after for before, after in itertools.pairwise(exact))
    found, planes = chain.joint_angles(directions=directions), chain.bend_planes(directions=directions)
    return Bends(found, planes, certain, tuple(assumptions), directions)


def _asked(asking: Asking, train: Train, view: str) -> list[Value | None]:
    return [
        asking.take(f"{name}.{view}", f"{view} of the {words}", getattr(piece, view))
        for name, words, piece in pieces(train)
    ]


def _from_joint_angles(asking: Asking, train: Train) -> Bends:
    angles, planes = [], []
    for i, joint in enumerate(train.joints):
        name = f"driveline.joints[{i}]"
        angles.append(asking.take(f"{name}.angle", f"angle of joint {i + 1}", joint.angle) or LEVEL)
        planes.append(asking.take(f"{name}.bend_plane", f"bend plane of joint {i + 1}", joint.bend_plane) or LEVEL)
    stated = any(joint.bend_plane for joint in train.joints)
    assumption = "the angles were measured at the joints and are taken to lie in one plane"
    certain = tuple(angle.low >= angle.high for angle in angles)
    return Bends(np.abs(rows_of(angles)), rows_of(planes), certain, () if stated else (assumption,))


def rows_of(values: list[Value]) -> Reals:
    """The nominal values in the first row, their draws below: (1 + draws, values)."""
    columns = [
        np.concatenate([[value.si], np.full(COUNT, value.si) if value.sample is None else value.sample])
        for value in values
    ]
    return np.stack(columns, axis=1)


def angle_sums(knowledge: Knowledge, train: Train) -> list[Sum]:
    """The true working angle of each joint against the least and the large angle."""
    return [_angle_at(knowledge, train, number) for number in range(1, len(train.joints) + 1)]


def _angle_at(knowledge: Knowledge, train: Train, number: int) -> Sum:
    at, asking = Address("joint", number), Asking(knowledge)
    found = joint_angle(asking, train, number)
    if found is None:
        return asking.lacking("finding.joint_angle", "Working angle of the joint", at)
    return _angle_sum(knowledge, asking, at, found)


def joint_angle(asking: Asking, train: Train, number: int) -> Spread | None:
    """Working angle of one joint, from the slopes or as it was measured there; what is missing is noted."""
    own = asking.part()
    bends = joint_bends(own, train)
    measured = train.joint(number).angle
    if bends is None and measured is not None:
        value = asking.take(f"driveline.joints[{number - 1}].angle", f"angle of joint {number}", measured)
        return _size(value) if value else None
    asking.inputs |= own.inputs
    asking.missing += own.missing
    return bends.angle(number) if bends else None


def _size(angle: Value) -> Spread:
    """Size of an angle whatever its sign."""
    return spread(lambda angle: abs(angle), angle=angle)


def _angle_sum(knowledge: Knowledge, asking: Asking, at: Address, found: Spread) -> Sum:
    least, large = knowledge.limits["least_joint_angle"], knowledge.limits["large_joint_angle"]
    answers = ("under_minimum", "ordinary", "large")
    return judged(
        knowledge,
        asking,
        id="finding.joint_angle",
        at=at,
        results=[Quantity("working angle", found, "angle")],
        chances=chances_by_limits(found, answers, (least.si, large.value.high)),  # large beyond what practice disputes
        limit=large if found.nominal > large.si else least,
        method=_ANGLE_METHOD,
        source="elementary geometry (dot product); checked against worked angles",
    )
