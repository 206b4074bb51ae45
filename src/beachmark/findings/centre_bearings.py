"""The centre bearing: forces of the joints' couples on it, its seat, its rubber and its balls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.parts import CentreBearing
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.bearing_forces import ForcePerTorque, force_per_torque
from beachmark.findings.informing import informing
from beachmark.findings.ranges import ratio, spread, spread_of_costly
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.speed import top_shaft_speed
from beachmark.findings.strength import peak_torque
from beachmark.findings.torque import GRAVITY
from beachmark.findings.whirl_line import nominal_line
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import centre_bearing

_ID, _TITLE = "sum.centre_bearing", "Centre bearing: forces, seat, rubber and balls"
_CRUISE = "driveline torque at road speed"
_SECONDS_PER_HOUR = 3600.0
_WORTH_SAYING = 0.01  # share of the rating life
_TYPICAL_MASS, _TYPICAL_CARRIED = "centre_bearing_mass", "centre_bearing_carried"


@dataclass(frozen=True)
class _Said:
    """Results of one question about the bearing, its sentence, and the limit of its first result."""

    results: tuple[Quantity, ...]
    sentence: str = ""
    limit: str = ""


def centre_bearing_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each centre bearing about which something is known."""
    found = []
    for number, shaft in enumerate(train.shafts[:-1], start=1):
        if shaft.support and shaft.centre_bearing != CentreBearing():
            found.append(_Bearing(knowledge, vehicle, train, number).sum())
    return found


