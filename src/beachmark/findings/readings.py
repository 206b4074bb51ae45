"""What torque the marks on the parts speak of: twist that stayed, dents of needles, the last zone of a fracture."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from beachmark.basis.units import tidy
from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking
from beachmark.findings.measured import core_tensile, core_yield, known_of, raised_by_proof, stub_yield, tube_yield
from beachmark.findings.ranges import spread, spread_of_costly, value_of
from beachmark.findings.results import Missing
from beachmark.findings.strength import needle_rating
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import FinalZoneReading, RoundSection, final_zone_load
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.needle_load import DEEPEST_DENT_SHARE, LoadBand, load_band_from_dent
from beachmark.mechanics.torque_witness import Kind
from beachmark.mechanics.tube import shear_yield_pa
from beachmark.mechanics.twist_reading import torque_from_residual_twist_nm, torque_of_twist_nm

_MPA_ROOT_M = 1e6
_DENT_ASSUMPTIONS = (
    "A true dent: the grinding marks go through it. Wear, false brinelling and worn tracks say nothing of a load.",
    "It was measured across the dent on one race and made by a torque, not by a blow in fitting the caps.",
    "The needles carry as the static rating supposes; how deep a load sets is known within a wide band.",
)


@dataclass(frozen=True)
class Reading:
    """What one mark says of the torque, and what that rests on."""

    at: Address
    name: str  # of the witness, as a sentence tells it
    kind: Kind
    torque: Spread
    assumptions: tuple[str, ...]
    supposing: str  # what must be so for it to prove anything; nothing where the strength was measured


_USUAL = "the steel is the usual one (measure its hardness)"
_AS_STATED = "the steel is as stated"
_AS_RATED = "the needles carry as their static rating supposes"
Read = Callable[[Asking], Reading | None]


@dataclass(frozen=True)
class _Bar:
    """A tube or a stub that may have been twisted beyond yield."""

    at: Address
    name: str
    field: str
    strength_field: str
    twist: Value
    outer: Value
    inner: Callable[[Any, Any], Any]  # of the outside diameter and the third size
    third: Value  # wall of a tube, bore of a stub
    length: Value
    strength: Value


def tube_twist(asking: Asking, train: Train, number: int) -> Reading | None:
    """Torque that the twist left in a tube speaks of; what is missing is noted."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    twist = asking.take(f"{name}.tube.twist_left", "twist left in the tube", shaft.tube.twist_left)
    outer = asking.need(f"{name}.tube.outer_diameter", "tube outside diameter", shaft.tube.outer_diameter)
    wall = asking.need(f"{name}.tube.wall", "tube wall", shaft.tube.wall)
    whole = asking.need(f"{name}.length", "length between joint centres", shaft.length)
    part = asking.need("tube_length_share", "length of tube between its welds, as a share", None, "tube_length_share")
    strength = tube_yield(asking, train, number)
    if twist is None or outer is None or wall is None or whole is None or part is None or strength is None:
        return None
    if outer.low <= 2 * wall.high:
        asking.missing.append(Missing(f"{name}.tube.wall", "a wall that fits into the tube's diameter"))
        return None
    length = value_of(spread(lambda whole, part: whole * part, whole=whole, part=part), "length")
    at, words = Address("shaft", number), f"tube of shaft {number}"
    steel = f"{name}.tube.yield_stress"
    bar = _Bar(at, words, name, steel, twist, outer, lambda outer, wall: outer - 2 * wall, wall, length, strength)
    return _twisted(asking, bar, shaft.proved_torque)


