"""The numbers of a train and an event: one flat vector of named values for each draw.

A name is "part.quantity_unit". The layout decides which names there are; ``draws`` refuses a name that is unknown,
missing or out of range, so that nothing is guessed silently. Defaults are only those that leave an effect out.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.train import Coupling, Layout

RAMPS = 2
"""Ramps in every course of time; an unused one changes nothing."""
STEEPEST_JOINT_RAD = math.pi / 4
"""The kernel's series of the joint is exact to 1e-9 up to this angle."""
_TINY = math.ulp(0.0)
_PLUS = (_TINY, math.inf)
_NOT_LESS = (0.0, math.inf)
_ANY = (-math.inf, math.inf)


@dataclass(frozen=True)
class Parameter:
    """One named number: its least and greatest value, and its default (None: it must be given)."""

    name: str
    least: float
    greatest: float
    default: float | None


@dataclass(frozen=True)
class Draws:
    """Vectors of parameters, one row for each draw, of one layout."""

    layout: Layout
    names: tuple[str, ...]
    rows: FloatArray

    def __len__(self) -> int:
        """Count of draws."""
        return len(self.rows)

    def __getitem__(self, name: str) -> FloatArray:
        """One parameter over all draws."""
        return self.rows[:, self.names.index(name)]

    @property
    def columns(self) -> dict[str, FloatArray]:
        """Every parameter over all draws, by name."""
        return dict(zip(self.names, self.rows.T, strict=True))

    def only(self, numbers: ArrayLike) -> "Draws":
        """Some of the draws, by number."""
        return Draws(self.layout, self.names, self.rows[np.atleast_1d(np.asarray(numbers, dtype=np.intp))])


def parameters(layout: Layout) -> tuple[Parameter, ...]:
    """Every parameter of a layout, in the order of the flat vector.

    >>> from beachmark.mechanics.replay.train import Station
    >>> one = Layout(stations=(Station(name="hub"),), couplings=())
    >>> [parameter.name for parameter in parameters(one)]
    ['repeat_s', 'hub.inertia_kg_m2', 'hub.start_angle_rad', 'hub.start_speed_rad_s']
    """
    found = [Parameter("repeat_s", 0.0, math.inf, 0.0)]
    for name, (bounds, default) in _all(layout):
        found.append(Parameter(name, *bounds, default))
    return tuple(found)


def draws(*, layout: Layout, values: Mapping[str, ArrayLike], count: int) -> Draws:
    """Flat vectors of a number of draws from named values, each one number or one per draw.

    Raises: ValueError if a name is unknown or missing, a value is out of range, or a list is not as long as count.
    """
    wanted = parameters(layout)
    unknown = sorted(set(values) - {parameter.name for parameter in wanted})
    if unknown:
        raise ValueError(f"{unknown[0]} is no parameter of this layout.")
    rows = np.empty((count, len(wanted)))
    for column, parameter in enumerate(wanted):
        given = values.get(parameter.name, parameter.default)
        if given is None:
            raise ValueError(f"{parameter.name} is missing; this layout needs it.")
        rows[:, column] = _sound(parameter, given, count)
    return Draws(layout, tuple(parameter.name for parameter in wanted), rows)


def _sound(parameter: Parameter, given: ArrayLike, count: int) -> FloatArray:
    """Return the values of one parameter, refused by name if one is not allowed."""
    numbers = np.asarray(given, dtype=np.float64)
    if numbers.shape not in ((), (count,)):
        raise ValueError(f"{parameter.name} has shape {numbers.shape}; it must be one number or a list of {count}.")
    wrong = np.atleast_1d(~((numbers >= parameter.least) & (numbers <= parameter.greatest)))
    endless = np.isinf(numbers) & (parameter.default != math.inf)  # only what may be left out has no bound
    wrong |= np.atleast_1d(endless | (parameter.name.endswith(".ratio") & (numbers == 0)))
    if wrong.any():
        least = "greater than 0" if parameter.least == _TINY else f"at least {parameter.least:g}"
        value = float(np.atleast_1d(numbers)[int(np.argmax(wrong))])
        least = "finite and not 0" if parameter.name.endswith(".ratio") else least
        raise ValueError(f"{parameter.name} is {value:g}; it must be {least} and at most {parameter.greatest:g}.")
    return numbers


_Entry = tuple[str, tuple[tuple[float, float], float | None]]