class _Bearing:
    """One centre bearing; each question asks for its own inputs, and what it lacks is named when it is half known."""

    def __init__(self, knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int):
        self.knowledge, self.vehicle, self.train, self.number = knowledge, vehicle, train, number
        self.held = train.shaft(number).centre_bearing
        self.name = f"driveline.shafts[{number - 1}].centre_bearing"
        self.asking = Asking(knowledge)
        self.lacks: list[Missing] = []  # of questions about which nothing of the bearing itself is known
        self.bound = False  # the peak torque is an upper bound only
        asked = self.asking.part()
        self.per_nm = force_per_torque(asked, train, number)
        self.force_inputs, self.force_lacks = asked.inputs, asked.missing

    def sum(self) -> Sum:
        at = Address("support", self.number)
        answers = [self._tilt(), self._shift(), self._life(), self._bounce()]
        said = [answer for answer in [*answers, self._forces()] if answer.results]
        if not said:
            self.asking.missing += [lack for lack in self.lacks if lack not in self.asking.missing]
            return self.asking.lacking(_ID, _TITLE, at)
        limit = self.knowledge.limits.get(said[0].limit)
        return informing(
            self.asking,
            id=_ID,
            title=_TITLE,
            at=at,
            results=[
                replace(result, held=answer.limit == said[0].limit) for answer in said for result in answer.results
            ],
            limit=limit,
            sentence=" ".join(answer.sentence for answer in said if answer.sentence),
            method=(
                "couples T tan b and T sin b of the three joints, balanced over the supports: mean and twice-a-turn "
                "part; rubber F / k; bounce sqrt(k / m) / 2; balls L10 = (C / P)³ million turns"
            ),
            source="statics of frictionless crosses, derived by vectors; ISO 281 rating life (from memory)",
            validity=_validity(self.per_nm, bound=self.bound),
        )

    def _known(self, asking: Asking, *, half: bool) -> bool:
        """Keep what a question asked for; True when nothing is missing."""
        if not asking.missing:
            self.asking.inputs |= asking.inputs
            return True
        if half:
            self.asking.missing += [lack for lack in asking.missing if lack not in self.asking.missing]
        self.lacks += asking.missing
        return False

    def _tilt(self) -> _Said:
        asking, held, half = self.asking.part(), self.held, self.held.misalignment or self.held.allowed_misalignment
        tilt = asking.need(f"{self.name}.misalignment", "tilt of the seat against the shaft", held.misalignment)
        words = "tilt that the bearing's maker allows"
        allowed = asking.need(f"{self.name}.allowed_misalignment", words, held.allowed_misalignment)
        if not self._known(asking, half=half is not None) or tilt is None or allowed is None:
            return _Said(())
        used = spread(_tilt_over_allowed, tilt=tilt, allowed=allowed, **self._seat(asking))
        return self._allowance("tilt of the seat", used)

    def _seat(self, asking: Asking) -> dict[str, Value]:
        """Run-out of the seat and the circle it was read on; nothing without both."""
        held, name = self.held, self.name
        if held.seat_runout is None or held.seat_diameter is None:
            return {}
        runout = asking.take(f"{name}.seat_runout", "face run-out of the seat", held.seat_runout)
        across = asking.take(f"{name}.seat_diameter", "circle that it was read on", held.seat_diameter)
        self.asking.inputs |= asking.inputs
        return {"runout": runout, "across": across} if runout is not None and across is not None else {}

    def _shift(self) -> _Said:
        asking, held, half = self.asking.part(), self.held, self.held.axial_offset or self.held.allowed_axial
        offset = asking.need(f"{self.name}.axial_offset", "shift of the rubber along the shaft", held.axial_offset)
        words = "shift along the shaft that the bearing's maker allows"
        allowed = asking.need(f"{self.name}.allowed_axial", words, held.allowed_axial)
        if not self._known(asking, half=half is not None) or offset is None or allowed is None:
            return _Said(())
        return self._allowance("shift along the shaft", spread_of_costly(_axial_share, offset=offset, allowed=allowed))

    def _allowance(self, what: str, used: Spread) -> _Said:
        sentence = f"The {what} takes {used.nominal:.2f} of what the maker allows."
        return _Said((Quantity(f"{what} over what its maker allows", used, "number"),), sentence, "maker_allows")

    def _life(self) -> _Said:
        asking, half = self.asking.part(), self.held.dynamic_rating is not None
        rating = asking.need(f"{self.name}.dynamic_rating", "rating of its ball bearing", self.held.dynamic_rating)
        load = self._ball_load(asking)
        vehicle = self.vehicle
        run = asking.need("vehicle.duty.distance", "distance run", vehicle.duty.distance)
        tyre = asking.need("vehicle.tyre.rolling_radius", "tyre rolling radius", vehicle.tyre.rolling_radius)
        axle = asking.need("vehicle.axle.ratio", "axle ratio", vehicle.axle.ratio)
        if not self._known(asking, half=half) or rating is None or load is None or run is None:
            return _Said(())
        if tyre is None or axle is None:
            return _Said(())
        life = spread(_life_distance, rating=rating, load=load, tyre=tyre, axle=axle)
        used = spread(lambda run, life: run / life, run=run, life=life)
        told = used.nominal >= _WORTH_SAYING  # a life of many millions of kilometres says no more than its share
        reached = Quantity("distance that 90 of 100 such ball bearings reach (L10)", life, "distance")
        results = (
            Quantity("distance run over rating life of the balls", used, "number"),
            *([reached] if told else []),
            Quantity("radial load of the balls at cruise, weight and couples", load, "force"),
        )
        share = f"{used.nominal:.2f}" if told else "less than a hundredth"
        sentence = f"At cruise the balls have used {share} of their rating life."
        return _Said(results, sentence, "life_used")

    def _ball_load(self, asking: Asking) -> Spread | None:
        """Steady couple force and weight together, at cruise; it lacks what the force lacks."""
        torque = asking.need("vehicle.duty.cruise_torque", _CRUISE, self.vehicle.duty.cruise_torque)
        carried = self._carried(asking)
        if self.per_nm is None:
            asking.missing += [lack for lack in self.force_lacks if lack not in asking.missing]
            return None
        if torque is None or carried is None:
            return None
        asking.inputs |= self.force_inputs
        return spread(_with_weight, torque=torque, mass=carried, **self.per_nm.steady_parts)

    def _carried(self, asking: Asking) -> Spread | None:
        """Mass on the bearing: half of both shafts where they were weighed, else the usual one; with its own."""
        own = asking.need(f"{self.name}.mass", "mass of the centre bearing that moves", self.held.mass, _TYPICAL_MASS)
        if own is None:
            return None
        shafts = [self.train.shaft(number) for number in (self.number, self.number + 1)]
        weighed = [
            asking.take(f"driveline.shafts[{number}].mass", f"mass of shaft {number + 1}", shaft.mass)
            for number, shaft in enumerate(shafts, start=self.number - 1)
            if all(one.mass is not None for one in shafts)
        ]
        front, rear = weighed or (None, None)
        if front is not None and rear is not None:
            return spread(lambda own, front, rear: own + (front + rear) / 2, own=own, front=front, rear=rear)
        hung = asking.need("centre_bearing_carried", "mass of the shafts on the centre bearing", None, _TYPICAL_CARRIED)
        return spread(lambda own, hung: own + hung, own=own, hung=hung) if hung is not None else None

    def _bounce(self) -> _Said:
        if self.held.radial_stiffness is None or nominal_line(self.knowledge, self.train) is not None:
            return _Said(())  # the critical speeds of the whole driveline hold the bounce, with all its masses
        asking = self.asking.part()
        stiffness = asking.need(f"{self.name}.radial_stiffness", "stiffness of the rubber", self.held.radial_stiffness)
        carried, top = self._carried(asking), top_shaft_speed(asking, self.vehicle)
        if not self._known(asking, half=False) or stiffness is None or carried is None or top is None:
            return _Said(())
        met = spread(
            lambda stiffness, mass: centre_bearing.bounce_shaft_speed_rad_s(stiffness_n_m=stiffness, mass_kg=mass),
            stiffness=stiffness,
            mass=carried,
        )
        share = ratio(top, met)
        passes = "passes" if share.low > 1 else "does not reach" if share.high < 1 else "may reach"
        results = (
            Quantity("top shaft speed over that at which twice a turn meets the bounce", share, "number"),
            Quantity("shaft speed at which twice a turn meets the bounce on the rubber", met, "rotation", "rpm"),
        )
        sentence = f"On its way to top speed the shaft {passes} the speed at which twice a turn meets the bounce."
        return _Said(results, sentence, "bounce_met")

    def _forces(self) -> _Said:
        """Steady and twice-a-turn force at cruise and at the peak torque, with the give of the rubber."""
        if self.per_nm is None:
            self.lacks += self.force_lacks
            return _Said(())
        at_cruise, at_peak = self.asking.part(), self.asking.part()
        cruise = at_cruise.need("vehicle.duty.cruise_torque", _CRUISE, self.vehicle.duty.cruise_torque)
        peak = peak_torque(at_peak, self.vehicle)
        results: list[Quantity] = []
        for words, part, torque in (("at cruise", at_cruise, cruise), ("at the peak torque", at_peak, peak)):
            self.lacks += part.missing
            self.bound = self.bound or part.only_a_bound
            if torque is not None:
                self.asking.inputs |= self.force_inputs | part.inputs
                results += self._forces_of(words, torque, self.per_nm)
        return _Said(tuple(results), _sentence(results))

    def _forces_of(self, words: str, torque: Value, per_nm: ForcePerTorque) -> list[Quantity]:
        steady = spread(_steady, torque=torque, **per_nm.steady_parts)
        second = spread(lambda torque, per_nm: torque * per_nm, torque=torque, per_nm=per_nm.second)
        found = [
            Quantity(f"steady force of the couples {words}", steady, "force"),
            Quantity(f"force twice a turn, zero to peak, {words}", second, "force"),
        ]
        if self.held.radial_stiffness is None:
            return found
        stiffness = self.asking.take(
            f"{self.name}.radial_stiffness", "stiffness of the rubber", self.held.radial_stiffness
        )
        if stiffness is None:
            return found
        give = spread(
            lambda force, stiffness: centre_bearing.rubber_deflection_m(force_n=force, stiffness_n_m=stiffness),
            force=steady,
            stiffness=stiffness,
        )
        return [*found, Quantity(f"give of the rubber under the steady force {words}", give, "length")]


