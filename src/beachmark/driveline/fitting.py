"""Values that cannot fit together, or hardly: they are asked back in a plain sentence, never refused.

Each rule looks at two or more values of one case, or at a count, and takes every range at its kindest end: it
asks only where no value inside the stated errors would fit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from beachmark.basis.units import show, thread, tidy
from beachmark.basis.values import Value
from beachmark.driveline.parts import Cross, Shaft, Tube, Yoke
from beachmark.driveline.train import Train
from beachmark.driveline.usual import SOURCE, AskedBack
from beachmark.driveline.vehicle import Duty, Gearbox, Vehicle

GEOMETRY = "elementary geometry"
ARITHMETIC = "elementary arithmetic"
CYLINDERS = (1, 16)  # common practice, no source
FAR_ABOVE = 1.1  # of the greatest stated road speed; common practice, no source
STEEP = math.radians(25.0)  # between two parts that follow each other; common practice, no source


def cannot_fit(vehicle: Vehicle, train: Train) -> tuple[AskedBack, ...]:
    """Every value of a case that does not fit together with another one, by its name in the case file."""
    return (*_of_the_vehicle(vehicle, train), *_of_the_joints(train), *_of_the_shafts(train), *_steep_joints(train))


def most_needles(*, needle_diameter_m: float, trunnion_diameter_m: float) -> int:
    """How many needles fit round an arm while each touches the next.

    Their middles lie on a circle of diameter D + d, and neighbours stand d apart on its chord, which spans
    2 asin(d / (D + d)) of the whole turn.
    Units: both diameters [m]. Raises: ValueError unless both are above zero. Source: elementary geometry.

    >>> most_needles(needle_diameter_m=3e-3, trunnion_diameter_m=3e-3)  # six pennies round one
    6
    """
    if not (needle_diameter_m > 0 and trunnion_diameter_m > 0):
        raise ValueError(f"diameters must be above zero, not {needle_diameter_m} and {trunnion_diameter_m}")
    share = math.asin(needle_diameter_m / (trunnion_diameter_m + needle_diameter_m)) / math.pi
    return math.floor(1.0 / share + 1e-9)  # the last digit of asin must not take the needle that just fits


def _count(number: int) -> Value:
    return Value.exact(float(number), "number")


def _none_at_all(name: str, words: str, number: int | None) -> Iterator[AskedBack]:
    if number is not None and number < 1:
        yield AskedBack(name, _count(number), f"{words} {number}: a count must be 1 or more.", ARITHMETIC)


def _of_the_vehicle(vehicle: Vehicle, train: Train) -> Iterator[AskedBack]:
    yield from _cylinders(vehicle.engine.cylinders)
    yield from _gears(vehicle.gearbox)
    yield from _speeds(vehicle.duty)
    yield from _distances(vehicle.duty)
    for i, one in enumerate(vehicle.suspension.measured):
        stated, slope = train.axle_end.slope, one.pinion_slope
        if stated and slope and one.height and one.height.si == 0.0:
            yield from _pinion(f"vehicle.suspension.measured[{i}].pinion_slope", slope, stated)


def _cylinders(number: int | None) -> Iterator[AskedBack]:
    least, most = CYLINDERS
    if number is not None and not least <= number <= most:
        words = f"Number of cylinders {number}: usual is {least} to {most}. Is the count right?"
        yield AskedBack("vehicle.engine.cylinders", _count(number), words, SOURCE)


def _gears(gearbox: Gearbox) -> Iterator[AskedBack]:
    lowest, top = gearbox.first_gear, gearbox.top_gear
    for i, gear in enumerate(gearbox.gears):
        ratio, reason = gear.ratio, ""
        if ratio and lowest and ratio.low > lowest.high:
            reason = f"is more than the {tidy(lowest.si)} of the lowest gear"
        elif ratio and top and ratio.high < top.low:
            reason = f"is less than the {tidy(top.si)} of the highest gear"
        if ratio and reason:
            words = f"Ratio of this gear {tidy(ratio.si)} {reason}: gears between lie between the two. Which is right?"
            yield AskedBack(f"vehicle.gearbox.gears[{i}].ratio", ratio, words, ARITHMETIC)


def _speeds(duty: Duty) -> Iterator[AskedBack]:
    greatest = [speed for speed in (duty.top_speed, duty.overspeed) if speed]
    if not greatest:
        return
    limit = max(greatest, key=lambda speed: speed.high)
    name = "greatest road speed downhill" if limit is duty.overspeed else "greatest road speed"
    for key, words in (("cruise_speed", "Usual road speed"), ("event_speed", "Road speed at the event")):
        speed: Value | None = getattr(duty, key)
        if speed and speed.low > FAR_ABOVE * limit.high:
            says = f"{words} {_told(speed)} is far above the {name}, {_told(limit)}. Which of the two is right?"
            yield AskedBack(f"vehicle.duty.{key}", speed, says, SOURCE)


def _distances(duty: Duty) -> Iterator[AskedBack]:
    since, whole = duty.distance_since_change, duty.distance
    if since and whole and since.low > whole.high:
        words = f"Distance since the last change or work {_told(since)} is more than the {_told(whole)} run in all."
        yield AskedBack("vehicle.duty.distance_since_change", since, f"{words} Which is right?", ARITHMETIC)


def _pinion(name: str, slope: Value, stated: Value) -> Iterator[AskedBack]:
    if slope.low > stated.high + 1e-9 or slope.high < stated.low - 1e-9:
        words = f"Slope of the pinion at ride height {_told(slope)} is not the {_told(stated)} of the axle pinion"
        yield AskedBack(name, slope, f"{words}, by more than both errors. Which one is it now?", GEOMETRY)


def _of_the_joints(train: Train) -> Iterator[AskedBack]:
    for i, joint in enumerate(train.joints):
        name = f"driveline.joints[{i}]"
        yield from _none_at_all(f"{name}.cross.needles", "Needles in one cap", joint.cross.needles)
        yield from _needles(f"{name}.cross.needles", joint.cross)
        yield from _none_at_all(f"{name}.yoke.bolts", "Bolts that hold one cap", joint.yoke.bolts)
        yield from _pitch(f"{name}.yoke.bolt_pitch", joint.yoke)


def _needles(name: str, cross: Cross) -> Iterator[AskedBack]:
    count, needle, arm = cross.needles, cross.needle_diameter, cross.trunnion_diameter
    if count is None or not needle or not arm or needle.low <= 0:
        return
    most = most_needles(needle_diameter_m=needle.low, trunnion_diameter_m=arm.high)
    if count > most:
        words = f"Needles in one cap {count}: round an arm of {_told(arm)} at most {most} of {_told(needle)} fit."
        yield AskedBack(name, _count(count), f"{words} Which of the three is right?", GEOMETRY)


def _pitch(name: str, yoke: Yoke) -> Iterator[AskedBack]:
    """A pitch typed behind the diameter (`M12 x 1.25`) that is not the one of its own field."""
    typed = thread(yoke.bolt_diameter.typed) if yoke.bolt_diameter else None
    if typed is None or typed.pitch_m is None or yoke.bolt_pitch is None or not yoke.bolt_diameter:
        return
    if not yoke.bolt_pitch.low - 1e-9 <= typed.pitch_m <= yoke.bolt_pitch.high + 1e-9:
        words = f"Thread pitch of a cap bolt {_told(yoke.bolt_pitch)}, but the bolt is an {yoke.bolt_diameter.typed}."
        yield AskedBack(name, yoke.bolt_pitch, f"{words} Which is right?", ARITHMETIC)


def _of_the_shafts(train: Train) -> Iterator[AskedBack]:
    for i, shaft in enumerate(train.shafts):
        name = f"driveline.shafts[{i}]"
        yield from _wall(f"{name}.tube.wall", shaft.tube)
        yield from _twisted_in_line(name, shaft)
        if shaft.slip:
            yield from _none_at_all(f"{name}.slip.teeth", "Number of teeth", shaft.slip.teeth)


def _wall(name: str, tube: Tube) -> Iterator[AskedBack]:
    wall, outer = tube.wall, tube.outer_diameter
    if wall and outer and 2.0 * wall.low >= outer.high * (1.0 - 1e-9):
        words = f"Wall thickness {_told(wall)} is half of the outside diameter {_told(outer)} or more"
        yield AskedBack(name, wall, f"{words}, which leaves no tube. Which is right?", GEOMETRY)


def _twisted_in_line(name: str, shaft: Shaft) -> Iterator[AskedBack]:
    """A twist that stayed turns the rear yoke with it: it cannot still stand in line by itself."""
    phase = shaft.phase
    if not phase or abs(math.remainder(phase.si, math.pi)) > 1e-9:
        return
    slip = shaft.slip.twist_left if shaft.slip else None
    for key, where, twist in (("tube", "in the tube", shaft.tube.twist_left), ("slip", "along the stub", slip)):
        if twist and _beyond(twist, phase):
            words = f"Twist left {where} {_told(twist)}, yet the yokes are stated in line (phase {_told(phase)})."
            asks = "Is that the phase as built or as found, and which of the two was measured?"
            yield AskedBack(f"{name}.{key}.twist_left", twist, f"{words} {asks}", GEOMETRY)


def _beyond(twist: Value, phase: Value) -> bool:
    """True when even the least twist turns the yokes further than the error of the phase."""
    least = 0.0 if twist.low <= 0.0 <= twist.high else min(abs(twist.low), abs(twist.high))
    return least > (phase.high - phase.low) / 2.0


def _steep_joints(train: Train) -> Iterator[AskedBack]:
    """Slopes on both sides of a joint so far apart that one of them was likely meant the other way."""
    shafts = [(f"driveline.shafts[{i}]", f"shaft {i + 1}", shaft.slope) for i, shaft in enumerate(train.shafts)]
    front = ("driveline.gearbox_end", "the gearbox output", train.gearbox_end.slope)
    rear = ("driveline.axle_end", "the axle pinion", train.axle_end.slope)
    for number, (one, other) in enumerate(pairwise((front, *shafts, rear)), start=1):
        before, behind = one[2], other[2]
        if before and behind and abs(before.si - behind.si) > STEEP:
            angle = show(abs(before.si - behind.si), "angle", digits=3)
            words = f"Slope of {other[1]} {_told(behind)} against {one[1]} {_told(before)}"
            asks = f"bends joint {number} by {angle}. Was nose up or nose down meant, for both?"
            yield AskedBack(f"{other[0]}.slope", behind, f"{words} {asks}", SOURCE)


def _told(value: Value) -> str:
    return show(value.si, value.dimension)
