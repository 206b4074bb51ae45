"""All sums of one vehicle, in the order in which a specialist reads them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking, judged
from beachmark.findings.geometry import angle_sums, excitation_sums, inertia_sums
from beachmark.findings.life import cap_force_sums, life_sums
from beachmark.findings.population import FleetGroup, exact_probability
from beachmark.findings.results import Input, Missing, Quantity, Sum
from beachmark.findings.speed import whirl_sums
from beachmark.findings.strength import needle_sums, spline_sums, trunnion_sums, tube_sums
from beachmark.findings.torque import change_sums, torque_sum
from beachmark.knowledge.model import Knowledge


def all_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train, fleet: Sequence[FleetGroup] = ()) -> tuple[Sum, ...]:
    """Every sum, computed or with what it lacks."""
    families: tuple[Callable[[], Iterable[Sum]], ...] = (
        lambda: [torque_sum(knowledge, vehicle)],
        lambda: change_sums(knowledge, vehicle),
        lambda: angle_sums(knowledge, train),
        lambda: excitation_sums(knowledge, vehicle, train),
        lambda: inertia_sums(knowledge, vehicle, train),
        lambda: trunnion_sums(knowledge, vehicle, train),
        lambda: tube_sums(knowledge, vehicle, train),
        lambda: spline_sums(knowledge, vehicle, train),
        lambda: needle_sums(knowledge, vehicle, train),
        lambda: whirl_sums(knowledge, vehicle, train),
        lambda: cap_force_sums(knowledge, vehicle, train),
        lambda: life_sums(knowledge, vehicle, train),
        lambda: contrast_sums(knowledge, fleet),
    )
    return tuple(one for family in families for one in _within_range(family))


def _within_range(family: Callable[[], Iterable[Sum]]) -> list[Sum]:
    """The sums of a family; numbers outside what its formulas take are said, not computed with."""
    try:
        made = list(family())
        if not all(math.isfinite(x) for one in made for r in one.results for x in (r.spread.low, r.spread.high)):
            raise OverflowError("a result is not a finite number")
        return made
    except (ValueError, ArithmeticError) as refusal:
        lack = Missing("driveline", f"numbers inside the range of the method: {refusal}")
        return [Sum("sum.refused", "Not computed: outside the range of the method", Address("case"), missing=(lack,))]


def contrast_sums(knowledge: Knowledge, fleet: Sequence[FleetGroup]) -> list[Sum]:
    """Failures among exposed against unexposed sister vehicles; nothing without both groups."""
    exposed = [group for group in fleet if group.exposed]
    others = [group for group in fleet if not group.exposed]
    if not exposed or not others:
        return []
    counts = {"failed_a": exposed, "failed_b": others}
    failed = {key: sum(group.failed for group in groups) for key, groups in counts.items()}
    of_a, of_b = (sum(group.of for group in groups) for groups in (exposed, others))
    chance = exact_probability(failed_a=failed["failed_a"], of_a=of_a, failed_b=failed["failed_b"], of_b=of_b)
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
                Quantity("probability of such a difference by chance", Spread(chance, chance, chance), "number"),
                Quantity("share failed, exposed", _share(failed["failed_a"], of_a), "number"),
                Quantity("share failed, others", _share(failed["failed_b"], of_b), "number"),
            ],
            chances={"chance": 1.0 - unlikely, "unlikely_chance": unlikely},
            limit=limit,
            method="two-sided exact test of a two-by-two table",
            source="Fisher, Statistical Methods for Research Workers, section 21.02 (from memory)",
            validity="vehicles counted once; says that the groups differ, not that the exposure is the reason",
        )
    ]


def _share(failed: int, of: int) -> Spread:
    return Spread(failed / of, failed / of, failed / of) if of else Spread(0.0, 0.0, 0.0)


def _group_input(group: FleetGroup) -> Input:
    words = f"{group.name}: {group.failed} of {group.of} failed" + (", exposed" if group.exposed else "")
    share = group.failed / group.of if group.of else 0.0
    return Input(f"fleet.{group.name}", words, Value.exact(share, "number", Known.STATED))
