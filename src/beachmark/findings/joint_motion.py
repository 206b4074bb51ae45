"""What each joint does by itself: how unevenly it turns its shaft, and the side couples that it puts on its yokes."""

from __future__ import annotations

from typing import Any

import numpy as np

from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import joint_angle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing
from beachmark.findings.ranges import spread
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import hooke

ID = "sum.joint_motion"
TITLE = "Each joint by itself: swing of speed and side couples"


def joint_motion_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Every joint whose angle is known; the working-angle sum says what is missing for the others."""
    found = [_motion(knowledge, vehicle, train, number) for number in range(1, len(train.joints) + 1)]
    return [one for one in found if one is not None]


def _motion(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum | None:
    asking = Asking(knowledge)
    angle = joint_angle(asking, train, number)
    if angle is None:
        return None
    swing = spread(lambda angle: hooke.non_uniformity(angle_rad=angle), angle=angle)
    results = [Quantity("greatest less least speed within a turn, over the mean", swing, "number")]
    torque = asking.take("vehicle.duty.cruise_torque", "driveline torque at road speed", vehicle.duty.cruise_torque)
    if torque is not None:
        for words, yoke in (("driving", "driving_yoke_nm"), ("driven", "driven_yoke_nm")):
            couple = spread(lambda torque, angle, yoke=yoke: _couple(torque, angle, yoke), torque=torque, angle=angle)
            results.append(Quantity(f"greatest side couple on the {words} yoke at cruise", couple, "torque"))
    part = asking.part()
    speed = top_shaft_speed(part, vehicle)
    if speed is not None:
        asking.inputs |= part.inputs
        shaken = spread(
            lambda angle, speed: hooke.greatest_acceleration(angle_rad=angle, speed_rad_s=speed),
            angle=angle,
            speed=speed,
        )
        results.append(
            Quantity("swing of acceleration by this joint alone, top speed, rad/s²", shaken, "number", held=False)
        )
    return informing(
        asking,
        id=ID,
        title=TITLE,
        at=Address("joint", number),
        results=results,
        sentence="Twice a turn; the next joints take it away or add to it, which the chain's own sums tell.",
        method="U = 1/cos b - cos b; side couples T tan b and T sin b; exact acceleration of one joint at steady input",
        source="theory of machines, Hooke's joint (any text); couples derived by vectors",
        validity="steady input speed, rigid parts, no friction",
    )


def _couple(torque: Any, angle: Any, yoke: str) -> Any:
    return np.asarray(getattr(hooke.secondary_couple(torque_nm=torque, angle_rad=angle), yoke))
