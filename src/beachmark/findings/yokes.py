"""Ears of a yoke, the bolts that hold its caps, and the ring weld of a tube, at the peak torque."""

from __future__ import annotations

from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.parts import Yoke
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import joint_angle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing, side
from beachmark.findings.ranges import ratio, spread, value_of
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.strength import peak_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import cap_bolts, yoke
from beachmark.mechanics.tube import shear_yield_pa

_TURN = np.arange(48) * 2 * np.pi / 48
_PEAK = "peak torque of ordinary hard use"
_ARM = "joint centre to the middle of the cap force"
_EAR = "Bending of the yoke's ears at their root"
_BOLTS = "Bolts that hold the caps"
_WELD = "Ring weld between yoke and tube"
_WORTH_SAYING = 0.2  # share of the clamp that the peak torque uses, from which on the lifting torque is told
_THREAD_CORE = 1.23  # thread pitches that a thread must be thicker than, to have a core


def _any(part: object, *names: str) -> bool:
    return any(getattr(part, name) is not None for name in names)


def _yield_sentence(found: Spread, limit: float, part: str) -> str:
    return side(
        found,
        limit,
        below=f"{part} keeps below yield at the peak torque.",
        above=f"{part} yields before the peak torque is reached.",
        between=f"{part} may yield at the peak torque: the range of the inputs leaves it open.",
    )


# ---- ears -----------------------------------------------------------------------------------------------------


def ear_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Root of the ears of each joint whose ears were measured."""
    own = ("ear_width", "ear_thickness", "ear_reach", "ear_offset")
    numbers = [number for number, joint in enumerate(train.joints, start=1) if _any(joint.yoke, *own)]
    return [_ear(knowledge, vehicle, train, number) for number in numbers]


def _ear(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("joint", number), "sum.yoke_ear", Asking(knowledge)
    torque, angle = peak_torque(asking, vehicle), joint_angle(asking, train, number)
    sizes = _ear_sizes(asking, train, number)
    held, name = train.joint(number).yoke, f"driveline.joints[{number - 1}].yoke.yield_stress"
    strength = asking.need(name, "yield stress of the yoke", held.yield_stress, "yoke_yield_stress")
    if torque is None or angle is None or sizes is None or strength is None:
        return asking.lacking(id, _EAR, at)
    per_nm = spread(_ear_stress_per_nm, angle=angle, **sizes)
    stress = spread(lambda torque, per_nm: torque * per_nm, torque=torque, per_nm=per_nm)
    bears, limit = ratio(_as_spread(strength), per_nm), knowledge.limits["static_ratio"]
    used = ratio(stress, strength)
    return informing(
        asking,
        id=id,
        title=_EAR,
        at=at,
        results=[
            Quantity("stress at the ear root over yield, peak", used, "number"),
            Quantity("torque at which the ear root begins to yield", bears, "torque"),
            Quantity("greatest stress at the ear root, peak", stress, "stress"),
            Quantity(_PEAK, _as_spread(torque), "torque"),
        ],
        limit=limit,
        sentence=_yield_sentence(used, limit.si, "The root of the ears"),
        method=(
            "tangential cap force bends the ear, 6 F l / (t w²); pull along the shaft adds F / (w t) and bending of "
            "the curved root; greatest over a turn, over driving and driven yoke"
        ),
        source="statics of the frictionless cross, derived; Winkler-Bach as in Shigley, 9th edition, section 3-18",
        validity=(
            "nominal: the ear as a bar of rectangular section; its taper, its twist and the notch at the side of the "
            "root are left out; as the case does not say to which side the cap force stands off the middle of the "
            "root, the worse side is taken"
        ),
    )


def _ear_sizes(asking: Asking, train: Train, number: int) -> dict[str, Value] | None:
    joint, name = train.joint(number), f"driveline.joints[{number - 1}]"
    held = joint.yoke
    asked = {
        "radius": asking.need(f"{name}.cross.arm_radius", _ARM, joint.cross.arm_radius),
        "reach": asking.need(f"{name}.yoke.ear_reach", "cap to the ear root, along the shaft", held.ear_reach),
        "offset": asking.need(f"{name}.yoke.ear_offset", "cap force to the middle of the root", held.ear_offset),
        "width": asking.need(f"{name}.yoke.ear_width", "width of the ear root", held.ear_width),
        "thickness": asking.need(f"{name}.yoke.ear_thickness", "thickness of the ear root", held.ear_thickness),
        "inner": asking.need("ear_inner_radius", "radius at the inside of the ear root", None, "ear_inner_radius"),
    }
    found = {key: value for key, value in asked.items() if value is not None}
    return found if len(found) == len(asked) else None


def _ear_stress_per_nm(
    *, radius: Any, angle: Any, reach: Any, offset: Any, width: Any, thickness: Any, inner: Any
) -> Any:
    """Greatest tension or pressure at an ear root for 1 N m: over a turn, both yokes and both sides of the offset."""
    radius, angle, reach, offset, width, thickness, inner = (
        np.asarray(x)[..., None] for x in (radius, angle, reach, offset, width, thickness, inner)
    )
    found = []
    for driven in (False, True):
        force = yoke.ear_forces(
            torque_nm=1.0, arm_radius_m=radius, angle_rad=angle, drive_angle_rad=_TURN, driven=driven
        )
        for sign in (1.0, -1.0):
            root = yoke.ear_root_stress(
                tangential_n=force.tangential_n,
                pull_n=force.pull_n,
                ear_length_m=reach,
                offset_m=sign * offset,
                width_m=width,
                thickness_m=thickness,
                inner_radius_m=inner,
            )
            found.append(np.max(np.maximum(root.greatest_pa, np.negative(root.least_pa)), axis=-1))
    return np.maximum.reduce(found)


def _as_spread(value: Value) -> Spread:
    return Spread(value.si, value.low, value.high, value.sample)


# ---- cap bolts ------------------------------------------------------------------------------------------------


def cap_bolt_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Bolts of each joint about which something is known."""
    own = ("bolts", "bolt_diameter", "bolt_pitch", "bolt_yield_stress", "tightening_torque")
    numbers = [number for number, joint in enumerate(train.joints, start=1) if _any(joint.yoke, *own)]
    return [_bolts(knowledge, vehicle, train, number) for number in numbers]


