"""Bending critical speed of each shaft against the speeds that it reaches."""

from __future__ import annotations

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.ranges import ratio, spread
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.whirl import pinned_tube_critical_speed

_METHOD = "pinned uniform tube, (pi/L)² sqrt(E I / m); joint masses and soft ends lower it; see the whole driveline"
_SOURCE = (
    "Euler-Bernoulli beam (any vibration text); the inch constant agrees with a handbook's 4.705e6 (from memory) "
    "within 0.6 %"
)


def shaft_speed_at(asking: Asking, vehicle: Vehicle, road: Value | None, name: str, words: str) -> Spread | None:
    """Shaft speed in rad/s at a road speed: v / r × axle ratio."""
    if road is None:
        return None
    v = asking.take(f"vehicle.duty.{name}", words, road)
    radius = asking.need("vehicle.tyre.rolling_radius", "tyre rolling radius", vehicle.tyre.rolling_radius)
    ratio = asking.need("vehicle.axle.ratio", "axle ratio", vehicle.axle.ratio)
    if v is None or radius is None or ratio is None:
        return None
    return spread(lambda v, r, i: v / r * i, v=v, r=radius, i=ratio)


def governed_shaft_speed(asking: Asking, vehicle: Vehicle) -> Spread | None:
    """Shaft speed in rad/s at governed engine speed in top gear."""
    engine, top = vehicle.engine.governed_speed, vehicle.gearbox.top_gear
    if engine is None or top is None:
        return None  # neither is noted as used without the other
    engine = asking.take("vehicle.engine.governed_speed", "governed engine speed", engine)
    top = asking.take("vehicle.gearbox.top_gear", "top gear ratio", top)
    if engine is None or top is None:
        return None
    return spread(lambda w, i: w / i, w=engine, i=top)


def top_shaft_speed(asking: Asking, vehicle: Vehicle) -> Spread | None:
    """The greatest shaft speed that is known to be reached; what is missing is noted in `asking`."""
    found = [shaft_speed_at(asking.part(), vehicle, road, name, words) for name, road, words in _road_speeds(vehicle)]
    speeds = [speed for speed in (governed_shaft_speed(asking, vehicle), *found) if speed is not None]
    if not speeds:
        asking.missing += [
            Missing("vehicle.engine.governed_speed", "governed engine speed"),
            Missing("vehicle.gearbox.top_gear", "top gear ratio (or a top road speed with tyre and axle ratio)"),
        ]
        return None
    for name, road, words in _road_speeds(vehicle):
        shaft_speed_at(asking, vehicle, road, name, words)
    asking.missing = [lack for lack in asking.missing if not lack.name.startswith(("vehicle.tyre", "vehicle.axle"))]
    return max(speeds, key=lambda speed: speed.nominal)


def _road_speeds(vehicle: Vehicle) -> list[tuple[str, Value, str]]:
    duty = vehicle.duty
    stated = [
        ("top_speed", duty.top_speed, "top road speed"),
        ("event_speed", duty.event_speed, "road speed at the event"),
    ]
    return [(name, value, words) for name, value, words in stated if value is not None]


def whirl_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Critical speed of every shaft against the greatest speed that it is known to reach."""
    return [_whirl(knowledge, vehicle, train, number) for number in range(1, len(train.shafts) + 1)]


def _whirl(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at = Address("shaft", number)
    asking = Asking(knowledge)
    critical = critical_speed(asking, train, number)
    event = shaft_speed_at(asking, vehicle, vehicle.duty.event_speed, "event_speed", "road speed at the event")
    top = top_shaft_speed(asking, vehicle)
    if critical is None or top is None:
        return asking.lacking("finding.whirl", knowledge.questions["finding.whirl"].question, at)
    reached = top  # the event's speed is among those: a crack that whirl began may let go at a crawl
    share = ratio(reached, critical)
    results = [
        Quantity("greatest speed over critical speed", share, "number"),
        Quantity("bending critical speed, pinned ends", critical, "rotation", "rpm"),
        Quantity("greatest shaft speed that can be reached", top, "rotation", "rpm"),
    ]
    if event:
        results.append(Quantity("shaft speed at the event", event, "rotation", "rpm"))
    accepted, met = knowledge.limits["whirl_ratio"], knowledge.limits["whirl_reached"]
    return judged(
        knowledge,
        asking,
        id="finding.whirl",
        at=at,
        results=results,
        chances=chances_by_limits(share, ("clear", "close", "reached"), (accepted.si, met.si)),
        limit=met if share.nominal > met.si else accepted,
        method=_METHOD,
        source=_SOURCE,
        validity="slender uniform tube; real ends lower the critical speed by 5 to 35 percent",
    )


def critical_speed(asking: Asking, train: Train, number: int) -> Spread | None:
    """Pinned bending critical speed of one shaft, rad/s."""
    shaft, name = train.shaft(number), f"driveline.shafts[{number - 1}]"
    outer = asking.need(f"{name}.tube.outer_diameter", "tube outside diameter", shaft.tube.outer_diameter)
    wall = asking.need(f"{name}.tube.wall", "tube wall", shaft.tube.wall)
    length = asking.need(f"{name}.length", "length between joint centres", shaft.length)
    youngs = asking.need(
        f"{name}.tube.youngs_modulus", "Young's modulus", shaft.tube.youngs_modulus, "steel_youngs_modulus"
    )
    density = asking.need(f"{name}.tube.density", "density", shaft.tube.density, "steel_density")
    if outer is None or wall is None or length is None or youngs is None or density is None:
        return None
    if outer.low <= 2 * wall.high:
        asking.missing.append(Missing(f"{name}.tube.wall", "a wall that fits into the tube's diameter"))
        return None
    return spread(
        lambda outer, wall, length, youngs, density: pinned_tube_critical_speed(
            outer_m=outer, inner_m=outer - 2 * wall, length_m=length, youngs_pa=youngs, density_kg_m3=density
        ),
        outer=outer,
        wall=wall,
        length=length,
        youngs=youngs,
        density=density,
    )
