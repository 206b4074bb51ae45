"""What a duty takes out of the arm roots and the tubes: pulls from nothing, summed up to the start of a crack."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial, reduce
from typing import Any

import numpy as np

from beachmark.basis.units import tidy
from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.fillet import fatigue_notch
from beachmark.findings.informing import ACCUSES_NOTHING, informing
from beachmark.findings.measured import core_tensile, tube_tensile
from beachmark.findings.ranges import spread, value_of
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.strength import arm_stress, peak_torque
from beachmark.knowledge.model import Knowledge, Limit
from beachmark.mechanics.duty import distance_to_crack_start_m
from beachmark.mechanics.fatigue import HIGH_CYCLES, StressLifeLine, basquin_line, cycles_at, goodman_amplitude_pa
from beachmark.mechanics.tube import MISES_SHEAR_RATIO, shear_stress_pa

ID, TITLE = "sum.duty_damage", "Damage that the duty does, up to the start of a crack"
_METHOD = (
    "every hard start is a pull from nothing to the peak of hard use, every step of the duty so many pulls from "
    "nothing to its torque in each kilometre; Goodman for the mean in bending, no mean in torsion; stress-life line "
    "from the tensile strength, with the notch factor in full at a million pulls and not at all at 1000; below the "
    "endurance limit a line of half the slope, damages added"
)
_SOURCE = (
    "Shigley, Mechanical Engineering Design, 9th edition, chapter 6 (line read, Goodman and Miner from memory), "
    "section 6-10 (notch factor at the endurance end only, from memory), section 6-13 (Smith: a torsional mean below "
    "yield does nothing to a smooth bar, read); half slope after Haibach (from memory)"
)
_VALIDITY = (
    "up to the start of a crack, tests scatter several times either way; steady torque alone does no damage, only its "
    "coming and going; what lies above the stress that 1000 pulls bear counts as if it were that; no corrosion, no "
    "hardened case, no residual stress, no bending by the joint angle"
)
_TORSION = (
    "; a notched bar loses some of its strength to a torsional mean: that is only in the range of the weld's factor"
)
_NO_DAMAGE = 1e-30  # so little that it is none, and still a number
_TOLERATED = 0.025  # share of the draws that may lie beyond the line before its sum is only a least value
_OVER_END = "greatest pull over that at which the stress-life line ends"
_END = "end of the stress-life line: what 1000 pulls bear, in torsion no more than the tensile strength"
_BEYOND = "the greatest pull may lie above the stress that 1000 pulls bear: the damage is at least what is told; "
_ENDLESS_M = 1e10  # ten million kilometres: beyond it a distance says nothing


@dataclass(frozen=True)
class Place:
    """What is needed of a part: nominal stress by its torque, tensile strength and fatigue notch factor."""

    at: Address
    per_nm: Spread
    tensile: Value
    notch: Spread
    mean_counts: bool  # the mean of a pull takes strength away: in bending, not in torsion


def duty_damage_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each arm root and each tube, when steps of the duty or the number of starts are known."""
    if not vehicle.duty.loads and vehicle.duty.starts_per_km is None:
        return []
    asked = [(_arm_root(asking, train, number), asking) for number, asking in _numbered(knowledge, train.joints)]
    asked += [(_tube(asking, train, number), asking) for number, asking in _numbered(knowledge, train.shafts)]
    return [
        _damage(asking, vehicle, place) if isinstance(place, Place) else asking.lacking(ID, TITLE, place)
        for place, asking in asked
    ]


def _numbered(knowledge: Knowledge, parts: tuple[Any, ...]) -> list[tuple[int, Asking]]:
    return [(number, Asking(knowledge)) for number in range(1, len(parts) + 1)]


def _arm_root(asking: Asking, train: Train, number: int) -> Place | Address:
    at, stress_of = Address("joint", number), arm_stress(asking, train, number)
    tensile, notch = core_tensile(asking, train, number), fatigue_notch(asking, train, number)
    if stress_of is None or tensile is None or notch is None:
        return at
    return Place(at, stress_of(Value.exact(1.0, "torque")), tensile, notch, mean_counts=True)


def _tube(asking: Asking, train: Train, number: int) -> Place | Address:
    """The tube at its ring weld; torsion counts by the stress that bends as much (von Mises)."""
    at, tube, name = Address("shaft", number), train.shaft(number).tube, f"driveline.shafts[{number - 1}].tube"
    outer = asking.need(f"{name}.outer_diameter", "tube outside diameter", tube.outer_diameter)
    wall = asking.need(f"{name}.wall", "tube wall", tube.wall)
    tensile = tube_tensile(asking, train, number)
    notch = asking.need("tube_weld_notch", "fatigue notch factor of the ring weld", None, "tube_weld_notch")
    if outer is None or wall is None or tensile is None or notch is None:
        return at
    if outer.low <= 2 * wall.high:
        asking.missing.append(Missing(f"{name}.wall", "a wall that fits into the tube's diameter"))
        return at
    per_nm = spread(
        lambda outer, wall: shear_stress_pa(torque_nm=1.0, outer_m=outer, inner_m=outer - 2 * wall) / MISES_SHEAR_RATIO,
        outer=outer,
        wall=wall,
    )
    return Place(at, per_nm, tensile, notch.spread, mean_counts=False)


