"""The whole driveline: shafts and joints in order, and the geometry that follows from what is known."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from beachmark.basis.values import Known, Spread, Value, spread
from beachmark.driveline.parts import End, Joint, Shaft
from beachmark.driveline.positions import Layout


@dataclass(frozen=True)
class Train:
    """n shafts with n + 1 joints between the gearbox output and the axle pinion."""

    shafts: tuple[Shaft, ...]
    joints: tuple[Joint, ...]
    gearbox_end: End = End()
    axle_end: End = End()

    def __post_init__(self) -> None:
        if len(self.joints) != len(self.shafts) + 1:
            raise ValueError(f"{len(self.shafts)} shafts need {len(self.shafts) + 1} joints, not {len(self.joints)}")

    @property
    def layout(self) -> Layout:
        """The addresses that this driveline has."""
        numbered = tuple(enumerate(self.shafts, start=1))
        return Layout(
            len(self.shafts),
            slips=tuple(number for number, shaft in numbered if shaft.slip is not None or shaft.slip_size),
            supports=tuple(number for number, shaft in numbered if shaft.support),
        )

    @property
    def pieces(self) -> tuple[End | Shaft, ...]:
        """Everything that has a direction, from the gearbox output to the pinion."""
        return (self.gearbox_end, *self.shafts, self.axle_end)

    def joint(self, number: int) -> Joint:
        """Joint `number`, counted from 1 at the gearbox."""
        return self.joints[number - 1]

    def shaft(self, number: int) -> Shaft:
        """Shaft `number`, counted from 1 at the gearbox."""
        return self.shafts[number - 1]


def with_slopes_from_points(train: Train) -> Train:
    """Fill slopes, plan angles and lengths of shafts whose two joints are given as points in space."""
    shafts = []
    for shaft, front, rear in zip(train.shafts, train.joints, train.joints[1:], strict=False):
        shafts.append(_from_points(shaft, front, rear))
    return replace(train, shafts=tuple(shafts))


def _from_points(shaft: Shaft, front: Joint, rear: Joint) -> Shaft:
    gaps = _gaps(front, rear)
    if gaps is None:
        return shaft
    x, y, z = gaps
    return replace(
        shaft,
        slope=shaft.slope or _computed(spread(lambda x, z: math.atan2(z, x), x=x, z=z), "angle"),
        plan=shaft.plan or _computed(spread(lambda x, y: math.atan2(y, x), x=x, y=y), "angle"),
        length=shaft.length or _computed(spread(lambda x, y, z: math.hypot(x, y, z), x=x, y=y, z=z), "length"),
    )


def _computed(found: Spread, dimension: str) -> Value:
    return Value(found.nominal, found.low, found.high, dimension, Known.COMPUTED, "from the joint points")


def _gaps(front: Joint, rear: Joint) -> tuple[Value, Value, Value] | None:
    """Rear point minus front point on each axis, with their ranges; None unless the rear lies behind."""
    if front.at is None or rear.at is None:
        return None
    found = []
    for axis in "xyz":
        a, b = getattr(front.at, axis), getattr(rear.at, axis)
        if a is None or b is None:
            return None
        found.append(Value(b.si - a.si, b.low - a.high, b.high - a.low, "length"))
    x, y, z = found
    return (x, y, z) if x.low > 0 else None
