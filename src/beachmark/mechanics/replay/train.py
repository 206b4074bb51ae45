"""A driveline from engine to road as data: what turns, what joins it, what may slip.

The layout says only what there is and how it hangs together; every number of it (inertia, stiffness, ratio, angle
...) belongs to a draw, see ``parameters``. Couplings run away from the engine: from one driving station to one driven
station, or through an open differential to two. A locked differential is one station that drives two couplings.
"""

from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True, kw_only=True)
class Part:
    """Anything in a train; its name is its own."""

    name: str


@dataclass(frozen=True, kw_only=True)
class Station(Part):
    """A turning inertia; ``dragged`` gives it a drag in proportion to its speed."""

    dragged: bool = False


@dataclass(frozen=True, kw_only=True)
class Coupling(Part):
    """A spring with damper between stations, behind a gear, a Cardan joint and lash where there are such.

    Two driven stations: an open differential, which shares the torque among them.
    """

    driving: str
    driven: tuple[str, ...]
    geared: bool = False
    jointed: bool = False
    lash: bool = False


@dataclass(frozen=True, kw_only=True)
class FrictionClutch(Part):
    """A spring-damper in series with a friction pair whose capacity follows a course of time.

    Without a driven station it holds against the frame: a brake, a retarder, a jammed bearing.
    """

    driving: str
    driven: str | None = None


@dataclass(frozen=True, kw_only=True)
class Converter(Part):
    """A torque converter, by a table of capacity and torque ratio over speed ratio."""

    pump: str
    turbine: str
    knots: int = 5


@dataclass(frozen=True, kw_only=True)
class Tyre(Part):
    """What a wheel station and the vehicle exchange at the road; several wheels may stand in one station."""

    wheel: str


@dataclass(frozen=True, kw_only=True)
class Engine(Part):
    """Torque of the prime mover on a station: full-load table, governors, drag."""

    station: str
    knots: int = 6


@dataclass(frozen=True, kw_only=True)
class OuterTorque(Part):
    """A torque on a station that follows a course of time, such as a power take-off."""

    station: str


@dataclass(frozen=True, kw_only=True)
class Vehicle(Part):
    """The mass that the tyres move, on a grade, with its own brake; ``obstacle`` adds a hole and a kerb."""

    name: str = "vehicle"
    braked: bool = False
    obstacle: bool = False


@dataclass(frozen=True, kw_only=True)
class Layout:
    """A whole train. Refused with ValueError if names repeat or are unknown, or couplings do not form trees."""

    stations: tuple[Station, ...]
    couplings: tuple[Coupling, ...]
    clutches: tuple[FrictionClutch, ...] = ()
    converters: tuple[Converter, ...] = ()
    tyres: tuple[Tyre, ...] = ()
    engines: tuple[Engine, ...] = ()
    outer_torques: tuple[OuterTorque, ...] = ()
    vehicle: Vehicle | None = None

    def __post_init__(self) -> None:
        self._refuse_bad_names()
        self._refuse_bad_numbers()
        if self.tyres and self.vehicle is None:
            raise ValueError("vehicle is missing; tyres need a vehicle to move.")
        if len(self.from_the_engine) != len(self.couplings):
            left = [part.name for part in self.couplings if part not in self.from_the_engine]
            raise ValueError(f"couplings {left} run in a circle; they must form trees from the driving stations.")

    @property
    def freedoms(self) -> tuple[str, ...]:
        """What moves: the stations in order, then the vehicle if there is one."""
        vehicle = () if self.vehicle is None else (self.vehicle.name,)
        return (*(station.name for station in self.stations), *vehicle)

    @cached_property
    def place(self) -> dict[str, int]:
        """Number of each freedom, from 0."""
        return {name: number for number, name in enumerate(self.freedoms)}

    @cached_property
    def roots(self) -> tuple[str, ...]:
        """Stations that no coupling drives."""
        driven = {name for part in self.couplings for name in part.driven}
        return tuple(station.name for station in self.stations if station.name not in driven)

    @cached_property
    def from_the_engine(self) -> tuple[Coupling, ...]:
        """Couplings in an order in which each one's driving station comes before what it drives."""
        known, found = set(self.roots), list[Coupling]()
        while ready := [part for part in self.couplings if part not in found and part.driving in known]:
            found += ready
            known.update(name for part in ready for name in part.driven)
        return tuple(found)

    @property
    def loads(self) -> tuple[str, ...]:
        """What carries a load that is followed: couplings, clutches, converters (turbine), tyres (force)."""
        return tuple(part.name for part in (*self.couplings, *self.clutches, *self.converters, *self.tyres))

    def _refuse_bad_names(self) -> None:
        """Refuse names that repeat, and stations that are not there."""
        parts: list[Part] = [*self.stations, *self.couplings, *self.clutches, *self.converters, *self.tyres]
        parts += [*self.engines, *self.outer_torques, *([self.vehicle] if self.vehicle else [])]
        names = [part.name for part in parts]
        for name in names:
            if not name or names.count(name) > 1:
                raise ValueError(f"name {name!r} is given {names.count(name)} times; each must be one of its own.")
        known = {station.name for station in self.stations}
        for part, station in self._mentions():
            if station not in known:
                raise ValueError(f"{part} names station {station!r}; it must be one of {sorted(known)}.")

    def _mentions(self) -> list[tuple[str, str]]:
        """Return every part with each station that it names."""
        found = [(part.name, name) for part in self.couplings for name in (part.driving, *part.driven)]
        found += [(part.name, name) for part in self.clutches for name in (part.driving, part.driven) if name]
        found += [(part.name, name) for part in self.converters for name in (part.pump, part.turbine)]
        found += [(tyre.name, tyre.wheel) for tyre in self.tyres]
        found += [(engine.name, engine.station) for engine in self.engines]
        return found + [(torque.name, torque.station) for torque in self.outer_torques]

    def _refuse_bad_numbers(self) -> None:
        """Refuse counts that no part can have, and a station driven twice."""
        if not self.stations:
            raise ValueError("stations is empty; a train needs at least 1.")
        for part in self.couplings:
            if len(part.driven) not in (1, 2):
                raise ValueError(f"{part.name} drives {len(part.driven)} stations; it must drive 1 or 2.")
        driven = [name for part in self.couplings for name in part.driven]
        for name in driven:
            if driven.count(name) > 1:
                raise ValueError(f"station {name!r} is driven {driven.count(name)} times; at most once is allowed.")
        tables = [*((part.name, part.knots) for part in self.engines), *((c.name, c.knots) for c in self.converters)]
        for name, knots in tables:
            if knots < 2:
                raise ValueError(f"{name} has {knots} knots; a table needs at least 2.")