def stub_twist(asking: Asking, train: Train, number: int) -> Reading | None:
    """Torque that the turn of the teeth along a stub speaks of; what is missing is noted."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    slip = shaft.slip
    if slip is None:
        return None
    twist = asking.take(f"{name}.slip.twist_left", "turn of the teeth along the stub", slip.twist_left)
    root = asking.need(f"{name}.slip.root_diameter", "diameter at the tooth roots", slip.root_diameter)
    length = asking.need(f"{name}.slip.engaged_length", "engaged length", slip.engaged_length)
    bore = asking.take(f"{name}.slip.bore", "bore through the stub", slip.bore) or Value.exact(0.0, "length")
    strength = stub_yield(asking, train, number)
    if twist is None or root is None or length is None or strength is None:
        return None
    if root.low <= bore.high:
        asking.missing.append(Missing(f"{name}.slip.bore", "a bore smaller than the diameter at the tooth roots"))
        return None
    at, words = Address("shaft", number, "slip"), f"slip of shaft {number}"
    steel = f"{name}.slip.yield_stress"
    bar = _Bar(at, words, name, steel, twist, root, lambda _, bore: bore, bore, length, strength)
    return _twisted(asking, bar, shaft.proved_torque)


def _twisted(asking: Asking, bar: _Bar, proved: Value | None) -> Reading | None:
    """Twisted beyond yield: about so much. Not measurably twisted: at most what would have left a mark."""
    shear = asking.need("steel_shear_modulus", "shear modulus", None, "steel_shear_modulus")
    hardening = asking.need("hardening_ratio", "hardening after yield", None, "hardening_ratio")
    seen = _seen_twist(asking, bar.twist)
    if shear is None or hardening is None or seen is None:
        return None
    torque = spread(
        partial(_torque_of_twist, bar.inner),
        outer=bar.outer,
        third=bar.third,
        strength=bar.strength,
        twist=seen,
        length=bar.length,
        shear=shear,
        hardening=hardening,
    )
    torque = raised_by_proof(asking, bar.field, proved, torque)
    twisted = _is_twisted(bar.twist)
    told = _twist_assumptions(replace(bar, twist=seen), shear) if twisted else _not_twisted(seen)
    kind: Kind = "about" if twisted else "at most"
    return Reading(bar.at, bar.name, kind, torque, told, _supposing(asking, bar.strength_field))


def _is_twisted(twist: Value) -> bool:
    return twist.low > 0 or twist.high < 0


def _seen_twist(asking: Asking, twist: Value) -> Value | None:
    """The twist left, its sense put aside, or where none was found the least that would have been seen."""
    if twist.low > 0:
        return twist
    if twist.high < 0:
        turned = None if twist.sample is None else -twist.sample
        return replace(twist, si=-twist.si, low=-twist.high, high=-twist.low, sample=turned)
    most = max(-twist.low, twist.high)
    if most > 0:
        return Value.exact(most, "angle")
    return asking.need("twist_detection", "least twist that is seen where it is looked for", None, "twist_detection")


def _supposing(asking: Asking, *fields: str) -> str:
    """What must be so of the steel: nothing where its strength, or the hardness that it comes from, was measured."""
    known = [known_of(asking, field) for field in fields]
    if Known.ASSUMED in known:
        return _USUAL
    return "" if all(one is Known.MEASURED for one in known) else _AS_STATED


def _torque_of_twist(
    inner: Callable[[Any, Any], Any],
    *,
    outer: Any,
    third: Any,
    strength: Any,
    twist: Any,
    length: Any,
    shear: Any,
    hardening: Any,
) -> Any:
    return torque_from_residual_twist_nm(
        residual_twist_rad=twist,
        length_m=length,
        shear_modulus_pa=shear,
        shear_yield_pa=shear_yield_pa(yield_pa=strength),
        outer_m=outer,
        inner_m=inner(outer, third),
        hardening_ratio=hardening,
    )


def _not_twisted(seen: Value) -> tuple[str, ...]:
    least, low, high = (tidy(math.degrees(one), 2) for one in (seen.si, seen.low, seen.high))
    reach = f" ({low} to {high})" if seen.low < seen.high else ""
    return (
        "No twist was found where it was looked for: the torque stayed below what leaves a twist that is seen, about "
        f"{least} degrees{reach}.",
    )


def _twist_assumptions(bar: _Bar, shear: Value) -> tuple[str, ...]:
    found = torque_of_twist_nm(
        section=RoundSection(bar.outer.si, bar.inner(bar.outer.si, bar.third.si)),
        residual_twist_rad=_band(bar.twist),
        length_m=_band(bar.length),
        shear_modulus_pa=_band(shear),
        yield_pa=_band(bar.strength),
    )
    return found.assumptions


def _band(value: Value) -> Band:
    return Band(value.low, value.si, value.high)


# ---- dents ----------------------------------------------------------------------------------------------------


def dents(asking: Asking, train: Train, number: int) -> Reading | None:
    """Torque that the dents of needles speak of; what is missing is noted."""
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    depth = asking.take(f"{name}.dent_depth", "depth of the dents", cross.dent_depth)
    rating = needle_rating(asking, train, number, static=True)
    radius = asking.need(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    if depth is None or rating is None or radius is None:
        return None
    needle = asking.inputs[f"{name}.needle_diameter"].value
    if depth.high > DEEPEST_DENT_SHARE * needle.low:
        words = f"dents no deeper than {DEEPEST_DENT_SHARE:.0%} of the needle: deeper ones say nothing of a load"
        asking.missing.append(Missing(f"{name}.dent_depth", words))
        return None
    band = load_band_from_dent(depth_m=depth.si, needle_diameter_m=needle.si, static_rating_n=rating.nominal)
    scatter = asking.take("dent_scatter", "how deep a load sets", _scatter(band))
    if scatter is None:
        return None
    torque = spread(
        _dent_torque,
        depth=depth,
        needle=needle,
        rating=value_of(rating, "force"),
        radius=radius,
        scatter=scatter,
    )
    return Reading(Address("joint", number), f"dents of joint {number}", "about", torque, _DENT_ASSUMPTIONS, _AS_RATED)


def _dent_torque(*, depth: Any, needle: Any, rating: Any, radius: Any, scatter: Any) -> Any:
    force = load_band_from_dent(depth_m=depth, needle_diameter_m=needle, static_rating_n=rating).nominal_n
    return scatter * force / arm_force_n(torque_nm=1.0, arm_radius_m=radius)


def _scatter(band: LoadBand) -> Value:
    low, high = band.low_n / band.nominal_n, band.high_n / band.nominal_n
    return Value(1.0, low, high, "number", Known.ASSUMED, "band of the reading of a dent (from memory, wide)")


# ---- last zone of a fracture ----------------------------------------------------------------------------------


def last_zone(asking: Asking, train: Train, number: int) -> Reading | None:
    """Torque at the last moment of a broken arm, from its share of final fracture; what is missing is noted."""
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    share = asking.take(f"{name}.final_share", "share of final fracture", cross.final_share)
    radius = asking.need(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    diameter = asking.need(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    arm = asking.need(f"{name}.root_distance", "cap force to the arm root", cross.root_distance)
    bore = asking.take(f"{name}.grease_bore", "grease hole along the arm", cross.grease_bore)
    tough = asking.need("arm_toughness", "toughness of the core, MPa times root m", None, "arm_toughness")
    yields, tensile = core_yield(asking, train, number), core_tensile(asking, train, number)
    given = (share, radius, diameter, arm, tough, yields, tensile)
    if any(one is None for one in given) or share is None or radius is None or arm is None or diameter is None:
        return None
    values = {"share": share, "tough": tough, "yields": yields, "tensile": tensile, "diameter": diameter, "bore": bore}
    known = {key: value for key, value in values.items() if value is not None}
    try:
        moment = spread_of_costly(lambda **si: _zone(**si).load.nominal, **known)
        found = _zone(**{key: value.si for key, value in known.items()})
    except ValueError:
        asking.missing.append(Missing(f"{name}.final_share", _UNREADABLE))
        return None
    front = asking.take("zone_scatter", "front of the crack and flow of the rest", _zone_scatter(found))
    if front is None:
        return None
    torque = spread(
        lambda moment, front, arm, radius: moment * front / arm / arm_force_n(torque_nm=1.0, arm_radius_m=radius),
        moment=value_of(moment, "torque"),
        front=front,
        arm=arm,
        radius=radius,
    )
    words = f"broken arm of joint {number}"
    told, steel = (*found.assumptions, *_ARM_ASSUMPTIONS), [f"{name}.yield_stress", f"{name}.tensile_strength"]
    return Reading(Address("joint", number), words, "about", torque, told, _supposing(asking, *steel))


_UNREADABLE = (
    "a share of final fracture that can be read over the range of the inputs: of an arm with a grease hole of at most "
    "0.3 of its diameter and a crack from one side, 0.06 to 0.75 of the diameter deep (measure the depth of the crack "
    "and ask a laboratory for its shape factor)"
)
_ARM_ASSUMPTIONS = (
    "This arm broke first, while both arms of its yoke still carried, each half of the couple.",
    "The load was the torque alone, on the arm as a beam; a blow or a jammed joint would read as more torque.",
)


def _zone(
    *, share: float, tough: float, yields: float, tensile: float, diameter: float, bore: float = 0.0
) -> FinalZoneReading:
    """The reading for one set of exact numbers. Raises ValueError where the last zone cannot be read."""
    return final_zone_load(
        section=RoundSection(diameter, bore),
        loading="bending",
        zone="one side",
        final_share=Band.exactly(share),
        toughness_pa_sqrt_m=Band.exactly(tough * _MPA_ROOT_M),
        yield_pa=Band.exactly(yields),
        ultimate_pa=Band.exactly(max(tensile, yields)),
    )


def _zone_scatter(found: FinalZoneReading) -> Value:
    load = found.load
    low, high = load.low / load.nominal, load.high / load.nominal
    source = "straight or curved front, flow stress from yield to tensile strength"
    return Value(1.0, min(low, 1.0), max(high, 1.0), "number", Known.ASSUMED, source)


def marks(train: Train) -> list[tuple[Address, Read]]:
    """Every mark of the case that speaks of the greatest torque: twist (none found, too) and dents."""
    found: list[tuple[Address, Read]] = []
    for number, shaft in enumerate(train.shafts, start=1):
        if shaft.tube.twist_left is not None:
            found.append((Address("shaft", number), partial(tube_twist, train=train, number=number)))
        if shaft.slip is not None and shaft.slip.twist_left is not None:
            found.append((Address("shaft", number, "slip"), partial(stub_twist, train=train, number=number)))
    for number, joint in enumerate(train.joints, start=1):
        if joint.cross.dent_depth is not None:
            found.append((Address("joint", number), partial(dents, train=train, number=number)))
    return found