def _damage(asking: Asking, vehicle: Vehicle, place: Place) -> Sum:
    run = asking.need("vehicle.duty.distance", "distance run in all", vehicle.duty.distance)
    share = asking.need("endurance_share", "endurance limit over tensile strength", None, "endurance_share")
    low = asking.need("low_cycle_share", "strength at 1000 pulls over tensile strength", None, "low_cycle_share")
    cycles = _cycles(asking, vehicle)
    if run is None or share is None or low is None or cycles is None:
        return asking.lacking(ID, TITLE, place.at)
    per_m = spread(
        partial(_damage_per_m, mean_counts=place.mean_counts),
        **cycles,
        tensile=place.tensile,
        notch=place.notch,
        share=share,
        low=low,
        per_nm=place.per_nm,
    )
    done = spread(lambda per_m, run: per_m * run, per_m=value_of(per_m, "number"), run=run)
    reach = _reach(place, cycles, low)
    least = reach.chance_above(1.0) > _TOLERATED
    unsure = least and asking.only_a_bound  # too little by the line, too much by the load: neither least nor most
    results, limit = _told(asking, done, per_m, reach, least=least and not unsure)
    sentence = ACCUSES_NOTHING if unsure else _sentence(done, limit.value, per_m, reach, least=least)
    beyond = _BEYOND if least else ""
    return informing(
        asking,
        id=ID,
        title=TITLE,
        at=place.at,
        results=[*results, *_stress(place, cycles)],
        limit=limit,
        sentence=sentence,
        method=_METHOD,
        source=_SOURCE,
        valid=not least,
        validity=f"{beyond}{_VALIDITY}{'' if place.mean_counts else _TORSION}",
    )


def _cycles(asking: Asking, vehicle: Vehicle) -> dict[str, Value] | None:
    """Torque and pulls in each metre of every kind of pull: `torque0`, `often0`, ...; what is missing is noted."""
    duty, found = vehicle.duty, dict[str, Value]()
    starts = asking.take("vehicle.duty.starts_per_km", "hard starts in a kilometre", duty.starts_per_km)
    if starts is not None:
        peak = peak_torque(asking, vehicle)
        if peak is None:
            return None
        often = spread(lambda starts: starts / 1e3, starts=starts)
        found |= {"torque0": peak, "often0": value_of(often, "number")}
    pulls = asking.need("pulls_per_km", "pulls in a kilometre", None, "pulls_per_km") if duty.loads else None
    for i, load in enumerate(duty.loads):
        name, key = f"vehicle.duty.loads[{i}]", len(found) // 2
        torque = asking.need(f"{name}.torque", f"torque of step {i + 1} of the duty", load.torque)
        share = asking.need(f"{name}.share", f"share of step {i + 1} of the distance", load.share)
        if torque is not None and share is not None and pulls is not None:
            often = spread(lambda share, pulls: share * pulls / 1e3, share=share, pulls=pulls)
            found |= {f"torque{key}": torque, f"often{key}": value_of(often, "number")}
    shares = sum(load.share.low for load in duty.loads if load.share is not None)
    if shares > 1 + 1e-6:
        words = f"shares of the distance that make up no more than the whole (they make up {shares:.0%})"
        asking.missing.append(Missing("vehicle.duty.loads[0].share", words))
    return None if asking.missing else found


