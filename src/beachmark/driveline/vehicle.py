"""The vehicle around the driveline: engine, gearbox, axle, tyre, duty, and what was there before a change."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.basis.values import Value
from beachmark.driveline.fields import choice, quantity

KINDS = ("tractor", "tipper", "bus", "off_highway")
"""Classes of vehicles that knowledge has usual values for."""


@dataclass(frozen=True)
class Engine:
    """What drives."""

    peak_torque: Value | None = quantity("torque", "greatest engine torque")
    governed_speed: Value | None = quantity("rotation", "governed or greatest engine speed")
    idle_speed: Value | None = quantity("rotation", "idle speed")
    cylinders: int | None = None
    inertia: Value | None = quantity("inertia", "moment of inertia of engine and flywheel")


@dataclass(frozen=True)
class Gear:
    """One gear between the lowest and the highest."""

    ratio: Value | None = quantity("number", "ratio of this gear", most=60.0)


@dataclass(frozen=True)
class Gearbox:
    """Ratios are engine speed over output speed."""

    first_gear: Value | None = quantity("number", "ratio of the lowest forward gear", most=60.0)
    top_gear: Value | None = quantity("number", "ratio of the highest gear", most=10.0)
    reverse_gear: Value | None = quantity("number", "ratio of reverse", most=60.0)
    efficiency: Value | None = quantity("number", "efficiency from engine to driveline", most=1.0)
    gears: tuple[Gear, ...] = ()  # the gears between, where they are known
    clutch_stiffness: Value | None = quantity("twist stiffness", "twist stiffness of clutch damper and gearbox shafts")
    inertia: Value | None = quantity("inertia", "moment of inertia at the gearbox output")
    retarder_torque: Value | None = quantity("torque", "greatest torque of a retarder on the gearbox output")
    clutch_torque: Value | None = quantity("torque", "greatest torque of the clutch")
    converter: bool = False  # a torque converter instead of a clutch
    power_take_off: bool = False  # a power take-off that can be loaded while the vehicle drives


@dataclass(frozen=True)
class Axle:
    """The driven axle or tandem that this driveline feeds."""

    ratio: Value | None = quantity("number", "axle ratio", most=30.0)
    load: Value | None = quantity("mass", "mass carried by the driven wheels")
    efficiency: Value | None = quantity("number", "efficiency from pinion to wheels", most=1.0)
    second_ratio: Value | None = quantity("number", "ratio of a second driven axle", most=30.0)
    second_load: Value | None = quantity("mass", "mass carried by the wheels of a second driven axle")
    track: Value | None = quantity("length", "middle of the left wheels to that of the right ones", most=6.0)
    brake_torque: Value | None = quantity("torque", "greatest brake torque of the driven wheels, all together")
    pinion_inertia: Value | None = quantity("inertia", "moment of inertia of the pinion side")
    half_shaft_stiffness: Value | None = quantity("twist stiffness", "twist stiffness of both half shafts together")
    wheel_inertia: Value | None = quantity("inertia", "moment of inertia of all driven wheels together")
    lash: Value | None = quantity("angle", "play of the axle at the pinion, wheels held", most=0.5)


@dataclass(frozen=True)
class Tyre:
    """The driven tyres."""

    rolling_radius: Value | None = quantity("length", "rolling radius", most=2.0)
    grip: Value | None = quantity("number", "greatest friction with the ground", most=2.0)
    second_rolling_radius: Value | None = quantity("length", "rolling radius on a second driven axle", most=2.0)
    slip_stiffness: Value | None = quantity("force", "force for each unit of slip, tyres of one axle together")
    twist_stiffness: Value | None = quantity("twist stiffness", "twist stiffness of all driven tyres together")


@dataclass(frozen=True)
class Before:
    """The same vehicle before engine, gears or axle were changed."""

    engine_peak_torque: Value | None = quantity("torque", "greatest engine torque before the change")
    first_gear: Value | None = quantity("number", "lowest gear before the change", most=60.0)
    axle_ratio: Value | None = quantity("number", "axle ratio before the change", most=30.0)


@dataclass(frozen=True)
class DutyLoad:
    """One step of the duty: a torque, the road speed with it, and its share of the distance."""

    torque: Value | None = quantity("torque", "driveline torque")
    speed: Value | None = quantity("speed", "road speed")
    share: Value | None = quantity("number", "share of the distance", most=1.0)


@dataclass(frozen=True)
class Duty:
    """How it runs."""

    distance: Value | None = quantity("distance", "distance run in all")
    distance_since_change: Value | None = quantity("distance", "distance since the last change or work")
    cruise_torque: Value | None = quantity("torque", "driveline torque at steady road speed")
    cruise_speed: Value | None = quantity("speed", "usual road speed")
    top_speed: Value | None = quantity("speed", "greatest road speed")
    event_speed: Value | None = quantity("speed", "road speed at the event")
    overspeed: Value | None = quantity("speed", "greatest road speed downhill")
    mass: Value | None = quantity("mass", "mass of the whole vehicle or combination")
    grade: Value | None = quantity("angle", "steepest slope that it climbs", most=0.8)
    curve_radius: Value | None = quantity("length", "tightest curve driven with the differential locked", most=500.0)
    starts_per_km: Value | None = quantity("number", "hard starts from standstill in a kilometre", most=50.0)
    loads: tuple[DutyLoad, ...] = ()
    greased_every: Value | None = quantity("distance", "distance between greasings, the user's rule")
    since_greased: Value | None = quantity("distance", "distance since it was last greased")


@dataclass(frozen=True)
class RideHeight:
    """The pinion as it was measured at one ride height."""

    height: Value | None = quantity("length", "axle above its place at ride height, below is negative", least=None)
    pinion_slope: Value | None = quantity("angle", "slope of the pinion there", least=None)


@dataclass(frozen=True)
class Suspension:
    """How the driven axle moves against the frame, from measurements or from its arms."""

    bump: Value | None = quantity("length", "axle travel upward from ride height", most=1.0)
    droop: Value | None = quantity("length", "axle travel downward from ride height", most=1.0)
    arm_length: Value | None = quantity("length", "length of the lower arm, or spring axle to eye", most=4.0)
    arm_slope: Value | None = quantity("angle", "slope of that arm at ride height, + axle end higher", least=None)
    turn_share: Value | None = quantity("number", "how far the axle turns with that arm: 1 rigid, 0 not", most=1.0)
    second_arm_length: Value | None = quantity("length", "length of the upper arm", most=4.0)
    second_arm_slope: Value | None = quantity("angle", "slope of the upper arm, + axle end higher", least=None)
    arm_distance: Value | None = quantity("length", "upper arm above the lower arm at the axle", most=2.0)
    measured: tuple[RideHeight, ...] = ()


@dataclass(frozen=True)
class Vehicle:
    """One vehicle."""

    description: str = ""
    name: str = ""
    kind: str = choice(*KINDS)
    engine: Engine = Engine()
    gearbox: Gearbox = Gearbox()
    axle: Axle = Axle()
    tyre: Tyre = Tyre()
    before: Before = Before()
    duty: Duty = Duty()
    suspension: Suspension = Suspension()
