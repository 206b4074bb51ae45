"""Joint bearing life against the distance run, and the force on each cap at steady road speed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import DutyLoad, Vehicle
from beachmark.findings.angles import joint_angle
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.ranges import spread
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.strength import needle_rating
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.needle_bearing import mean_load, oscillating_life_h

_SECONDS_PER_HOUR = 3600.0
_STEP = ("torque", "share")


def cap_force_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Force on each cap at steady road speed: the same on all four, so load cannot tell caps apart."""
    sums = []
    for number, joint in enumerate(train.joints, start=1):
        asking = Asking(knowledge)
        torque = asking.need("vehicle.duty.cruise_torque", "driveline torque at road speed", vehicle.duty.cruise_torque)
        name = f"driveline.joints[{number - 1}].cross.arm_radius"
        radius = asking.need(name, "joint centre to the middle of the cap force", joint.cross.arm_radius)
        at, title = Address("joint", number), "Force on each cap at steady road speed"
        if torque is None or radius is None:
            sums.append(asking.lacking("sum.cap_force", title, at))
            continue
        force = spread(lambda t, r: arm_force_n(torque_nm=t, arm_radius_m=r), t=torque, r=radius)
        sums.append(
            Sum(
                id="sum.cap_force",
                title=title,
                at=at,
                inputs=tuple(asking.inputs.values()),
                results=(Quantity("force on each of the four caps", force, "force"),),
                sentence=(
                    "All four caps carry the same force, so load alone cannot explain that some failed and "
                    "others did not."
                ),
                method="T / (2 R) on every arm",
                source="statics of a frictionless cross",
                validity="joint angle small; at angle b the greatest is 1/cos b of it",
            )
        )
    return sums


def life_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Rating life of each joint at steady road speed against the distance run."""
    return [_life(knowledge, vehicle, train, number) for number in range(1, len(train.joints) + 1)]


def _life(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id = Address("joint", number), "finding.joint_life"
    asking = Asking(knowledge)
    angle = _swinging(asking, train, number)
    rating = needle_rating(asking, train, number, static=False)
    share = asking.need("needle_capacity_share", "real over nominal rating", None, "needle_capacity_share")
    duty = vehicle.duty
    torque = _duty_torque(asking, vehicle)
    run = asking.need("vehicle.duty.distance", "distance run", duty.distance)
    tyre = asking.need("vehicle.tyre.rolling_radius", "tyre rolling radius", vehicle.tyre.rolling_radius)
    ratio = asking.need("vehicle.axle.ratio", "axle ratio", vehicle.axle.ratio)
    name = f"driveline.joints[{number - 1}].cross.arm_radius"
    radius = asking.need(name, "joint centre to the middle of the cap force", train.joint(number).cross.arm_radius)
    numbers: dict[str, Value | Spread | None] = {
        "share": share,
        "torque": torque,
        "radius": radius,
        "tyre": tyre,
        "ratio": ratio,
    }
    known = {name: value for name, value in numbers.items() if value is not None}
    if angle is None or rating is None or run is None or len(known) < len(numbers):
        return asking.lacking(id, knowledge.questions[id].question, at)
    life_m = spread(
        _life_distance,
        angle=angle,
        rating=rating,
        **known,
    )
    used = spread(lambda run, life: run / life, run=run, life=life_m)
    limit = knowledge.limits["life_used"]
    answers = ("early", "within_life", "at_life")
    return judged(
        knowledge,
        asking,
        id=id,
        at=at,
        results=[
            Quantity("distance run over rating life", used, "number"),
            Quantity("distance that 90 of 100 such joints reach (L10)", life_m, "distance"),
        ],
        chances=chances_by_limits(used, answers, (limit.value.low, limit.si)),
        limit=limit,
        method="L10 = 1.5e6 / (n b) (C/F)^(10/3), n in rpm, b in degrees, over the distance that these turns take",
        source="ISO 281 rating life on the travel of an oscillating joint, derived (the constant agrees with print)",
        validity=(
            f"{_loads_told(vehicle)}; optimistic where the swing is too small for the needles' tracks to overlap, as "
            "in most road joints"
        ),
    )


def _duty_torque(asking: Asking, vehicle: Vehicle) -> Value | Spread | None:
    """Torque that wears the joints as the whole duty does: the steps of the duty where they are known, else cruise.

    Each step counts by its share of the distance: the travel of the needles in a metre is the same at every speed.
    """
    steps = _steps(vehicle)
    if not steps:
        stated = vehicle.duty.cruise_torque
        return asking.need("vehicle.duty.cruise_torque", "driveline torque at road speed", stated)
    values: dict[str, Value] = {}
    for i, step in steps:
        name = f"vehicle.duty.loads[{i}]"
        for key, words, stated in (("torque", "torque", step.torque), ("share", "share of the distance", step.share)):
            taken = asking.take(f"{name}.{key}", f"duty step {i + 1}, {words}", stated)
            if taken is not None:
                values[f"{key}{i}"] = taken
    return spread(lambda **given: _mean_torque([i for i, _ in steps], given), **values)


def _mean_torque(steps: list[int], given: Mapping[str, Any]) -> Any:
    """Mean by the load-life exponent: the cap force is in proportion to the torque."""
    torques, shares = (np.stack(np.broadcast_arrays(*(given[f"{key}{i}"] for i in steps)), -1) for key in _STEP)
    return mean_load(loads_n=torques, travels=shares)


def _loads_told(vehicle: Vehicle) -> str:
    return "the steps of the duty by their share of the distance" if _steps(vehicle) else "one steady load"


def _steps(vehicle: Vehicle) -> list[tuple[int, DutyLoad]]:
    """The steps of the duty whose torque and share of the distance are known, with their place in the list."""
    steps = enumerate(vehicle.duty.loads)
    return [(i, step) for i, step in steps if step.torque is not None and step.share is not None]


def _swinging(asking: Asking, train: Train, number: int) -> Spread | None:
    """The working angle; none where it may be zero, because needles must swing for a life to be computed."""
    found = joint_angle(asking, train, number)
    if found is None:
        return None
    if found.low <= 0.0:
        asking.missing.append(
            Missing(f"driveline.joints[{number - 1}].angle", "an angle above zero: needles must swing")
        )
        return None
    return found


def _life_distance(*, angle: Any, rating: Any, share: Any, torque: Any, radius: Any, tyre: Any, ratio: Any) -> Any:
    """Distance in metres. Shaft turns a metre do not depend on the road speed, so any speed gives the same."""
    road_m_s = 1.0
    hours = oscillating_life_h(
        speed_rad_s=road_m_s / tyre * ratio,
        joint_angle_rad=angle,
        rating_n=rating * share,
        force_n=arm_force_n(torque_nm=torque, arm_radius_m=radius),
    )
    return hours * _SECONDS_PER_HOUR * road_m_s
