"""Torque on the driveline by the engine's path and by the tyres' grip; before and after a change."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.ranges import least_of, ratio, spread
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.torque_path import engine_path_torque, grip_limit_torque

GRAVITY = 9.80665  # 3rd CGPM 1901
_METHOD = "engine: peak torque × gear × efficiency; tyres: grip × load × radius / (axle ratio × efficiency)"
_SOURCE = "gear relation; Gillespie, Fundamentals of Vehicle Dynamics, chapter 2 (from memory)"


def engine_torque(asking: Asking, vehicle: Vehicle) -> Spread | None:
    """Driveline torque that the engine can give in the lowest gear, N m."""
    torque = asking.need("vehicle.engine.peak_torque", "greatest engine torque", vehicle.engine.peak_torque)
    gear = asking.need("vehicle.gearbox.first_gear", "lowest gear ratio", vehicle.gearbox.first_gear)
    return _engine(asking, vehicle, torque, gear)


def _engine(asking: Asking, vehicle: Vehicle, torque: Value | None, gear: Value | None) -> Spread | None:
    name, stated = "vehicle.gearbox.efficiency", vehicle.gearbox.efficiency
    efficiency = asking.need(name, "efficiency of the gearbox", stated, "gearbox_efficiency")
    if torque is None or gear is None or efficiency is None:
        return None
    return spread(
        lambda t, i, eta: engine_path_torque(engine_torque_nm=t, ratio=i, efficiency=eta),
        t=torque,
        i=gear,
        eta=efficiency,
    )


def grip_torque(asking: Asking, vehicle: Vehicle, ratio: Value | None = None) -> Spread | None:
    """Driveline torque at which the driven tyres slip, N m: of both axles where the driveline feeds a second one."""
    load = asking.need("vehicle.axle.load", "mass on the driven wheels", vehicle.axle.load)
    radius = asking.need("vehicle.tyre.rolling_radius", "tyre rolling radius", vehicle.tyre.rolling_radius)
    ratio = ratio or asking.need("vehicle.axle.ratio", "axle ratio", vehicle.axle.ratio)
    grip = asking.need("vehicle.tyre.grip", "tyre grip", vehicle.tyre.grip, "tyre_grip")
    name, stated = "vehicle.axle.efficiency", vehicle.axle.efficiency
    efficiency = asking.need(name, "efficiency of the axle", stated, "axle_efficiency")
    if load is None or radius is None or ratio is None or grip is None or efficiency is None:
        return None
    first = axle_grip(grip, load, radius, ratio, efficiency)
    second = second_axle_grip(asking, vehicle, AxleOf(load, radius, ratio, efficiency), grip)
    return first if second is None else spread(lambda first, second: first + second, first=first, second=second)


@dataclass(frozen=True)
class AxleOf:
    """What the tyre limit of one axle needs."""

    load: Value
    radius: Value
    ratio: Value
    efficiency: Value

    @property
    def gears(self) -> dict[str, Value]:
        """From the wheels to the shaft, under the names that formulas take."""
        return {"radius": self.radius, "ratio": self.ratio, "efficiency": self.efficiency}


def second_axle_grip(asking: Asking, vehicle: Vehicle, first: AxleOf, grip: Value) -> Spread | None:
    """Driveline torque at which the tyres of a second driven axle slip; None where none is stated.

    Its ratio and rolling radius are those of the first axle unless they are stated.
    """
    second = second_axle(asking, vehicle, first)
    return axle_grip(grip, second.load, second.radius, second.ratio, second.efficiency) if second else None


def second_axle(asking: Asking, vehicle: Vehicle, first: AxleOf) -> AxleOf | None:
    """The second driven axle that this driveline feeds, or None."""
    load = asking.take("vehicle.axle.second_load", "mass on a second driven axle", vehicle.axle.second_load)
    if load is None:
        return None
    ratio = asking.take("vehicle.axle.second_ratio", "ratio of the second axle", vehicle.axle.second_ratio)
    name, stated = "vehicle.tyre.second_rolling_radius", vehicle.tyre.second_rolling_radius
    radius = asking.take(name, "rolling radius, second axle", stated)
    return AxleOf(load, radius or first.radius, ratio or first.ratio, first.efficiency)


def axle_grip(grip: Value, load: Value, radius: Value, ratio: Value, efficiency: Value) -> Spread:
    """Driveline torque at which the tyres of one axle slip in drive, N m."""
    return spread(
        lambda load, r, i, mu, eta: grip_limit_torque(
            grip=mu, axle_load_n=load * GRAVITY, tyre_radius_m=r, axle_ratio=i, axle_efficiency=eta
        ),
        load=load,
        r=radius,
        i=ratio,
        mu=grip,
        eta=efficiency,
    )


def governing(engine: Spread | None, grip: Spread | None) -> Spread | None:
    """The smaller of the two: it caps a steady pull. One alone is only an upper bound."""
    known = [torque for torque in (engine, grip) if torque is not None]
    if not known:
        return None
    return least_of(known)


def governing_torque(asking: Asking, vehicle: Vehicle) -> Spread | None:
    """What caps a steady pull, with what is missing noted only when neither path is known."""
    by_engine, by_grip = asking.part(), asking.part()
    engine, grip = engine_torque(by_engine, vehicle), grip_torque(by_grip, vehicle)
    for path, torque in ((by_engine, engine), (by_grip, grip)):
        if torque is not None:
            asking.inputs |= path.inputs
    asking.only_a_bound = (engine is None) != (grip is None)
    if engine is None and grip is None:
        asking.missing += by_engine.missing + by_grip.missing
    return governing(engine, grip)


def torque_sum(knowledge: Knowledge, vehicle: Vehicle) -> Sum:
    """Torque by both paths. It is the same at every part of a plain driveline: steady torque is not lost."""
    asking = Asking(knowledge)
    engine, grip = engine_torque(asking, vehicle), grip_torque(asking, vehicle)
    at, title = Address("train"), "Torque that can reach the driveline"
    limit = governing(engine, grip)
    if limit is None:
        return asking.lacking("sum.torque", title, at)
    results = [Quantity("torque that caps a steady pull", limit, "torque")]
    results += [Quantity("by the engine in the lowest gear", engine, "torque")] if engine else []
    results += [Quantity("by tyre grip", grip, "torque")] if grip else []
    return Sum(
        id="sum.torque",
        title=title,
        at=at,
        inputs=tuple(asking.inputs.values()),
        missing=tuple(asking.missing),
        results=tuple(results),
        sentence=_which_governs(engine, grip),
        method=_METHOD,
        source=_SOURCE,
        validity=(
            "steady pull; a sudden engagement or a wheel that spins and then grips goes above it; a second driven axle "
            "counts only where its load is stated"
        ),
    )


def _which_governs(engine: Spread | None, grip: Spread | None) -> str:
    if engine is None:
        return "Only the tyres' limit is known; the engine may cap the torque lower."
    if grip is None:
        return "Only the engine's path is known; the tyres may slip at less."
    share = grip.nominal / engine.nominal
    if share < 1:
        return f"The tyres cap the torque: they slip at {share:.0%} of what the engine could give in the lowest gear."
    return f"The engine caps the torque: the tyres would hold {share:.2f} times what it gives in the lowest gear."


def change_sums(knowledge: Knowledge, vehicle: Vehicle) -> list[Sum]:
    """Governing torque now against that before engine, gears or axle were changed; nothing when none was."""
    before = vehicle.before
    if before.engine_peak_torque is None and before.first_gear is None and before.axle_ratio is None:
        return []
    at, title = Address("case"), knowledge.questions["finding.torque_change"].question
    asking = Asking(knowledge)
    now, then = _paths_now(asking, vehicle), _paths_before(asking, vehicle)
    if {path for path in now if now[path]} != {path for path in then if then[path]}:
        # a path known on one side only would make a difference out of what is not known
        return [asking.lacking("finding.torque_change", title, at)]
    governed, governed_before = governing(*now.values()), governing(*then.values())
    if governed is None or governed_before is None:
        return [asking.lacking("finding.torque_change", title, at)]
    return [_change(knowledge, asking, at, governed, governed_before)]


def _change(knowledge: Knowledge, asking: Asking, at: Address, now: Spread, then: Spread) -> Sum:
    more = ratio(now, then)  # both share the vehicle's draws, so that what they have in common cancels
    limit = knowledge.limits["torque_change"]
    return judged(
        knowledge,
        asking,
        id="finding.torque_change",
        at=at,
        results=[
            Quantity("governing torque now over before", more, "number"),
            Quantity("now", now, "torque"),
            Quantity("before", then, "torque"),
        ],
        chances=chances_by_limits(more, ("not_more", "slightly_more", "much_more"), (limit.value.low, limit.si)),
        limit=limit,
        method="the smaller of engine path and tyre grip, after and before, by the paths that are known for both",
        source=_SOURCE,
        validity="steady pull in the lowest gear",
    )


def _paths_now(asking: Asking, vehicle: Vehicle) -> dict[str, Spread | None]:
    return {"engine": engine_torque(asking, vehicle), "grip": grip_torque(asking, vehicle)}


def _paths_before(asking: Asking, vehicle: Vehicle) -> dict[str, Spread | None]:
    before = vehicle.before
    torque = asking.take("vehicle.before.engine_peak_torque", "engine torque before", before.engine_peak_torque)
    gear = asking.take("vehicle.before.first_gear", "lowest gear before", before.first_gear)
    before_ratio = asking.take("vehicle.before.axle_ratio", "axle ratio before", before.axle_ratio)
    engine, now = vehicle.engine.peak_torque, vehicle.gearbox.first_gear
    torque = torque or asking.take("vehicle.engine.peak_torque", "greatest engine torque", engine)
    gear = gear or asking.take("vehicle.gearbox.first_gear", "lowest gear ratio", now)
    return {"engine": _engine(asking, vehicle, torque, gear), "grip": grip_torque(asking.part(), vehicle, before_ratio)}
