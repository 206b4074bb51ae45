"""All sums of one vehicle, in the order in which a specialist reads them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.angles import angle_sums
from beachmark.findings.arm_notch import arm_notch_sums
from beachmark.findings.asking import Asking, judged
from beachmark.findings.balance import balance_sums
from beachmark.findings.beach_marks import beach_mark_sums
from beachmark.findings.centre_bearings import centre_bearing_sums
from beachmark.findings.duty_damage import duty_damage_sums
from beachmark.findings.excitation import excitation_sums, inertia_sums
from beachmark.findings.hole import hole_sums
from beachmark.findings.joint_motion import joint_motion_sums
from beachmark.findings.life import cap_force_sums, life_sums
from beachmark.findings.more_strength import spline_teeth_sums, tube_plastic_sums
from beachmark.findings.needles import greasing_sums, needle_load_sums, needle_overlap_sums
from beachmark.findings.paths import path_sums
from beachmark.findings.population import FleetGroup, exact_probability
from beachmark.findings.ranges import with_contributors
from beachmark.findings.results import Input, Missing, Quantity, Sum
from beachmark.findings.ride_height import ride_height_sums
from beachmark.findings.speed import whirl_sums
from beachmark.findings.strength import needle_sums, spline_sums, trunnion_once_sums, trunnion_repeated_sums, tube_sums
from beachmark.findings.topics import Topic
from beachmark.findings.torque import change_sums, torque_sum
from beachmark.findings.twist import twist_sums
from beachmark.findings.whirl_line import whirl_line_sums
from beachmark.findings.witnesses import bracket_sums, witness_sums
from beachmark.findings.yokes import cap_bolt_sums, ear_sums, weld_sums
from beachmark.knowledge.model import Knowledge

_REFUSED = "sum.refused"


def all_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train, fleet: Sequence[FleetGroup] = ()) -> tuple[Sum, ...]:
    """Every sum, computed or with what it lacks."""
    families: tuple[tuple[Topic, Callable[[], Iterable[Sum]]], ...] = (
        (Topic.TORQUE, lambda: [torque_sum(knowledge, vehicle)]),
        (Topic.TORQUE, lambda: path_sums(knowledge, vehicle, train)),
        (Topic.TORQUE, lambda: change_sums(knowledge, vehicle)),
        (Topic.ANGLES, lambda: angle_sums(knowledge, train)),
        (Topic.ANGLES, lambda: excitation_sums(knowledge, vehicle, train)),
        (Topic.ANGLES, lambda: inertia_sums(knowledge, vehicle, train)),
        (Topic.ANGLES, lambda: joint_motion_sums(knowledge, vehicle, train)),
        (Topic.ANGLES, lambda: ride_height_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: trunnion_once_sums(knowledge, vehicle, train)),
        (Topic.REPEATED, lambda: trunnion_repeated_sums(knowledge, vehicle, train)),
        (Topic.REPEATED, lambda: hole_sums(knowledge, vehicle, train)),
        (Topic.REPEATED, lambda: duty_damage_sums(knowledge, vehicle, train)),
        (Topic.PROOF, lambda: witness_sums(knowledge, vehicle, train)),
        (Topic.PROOF, lambda: beach_mark_sums(knowledge, train)),
        (Topic.PROOF, lambda: bracket_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: tube_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: spline_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: arm_notch_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: tube_plastic_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: spline_teeth_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: ear_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: cap_bolt_sums(knowledge, vehicle, train)),
        (Topic.ONE_PULL, lambda: weld_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: needle_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: needle_load_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: needle_overlap_sums(knowledge, train)),
        (Topic.SPEED, lambda: whirl_sums(knowledge, vehicle, train)),
        (Topic.SPEED, lambda: whirl_line_sums(knowledge, vehicle, train)),
        (Topic.SPEED, lambda: balance_sums(knowledge, vehicle, train)),
        (Topic.TWIST, lambda: twist_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: cap_force_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: life_sums(knowledge, vehicle, train)),
        (Topic.BEARINGS, lambda: greasing_sums(knowledge, vehicle)),
        (Topic.BEARINGS, lambda: centre_bearing_sums(knowledge, vehicle, train)),
        (Topic.FLEET, lambda: contrast_sums(knowledge, fleet)),
    )
    in_order = sorted(families, key=lambda pair: list(Topic).index(pair[0]))
    made = (_under(topic, one) for topic, family in in_order for one in _within_range(family))
    return tuple(replace(one, results=with_contributors(one.results, one.inputs)) for one in made)


def _under(topic: Topic, one: Sum) -> Sum:
    """The sum under its question; what was refused says which question goes unanswered."""
    title = f"{topic.value} {one.title}" if one.id == _REFUSED else one.title
    return replace(one, topic=topic, title=title)


def _within_range(family: Callable[[], Iterable[Sum]]) -> list[Sum]:
    """The sums of a family; numbers outside what its formulas take are said, not computed with."""
    try:
        with np.errstate(all="ignore"):  # what overflows is caught just below, by its result
            made = list(family())
        if not all(math.isfinite(x) for one in made for r in one.results for x in (r.spread.low, r.spread.high)):
            raise OverflowError("a result is not a finite number")
        return made
    except (ValueError, ArithmeticError) as refusal:
        lack = Missing("driveline", f"numbers inside the range of the method: {refusal}")
        return [Sum(_REFUSED, "Not computed: outside the range of the method", Address("case"), missing=(lack,))]


def contrast_sums(knowledge: Knowledge, fleet: Sequence[FleetGroup]) -> list[Sum]:
    """Failures among exposed against unexposed sister vehicles; nothing without both groups."""
    exposed = [group for group in fleet if group.exposed]
    others = [group for group in fleet if not group.exposed]
    if not exposed or not others:
        return []
    counts = {"failed_a": exposed, "failed_b": others}
    failed = {key: sum(group.failed for group in groups) for key, groups in counts.items()}
    of_a, of_b = (sum(group.of for group in groups) for groups in (exposed, others))
    counted = exact_probability(failed_a=failed["failed_a"], of_a=of_a, failed_b=failed["failed_b"], of_b=of_b)
    raised = 1 if failed["failed_a"] else 0  # a group that is looked at because it failed would count itself
    chance = exact_probability(
        failed_a=failed["failed_a"] - raised, of_a=of_a - raised, failed_b=failed["failed_b"], of_b=of_b
    )
    asking = Asking(knowledge)
    asking.inputs = {f"fleet.{group.name}": _group_input(group) for group in fleet}
    limit = knowledge.limits["chance_probability"]
    unlikely = 1.0 if chance < limit.si else 0.0
    return [
        judged(
            knowledge,
            asking,
            id="finding.group_contrast",
            at=Address("fleet"),
            results=[
                Quantity(
                    "probability of such a difference by chance, without the failure that raised the question",
                    Spread(chance, chance, chance),
                    "number",
                ),
                Quantity("the same with that failure counted", Spread(counted, counted, counted), "number"),
                Quantity("share failed, exposed", _share(failed["failed_a"], of_a), "number", held=False),
                Quantity("share failed, others", _share(failed["failed_b"], of_b), "number", held=False),
            ],
            chances={"chance": 1.0 - unlikely, "unlikely_chance": unlikely},
            limit=limit,
            method="two-sided exact test of a two-by-two table",
            source="Fisher, Statistical Methods for Research Workers, section 21.02 (from memory)",
            validity=(
                "vehicles counted once; one failure of the exposed group is left out of the verdict, because it raised "
                "the question; says that the groups differ, not that the exposure is the reason"
            ),
        )
    ]


def _share(failed: int, of: int) -> Spread:
    return Spread(failed / of, failed / of, failed / of) if of else Spread(0.0, 0.0, 0.0)


def _group_input(group: FleetGroup) -> Input:
    words = f"{group.name}: {group.failed} of {group.of} failed" + (", exposed" if group.exposed else "")
    share = group.failed / group.of if group.of else 0.0
    return Input(f"fleet.{group.name}", words, Value.exact(share, "number", Known.STATED))
