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
    hardness: Value | None = quantity("number", "Brinell hardness measured on the tube", most=700.0)
    weld_throat: Value | None = quantity("length", "throat of the ring weld at its ends", most=0.05)
    weld_strength: Value | None = quantity("stress", "tensile yield stress of the weld metal")
    twist_left: Value | None = quantity("angle", "twist left in the tube, measured", least=None, most=7.0)
    runout: Value | None = quantity("length", "run-out at mid length, full dial reading", most=0.05)


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
    hardness: Value | None = quantity("number", "Rockwell C hardness of the stub's core, measured", most=70.0)
    outer_diameter: Value | None = quantity("length", "diameter over the teeth of the stub", most=0.5)
    straight_sides: bool = False  # teeth with straight sides; else involute
    clearance: Value | None = quantity("length", "radial play of the stub in its sleeve", most=0.01)
    twist_left: Value | None = quantity("angle", "turn of the teeth along the stub, measured", least=None, most=3.0)
    mass: Value | None = quantity("mass", "mass of the slip member", most=300.0)
    position: Value | None = quantity("length", "middle of the slip behind the front joint", most=6.0)
    room_in: Value | None = quantity("length", "travel left before it closes, at ride height", most=1.0)
    room_out: Value | None = quantity("length", "travel left before it comes out, at ride height", most=1.0)


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
    core_hardness: Value | None = quantity("number", "Rockwell C hardness of the core, measured", most=70.0)
    case_depth: Value | None = quantity("length", "depth of the hardened case, measured", most=0.01)
    radial_clearance: Value | None = quantity("length", "whole play across a cap of arm and needles", most=0.002)
    end_play: Value | None = quantity("length", "play of the cross along an arm", most=0.01)
    fitting_hole: Value | None = quantity("length", "hole of the grease fitting", most=0.05)
    fitting_between: str = ""  # the two arms it sits between, `G1 A1`; asked, never inferred
    dent_depth: Value | None = quantity("length", "depth of the needle dents, measured", most=0.001)
    mark_spacing: Value | None = quantity("number", "spacing of the last beach marks over that of the first", most=1e3)
    mark_depth: Value | None = quantity("number", "crack depth at the last marks over that at the first", most=1e3)
    final_share: Value | None = quantity("number", "share of the broken arm that is final fracture", most=1.0)


@dataclass(frozen=True)
class Yoke:
    """The ears that hold two caps, and how the caps are held in them."""

    ear_width: Value | None = quantity("length", "width of an ear at its root", most=0.5)
    ear_thickness: Value | None = quantity("length", "thickness of an ear at its root, along the arm", most=0.3)
    ear_reach: Value | None = quantity("length", "middle of the cap to the ear root, along the shaft", most=0.5)
    ear_offset: Value | None = quantity("length", "cap force to the middle of the ear root, along the arm", most=0.3)
    bore: Value | None = quantity("length", "bore for the cap", most=0.3)
    yield_stress: Value | None = quantity("stress", "tensile yield stress of the yoke")
    bolts: int | None = None  # bolts that hold one cap
    bolt_diameter: Value | None = quantity("length", "thread diameter of a cap bolt", most=0.05)
    bolt_pitch: Value | None = quantity("length", "thread pitch of a cap bolt", most=0.01)
    bolt_yield_stress: Value | None = quantity("stress", "yield stress of a cap bolt")
    tightening_torque: Value | None = quantity("torque", "torque that a cap bolt was tightened to")


@dataclass(frozen=True)
class Joint:
    """One universal joint."""

    size: str = ""  # a name in the parts catalogue
    angle: Value | None = quantity("angle", "working angle measured at the joint", least=None, most=_QUARTER_TURN)
    bend_plane: Value | None = quantity("angle", "direction of the bend seen from the rear", least=None)
    at: Point | None = None
    mass: Value | None = quantity("mass", "mass of the joint with its yokes", most=300.0)
    proved_torque: Value | None = quantity("torque", "torque that this joint bore in a proof test")
    added_inertia: Value | None = quantity(
        "inertia", "moment of inertia of a retarder, brake drum or heavy flange on this joint"
    )
    cross: Cross = Cross()
    yoke: Yoke = Yoke()


@dataclass(frozen=True)
class CentreBearing:
    """The bearing in rubber that carries the rear end of a shaft from the frame."""

    position: Value | None = quantity("length", "middle of the bearing before the joint behind it", most=3.0)
    radial_stiffness: Value | None = quantity("stiffness", "radial stiffness of the rubber")
    mass: Value | None = quantity("mass", "mass of the bearing with its bracket that moves", most=100.0)
    misalignment: Value | None = quantity("angle", "tilt of the bearing's seat against the shaft", most=0.5)
    allowed_misalignment: Value | None = quantity("angle", "tilt that its maker allows", most=0.5)
    seat_runout: Value | None = quantity("length", "face run-out of its seat on the shaft, full reading", most=0.01)
    seat_diameter: Value | None = quantity("length", "circle on which that run-out was read", most=0.5)
    axial_offset: Value | None = quantity("length", "shift of the rubber along the shaft, fitted", most=0.1)
    allowed_axial: Value | None = quantity("length", "shift along the shaft that its maker allows", most=0.1)
    dynamic_rating: Value | None = quantity("force", "basic dynamic load rating of its ball bearing")


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
    mass: Value | None = quantity("mass", "mass of the shaft as it is balanced", most=500.0)
    proved_torque: Value | None = quantity("torque", "torque that this shaft bore in a proof test")
    support: bool = False  # a centre bearing at its rear end
    centre_bearing: CentreBearing = CentreBearing()
    former_length: Value | None = quantity("length", "length before a conversion", most=6.0)


@dataclass(frozen=True)
class End:
    """The gearbox output or the axle pinion that the driveline is bolted to."""

    slope: Value | None = quantity("angle", "slope in side view, + rear end higher", least=None, most=_QUARTER_TURN)
    plan: Value | None = quantity(
        "angle", "angle in plan view, + rear end to the right", least=None, most=_QUARTER_TURN
    )
    radial_stiffness: Value | None = quantity("stiffness", "radial stiffness of what carries it")
    mass: Value | None = quantity("mass", "mass of the flange on it, without the yoke", most=200.0)
