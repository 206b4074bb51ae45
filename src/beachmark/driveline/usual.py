"""What sizes of a heavy driveline usually are: outside of it a value is asked back, never refused.

Every band is `common practice, no source`: drawn wide around trucks, buses and off-highway machines, so
that it catches a slipped decimal point or a wrong unit and leaves unusual parts alone. What records damage
(a dent, a bend, play) has no usual size and no band.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from beachmark.basis.units import UNITS, parse_quantity, show, tidy
from beachmark.basis.values import Value
from beachmark.driveline.fields import About, about
from beachmark.driveline.parts import CentreBearing, Cross, End, Joint, Point, Shaft, Slip, Tube, Yoke
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import (
    Axle,
    Before,
    Duty,
    DutyLoad,
    Engine,
    Gear,
    Gearbox,
    Suspension,
    Tyre,
    Vehicle,
)

SOURCE = "common practice, no source"
Bands = dict[str, tuple[str, str]]

_SLOPE: Bands = {"slope": ("-30 deg", "30 deg"), "plan": ("-20 deg", "20 deg")}
_SHARE = ("0.8", "1")  # efficiency
_FIRST_GEAR, _AXLE_RATIO = ("1.5", "30"), ("1.5", "25")
_ENGINE_TORQUE, _DRIVELINE_TORQUE = ("200 N m", "8000 N m"), ("10 N m", "60 kN m")
_ROAD_SPEED = ("1 km/h", "160 km/h")
_AXLE_LOAD = ("1000 kg", "150 t")
_ROLLING_RADIUS = ("250 mm", "1600 mm")
_STEEL_YIELD = ("200 MPa", "1500 MPa")

USUAL: dict[type, Bands] = {
    Point: {"x": ("-20 m", "20 m"), "y": ("-2 m", "2 m"), "z": ("-2 m", "4 m")},
    Tube: {
        "outer_diameter": ("40 mm", "250 mm"),
        "wall": ("1.6 mm", "10 mm"),
        "yield_stress": ("150 MPa", "1100 MPa"),
        "youngs_modulus": ("60 GPa", "220 GPa"),
        "density": ("1400 kg/m3", "8100 kg/m3"),
        "hardness": ("60", "400"),
        "weld_throat": ("1 mm", "12 mm"),
        "weld_strength": ("150 MPa", "1000 MPa"),
    },
    Slip: {
        "root_diameter": ("20 mm", "150 mm"),
        "pitch_diameter": ("20 mm", "160 mm"),
        "outer_diameter": ("20 mm", "170 mm"),
        "bore": ("3 mm", "120 mm"),
        "engaged_length": ("30 mm", "500 mm"),
        "yield_stress": _STEEL_YIELD,
        "hardness": ("10", "65"),
        "mass": ("0.5 kg", "80 kg"),
        "position": ("30 mm", "3500 mm"),
    },
    Cross: {
        "arm_radius": ("20 mm", "160 mm"),
        "trunnion_diameter": ("10 mm", "100 mm"),
        "grease_bore": ("2 mm", "20 mm"),
        "root_distance": ("4 mm", "60 mm"),
        "fillet_radius": ("0.2 mm", "12 mm"),
        "shoulder_diameter": ("12 mm", "140 mm"),
        "needle_diameter": ("1.5 mm", "8 mm"),
        "needle_length": ("6 mm", "80 mm"),
        "yield_stress": _STEEL_YIELD,
        "tensile_strength": ("400 MPa", "2500 MPa"),
        "core_hardness": ("15", "55"),
        "case_depth": ("0.3 mm", "3 mm"),
        "fitting_hole": ("3 mm", "16 mm"),
    },
    Yoke: {
        "ear_width": ("15 mm", "200 mm"),
        "ear_thickness": ("6 mm", "100 mm"),
        "ear_reach": ("15 mm", "200 mm"),
        "ear_offset": ("2 mm", "120 mm"),
        "bore": ("18 mm", "140 mm"),
        "yield_stress": ("150 MPa", "1200 MPa"),
        "bolt_diameter": ("5 mm", "24 mm"),
        "bolt_pitch": ("0.5 mm", "3 mm"),
        "bolt_yield_stress": ("200 MPa", "1300 MPa"),
        "tightening_torque": ("5 N m", "700 N m"),
    },
    Joint: {
        "angle": ("0 deg", "35 deg"),
        "mass": ("0.5 kg", "120 kg"),
        "proved_torque": ("100 N m", "150 kN m"),
        "added_inertia": ("0.005 kg m2", "10 kg m2"),
    },
    CentreBearing: {
        "position": ("10 mm", "800 mm"),
        "radial_stiffness": ("20 N/mm", "20000 N/mm"),
        "mass": ("0.5 kg", "40 kg"),
        "allowed_misalignment": ("0.1 deg", "10 deg"),
        "allowed_axial": ("0.2 mm", "40 mm"),
        "seat_diameter": ("30 mm", "250 mm"),
        "dynamic_rating": ("5 kN", "200 kN"),
    },
    Shaft: {
        **_SLOPE,
        "length": ("150 mm", "3500 mm"),
        "former_length": ("150 mm", "3500 mm"),
        "inertia": ("0.002", "10"),
        "mass": ("3 kg", "250 kg"),
        "proved_torque": ("100 N m", "150 kN m"),
    },
    End: {**_SLOPE, "radial_stiffness": ("500 N/mm", "1000 kN/mm"), "mass": ("0.5 kg", "100 kg")},
    Engine: {
        "peak_torque": _ENGINE_TORQUE,
        "governed_speed": ("1000 rpm", "4500 rpm"),
        "idle_speed": ("350 rpm", "1200 rpm"),
        "inertia": ("0.1 kg m2", "20 kg m2"),
    },
    Gear: {"ratio": ("0.4", "30")},
    Gearbox: {
        "first_gear": _FIRST_GEAR,
        "top_gear": ("0.4", "3"),
        "reverse_gear": _FIRST_GEAR,
        "efficiency": _SHARE,
        "clutch_stiffness": ("10 N m/deg", "100 kN m/rad"),
        "inertia": ("0.001 kg m2", "50 kg m2"),
        "retarder_torque": ("200 N m", "8000 N m"),
        "clutch_torque": ("200 N m", "12 kN m"),
    },
    Axle: {
        "ratio": _AXLE_RATIO,
        "load": _AXLE_LOAD,
        "efficiency": _SHARE,
        "second_ratio": _AXLE_RATIO,
        "second_load": _AXLE_LOAD,
        "track": ("1 m", "4 m"),
        "brake_torque": ("1 kN m", "500 kN m"),
        "pinion_inertia": ("0.001 kg m2", "20 kg m2"),
        "half_shaft_stiffness": ("1 kN m/rad", "5000 kN m/rad"),
        "wheel_inertia": ("1 kg m2", "5000 kg m2"),
    },
    Tyre: {
        "rolling_radius": _ROLLING_RADIUS,
        "grip": ("0.05", "1.2"),
        "second_rolling_radius": _ROLLING_RADIUS,
        "slip_stiffness": ("10 kN", "20000 kN"),
        "twist_stiffness": ("1 kN m/rad", "10000 kN m/rad"),
    },
    Before: {"engine_peak_torque": _ENGINE_TORQUE, "first_gear": _FIRST_GEAR, "axle_ratio": _AXLE_RATIO},
    DutyLoad: {"torque": _DRIVELINE_TORQUE, "speed": _ROAD_SPEED},
    Duty: {
        "distance": ("1 km", "3000000 km"),
        "distance_since_change": ("1 m", "3000000 km"),
        "cruise_torque": _DRIVELINE_TORQUE,
        "cruise_speed": _ROAD_SPEED,
        "top_speed": ("5 km/h", "160 km/h"),
        "event_speed": ("0 km/h", "160 km/h"),
        "overspeed": ("5 km/h", "160 km/h"),
        "mass": ("3 t", "400 t"),
        "grade": ("0.5 deg", "35 deg"),
        "curve_radius": ("5 m", "300 m"),
        "greased_every": ("50 km", "400000 km"),
    },
    Suspension: {
        "bump": ("10 mm", "400 mm"),
        "droop": ("10 mm", "400 mm"),
        "arm_length": ("200 mm", "2000 mm"),
        "second_arm_length": ("200 mm", "2000 mm"),
        "arm_distance": ("50 mm", "1000 mm"),
        "arm_slope": ("-30 deg", "30 deg"),
        "second_arm_slope": ("-30 deg", "30 deg"),
    },
}


@dataclass(frozen=True)
class Usual:
    """The band, in SI, in which a field usually lies, and where that is known from."""

    low: float
    high: float
    source: str = SOURCE

    def question(self, si: float, described: About) -> str:
        """What is asked back about a value; nothing when it is usual."""
        if self.low <= si <= self.high:
            return ""
        words, unit = described.words.split(",")[0], next(iter(UNITS[described.dimension]))
        low, high = (tidy(end / UNITS[described.dimension][unit]) for end in (self.low, self.high))
        usual = f"{low} to {high} {unit}".strip()
        return f"{words[0].upper()}{words[1:]} {show(si, described.dimension)}: usual is {usual}. Keep it if measured."


@dataclass(frozen=True)
class AskedBack:
    """One value that lies outside what is usual, by its name in the case file."""

    name: str
    value: Value
    question: str
    source: str = SOURCE


def usual(kind: type[Any], key: str) -> Usual | None:
    """The band of a field, or None where nothing is usual."""
    of = next((one for one in fields(kind) if one.name == key), None)
    band, described = USUAL.get(kind, {}).get(key), about(of) if of else None
    if band is None or described is None:
        return None
    low, high = (parse_quantity(end, described.dimension).si for end in band)
    return Usual(low, high)


def asked_back(vehicle: Vehicle, train: Train) -> tuple[AskedBack, ...]:
    """Every value of a case that lies outside what is usual, by its name in the case file."""
    return (*_unusual(vehicle, "vehicle"), *_unusual(train, "driveline"))


def _unusual(part: Any, name: str) -> Iterator[AskedBack]:
    """The values of a part and of all parts inside it."""
    if isinstance(part, tuple):
        for i, one in enumerate(part):
            yield from _unusual(one, f"{name}[{i}]")
    elif is_dataclass(part) and not isinstance(part, Value):
        for of in fields(part):
            inside, described = getattr(part, of.name), about(of)
            if described and isinstance(inside, Value):
                band = usual(type(part), of.name)
                question = band.question(inside.si, described) if band else ""
                if question:
                    yield AskedBack(f"{name}.{of.name}", inside, question)
            else:
                yield from _unusual(inside, f"{name}.{of.name}")
