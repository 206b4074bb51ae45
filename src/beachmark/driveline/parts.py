"""Tube, slip, cross, joint, shaft and centre support. Everything may be missing; nothing is guessed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from beachmark.basis.values import Value
from beachmark.driveline.fields import quantity

_QUARTER_TURN = math.pi / 2


@dataclass(frozen=True)
class Point:
    """A point in the vehicle: x rearward, y to the right, z up."""

    x: Value | None = quantity("length", "distance rearward", least=None)
    y: Value | None = quantity("length", "distance to the right", least=None)
    z: Value | None = quantity("length", "height", least=None)


@dataclass(frozen=True)
class Tube:
    """The tube of a shaft."""

    outer_diameter: Value | None = quantity("length", "outside diameter", most=1.0)
    wall: Value | None = quantity("length", "wall thickness", most=0.1)
    material: str = ""
    yield_stress: Value | None = quantity("stress", "tensile yield stress of the tube")
    youngs_modulus: Value | None = quantity("stress", "Young's modulus")
    density: Value | None = quantity("density", "density")


@dataclass(frozen=True)
class Slip:
    """The slip joint of a shaft: splined stub and sleeve."""

    teeth: int | None = None
    teeth_out: int | None = None  # how many teeth off its line-up mark it was put together
    root_diameter: Value | None = quantity("length", "diameter at the tooth roots of the stub", most=0.5)
    pitch_diameter: Value | None = quantity("length", "pitch diameter", most=0.5)
    bore: Value | None = quantity("length", "bore through the stub", most=0.5)
    engaged_length: Value | None = quantity("length", "engaged length", most=2.0)
    yield_stress: Value | None = quantity("stress", "tensile yield stress of the stub")


@dataclass(frozen=True)
class Cross:
    """The cross of a joint with its needle bearings."""

    arm_radius: Value | None = quantity("length", "joint centre to the middle of the cap force", most=0.5)
    trunnion_diameter: Value | None = quantity("length", "arm diameter", most=0.3)
    grease_bore: Value | None = quantity("length", "grease hole along the arm", most=0.1)
    root_distance: Value | None = quantity("length", "middle of the cap force to the arm root", most=0.2)
    fillet_radius: Value | None = quantity("length", "radius at the arm root", most=0.05)
    shoulder_diameter: Value | None = quantity("length", "diameter of the shoulder behind the arm", most=0.4)
    needles: int | None = None
    needle_diameter: Value | None = quantity("length", "needle diameter", most=0.05)
    needle_length: Value | None = quantity("length", "needle length", most=0.2)
    yield_stress: Value | None = quantity("stress", "core yield stress of the cross")
    tensile_strength: Value | None = quantity("stress", "tensile strength at the arm root")


@dataclass(frozen=True)
class Joint:
    """One universal joint."""

    size: str = ""  # a name in the parts catalogue
    angle: Value | None = quantity("angle", "working angle measured at the joint", least=None, most=_QUARTER_TURN)
    bend_plane: Value | None = quantity("angle", "direction of the bend seen from the rear", least=None)
    at: Point | None = None
    cross: Cross = Cross()


@dataclass(frozen=True)
class Shaft:
    """One shaft between two joints."""

    length: Value | None = quantity("length", "joint centre to joint centre", most=6.0)
    slope: Value | None = quantity("angle", "slope in side view, + rear end higher", least=None, most=_QUARTER_TURN)
    plan: Value | None = quantity(
        "angle", "angle in plan view, + rear end to the right", least=None, most=_QUARTER_TURN
    )
    phase: Value | None = quantity("angle", "rear yoke against front yoke, 0 in line", least=None)
    inertia: Value | None = quantity("number", "polar moment of inertia, kg m2")
    tube: Tube = Tube()
    tube_size: str = ""
    slip: Slip | None = None
    slip_size: str = ""
    support: bool = False  # a centre bearing at its rear end
    former_length: Value | None = quantity("length", "length before a conversion", most=6.0)


@dataclass(frozen=True)
class End:
    """The gearbox output or the axle pinion that the driveline is bolted to."""

    slope: Value | None = quantity("angle", "slope in side view, + rear end higher", least=None, most=_QUARTER_TURN)
    plan: Value | None = quantity(
        "angle", "angle in plan view, + rear end to the right", least=None, most=_QUARTER_TURN
    )