def _all(layout: Layout) -> Iterator[_Entry]:
    """Yield the entries of every part, part by part."""
    for station in layout.stations:
        yield f"{station.name}.inertia_kg_m2", (_PLUS, None)
        if station.dragged:
            yield f"{station.name}.drag_nm_s_rad", (_NOT_LESS, None)
        if station.name in layout.roots:
            yield f"{station.name}.start_angle_rad", (_ANY, 0.0)
        if station.name in layout.roots or any(tyre.wheel == station.name for tyre in layout.tyres):
            yield f"{station.name}.start_speed_rad_s", (_ANY, 0.0)
    for coupling in layout.couplings:
        yield from _coupling(coupling)
    for clutch in layout.clutches:
        yield f"{clutch.name}.stiffness_nm_rad", (_PLUS, None)
        yield f"{clutch.name}.damping_nm_s_rad", (_PLUS, None)
        yield from _course(f"{clutch.name}.capacity", "nm", _NOT_LESS)
    for converter in layout.converters:
        for quantity in ("speed_ratio", "capacity_nm_s2_rad2", "torque_ratio"):
            for knot in range(converter.knots):
                yield f"{converter.name}.{quantity}_{knot}", (_ANY, None)
    for tyre in layout.tyres:
        yield from _tyre(tyre.name)
    for engine in layout.engines:
        yield from _engine(engine.name, engine.knots)
    for torque in layout.outer_torques:
        yield from _course(f"{torque.name}.torque", "nm", _ANY)
    if layout.vehicle is not None:
        yield from _vehicle(layout)


def _coupling(part: Coupling) -> Iterator[_Entry]:
    """Yield the entries of a coupling."""
    yield f"{part.name}.stiffness_nm_rad", (_PLUS, None)
    yield f"{part.name}.spring_time_s", (_NOT_LESS, 0.0)
    yield f"{part.name}.capacity_nm", (_PLUS, math.inf)
    if part.geared:
        yield f"{part.name}.ratio", (_ANY, None)
    if part.jointed:
        yield f"{part.name}.angle_rad", ((0.0, STEEPEST_JOINT_RAD), None)
        yield f"{part.name}.yoke_rad", (_ANY, None)
    if part.lash:
        yield f"{part.name}.half_gap_rad", (_NOT_LESS, None)
        yield f"{part.name}.start_rad", (_ANY, 0.0)
    if len(part.driven) == 2:
        yield f"{part.name}.first_share", ((0.0, 1.0), 0.5)


def _tyre(name: str) -> Iterator[_Entry]:
    """Yield the entries of a tyre."""
    for quantity in ("load_n", "radius_m", "stiffness_per_m"):
        yield f"{name}.{quantity}", (_PLUS, None)
    yield f"{name}.damping_s_m", (_NOT_LESS, None)
    yield f"{name}.rolling_per_m", (_NOT_LESS, None)
    yield f"{name}.slide_share", ((0.05, 1.0), 1.0)
    yield f"{name}.slide_speed_m_s", (_PLUS, 1.0)
    yield from _course(f"{name}.friction", "none", _NOT_LESS)


def _engine(name: str, knots: int) -> Iterator[_Entry]:
    """Yield the entries of an engine."""
    for quantity, bounds in (("speed_rad_s", _NOT_LESS), ("full_load_nm", _ANY)):
        for knot in range(knots):
            yield f"{name}.{quantity}_{knot}", (bounds, None)
    yield f"{name}.governed_rad_s", (_PLUS, None)
    yield f"{name}.governor_band_rad_s", (_PLUS, None)
    yield f"{name}.idle_rad_s", (_NOT_LESS, 0.0)
    yield f"{name}.idle_gain_nm_s_rad", (_NOT_LESS, 0.0)
    yield f"{name}.idle_greatest_nm", (_NOT_LESS, 0.0)
    yield f"{name}.drag_nm", (_NOT_LESS, 0.0)
    yield f"{name}.drag_nm_s_rad", (_NOT_LESS, 0.0)
    yield from _course(f"{name}.throttle", "none", (0.0, 1.0))


def _vehicle(layout: Layout) -> Iterator[_Entry]:
    """Yield the entries of the vehicle."""
    vehicle = layout.vehicle
    if vehicle is None:
        return
    yield f"{vehicle.name}.mass_kg", (_PLUS, None)
    yield f"{vehicle.name}.grade_rad", ((-1.0, 1.0), 0.0)
    yield f"{vehicle.name}.start_speed_m_s", (_ANY, 0.0)
    if vehicle.braked:
        yield f"{vehicle.name}.brake_stiffness_n_m", (_PLUS, None)
        yield f"{vehicle.name}.brake_damping_n_s_m", (_PLUS, None)
        yield from _course(f"{vehicle.name}.brake", "n", _NOT_LESS)
    if vehicle.obstacle:
        for kind in ("hole", "kerb"):
            yield f"{vehicle.name}.{kind}_n", (_NOT_LESS, 0.0)
            yield f"{vehicle.name}.{kind}_place_m", (_ANY, 0.0)
            yield f"{vehicle.name}.{kind}_length_m", (_PLUS, 1.0)


def _course(name: str, unit: str, bounds: tuple[float, float]) -> Iterator[_Entry]:
    """Yield the entries of a course of time; see ``drive.Course``."""
    ending = "" if unit == "none" else f"_{unit}"
    yield f"{name}{ending}", (bounds, None)
    for ramp in range(1, RAMPS + 1):
        yield f"{name}_ramp_{ramp}_start_s", (_NOT_LESS, 0.0)
        yield f"{name}_ramp_{ramp}_takes_s", (_PLUS, 1.0)
        yield f"{name}_ramp_{ramp}_change{ending}", (_ANY, 0.0)
