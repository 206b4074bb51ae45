"""A tube beyond first yield, and the teeth of a slip, in one pull."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.parts import Slip
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing, side
from beachmark.findings.measured import raised_by_proof, stub_yield, tube_yield
from beachmark.findings.ranges import least_of, ratio, spread, value_of
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.strength import peak_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.spline import (
    StraightSidedFit,
    pitch_line_shear_pa,
    side_pressure_pa,
    straight_sided_torque_nm,
)
from beachmark.mechanics.tube import (
    buckling_stress_long_tube_pa,
    buckling_stress_sp_8007_pa,
    plastic_torque_nm,
    shear_yield_pa,
)

_TUBE, _TEETH = "The tube beyond first yield", "Teeth of the slip in one pull"
_PLASTIC, _LONG, _MODERATE = "the wall yields through", "it buckles as a long tube", "it buckles at its own length"


def kilo(torque_nm: float) -> str:
    """A torque as sentences tell it."""
    return f"{torque_nm / 1e3:.1f} kN m"


def tube_plastic_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each tube that has a size: torque at which its wall yields through or buckles."""
    sized = [s.tube.outer_diameter is not None or s.tube.wall is not None for s in train.shafts]
    return [_tube(knowledge, vehicle, train, number) for number, known in enumerate(sized, start=1) if known]