def _tilt_over_allowed(*, tilt: Any, allowed: Any, runout: Any = 0.0, across: Any = 1.0) -> Any:
    wobble = centre_bearing.wobble_rad(face_runout_m=runout, diameter_m=across)
    return centre_bearing.misalignment(static_rad=tilt, wobble_rad=wobble).greatest_rad / allowed


def _axial_share(*, offset: float, allowed: float) -> float:
    use = centre_bearing.axial_use(
        movement_m=[0.0, 0.0, 0.0], shaft_direction=[1.0, 0.0, 0.0], set_offset_m=offset, free_travel_m=allowed
    )
    return use.share


def _steady(*, torque: Any, x: Any, y: Any, z: Any) -> Any:
    return torque * np.sqrt(x**2 + y**2 + z**2)


def _with_weight(*, torque: Any, mass: Any, x: Any, y: Any, z: Any) -> Any:
    """Size of the couples' steady force with the weight that pulls down."""
    return np.sqrt((torque * x) ** 2 + (torque * y) ** 2 + (torque * z - mass * GRAVITY) ** 2)


def _life_distance(*, rating: Any, load: Any, tyre: Any, axle: Any) -> Any:
    """Distance in metres; shaft turns a metre do not depend on the road speed, so any speed gives the same."""
    road_m_s = 1.0
    hours = centre_bearing.ball_life_h(rating_n=rating, load_n=load, speed_rad_s=road_m_s / tyre * axle)
    return hours * _SECONDS_PER_HOUR * road_m_s


def _sentence(results: Sequence[Quantity]) -> str:
    if not results:
        return ""
    steady, second = (result.spread.nominal for result in results[:2])
    if steady == second == 0.0:
        return "With all joints straight no couple loads it."
    return f"The couples of the joints push it with {steady:.0f} N and shake it, twice a turn, with {second:.0f} N."


def _validity(per_nm: ForcePerTorque | None, *, bound: bool) -> str:
    parts = [
        "couples of the torque alone: unbalance and the thrust of a stuck slip come on top",
        "tilt of the seat without wobble of the inner ring",
        "straight, clean, greased balls: a skew seat, dirt or current marks end them far earlier",
    ]
    if per_nm is not None:
        parts.append("forward torque taken as clockwise seen from the gearbox; unmeasured phases as in line")
    if bound:
        parts.append("only one of engine path and tyre grip is known: the peak torque is an upper bound")
    return "; ".join(parts)
