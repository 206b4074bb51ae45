"""Static margins of arm root, tube, spline and needles, and the arm root under repeated pulls."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.fillet import fatigue_notch
from beachmark.findings.measured import core_tensile, core_yield, raised_by_proof, stub_yield, tube_yield
from beachmark.findings.ranges import ratio, spread, value_of
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.torque import governing_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.needle_bearing import static_rating_n
from beachmark.mechanics.spline import root_shear_pa
from beachmark.mechanics.trunnion import arm_root_bending_pa
from beachmark.mechanics.tube import shear_yield_pa, yield_torque_nm

Reals = float | npt.NDArray[np.float64]
_CLASSES = ("ample", "near", "over")
_PEAK = "peak over a steady pull, from a sudden take-up"


def peak_torque(asking: Asking, vehicle: Vehicle) -> Value | None:
    """Peak torque of ordinary hard use: what caps a steady pull, times the overshoot of a take-up."""
    capped = governing_torque(asking, vehicle)
    factor = asking.need("dynamic_peak", _PEAK, None, "dynamic_peak")
    if capped is None or factor is None:
        return None
    return value_of(spread(lambda cap, peak: cap * peak, cap=capped, peak=factor), "torque", factor.known)


def _steady(asking: Asking, vehicle: Vehicle) -> Value | None:
    capped = governing_torque(asking, vehicle)
    return value_of(capped, "torque") if capped else None


def trunnion_once_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint's arm root, once at the peak torque."""
    return [_trunnion_once(knowledge, vehicle, train, number) for number in range(1, len(train.joints) + 1)]


def trunnion_repeated_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint's arm root, repeated at the steady cap."""
    return [_trunnion_repeated(knowledge, vehicle, train, number) for number in range(1, len(train.joints) + 1)]


