"""Needles of a joint: the heaviest one, the bands that they roll, and whether they were greased in time."""

from __future__ import annotations

import math
from typing import Any

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import joint_angle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing, side
from beachmark.findings.ranges import ratio, spread
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.strength import peak_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.needle_load import greasing_use, needle_loads, overlap_share, peak_pressure_pa

_LOAD, _OVERLAP = "Load on the heaviest needle of a cap", "Do the bands of neighbouring needles join?"
_GREASING = "Run since greased against the rule for greasing"
_FEWEST, _MOST = 3, 500  # needles in one cap
_SLACK = 1.03  # sizes are rounded, and arms worn


# ---- load -----------------------------------------------------------------------------------------------------


def needle_load_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint whose clearance was measured."""
    return [
        _load(knowledge, vehicle, train, number)
        for number, joint in enumerate(train.joints, start=1)
        if joint.cross.radial_clearance is not None
    ]


def _load(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("joint", number), "sum.needle_load", Asking(knowledge)
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    torques = _torques(asking, vehicle)
    radius = asking.need(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    clearance = asking.need(f"{name}.radial_clearance", "radial clearance of the needles", cross.radial_clearance)
    sizes = needle_sizes(asking, train, number)
    if not torques or radius is None or clearance is None or sizes is None:
        return asking.lacking(id, _LOAD, at)
    cap = _Cap(sizes, radius, clearance)
    limit = knowledge.limits["needle_pressure"]
    results = [result for words, torque in torques.items() for result in cap.pressures(words, torque)]
    results += [result for words, torque in torques.items() for result in cap.loads(words, torque)]
    pressure = results[0].spread
    return informing(
        asking,
        id=id,
        title=_LOAD,
        at=at,
        results=results,
        limit=limit,
        sentence=side(
            pressure,
            limit.si,
            below=f"The heaviest needle, {next(iter(torques))}, keeps below the pressure that leaves a lasting mark.",
            above=f"The heaviest needle, {next(iter(torques))}, presses a lasting mark into the arm.",
            between=f"The heaviest needle, {next(iter(torques))}, may mark the arm: the range leaves it open.",
        ),
        method=(
            "load of every needle from static balance, Q = K s^(10/9) with the clearance taken off; elastic contact "
            "pressure under the heaviest one, on the arm"
        ),
        source="Stribeck / Sjövall, Hertz; Harris, Rolling Bearing Analysis, chapter 7 (from memory)",
        validity=(
            "clearance counted as the whole play across; rigid cap and arm, load even along the needle: the cap gives "
            "way and the arm bends, so the outer end of a needle carries more; the pressure is the "
            "elastic one, as the definition takes it"
        ),
    )


class _Cap:
    """One cap with its needles under the force of a torque."""

    def __init__(self, sizes: dict[str, Value], radius: Value, clearance: Value):
        self.count = round(sizes["count"].si)
        self.sizes = {key: sizes[key] for key in ("diameter", "length", "arm")}
        self.radius, self.clearance = radius, clearance

    def pressures(self, words: str, torque: Value) -> list[Quantity]:
        """Pressure under the heaviest needle."""

        def pressure(*, torque: Any, radius: Any, clearance: Any, diameter: Any, length: Any, arm: Any) -> Any:
            heaviest = self._found(torque, radius, clearance, length).heaviest_n
            return peak_pressure_pa(
                heaviest_n=heaviest, needle_length_m=length, needle_diameter_m=diameter, trunnion_diameter_m=arm
            )

        found = spread(pressure, torque=torque, radius=self.radius, clearance=self.clearance, **self.sizes)
        return [Quantity(f"contact pressure of the heaviest needle, {words}", found, "stress")]

    def loads(self, words: str, torque: Value) -> list[Quantity]:
        """The heaviest needle, the share of needles that carry, and what the clearance adds."""
        given = {
            "torque": torque, "radius": self.radius, "clearance": self.clearance, "length": self.sizes["length"],
        }  # fmt: skip
        heaviest = spread(lambda **si: self._found(**si).heaviest_n, **given)
        tight = spread(lambda **si: self._found(**(si | {"clearance": 0.0})).heaviest_n, **given)
        carrying = spread(lambda **si: self._found(**si).zone_rad / math.pi, **given)
        return [
            Quantity(f"load of the heaviest needle, {words}", heaviest, "force"),
            Quantity(f"share of the needles that carry, {words}", carrying, "number"),
            Quantity(f"heaviest needle over that without clearance, {words}", ratio(heaviest, tight), "number"),
        ]

    def _found(self, torque: Any, radius: Any, clearance: Any, length: Any) -> Any:
        """Loads in the cap; the clearance is the whole play, as bearing makers count it."""
        force = arm_force_n(torque_nm=torque, arm_radius_m=radius)
        return needle_loads(
            force_n=force, needle_count=self.count, needle_length_m=length, clearance_m=clearance, between_needles=False
        )


def _torques(asking: Asking, vehicle: Vehicle) -> dict[str, Value]:
    """The peak torque and that of steady road speed, as far as they are known; what is missing only without both."""
    at_peak, at_cruise = asking.part(), asking.part()
    peak = peak_torque(at_peak, vehicle)
    words = "driveline torque at road speed"
    cruise = at_cruise.need("vehicle.duty.cruise_torque", words, vehicle.duty.cruise_torque)
    for part, torque in ((at_peak, peak), (at_cruise, cruise)):
        if torque is not None:
            asking.inputs |= part.inputs
    asking.only_a_bound = peak is not None and at_peak.only_a_bound
    if peak is None and cruise is None:
        asking.missing += [*at_cruise.missing, *at_peak.missing]
    found = {"at the peak torque": peak, "at cruise": cruise}
    return {key: torque for key, torque in found.items() if torque is not None}


def needle_sizes(asking: Asking, train: Train, number: int) -> dict[str, Value] | None:
    """Count, diameter and length of the needles and the arm that they run on, if they fit around it."""
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    told = cross.needles
    if told is not None and not _FEWEST <= told <= _MOST:
        asking.missing.append(Missing(f"{name}.needles", f"{_FEWEST} to {_MOST} needles in a cap"))
        return None
    stated = None if told is None else Value.exact(float(told), "number")
    asked = {
        "count": asking.need(f"{name}.needles", "number of needles in a cap", stated),
        "diameter": asking.need(f"{name}.needle_diameter", "needle diameter", cross.needle_diameter),
        "length": asking.need(f"{name}.needle_length", "needle length", cross.needle_length),
        "arm": asking.need(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter),
    }
    found = {key: value for key, value in asked.items() if value is not None}
    if len(found) < len(asked):
        return None
    pitch = found["arm"].high + found["diameter"].low
    if found["count"].si * found["diameter"].low > _SLACK * math.pi * pitch:
        asking.missing.append(Missing(f"{name}.needles", "as many needles as fit around the arm"))
        return None
    return found


# ---- bands ----------------------------------------------------------------------------------------------------


def needle_overlap_sums(knowledge: Knowledge, train: Train) -> list[Sum]:
    """Each joint whose angle and needles are known; it has no input of its own, so it asks for none."""
    found = (_overlap(knowledge, train, number) for number in range(1, len(train.joints) + 1))
    return [one for one in found if one is not None]


def _overlap(knowledge: Knowledge, train: Train, number: int) -> Sum | None:
    asking = Asking(knowledge)
    angle, sizes = joint_angle(asking, train, number), needle_sizes(asking, train, number)
    if angle is None or sizes is None:
        return None
    in_cap, on_arm = (_share(angle, sizes, inner=inner) for inner in (False, True))
    limit = knowledge.limits["needle_overlap"]
    apart = "each needle works a band of its own: separate dull stripes at needle pitch"
    return informing(
        asking,
        id="sum.needle_overlap",
        title=_OVERLAP,
        at=Address("joint", number),
        results=[
            Quantity("joint angle over that at which bands join, in the cap", in_cap, "number"),
            Quantity("the same on the arm", on_arm, "number"),
        ],
        limit=limit,
        sentence=side(
            in_cap,
            limit.si,
            below=f"Here {apart} are the ordinary picture and no proof of too much load.",
            above="Here the bands of neighbouring needles join: separate stripes would need another reason.",
            between=f"The bands may just join: whether {apart} are the ordinary picture is open.",
        ),
        method="joint angle over 2 pi / (Z (1 ± needle diameter / pitch diameter))",
        source="kinematics, derived; the critical angle after Rumbarger (from memory)",
        validity="needles evenly spaced, no slip; the joint's set angle, without the axle's travel",
    )


def _share(angle: Spread, sizes: dict[str, Value], *, inner: bool) -> Spread:
    count = round(sizes["count"].si)
    return spread(
        lambda angle, diameter, arm: overlap_share(
            joint_angle_rad=angle,
            needle_count=count,
            needle_diameter_m=diameter,
            pitch_diameter_m=arm + diameter,
            inner_race=inner,
        ),
        angle=angle,
        diameter=sizes["diameter"],
        arm=sizes["arm"],
    )


# ---- greasing -------------------------------------------------------------------------------------------------


def greasing_sums(knowledge: Knowledge, vehicle: Vehicle) -> list[Sum]:
    """Distance since the last greasing over the user's interval; nothing when neither is known."""
    duty, id, at = vehicle.duty, "sum.greasing", Address("train")
    if duty.greased_every is None and duty.since_greased is None:
        return []
    asking = Asking(knowledge)
    rule = asking.need("vehicle.duty.greased_every", "distance between greasings, the user's rule", duty.greased_every)
    run = asking.need("vehicle.duty.since_greased", "distance since it was last greased", duty.since_greased)
    if rule is None or run is None:
        return [asking.lacking(id, _GREASING, at)]
    used = spread(lambda run, rule: greasing_use(run_m=run, interval_m=rule).worst, run=run, rule=rule)
    limit = knowledge.limits["greasing_interval"]
    return [
        informing(
            asking,
            id=id,
            title=_GREASING,
            at=at,
            results=[Quantity("run since greased over the interval", used, "number")],
            limit=limit,
            sentence=side(
                used,
                limit.si,
                below="It was greased within the interval that the user follows.",
                above="The interval was overrun by the time of the failure.",
                between="The interval was about used up; the distances are known too loosely to say more.",
            ),
            method="distance since the last greasing over the interval",
            source="definition",
            validity=(
                "says that grease was due or not, not that it reached all four caps; whether the interval fits this "
                "duty is for the maker's instructions to say"
            ),
        )
    ]
