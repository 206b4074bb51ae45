"""What driver, road and brakes do in an event, as courses of time that become parameters of a draw.

A course starts at a value and may change along ramps. With ``repeat_s`` set, time starts anew after each such span:
so a driver rocks a vehicle out of a hole.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from numpy.typing import ArrayLike

from beachmark.mechanics.replay.parameters import RAMPS


@dataclass(frozen=True, kw_only=True)
class Ramp:
    """A steady change that begins at a time and takes a time [s]; one number, or one for each draw."""

    start_s: ArrayLike
    takes_s: ArrayLike
    change: ArrayLike


@dataclass(frozen=True, kw_only=True)
class Course:
    """A value over time: where it starts, and the ramps that change it (they add up where they overlap)."""

    value: ArrayLike
    ramps: tuple[Ramp, ...] = ()

    def __post_init__(self) -> None:
        if len(self.ramps) > RAMPS:
            raise ValueError(f"ramps has {len(self.ramps)} entries; at most {RAMPS} are allowed.")


@dataclass(frozen=True, kw_only=True)
class Event:
    """One event: how long it is followed, the courses in it, and single parameters (gear, speeds at the start ...).

    courses: by name without unit, such as "clutch.capacity"; values: by the full name of the parameter.
    """

    duration_s: float
    courses: Mapping[str, Course] = field(default_factory=dict)
    values: Mapping[str, ArrayLike] = field(default_factory=dict)


_UNITS = {"capacity": "_nm", "torque": "_nm", "brake": "_n", "friction": "", "throttle": ""}


def event_values(event: Event) -> dict[str, ArrayLike]:
    """Parameters of an event, to be joined with those of the train for ``parameters.draws``.

    Raises: ValueError if a course is not one of capacity, torque, brake, friction, throttle.

    >>> grip = Course(value=0.1, ramps=(Ramp(start_s=0.5, takes_s=0.05, change=0.7),))
    >>> event_values(Event(duration_s=2.0, courses={"tyre.friction": grip}))["tyre.friction_ramp_1_change"]
    0.7
    """
    found: dict[str, ArrayLike] = {}
    for name, course in event.courses.items():
        quantity = name.rpartition(".")[2]
        if quantity not in _UNITS:
            raise ValueError(f"{name} is no course of time; it must end in one of {sorted(_UNITS)}.")
        unit = _UNITS[quantity]
        found[f"{name}{unit}"] = course.value
        for number, ramp in enumerate(course.ramps, start=1):
            found[f"{name}_ramp_{number}_start_s"] = ramp.start_s
            found[f"{name}_ramp_{number}_takes_s"] = ramp.takes_s
            found[f"{name}_ramp_{number}_change{unit}"] = ramp.change
    return {**found, **event.values}
