"""The whole driveline: shafts and joints in order, and the geometry that follows from what is known."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from beachmark.basis.values import Known, Value
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
    gaps = _gap(front, rear)
    if gaps is None:
        return shaft
    dx, dy, dz = gaps
    return replace(
        shaft,
        slope=shaft.slope or _computed(math.atan2(dz, dx), "angle"),
        plan=shaft.plan or _computed(math.atan2(dy, dx), "angle"),
        length=shaft.length or _computed(math.sqrt(dx * dx + dy * dy + dz * dz), "length"),
    )


def _computed(si: float, dimension: str) -> Value:
    return Value.exact(si, dimension, Known.COMPUTED, "from the joint points")


def _gap(front: Joint, rear: Joint) -> tuple[float, float, float] | None:
    if front.at is None or rear.at is None:
        return None
    ends = [(getattr(front.at, axis), getattr(rear.at, axis)) for axis in "xyz"]
    if any(a is None or b is None for a, b in ends):
        return None
    dx, dy, dz = (b.si - a.si for a, b in ends)
    return (dx, dy, dz) if dx > 0 else None