def _bolts(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("joint", number), "sum.cap_bolts", Asking(knowledge)
    torque, angle = peak_torque(asking, vehicle), joint_angle(asking, train, number)
    joint, name = train.joint(number), f"driveline.joints[{number - 1}]"
    radius = asking.need(f"{name}.cross.arm_radius", _ARM, joint.cross.arm_radius)
    count = _count(asking, f"{name}.yoke.bolts", joint.yoke.bolts)
    preload = _preload(asking, f"{name}.yoke", joint.yoke)
    share = asking.need("bolt_load_share", "share of the pull that the bolts take", None, "bolt_load_share")
    if torque is None or angle is None or radius is None or count is None or preload is None or share is None:
        return asking.lacking(id, _BOLTS, at)
    per_nm = spread(_pull_per_bolt, angle=angle, radius=radius, count=count)
    pull = spread(lambda torque, per_nm: torque * per_nm, torque=torque, per_nm=per_nm)
    used = spread(lambda pull, preload, share: (1 - share) * pull / preload, pull=pull, preload=preload, share=share)
    limit = knowledge.limits["clamp_share"]
    results = [
        Quantity("pull on a cap over the pull that lifts it, peak", used, "number"),
        *_stress_over_yield(asking, f"{name}.yoke", joint.yoke, pull, preload, share),
        *_lifting_torque(per_nm, preload, share, used.nominal),
        Quantity("preload of one bolt", preload, "force"),
        Quantity("greatest pull on one bolt, peak", pull, "force"),
    ]
    return informing(
        asking,
        id=id,
        title=_BOLTS,
        at=at,
        results=results,
        limit=limit,
        sentence=side(
            used,
            limit.si,
            below="The preload keeps the caps on their seats at the peak torque and this joint angle.",
            above="At the peak torque and this joint angle the caps lift off their seats: the bolts are too loose.",
            between="The caps may lift at the peak torque: friction in the thread leaves the preload too uncertain.",
        ),
        method=(
            "preload = tightening torque / (nut factor × diameter); pull T tan b / (2 R) over the bolts of a cap; a "
            "cap lifts when (1 - load share) × pull reaches the preload; then a bolt carries the pull alone"
        ),
        source="Shigley, Mechanical Engineering Design, 9th edition, chapter 8 (nut factors of Table 8-15 read)",
        validity=(
            "bolts as they were tightened, nothing settled or shaken loose; central pull of the driving yoke; seat or "
            "key carries the force across; prying of a strap comes on top"
        ),
    )


def _count(asking: Asking, name: str, count: int | None) -> Value | None:
    if count is not None and count < 1:
        asking.missing.append(Missing(name, "one bolt or more on each cap"))
        return None
    given = None if count is None else Value.exact(float(count), "number")
    return asking.need(name, "bolts that hold one cap", given)


def _preload(asking: Asking, name: str, held: Yoke) -> Spread | None:
    tightened = asking.need(f"{name}.tightening_torque", "tightening torque of a cap bolt", held.tightening_torque)
    diameter = asking.need(f"{name}.bolt_diameter", "thread diameter of a cap bolt", held.bolt_diameter)
    factor = asking.need("nut_factor", "nut factor: friction in thread and under the head", None, "nut_factor")
    if tightened is None or diameter is None or factor is None:
        return None
    return spread(_bolt_preload, torque=tightened, diameter=diameter, factor=factor)


def _bolt_preload(*, torque: Any, diameter: Any, factor: Any) -> Any:
    return cap_bolts.preload_band(
        torque_nm=torque,
        diameter_m=diameter,
        least_nut_factor=factor,
        nominal_nut_factor=factor,
        greatest_nut_factor=factor,
    ).nominal_n


def _pull_per_bolt(*, angle: Any, radius: Any, count: Any) -> Any:
    """Greatest pull on one bolt of the driving yoke for 1 N m; the driven yoke's is less by cos b."""
    return yoke.greatest_pull_n(torque_nm=1.0, arm_radius_m=radius, angle_rad=angle, driven=False) / count


def _stress_over_yield(
    asking: Asking, name: str, held: Yoke, pull: Spread, preload: Spread, share: Value
) -> list[Quantity]:
    """Tension in the thread over its yield; nothing without the pitch."""
    pitch, diameter = held.bolt_pitch, asking.inputs[f"{name}.bolt_diameter"].value
    if pitch is None:
        return []
    if _THREAD_CORE * pitch.high >= diameter.low:
        asking.missing.append(Missing(f"{name}.bolt_pitch", "a thread pitch that leaves a core in the bolt"))
        return []
    taken = asking.need(f"{name}.bolt_pitch", "thread pitch of a cap bolt", pitch)
    strength = asking.need(
        f"{name}.bolt_yield_stress", "yield stress of a cap bolt", held.bolt_yield_stress, "bolt_yield_stress"
    )
    if taken is None or strength is None:
        return []
    stress = spread(
        lambda pull, preload, share, diameter, pitch: cap_bolts.bolt_stress_pa(
            preload_n=preload, pull_n=pull, load_share=share, diameter_m=diameter, pitch_m=pitch
        ),
        pull=pull,
        preload=preload,
        share=share,
        diameter=diameter,
        pitch=taken,
    )
    return [Quantity("tension in a bolt over its yield, peak", ratio(stress, strength), "number")]


def _lifting_torque(per_nm: Spread, preload: Spread, share: Value, used: float) -> list[Quantity]:
    """Torque at which the caps lift; nothing where it is many times the peak, or the joint so straight that none does.

    Such a torque would say nothing, and beside what the other parts bear it would hide them.
    """
    if used < _WORTH_SAYING or per_nm.low <= 0.0 or (per_nm.sample is not None and float(np.min(per_nm.sample)) <= 0.0):
        return []
    bears = spread(
        lambda preload, share, per_nm: preload / ((1 - share) * per_nm), preload=preload, share=share, per_nm=per_nm
    )
    return [Quantity("torque at which the caps lift", bears, "torque")]


# ---- ring weld ------------------------------------------------------------------------------------------------


def weld_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Ring weld of each tube whose weld is known."""
    numbers = [
        number for number, shaft in enumerate(train.shafts, start=1) if _any(shaft.tube, "weld_throat", "weld_strength")
    ]
    return [_weld(knowledge, vehicle, train, number) for number in numbers]


def _weld(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("shaft", number), "sum.weld", Asking(knowledge)
    torque = peak_torque(asking, vehicle)
    tube, name = train.shaft(number).tube, f"driveline.shafts[{number - 1}].tube"
    outer = asking.need(f"{name}.outer_diameter", "tube outside diameter", tube.outer_diameter)
    throat = asking.need(f"{name}.weld_throat", "throat of the ring weld", tube.weld_throat)
    strength = _weld_yield(asking, train, number)
    if outer is not None and throat is not None and 3 * throat.high >= outer.low:
        asking.missing.append(Missing(f"{name}.weld_throat", "a throat well below the tube's radius"))
        throat = None
    if torque is None or outer is None or throat is None or strength is None:
        return asking.lacking(id, _WELD, at)
    per_nm = spread(
        lambda outer, throat: yoke.weld_throat_shear_pa(
            torque_nm=1.0, weld_radius_m=(outer - throat) / 2, throat_m=throat
        ),
        outer=outer,
        throat=throat,
    )
    shear = spread(lambda torque, per_nm: torque * per_nm, torque=torque, per_nm=per_nm)
    allowed = spread(lambda strength: shear_yield_pa(yield_pa=strength), strength=strength)
    used, limit = ratio(shear, allowed), knowledge.limits["static_ratio"]
    return informing(
        asking,
        id=id,
        title=_WELD,
        at=at,
        results=[
            Quantity("shear in the throat over shear yield, peak", used, "number"),
            Quantity("torque at which the ring weld begins to yield", ratio(allowed, per_nm), "torque"),
            Quantity("mean shear stress in the throat, peak", shear, "stress"),
            Quantity(_PEAK, _as_spread(torque), "torque"),
        ],
        limit=limit,
        sentence=_yield_sentence(used, limit.si, "The throat of the ring weld"),
        method="T / (2 pi r² a) against 0.577 of the weld's yield; throat a through the tube's wall, r to its middle",
        source="thin ring in torsion; Shigley, Mechanical Engineering Design, 9th edition, Table 9-1 (from memory)",
        validity=(
            "one pull, sound weld with an even throat all around; cracks start at the toe, from a notch that this mean "
            "does not know; allowables are for the weld code"
        ),
    )


def _weld_yield(asking: Asking, train: Train, number: int) -> Value | None:
    """Tensile yield of the weld as stated, or as a share of that of the tube."""
    tube, name = train.shaft(number).tube, f"driveline.shafts[{number - 1}].tube"
    if tube.weld_strength is not None:
        return asking.need(f"{name}.weld_strength", "yield stress of the weld metal", tube.weld_strength)
    base = asking.need(f"{name}.yield_stress", "tube yield stress", tube.yield_stress, "tube_yield_stress")
    share = asking.need("weld_yield_share", "yield of the weld over that of the tube", None, "weld_yield_share")
    if base is None or share is None:
        return None
    return value_of(spread(lambda base, share: base * share, base=base, share=share), "stress", share.known)