def arm_stress(asking: Asking, train: Train, number: int) -> Callable[[Value], Spread] | None:
    """Nominal bending stress at the arm root as a function of torque, or None with what is missing."""
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    radius = asking.need(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    diameter = asking.need(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    arm = asking.need(f"{name}.root_distance", "cap force to the arm root", cross.root_distance)
    bore = asking.take(f"{name}.grease_bore", "grease hole along the arm", cross.grease_bore)
    if radius is None or diameter is None or arm is None:
        return None
    if bore is not None and bore.high >= diameter.low:
        asking.missing.append(Missing(f"{name}.grease_bore", "a grease hole smaller than the arm"))
        return None
    no_bore = Value.exact(0.0, "length")
    return lambda torque: spread(
        lambda torque, radius, arm, diameter, bore: arm_root_bending_pa(
            force_n=arm_force_n(torque_nm=torque, arm_radius_m=radius),
            arm_m=arm,
            diameter_m=diameter,
            bore_m=bore,
        ),
        torque=torque,
        radius=radius,
        arm=arm,
        diameter=diameter,
        bore=bore or no_bore,
    )


def _trunnion_once(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id = Address("joint", number), "finding.trunnion_static"
    asking = Asking(knowledge)
    torque = peak_torque(asking, vehicle)
    stress_of = arm_stress(asking, train, number)
    strength = core_yield(asking, train, number)
    if torque is None or stress_of is None or strength is None:
        return asking.lacking(id, knowledge.questions[id].question, at)
    stress, steady = stress_of(torque), _steady(asking, vehicle)
    bears, used = _arm_bears(asking, train, number, stress_of, strength), ratio(stress, strength)
    if bears is not None:
        used = spread(lambda torque, bears: torque / bears, torque=torque, bears=bears)
    results = [
        Quantity("load over capacity", used, "number"),
        Quantity("nominal bending stress at the arm root, peak", stress, "stress"),
    ]
    results += [Quantity("the same at the steady cap", stress_of(steady), "stress")] if steady else []
    results += [Quantity("torque at which the arm root begins to yield", bears, "torque")] if bears else []
    return _margin(
        knowledge,
        asking,
        id,
        at,
        results,
        method="force T/(2R) on each arm, bending 32 F l D / (pi (D⁴ - d⁴)) against core yield (where the case ends)",
        source="beam formula (any strength-of-materials text)",
        validity="short beam: shear and the fillet's notch are left out, which matters less for one pull",
    )


def arm_yields(asking: Asking, train: Train, number: int) -> Spread | None:
    """Torque at which the arm root of one joint begins to yield, N m: by what was measured on it, else nominal."""
    stress_of, strength = arm_stress(asking, train, number), core_yield(asking, train, number)
    if stress_of is None or strength is None:
        return None
    measured = _arm_bears(asking, train, number, stress_of, strength)
    if measured is not None:
        return measured
    per_nm = stress_of(Value.exact(1.0, "torque"))
    return spread(lambda strength, per_nm: strength / per_nm, strength=strength, per_nm=per_nm)


def _arm_bears(
    asking: Asking, train: Train, number: int, stress_of: Callable[[Value], Spread], strength: Value
) -> Spread | None:
    """Torque at which the arm root yields by what was measured on it: case depth, proof test; None without either.

    Under a hard case the core yields first where the case ends: bending stress falls there to 1 - 2 depth / diameter.
    """
    joint, name = train.joint(number), f"driveline.joints[{number - 1}]"
    depth = asking.take(f"{name}.cross.case_depth", "depth of the hardened case", joint.cross.case_depth)
    diameter = asking.inputs[f"{name}.cross.trunnion_diameter"].value
    if depth is None and joint.proved_torque is None:
        return None
    per_nm = stress_of(Value.exact(1.0, "torque"))
    bears = spread(
        lambda strength, per_nm, depth, diameter: strength / (per_nm * (1 - 2 * depth / diameter)),
        strength=strength,
        per_nm=per_nm,
        depth=depth or Value.exact(0.0, "length"),
        diameter=diameter,
    )
    return raised_by_proof(asking, name, joint.proved_torque, bears)


def _trunnion_repeated(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id = Address("joint", number), "finding.trunnion_repeated"
    asking = Asking(knowledge)
    torque = _steady(asking, vehicle)
    stress_of = arm_stress(asking, train, number)
    tensile = core_tensile(asking, train, number)
    notch = fatigue_notch(asking, train, number)
    share = asking.need("endurance_share", "endurance limit over tensile strength", None, "endurance_share")
    if torque is None or stress_of is None or tensile is None or notch is None or share is None:
        return asking.lacking(id, knowledge.questions[id].question, at)
    stress = stress_of(torque)
    equivalent = spread(
        _one_way_ratio,
        stress=stress,
        notch=notch,
        tensile=tensile,
        share=share,
    )
    limit = knowledge.limits["repeated_ratio"]
    return judged(
        knowledge,
        asking,
        id=id,
        at=at,
        results=[
            Quantity("equivalent alternating stress over endurance limit", equivalent, "number"),
            Quantity("nominal bending stress at the arm root, each pull", stress, "stress"),
        ],
        chances=chances_by_limits(equivalent, ("below", "in_band", "above"), (limit.value.low, limit.value.high)),
        limit=limit,
        method=(
            "one-way pulls from nothing to the cap: half the stress alternates with the notch factor (that of the "
            "fillet where it was measured), half is mean"
        ),
        source="Goodman line; Shigley, Mechanical Engineering Design, 9th edition, section 6-12 (from memory)",
        validity="crack start in the core; a hardened case and its residual stress are only in the wide ranges",
    )


def _one_way_ratio(*, stress: Reals, notch: Reals, tensile: Reals, share: Reals) -> Any:
    """Goodman equivalent amplitude of a pull from 0 to `stress` over the endurance limit."""
    mean = np.minimum(stress / 2, 0.95 * tensile)  # beyond the tensile strength the line has no meaning: far above 1
    return notch * (stress / 2) / (1.0 - mean / tensile) / (share * tensile)


def _margin(
    knowledge: Knowledge,
    asking: Asking,
    id: str,
    at: Address,
    results: list[Quantity],
    *,
    method: str,
    source: str,
    validity: str,
) -> Sum:
    limit = knowledge.limits["static_ratio"]
    return judged(
        knowledge,
        asking,
        id=id,
        at=at,
        results=results,
        chances=chances_by_limits(results[0].spread, _CLASSES, (limit.value.low, limit.si)),
        limit=limit,
        method=method,
        source=source,
        validity=validity,
    )


def tube_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each tube's yield torque against the peak torque."""
    return [_tube(knowledge, vehicle, train, number) for number in range(1, len(train.shafts) + 1)]


def _tube(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    return _torque_margin(
        Asking(knowledge),
        vehicle,
        train,
        Address("shaft", number),
        "finding.tube_static",
        tube_yields,
        words="torque at which the tube begins to yield",
        method="tau_y J / c with tau_y = 0.577 of the tensile yield (von Mises)",
        source="Beer & Johnston, Mechanics of Materials, Sample Problem 3.7 (from memory) checks the formula",
    )


def tube_yields(asking: Asking, train: Train, number: int) -> Spread | None:
    """Torque at which the tube of one shaft begins to yield, N m."""
    tube, name = train.shaft(number).tube, f"driveline.shafts[{number - 1}].tube"
    outer = asking.need(f"{name}.outer_diameter", "tube outside diameter", tube.outer_diameter)
    wall = asking.need(f"{name}.wall", "tube wall", tube.wall)
    strength = tube_yield(asking, train, number)
    if outer is None or wall is None or strength is None:
        return None
    if outer.low <= 2 * wall.high:
        asking.missing.append(Missing(f"{name}.wall", "a wall that fits into the tube's diameter"))
        return None
    return spread(
        lambda outer, wall, strength: yield_torque_nm(
            shear_yield_pa=shear_yield_pa(yield_pa=strength), outer_m=outer, inner_m=outer - 2 * wall
        ),
        outer=outer,
        wall=wall,
        strength=strength,
    )


def spline_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each slip spline's root section in torsion against the peak torque."""
    slips = [number for number, shaft in enumerate(train.shafts, start=1) if shaft.slip is not None]
    return [_spline(knowledge, vehicle, train, number) for number in slips]


def _spline(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    return _torque_margin(
        Asking(knowledge),
        vehicle,
        train,
        Address("shaft", number, "slip"),
        "finding.spline_static",
        stub_yields,
        words="torque at which the stub begins to yield at the tooth roots",
        method="torsion of the root section, 16 T D / (pi (D⁴ - d⁴)) against 0.577 of the tensile yield",
        source="Machinery's Handbook, involute splines, torsional shear at the root (read)",
    )


def stub_yields(asking: Asking, train: Train, number: int) -> Spread | None:
    """Torque at which the stub of one shaft begins to yield at its tooth roots, N m."""
    slip, name = train.shaft(number).slip, f"driveline.shafts[{number - 1}].slip"
    root = asking.need(f"{name}.root_diameter", "diameter at the tooth roots", slip.root_diameter if slip else None)
    strength = stub_yield(asking, train, number)
    bore = asking.take(f"{name}.bore", "bore through the stub", slip.bore if slip else None)
    if root is None or strength is None:
        return None
    if bore is not None and bore.high >= root.low:
        asking.missing.append(Missing(f"{name}.bore", "a bore smaller than the diameter at the tooth roots"))
        return None
    return spread(
        lambda root, bore, strength: (
            shear_yield_pa(yield_pa=strength) / root_shear_pa(torque_nm=1.0, root_diameter_m=root, bore_m=bore)
        ),
        root=root,
        bore=bore or Value.exact(0.0, "length"),
        strength=strength,
    )


def _torque_margin(
    asking: Asking,
    vehicle: Vehicle,
    train: Train,
    at: Address,
    id: str,
    yields: Callable[[Asking, Train, int], Spread | None],
    *,
    words: str,
    method: str,
    source: str,
) -> Sum:
    """A shaft's part whose yield torque, at least what it bore in a proof test, is held against the peak torque."""
    knowledge, number = asking.knowledge, at.number
    torque, capacity = peak_torque(asking, vehicle), yields(asking, train, number)
    if torque is None or capacity is None:
        return asking.lacking(id, knowledge.questions[id].question, at)
    proved = train.shaft(number).proved_torque
    capacity = raised_by_proof(asking, f"driveline.shafts[{number - 1}]", proved, capacity)
    results = [
        Quantity("load over capacity", ratio(torque.spread, capacity), "number"),
        Quantity(words, capacity, "torque"),
        Quantity("peak torque of ordinary hard use", torque.spread, "torque"),
    ]
    return _margin(
        knowledge,
        asking,
        id,
        at,
        results,
        method=method,
        source=source,
        validity="elastic, one pull, sound part",
    )


def needle_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint's cap force at the peak torque against the static rating of its needles."""
    return [_needles(knowledge, vehicle, train, number) for number in range(1, len(train.joints) + 1)]


def _needles(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id = Address("joint", number), "finding.needle_static"
    asking = Asking(knowledge)
    torque = peak_torque(asking, vehicle)
    rating = needle_rating(asking, train, number, static=True)
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    radius = asking.need(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    if torque is None or rating is None or radius is None:
        return asking.lacking(id, knowledge.questions[id].question, at)
    force = spread(lambda t, r: arm_force_n(torque_nm=t, arm_radius_m=r), t=torque, r=radius)
    results = [
        Quantity("cap force over static rating", ratio(force, rating), "number"),
        Quantity("cap force at the peak torque", force, "force"),
        Quantity("static rating of the needles", rating, "force"),
    ]
    return _margin(
        knowledge,
        asking,
        id,
        at,
        results,
        method="C0 = 44 (1 - D/Dpw) Z L D, the load that leaves about 1/10 000 of the needle diameter",
        source="ISO 76 (definition read; factor from memory, rebuilt from Hertz contact and Stribeck's 5)",
        validity="full needle complement, load shared by all needles of the loaded arc",
    )


def needle_rating(asking: Asking, train: Train, number: int, *, static: bool) -> Spread | None:
    """Static (ISO 76) or dynamic (ISO 281) rating of one cap's needles, N."""
    from beachmark.mechanics.needle_bearing import dynamic_rating_n

    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    count = cross.needles
    if count is not None and count < 1:
        count = None
    if count is None:
        asking.missing.append(Missing(f"{name}.needles", "number of needles in a cap"))
    diameter = asking.need(f"{name}.needle_diameter", "needle diameter", cross.needle_diameter)
    length = asking.need(f"{name}.needle_length", "needle length", cross.needle_length)
    arm = asking.need(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    if count is None or diameter is None or length is None or arm is None:
        return None
    rating = static_rating_n if static else dynamic_rating_n
    return spread(
        lambda d, length, arm: rating(
            needle_diameter_m=d, needle_length_m=length, needle_count=count, pitch_diameter_m=arm + d
        ),
        d=diameter,
        length=length,
        arm=arm,
    )
