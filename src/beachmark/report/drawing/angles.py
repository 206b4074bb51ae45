"""Angles of a driveline as a reader wants them: working angles with their parts, slopes with words."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beachmark.basis.units import tidy
from beachmark.basis.values import Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.phase import stated_phase, teeth_words
from beachmark.driveline.train import Train
from beachmark.mechanics.chain import direction, joint_angle

_WORTH_A_LOOK = math.radians(0.5)  # more than readings with a good gauge differ by (common practice, no source)
_UPRIGHT = math.nextafter(math.pi / 2, 0.0)  # a part that stands on end has no direction along the vehicle
_LEVEL = math.radians(0.05)  # below this a part is called level: less than a workshop gauge can tell


@dataclass(frozen=True)
class Bend:
    """The working angle of one joint in radians, in all and as seen from the side and from above."""

    combined: float | None
    side: float | None
    plan: float | None
    assumed: bool = False
    measured_at_joint: bool = False
    from_slopes: float | None = None  # what the directions give, also where the joint itself was measured

    @property
    def disagrees(self) -> bool:
        """True when the angle measured at the joint and the one from the slopes are worth a second look."""
        if not self.measured_at_joint or self.combined is None or self.from_slopes is None:
            return False
        return abs(self.combined - self.from_slopes) > _WORTH_A_LOOK


def bends(train: Train) -> tuple[Bend, ...]:
    """The bend at every joint, from the gearbox rearward; None for what does not follow from known values.

    An angle measured at the joint stands above one computed from the directions of its two neighbours.
    """
    pieces = train.pieces
    return tuple(
        _bend(joint.angle, before, after)
        for joint, before, after in zip(train.joints, pieces, pieces[1:], strict=False)
    )


def _bend(stated: Value | None, before: End | Shaft, after: End | Shaft) -> Bend:
    side, plan = _difference(before.slope, after.slope), _difference(before.plan, after.plan)
    computed = _combined(before, after)
    if stated is not None:
        return Bend(abs(stated.si), side, plan, stated.is_assumed, True, computed)
    inputs = (before.slope, before.plan, after.slope, after.plan)
    assumed = any(value is not None and value.is_assumed for value in inputs)
    return Bend(computed, side, plan, assumed, from_slopes=computed)


def _difference(before: Value | None, after: Value | None) -> float | None:
    return None if before is None or after is None else abs(after.si - before.si)


def _combined(before: End | Shaft, after: End | Shaft) -> float | None:
    first, second = _direction(before), _direction(after)
    if first is None or second is None:
        return None
    return float(joint_angle(before=first, after=second))


def _direction(piece: End | Shaft) -> NDArray[np.float64] | None:
    if piece.slope is None or piece.plan is None or max(abs(piece.slope.si), abs(piece.plan.si)) >= _UPRIGHT:
        return None
    return direction(slope_rad=piece.slope.si, plan_rad=piece.plan.si)


def degrees(angle_rad: float) -> str:
    """An angle with one decimal and the degree sign, without sign."""
    return f"{abs(math.degrees(angle_rad)):.1f}°"


def slope_words(slope_rad: float) -> str:
    """A slope with its sense: the front end of the part stands higher (nose up) or lower (nose down)."""
    if abs(slope_rad) < _LEVEL:
        return "level"
    return f"{degrees(slope_rad)} nose {'down' if slope_rad > 0 else 'up'}"


def plan_words(plan_rad: float) -> str:
    """A plan angle with its sense."""
    if abs(plan_rad) < _LEVEL:
        return "straight"
    return f"{degrees(plan_rad)} to the {'right' if plan_rad > 0 else 'left'}"


def phase_words(shaft: Shaft) -> str:
    """How the rear yoke of a shaft stands against its front yoke, with the teeth that it is out; else nothing."""
    phase, teeth = stated_phase(shaft), teeth_words(shaft)
    if phase is None:
        return teeth
    if abs(math.sin(phase.si)) < _LEVEL:
        return "in line"
    turned = f"turned {degrees(phase.si)}"
    return f"{turned}, {teeth}" if teeth and shaft.phase is None else turned


def millimetres(length_m: float) -> str:
    """A length in whole or tenths of millimetres."""
    return f"{tidy(length_m * 1000.0, 4)} mm"