def _tube(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("shaft", number), "sum.tube_plastic", Asking(knowledge)
    torque, ways = peak_torque(asking, vehicle), _ways(asking, train, number)
    if torque is None or ways is None:
        return asking.lacking(id, _TUBE, at)
    name, proved = f"driveline.shafts[{number - 1}]", train.shaft(number).proved_torque
    lowest = raised_by_proof(asking, name, proved, least_of(ways.values()))
    used, limit = ratio(torque.spread, lowest), knowledge.limits["static_ratio"]
    return informing(
        asking,
        id=id,
        title=_TUBE,
        at=at,
        results=[
            Quantity("peak torque over the lowest of the three", used, "number"),
            Quantity("torque at which the tube gives way, the lowest of the three", lowest, "torque"),
            *(Quantity(f"torque when {words}", found, "torque") for words, found in ways.items()),
        ],
        limit=limit,
        sentence=_first(ways) + _reached(used, limit.si),
        method=(
            "full yield (pi/12) tau_y (D³ - d³) with tau_y 0.577 of the tensile yield; elastic buckling stress on the "
            "thin wall, 2 pi r² t tau, as a long tube and at the length between joint centres with 0.67 knocked off "
            "for the scatter of tests"
        ),
        source=(
            "Beer & Johnston, Mechanics of Materials, chapter 3; Timoshenko & Gere, Theory of Elastic Stability; NASA "
            "SP-8007 (all from memory)"
        ),
        validity=(
            "sound round tube without a dent; a buckling torque is real only where it lies below the yield torque; "
            "both buckling formulas are those of thin walls, drive shaft tubes lie at the thick end of them"
        ),
    )


def _ways(asking: Asking, train: Train, number: int) -> dict[str, Spread] | None:
    """Torque at which the tube yields through, buckles as a long tube, and buckles at its length."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    tube = shaft.tube
    outer = asking.need(f"{name}.tube.outer_diameter", "tube outside diameter", tube.outer_diameter)
    wall = asking.need(f"{name}.tube.wall", "tube wall", tube.wall)
    length = asking.need(f"{name}.length", "length between joint centres", shaft.length)
    strength = tube_yield(asking, train, number)
    stated, words = tube.youngs_modulus, "Young's modulus"
    youngs = asking.need(f"{name}.tube.youngs_modulus", words, stated, "steel_youngs_modulus")
    if outer is None or wall is None or length is None or strength is None or youngs is None:
        return None
    if outer.low <= 2 * wall.high:
        asking.missing.append(Missing(f"{name}.tube.wall", "a wall that fits into the tube's diameter"))
        return None
    return {
        _PLASTIC: spread(_plastic, outer=outer, wall=wall, strength=strength),
        _LONG: spread(_long, outer=outer, wall=wall, youngs=youngs),
        _MODERATE: spread(_moderate, outer=outer, wall=wall, youngs=youngs, length=length),
    }


def _plastic(*, outer: Any, wall: Any, strength: Any) -> Any:
    stress = shear_yield_pa(yield_pa=strength)
    return plastic_torque_nm(shear_yield_pa=stress, outer_m=outer, inner_m=outer - 2 * wall)


def _long(*, outer: Any, wall: Any, youngs: Any) -> Any:
    stress = buckling_stress_long_tube_pa(outer_m=outer, wall_m=wall, youngs_pa=youngs)
    return _thin_wall_torque(outer, wall) * stress


def _moderate(*, outer: Any, wall: Any, youngs: Any, length: Any) -> Any:
    stress = buckling_stress_sp_8007_pa(outer_m=outer, wall_m=wall, length_m=length, youngs_pa=youngs)
    return _thin_wall_torque(outer, wall) * stress


def _thin_wall_torque(outer: Any, wall: Any) -> Any:
    """Torque of a thin wall for each unit of its shear stress, m³."""
    return 2 * math.pi * ((outer - wall) / 2) ** 2 * wall


def _first(ways: dict[str, Spread]) -> str:
    """Which of the three comes first, where the ranges do not leave it open."""
    lowest = min(ways, key=lambda words: ways[words].nominal)
    others = [found for words, found in ways.items() if words != lowest]
    at = kilo(ways[lowest].nominal)
    if all(ways[lowest].high < found.low for found in others):
        return f"First {lowest}, at {at}. "
    return f"Nominally first {lowest}, at {at}; the ranges leave open what comes first. "


def _reached(used: Spread, limit: float) -> str:
    return side(
        used,
        limit,
        below="Ordinary hard use does not reach it.",
        above="Ordinary hard use goes beyond it.",
        between="Ordinary hard use may reach it: the range of the inputs leaves it open.",
    )


# ---- teeth of the slip ----------------------------------------------------------------------------------------


def spline_teeth_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each slip whose teeth were measured: shear of the teeth and pressure on their sides."""
    return [
        _teeth(knowledge, vehicle, train, number, shaft.slip)
        for number, shaft in enumerate(train.shafts, start=1)
        if shaft.slip is not None
        and any((shaft.slip.pitch_diameter, shaft.slip.engaged_length, shaft.slip.outer_diameter))
    ]


def _teeth(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int, slip: Slip) -> Sum:
    at, id, asking = Address("shaft", number, "slip"), "sum.spline_teeth", Asking(knowledge)
    torque = peak_torque(asking, vehicle)
    name, strength = f"driveline.shafts[{number - 1}].slip", stub_yield(asking, train, number)
    bears = _teeth_bear(asking, slip, name, strength)
    if torque is None or bears is None:
        return asking.lacking(id, _TEETH, at)
    load, limit = torque.spread, knowledge.limits["static_ratio"]
    used = ratio(load, bears[0])
    return informing(
        asking,
        id=id,
        title=_TEETH,
        at=at,
        results=_teeth_results(load, *bears),
        limit=limit,
        sentence="The teeth against shearing off: " + _lower_first(_reached(used, limit.si)),
        method=(
            "shear 4 T k / (D N L t) with half of the teeth carrying, t half the pitch; side pressure 2 T k / "
            "(D N L h); k for load that is not even along and around"
        ),
        source="Machinery's Handbook, involute splines, after Dudley (formulas from memory)",
        validity=(
            "one pull, engaged over the stated length; crushing against the plain yield of the stub, a hardened skin "
            "bears more; wear of the sliding teeth is another matter and begins far below"
        ),
    )


def _teeth_results(load: Spread, shear: Spread, sides: Spread | None = None) -> list[Quantity]:
    found = [
        Quantity("shear of the teeth over yield, peak", ratio(load, shear), "number"),
        Quantity("torque at which the teeth begin to shear off", shear, "torque"),
    ]
    if sides is None:
        return found
    return [
        *found,
        Quantity("pressure on their sides over yield, peak", ratio(load, sides), "number"),
        Quantity("torque when the sides of the teeth begin to be crushed", sides, "torque"),
    ]


def _teeth_bear(asking: Asking, slip: Slip, name: str, strength: Value | None) -> tuple[Spread, ...] | None:
    """Torque at which the teeth shear, and where their height is known at which their sides are crushed, N m."""
    count = slip.teeth
    if count is None or count < 4:
        asking.missing.append(Missing(f"{name}.teeth", "number of teeth, 4 or more"))
    pitch = asking.need(f"{name}.pitch_diameter", "pitch diameter", slip.pitch_diameter)
    length = asking.need(f"{name}.engaged_length", "engaged length", slip.engaged_length)
    uneven = asking.need("spline_distribution", "uneven load on the teeth", None, "spline_distribution")
    height = _tooth_height(asking, slip, name)
    if asking.missing or pitch is None or length is None or uneven is None or strength is None or count is None:
        return None
    values: dict[str, Value] = {"pitch": pitch, "length": length, "uneven": uneven, "strength": strength}

    def bears(stress_per_nm: Callable[..., Any], share: float, **more: Value) -> Spread:
        return spread(
            lambda strength, **sizes: share * strength / stress_per_nm(teeth=count, **sizes), **values, **more
        )

    shear = bears(_tooth_shear, shear_yield_pa(yield_pa=1.0))
    if height is None:
        return (shear,)
    if slip.straight_sides:
        ends = _ends(asking, name)
        return shear, spread(partial(_straight_sides, count), strength=strength, length=length, uneven=uneven, **ends)
    return shear, bears(_side_pressure, 1.0, height=height)


def _ends(asking: Asking, name: str) -> dict[str, Value]:
    """Large and small diameter and the part of the height that touches, as the tooth height took them."""
    keys = {"outer": f"{name}.outer_diameter", "root": f"{name}.root_diameter", "part": "spline_contact_share"}
    return {key: asking.inputs[field].value for key, field in keys.items()}


def _straight_sides(count: int, *, strength: Any, length: Any, uneven: Any, outer: Any, root: Any, part: Any) -> Any:
    """Torque at which straight sides begin to be crushed, N m."""
    height = part * (1 - root / outer) / 2
    fit = StraightSidedFit(teeth=count, tooth_height_share=height, small_diameter_share=root / outer)
    return (
        straight_sided_torque_nm(fit=fit, large_diameter_m=outer, length_m=length, side_pressure_pa=strength) / uneven
    )


def _tooth_height(asking: Asking, slip: Slip, name: str) -> Value | None:
    """Height of tooth that touches, m; None where tip or root diameter is not known."""
    if slip.outer_diameter is None or slip.root_diameter is None:
        return None
    outer = asking.take(f"{name}.outer_diameter", "diameter over the teeth", slip.outer_diameter)
    root = asking.take(f"{name}.root_diameter", "diameter at the tooth roots", slip.root_diameter)
    contact = asking.need("spline_contact_share", "contact over height of tooth", None, "spline_contact_share")
    if outer is None or root is None or contact is None:
        return None
    if outer.low <= root.high:
        asking.missing.append(Missing(f"{name}.outer_diameter", "a diameter over the teeth larger than at their roots"))
        return None
    found = spread(lambda outer, root, part: part * (outer - root) / 2, outer=outer, root=root, part=contact)
    return value_of(found, "length")


def _tooth_shear(*, teeth: int, pitch: Any, length: Any, uneven: Any) -> Any:
    """Shear at the pitch line for each N m, the tooth as thick as the gap."""
    return pitch_line_shear_pa(
        torque_nm=1.0,
        pitch_diameter_m=pitch,
        teeth=teeth,
        engaged_length_m=length,
        tooth_thickness_m=np.pi * pitch / (2 * teeth),
        distribution_factor=uneven,
    )


def _side_pressure(*, teeth: int, pitch: Any, length: Any, uneven: Any, height: Any) -> Any:
    """Pressure on the sides for each N m, over the part of the height that touches."""
    return side_pressure_pa(
        torque_nm=1.0,
        pitch_diameter_m=pitch,
        teeth=teeth,
        engaged_length_m=length,
        tooth_height_m=height,
        distribution_factor=uneven,
    )


def _lower_first(text: str) -> str:
    return text[0].lower() + text[1:]
