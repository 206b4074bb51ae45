"""Unbalance that run-out and play make on a shaft, the force of it at speed, and the grade it amounts to."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing, side
from beachmark.findings.ranges import spread, value_of
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.balance import permissible_unbalance_kg_m
from beachmark.mechanics.balance_sources import (
    combined_unbalance,
    grade_of_unbalance_m_s,
    joint_play_unbalance_kg_m,
    runout_unbalance_kg_m,
    spline_unbalance_kg_m,
    support_force_n,
)

ID, TITLE = "sum.balance", "Unbalance of the shaft from its run-out and play"
_TO_GRADE = 1e3  # grades are counted in mm/s


def balance_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each shaft of which a run-out or a play was measured."""
    return [
        _balance(knowledge, vehicle, train, number)
        for number in range(1, len(train.shafts) + 1)
        if any(value is not None for _, _, value, _ in _offsets(train, number))
    ]


def _offsets(train: Train, number: int) -> list[tuple[str, str, Value | None, str]]:
    """What can set the mass of a shaft off centre: name, words, value, and the typical share of the mass with it."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    found = [(f"{name}.tube.runout", "run-out of the tube", shaft.tube.runout, "runout_mass_share")]
    for joint, end in ((number, "front"), (number + 1, "rear")):
        play = train.joint(joint).cross.end_play
        field = f"driveline.joints[{joint - 1}].cross.end_play"
        found.append((field, f"end play of the {end} joint", play, "end_mass_share"))
    if shaft.slip is not None:
        found.append((f"{name}.slip.clearance", "play of the slip", shaft.slip.clearance, "slip_mass_share"))
    return found


_RULES: dict[str, Callable[..., Any]] = {
    "runout_mass_share": lambda mass, share, size: runout_unbalance_kg_m(mass_kg=mass, mass_share=share, runout_m=size),
    "end_mass_share": lambda mass, share, size: joint_play_unbalance_kg_m(
        mass_kg=mass, mass_share=share, end_play_m=size
    ),
    "slip_mass_share": lambda mass, share, size: spline_unbalance_kg_m(
        mass_kg=mass, mass_share=share, clearance_m=size
    ),
}
_SHARES = {
    "runout_mass_share": "share of the mass that runs out with the tube",
    "end_mass_share": "share of the mass that hangs on one joint",
    "slip_mass_share": "share of the mass that can move in the slip",
}


def _balance(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, asking = Address("shaft", number), Asking(knowledge)
    stated = train.shaft(number).mass
    mass = asking.need(f"driveline.shafts[{number - 1}].mass", "mass of the shaft as it is balanced", stated)
    speed, sources = top_shaft_speed(asking, vehicle), _sources(asking, train, number, mass)
    if mass is None or speed is None:
        return asking.lacking(ID, TITLE, at)
    worst, limit = _together(sources, worst=True), knowledge.limits["balance_grade"]
    grade = spread(_grade, unbalance=value_of(worst, "unbalance"), mass=mass, speed=value_of(speed, "rotation"))
    return informing(
        asking,
        id=ID,
        title=TITLE,
        at=at,
        results=[
            Quantity("balance grade that the worst case equals", grade, "number"),
            Quantity("all in one direction", worst, "unbalance"),
            Quantity("at chance angles, root of the squares", _together(sources, worst=False), "unbalance"),
            *(Quantity(f"from the {words}", found, "unbalance") for words, found in sources.items()),
            *_allowed(limit.value, mass, speed),
            Quantity("force on each support, all in one direction", _force(worst, speed), "force"),
        ],
        limit=limit,
        sentence=_sentence(grade, limit.value, sources),
        method=(
            "U = share of the mass × half of the dial reading or of the play; added in one direction and as root of "
            "squares; grade G = U w / m at the greatest shaft speed, force U w² shared by two supports"
        ),
        source="ISO 21940-11, clause 6 (relation read); definition of unbalance ISO 21940-2 (from memory)",
        validity=(
            "rigid shaft, below about 0.7 of its critical speed, weight in the middle; balance weights, which may have "
            "taken a part of it away, are not known; play is the whole movement across, its direction can change from "
            "start to start, and torque centres a slip"
        ),
    )


def _sources(asking: Asking, train: Train, number: int, mass: Value | None) -> dict[str, Spread]:
    """Unbalance by each source that was measured, kg m."""
    found = {}
    for name, words, stated, typical in _offsets(train, number):
        size = asking.take(name, words, stated)
        share = asking.need(typical, _SHARES[typical], None, typical) if size is not None else None
        if size is not None and share is not None and mass is not None:
            found[words] = spread(_RULES[typical], mass=mass, share=share, size=size)
    return found


def _together(sources: dict[str, Spread], *, worst: bool) -> Spread:
    """All sources together, draw by draw."""
    named = {f"x{i}": value_of(found, "unbalance") for i, found in enumerate(sources.values())}

    def total(**each: Any) -> Any:
        if all(np.ndim(one) == 0 for one in each.values()):
            both = combined_unbalance(sources_kg_m=each)
            return both.worst_kg_m if worst else both.root_sum_square_kg_m
        return sum(each.values()) if worst else np.sqrt(sum(np.square(one) for one in each.values()))

    return spread(total, **named)


def _grade(*, unbalance: Any, mass: Any, speed: Any) -> Any:
    return _TO_GRADE * grade_of_unbalance_m_s(unbalance_kg_m=unbalance, mass_kg=mass, speed_rad_s=speed)


def _allowed(limit: Value, mass: Value, speed: Spread) -> list[Quantity]:
    """What the finer and the coarser grade allow the whole shaft."""
    return [
        Quantity(f"allowed by G {grade:g}", _permissible(grade, mass, speed), "unbalance")
        for grade in (limit.low, limit.high)
    ]


def _permissible(grade: float, mass: Value, speed: Spread) -> Spread:
    return spread(
        lambda mass, speed: permissible_unbalance_kg_m(mass_kg=mass, grade_m_s=grade / _TO_GRADE, speed_rad_s=speed),
        mass=mass,
        speed=value_of(speed, "rotation"),
    )


def _force(unbalance: Spread, speed: Spread) -> Spread:
    """Turning force on each of two supports with the unbalance midway."""
    return spread(
        lambda unbalance, speed: support_force_n(
            unbalance_kg_m=unbalance, speed_rad_s=speed, position_m=0.5, span_m=1.0
        ),
        unbalance=value_of(unbalance, "unbalance"),
        speed=value_of(speed, "rotation"),
    )


def _sentence(grade: Spread, limit: Value, sources: dict[str, Spread]) -> str:
    greatest = max(sources, key=lambda words: sources[words].nominal)
    told = f"In the worst case G {_rounded(grade.nominal)}, most of it from the {greatest}: "
    if grade.high < limit.low:
        return told + f"finer than G {limit.low:g}."
    return told + side(
        grade,
        limit.high,
        below=f"between what G {limit.low:g} and G {limit.high:g} ask of drive shafts.",
        above=f"coarser than G {limit.high:g}, which no grade for drive shafts allows.",
        between=f"it may be coarser than G {limit.high:g}, the range of the inputs leaves it open.",
    )


def _rounded(grade: float) -> str:
    digits = 1 - math.floor(math.log10(grade)) if grade > 0 else 0
    return f"{round(grade, digits):g}"
