"""The sums of a case by their id, and the vehicle that several of these tests share."""

from __future__ import annotations

from beachmark.cases.assessment import compute
from beachmark.cases.case import Case
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge

# 1000 N m x 10 without loss is 10 000 N m; the tyres would hold far more; the typical peak factor is 1.2
VEHICLE = (
    "vehicle: {engine: {peak_torque: 1000 N m, governed_speed: 2100 rpm}, "
    "gearbox: {first_gear: 10, top_gear: 1, efficiency: 1%s}, "
    "axle: {ratio: 4, load: 60 t, efficiency: 1}, tyre: {rolling_radius: 0.5 m, grip: 0.8}%s}"
)
STEADY, PEAK = 10_000.0, 12_000.0


def vehicle(gearbox: str = "", more: str = "") -> str:
    return VEHICLE % (f", {gearbox}" if gearbox else "", f", {more}" if more else "")


def sums_of(case: Case, knowledge: Knowledge, id: str) -> list[Sum]:
    return [one for one in compute(case, knowledge) if one.id == id]


def lone(case: Case, knowledge: Knowledge, id: str) -> Sum:
    (found,) = sums_of(case, knowledge, id)
    return found


def result(one: Sum, words: str) -> Quantity:
    """The first result whose words contain these."""
    return next(result for result in one.results if words in result.words)


def nominal(one: Sum, words: str) -> float:
    return result(one, words).spread.nominal
