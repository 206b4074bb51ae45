"""The vehicle around the driveline: engine, gearbox, axle, tyre, duty, and what was there before a change."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.basis.values import Value
from beachmark.driveline.fields import quantity


@dataclass(frozen=True)
class Engine:
    """What drives."""

    peak_torque: Value | None = quantity("torque", "greatest engine torque")
    governed_speed: Value | None = quantity("rotation", "governed or greatest engine speed")


@dataclass(frozen=True)
class Gearbox:
    """Ratios are engine speed over output speed."""

    first_gear: Value | None = quantity("number", "ratio of the lowest forward gear", most=60.0)
    top_gear: Value | None = quantity("number", "ratio of the highest gear", most=10.0)
    reverse_gear: Value | None = quantity("number", "ratio of reverse", most=60.0)
    efficiency: Value | None = quantity("number", "efficiency from engine to driveline", most=1.0)


@dataclass(frozen=True)
class Axle:
    """The driven axle or tandem that this driveline feeds."""

    ratio: Value | None = quantity("number", "axle ratio", most=30.0)
    load: Value | None = quantity("mass", "mass carried by the driven wheels")
    efficiency: Value | None = quantity("number", "efficiency from pinion to wheels", most=1.0)


@dataclass(frozen=True)
class Tyre:
    """The driven tyres."""

    rolling_radius: Value | None = quantity("length", "rolling radius", most=2.0)
    grip: Value | None = quantity("number", "greatest friction with the ground", most=2.0)


@dataclass(frozen=True)
class Before:
    """The same vehicle before engine, gears or axle were changed."""

    engine_peak_torque: Value | None = quantity("torque", "greatest engine torque before the change")
    first_gear: Value | None = quantity("number", "lowest gear before the change", most=60.0)
    axle_ratio: Value | None = quantity("number", "axle ratio before the change", most=30.0)


@dataclass(frozen=True)
class Duty:
    """How it runs."""

    distance: Value | None = quantity("distance", "distance run in all")
    distance_since_change: Value | None = quantity("distance", "distance since the last change or work")
    cruise_torque: Value | None = quantity("torque", "driveline torque at steady road speed")
    cruise_speed: Value | None = quantity("speed", "usual road speed")
    top_speed: Value | None = quantity("speed", "greatest road speed")
    event_speed: Value | None = quantity("speed", "road speed at the event")


@dataclass(frozen=True)
class Vehicle:
    """One vehicle."""

    description: str = ""
    name: str = ""
    engine: Engine = Engine()
    gearbox: Gearbox = Gearbox()
    axle: Axle = Axle()
    tyre: Tyre = Tyre()
    before: Before = Before()
    duty: Duty = Duty()
