"""Events that load a driveline hard, and what is usual in a class of vehicles: what a replay simulates.

An event says what driver, road, brakes and auxiliaries do, relative to the vehicle that it happens to; a class says
which values the parts of such vehicles have where nothing is known of the one at hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from beachmark.basis.values import Value

NEEDS = ("clutch", "converter", "retarder", "power_take_off", "second_axle")
SURFACES = ("dry", "wet", "loose", "snow")
COURSES = {
    "throttle": "0 to 1",
    "clutch": "share of the clutch's capacity",
    "wheel_brake": "share of the greatest brake torque of the driven wheels",
    "vehicle_brake": "share of what the other axles can brake",
    "grip": "share of the surface's friction",
    "retarder": "share of its greatest torque",
    "power_take_off": "share of the engine's peak torque, taken at the gearbox input",
}
OBSTACLES = ("hole", "kerb")
ANY_CLASS = "any"

USUAL = {
    "engine_peak_torque": "torque",
    "governed_speed": "rotation",
    "idle_speed": "rotation",
    "engine_inertia": "inertia",
    "idle_torque_share": "number",  # full-load torque at idle over peak torque
    "governed_torque_share": "number",  # full-load torque at governed speed over peak torque
    "engine_drag_share": "number",  # of peak torque
    "clutch_capacity_share": "number",  # over peak torque
    "clutch_stiffness": "twist stiffness",
    "clutch_spring_time": "time",  # damping over stiffness
    "converter_stall_share": "number",  # stall speed over governed speed
    "converter_torque_ratio": "number",  # at stall
    "gearbox_input_inertia": "inertia",
    "gearbox_output_inertia": "inertia",
    "gearbox_stiffness": "twist stiffness",  # at its output
    "gearbox_lash": "angle",  # at its output, whole play
    "first_gear": "number",
    "top_gear": "number",
    "reverse_gear": "number",  # without sign
    "retarder_inertia": "inertia",
    "retarder_torque": "torque",
    "shaft_stiffness": "twist stiffness",  # one shaft, where its tube is not known
    "shaft_inertia": "inertia",
    "joint_stiffness": "twist stiffness",  # cross with both yokes and caps
    "joint_inertia": "inertia",
    "joint_angle": "angle",
    "pinion_inertia": "inertia",
    "pinion_stiffness": "twist stiffness",
    "mesh_stiffness": "twist stiffness",  # at the pinion
    "axle_lash": "angle",  # at the pinion, whole play
    "axle_ratio": "number",
    "differential_inertia": "inertia",  # between the axles
    "inter_axle_stiffness": "twist stiffness",
    "inter_axle_angle": "angle",
    "crown_inertia": "inertia",  # crown wheel and differential, at wheel speed
    "half_shaft_stiffness": "twist stiffness",  # at the wheels, all of one axle
    "wheel_inertia": "inertia",  # all wheels of one axle
    "rolling_radius": "length",
    "driven_load": "mass",  # one axle
    "tyre_stiffness": "number",  # 1/m
    "tyre_damping": "number",  # s/m
    "tyre_rolling": "number",  # 1/m
    "tyre_slide_share": "number",  # friction in fast slip over the greatest
    "tyre_slide_speed": "speed",
    "brake_torque_share": "number",  # greatest brake torque of the driven wheels over their weight times radius
    "vehicle_brake_share": "number",  # greatest brake force of the other axles over their weight
    "spring_time": "time",  # structural damping over stiffness of steel parts
    "pinion_drag": "number",  # N m s/rad
    "vehicle_mass": "mass",
    "fracture_over_yield": "number",
    "joint_capacity": "torque",  # at which a joint first yields
    "shaft_capacity": "torque",
    "slip_capacity": "torque",
}
"""What a class may state, with its dimension; class "any" or the typical values hold every one of them."""


@dataclass(frozen=True)
class Step:
    """A steady change of a course: when it begins, how long it takes [s], and where it ends."""

    at: Value
    takes: Value
    to: Value


@dataclass(frozen=True)
class EventCourse:
    """A share over time: where it starts, and at most two steps."""

    first: Value
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Obstacle:
    """A hole or kerb under the driven wheels: what it takes to cross, where it lies and how far it reaches."""

    kind: str  # hole, kerb
    force: Value  # share of the weight on the driven wheels
    place: Value  # ahead of (+) or behind the start
    length: Value  # its force reaches so far to either side of its place


@dataclass(frozen=True)
class EventKind:
    """One kind of event, relative to the vehicle that it happens to, and what it leaves to be seen or told."""

    id: str
    title: str
    story: str
    needs: tuple[str, ...]  # what a vehicle must have for it
    duration_s: float  # how long it is followed
    repeat: Value | None  # after this time the courses start anew, for rocking
    gear: Value | None  # 0 lowest, 1 highest gear, on the logarithm of the ratio; None: reverse
    speed: Value | None  # road speed at the start, + forward
    input_share: Value | None  # instead of speed: input of the gearbox at idle + share x (governed - idle)
    engine_share: Value | None  # engine at idle + share x (governed - idle); None: it turns with the gearbox input
    grade: Value  # + pushes the vehicle backward
    surfaces: Mapping[str, float]  # chance of each
    courses: Mapping[str, EventCourse]
    obstacle: Obstacle | None
    leaves: Mapping[str, Mapping[str, tuple[str, ...]]]  # question -> word -> answers, as a cause expects them
    source: str


@dataclass(frozen=True)
class VehicleClass:
    """A class of vehicles and the values usual in it, where they differ from those of class "any"."""

    id: str
    title: str
    values: Mapping[str, Value] = field(default_factory=dict)