def _damage_per_m(
    *, mean_counts: bool, per_nm: Any, tensile: Any, notch: Any, share: Any, low: Any, **cycles: Any
) -> Any:
    """Damage in each metre run, of one set of numbers or of every draw; stresses are nominal, the line is notched."""
    endurance = np.minimum(share / notch, 0.95 * low) * tensile
    line = basquin_line(ultimate_pa=tensile, endurance_pa=endurance, strength_fraction=low)
    total: Any = 0.0
    for i in range(len(cycles) // 2):
        half = np.abs(cycles[f"torque{i}"]) * per_nm / 2
        amplitude = _with_mean(half, tensile) if mean_counts else half
        total = total + cycles[f"often{i}"] / _lives(line, amplitude)
    return total


def _lives(line: StressLifeLine, amplitude: Any) -> Any:
    """Pulls to a first crack: on the line above the endurance limit, below it on a line of half the slope.

    What `mechanics.duty.lives_at` says of one line, for a line of every draw. Beyond its upper end the line says
    nothing: there the damage is at least that of its end.
    """
    above = cycles_at(line=line, amplitude_pa=np.minimum(amplitude, line.strength_at_low_cycles_pa))
    ratio = line.endurance_pa / np.maximum(amplitude, np.finfo(float).tiny)
    below = HIGH_CYCLES * np.minimum(ratio ** (-2 / line.exponent - 1), 1 / _NO_DAMAGE)
    return np.where(amplitude > line.endurance_pa, above, below)


def _with_mean(half: Any, tensile: Any) -> Any:
    """Fully reversed amplitude that does as much as a pull from nothing to twice `half`."""
    mean = np.minimum(half, 0.95 * tensile)  # nearer to the tensile strength Goodman's line has no meaning
    return goodman_amplitude_pa(amplitude_pa=half, mean_pa=mean, ultimate_pa=tensile)


def _reach(place: Place, cycles: dict[str, Value], low: Value) -> Spread:
    """The greatest pull over that at which the stress-life line ends: above 1 the damage is only a least value."""
    torques = {key: value for key, value in cycles.items() if key.startswith("torque")}
    end = _bending_end if place.mean_counts else _torsion_end
    return spread(
        lambda per_nm, tensile, low, **torques: _greatest_of(torques) * per_nm / (end(low) * tensile),
        **torques,
        per_nm=place.per_nm,
        tensile=place.tensile,
        low=low,
    )


def _bending_end(low: Any) -> Any:
    """Pull that Goodman sets equal to the strength at 1000 cycles, over the tensile strength: x / (2 - x) = low."""
    return 2 * low / (1 + low)


def _torsion_end(low: Any) -> Any:
    """Pull that the stress-life line holds for: half of it the strength at 1000 cycles, none above the tensile one."""
    return np.minimum(2 * low, 1.0)


def _greatest_of(torques: dict[str, Any]) -> Any:
    return reduce(np.maximum, [np.abs(torque) for torque in torques.values()])


def _stress(place: Place, cycles: dict[str, Value]) -> list[Quantity]:
    torques = {key: value for key, value in cycles.items() if key.startswith("torque")}
    stress = spread(lambda per_nm, **torques: _greatest_of(torques) * per_nm, per_nm=place.per_nm, **torques)
    return [Quantity("nominal stress of the greatest pull", stress, "stress")]


def _told(asking: Asking, done: Spread, per_m: Spread, reach: Spread, *, least: bool) -> tuple[list[Quantity], Limit]:
    """The damage and its distance; where nominally the line has ended, how far beyond its end the pulls lie."""
    if reach.nominal > 1:
        return [Quantity(_OVER_END, reach, "number")], Limit("line_end", Value.exact(1.0, "number"), _END)
    words = "damage over the distance run" + (", at least" if least else "")
    return [Quantity(words, done, "number"), *_distance(per_m, least=least)], asking.knowledge.limits["damage_sum"]


def _distance(per_m: Spread, *, least: bool) -> list[Quantity]:
    """Distance at which a crack is to be expected; nothing where it is practically endless."""
    if not per_m.nominal > 1 / _ENDLESS_M or per_m.low <= 0:
        return []
    found = spread(
        lambda per_m: distance_to_crack_start_m(damage_per_start=per_m, starts_per_m=1.0),
        per_m=value_of(per_m, "number"),
    )
    return [Quantity("distance to the start of a crack" + (", at most" if least else ""), found, "distance")]


def _sentence(done: Spread, limit: Value, per_m: Spread, reach: Spread, *, least: bool) -> str:
    if reach.nominal > 1:
        return (
            f"The greatest pull is {_times(reach)} that at which the stress-life line ends: each takes at least a "
            "thousandth of the life to a first crack, how much more no line tells. A part that bore many of them is "
            "stronger than taken here, or was pulled less: measure its hardness and the torque."
        )
    if least:
        return (
            f"The pulls so far add up to at least {tidy(done.low, 2)} times the life to a first crack, nominally "
            f"{tidy(done.nominal, 2)}: a crack is possible; the widest input is worth measuring."
        )
    if per_m.high * _ENDLESS_M <= 1:
        return "The duty does practically no damage here: the pulls stay far below the endurance limit."
    return f"The pulls so far add up to {_times(done)} the life to a first crack: {_judged(done, limit)}"


def _judged(done: Spread, limit: Value) -> str:
    """Against the sum of damages at a crack, whose own scatter counts on both sides."""
    if done.high < limit.low:
        return "it does not explain a crack."
    if done.high < limit.si:
        return "a crack is not to be expected yet, tests scatter that far."
    if done.low > limit.high:
        return "a crack is to be expected."
    return "a crack is possible; the widest input is worth measuring."


def _times(found: Spread) -> str:
    reach = f" ({tidy(found.low, 2)} to {tidy(found.high, 2)})" if found.low < found.high else ""
    return f"{tidy(found.nominal, 2)} times{reach}"
