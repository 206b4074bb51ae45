"""What was measured on a part replaces the table; a proof test raises the low end of what it bears."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from beachmark.basis.values import Known, Value
from beachmark.cases.case import Case
from beachmark.findings.asking import Asking
from beachmark.findings.measured import core_tensile, core_yield
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge

from .lone import PEAK, lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
ARM = "arm_radius: 60 mm, trunnion_diameter: 40 mm, root_distance: 20 mm"
TUBE = "outer_diameter: 100 mm, wall: 5 mm"
ARM_STRESS = 32 * (PEAK / 0.12) * 0.02 / (math.pi * 0.04**3)  # 32 F l / (pi D^3), beam formula


def crossed(cross: str, joint: str = "") -> str:
    first = f"{{cross: {{{ARM}, {cross}}}{joint}}}"
    return f"{vehicle()}\ndriveline: {{shafts: [{{}}], joints: [{first}, {{}}]}}"


def tubed(tube: str, shaft: str = "") -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{length: 1.5 m, tube: {{{TUBE}, {tube}}}{shaft}}}]}}"


def first(case: Case, knowledge: Knowledge, id: str) -> Sum:
    return next(one for one in sums_of(case, knowledge, id) if one.computed)


def given(one: Sum, key: str) -> Value:
    return next(input.value for input in one.inputs if input.name.endswith(key))


def test_core_hardness_stands_above_a_table(case_of: ReadCase, knowledge: Knowledge) -> None:
    """HRC 30 is HV 302 and 951 MPa (ASTM A370, read); yield of a case core 0.7 of it, 0.6 to 0.8.

    Ends: 0.6 x 0.9 x 951 MPa, and 0.8 x 1.1 x 971.4 MPa, HV 302 between 300 (965) and 350 (1125) of ISO 18265.
    """
    case = case_of(crossed("core_hardness: 30, yield_stress: {value: 900 MPa, known: from a table}"))
    found = first(case, knowledge, "finding.trunnion_static")
    strength = given(found, "cross.yield_stress")
    assert strength.si == pytest.approx(0.7 * 951e6, rel=1e-6)
    assert (strength.low, strength.high) == pytest.approx((513.54e6, 854.83e6), rel=1e-4)
    assert strength.known is Known.COMPUTED
    assert "30 HRC" in strength.source
    assert nominal(found, "load over capacity") == pytest.approx(ARM_STRESS / (0.7 * 951e6), rel=1e-6)
    assert found.results[0].widened_by


def test_a_measured_yield_stress_stands_above_the_hardness(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(crossed("core_hardness: 30, yield_stress: {value: 700 MPa, known: measured}"))
    strength = given(first(case, knowledge, "finding.trunnion_static"), "cross.yield_stress")
    assert (strength.si, strength.known) == (700e6, Known.MEASURED)


@pytest.mark.parametrize(
    ("hardness", "stated", "used"),
    [
        ("assumed", "from a table", "stated"),
        ("assumed", "from a plate", "stated"),
        ("stated", "from a plate", "stated"),
        ("measured", "from a plate", "hardness"),
        ("measured", "measured", "stated"),
        ("assumed", "assumed", "hardness"),
    ],
)
def test_the_better_known_of_strength_and_hardness_counts(
    hardness: str, stated: str, used: str, case_of: ReadCase, knowledge: Knowledge
) -> None:
    cross = f"core_hardness: {{value: 30, known: {hardness}}}, yield_stress: {{value: 700 MPa, known: {stated}}}"
    found = first(case_of(crossed(cross)), knowledge, "finding.trunnion_static")
    assert given(found, "cross.yield_stress").si == pytest.approx(700e6 if used == "stated" else 0.7 * 951e6)


def test_a_strength_is_no_better_known_than_its_hardness(case_of: ReadCase, knowledge: Knowledge) -> None:
    for known, carried in (("assumed", Known.ASSUMED), ("measured", Known.COMPUTED)):
        case = case_of(crossed(f"core_hardness: {{value: 30, plus_minus: 2, known: {known}}}"))
        found = first(case, knowledge, "finding.trunnion_static")
        assert given(found, "cross.yield_stress").known is carried
        assert given(found, "cross.core_hardness").si == 30
    tube = "yield_stress: {value: 400 MPa, known: assumed}"
    duty = "duty: {distance: 1000 km, starts_per_km: 1}"
    case = case_of(tubed(tube).replace(vehicle(), vehicle(more=duty)))
    assert given(first(case, knowledge, "sum.duty_damage"), "tube.tensile_strength").known is Known.ASSUMED


def test_yield_and_tensile_of_one_reading_share_its_draws(case_of: ReadCase, knowledge: Knowledge) -> None:
    """In every draw the yield of a case core is 0.6 to 0.8 of the tensile strength; apart they would leave that."""
    train = case_of(crossed("core_hardness: {value: 30, plus_minus: 3}")).installed()
    asking = Asking(knowledge)
    yields, tensile = core_yield(asking, train, 1), core_tensile(asking, train, 1)
    assert yields is not None
    assert yields.sample is not None
    assert tensile is not None
    assert tensile.sample is not None
    shares = yields.sample / tensile.sample
    assert 0.6 - 1e-9 <= shares.min() < shares.max() <= 0.8 + 1e-9
    for strength, sample in ((yields, yields.sample), (tensile, tensile.sample)):
        assert strength.low <= sample.min() < strength.si < sample.max() <= strength.high
    reading = next(one.value.sample for one in asking.inputs.values() if one.name.endswith("core_hardness"))
    assert reading is not None
    assert np.corrcoef(reading, tensile.sample)[0, 1] > 0.5


def test_without_a_measurement_nothing_changes(case_of: ReadCase, knowledge: Knowledge) -> None:
    stated = first(case_of(crossed("yield_stress: 700 MPa")), knowledge, "finding.trunnion_static")
    assert given(stated, "cross.yield_stress").si == 700e6
    typical = first(case_of(crossed("grease_bore: 6 mm")), knowledge, "finding.trunnion_static")
    assert given(typical, "cross.yield_stress").is_assumed


def test_repeated_pulls_take_the_tensile_strength_of_the_hardness(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = first(case_of(crossed("core_hardness: 30")), knowledge, "finding.trunnion_repeated")
    assert given(found, "cross.tensile_strength").si == pytest.approx(951e6)


def test_a_hardness_beyond_the_tables_is_said_and_not_used(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = first(case_of(crossed("core_hardness: 15")), knowledge, "finding.trunnion_static")
    strength = given(found, "cross.yield_stress")
    assert strength.si == knowledge.typical["cross_core_yield_stress"].si
    assert "15 HRC lies outside the conversion tables and was not used" in strength.source


def test_a_hardness_that_misses_what_is_expected_is_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    soft = given(first(case_of(tubed("hardness: 137")), knowledge, "finding.tube_static"), "tube.yield_stress")
    assert "misses" not in soft.source
    hard = given(first(case_of(tubed("hardness: 353")), knowledge, "finding.tube_static"), "tube.yield_stress")
    assert "misses what was expected (345 to 520 MPa)" in hard.source


def test_a_tube_of_unknown_making_has_the_range_of_all(case_of: ReadCase, knowledge: Knowledge) -> None:
    """HB 185 is HV 185 and 620 MPa (ASTM A370, read); welded tube yields from 0.65 of it on, drawn tube to 0.92."""
    plain = given(first(case_of(tubed("hardness: 185")), knowledge, "finding.tube_static"), "tube.yield_stress")
    welded = "hardness: 185, material: Welded tube"
    named = given(first(case_of(tubed(welded)), knowledge, "finding.tube_static"), "tube.yield_stress")
    assert plain.low == pytest.approx(named.low)
    assert plain.high > named.high
    assert named.si == pytest.approx(0.73 * 620e6)


def test_a_stub_takes_its_own_hardness(case_of: ReadCase, knowledge: Knowledge) -> None:
    """HRC 30: 951 MPa, 0.88 of it for quenched and tempered steel; 0.577 pi D^3 / 16 of it is the torque."""
    case = case_of(f"{vehicle()}\ndriveline: {{shafts: [{{slip: {{root_diameter: 60 mm, hardness: 30}}}}]}}")
    found = lone(case, knowledge, "finding.spline_static")
    by_hand = 0.88 * 951e6 / math.sqrt(3) * math.pi * 0.06**3 / 16
    assert nominal(found, "torque at which") == pytest.approx(by_hand, rel=1e-6)


def test_a_proof_test_raises_the_low_end_only(case_of: ReadCase, knowledge: Knowledge) -> None:
    """tau J / c = 420/sqrt(3) MPa x 33.76 cm4 / 50 mm = 16.37 kN m for the typical tube; tested with 15 kN m."""
    plain = first(case_of(tubed("")), knowledge, "finding.tube_static")
    tested = first(case_of(tubed("", ", proved_torque: 15 kN m")), knowledge, "finding.tube_static")
    before, after = (result(one, "torque at which").spread for one in (plain, tested))
    assert before.nominal == after.nominal == pytest.approx(16.373e3, rel=1e-3)
    assert before.low < 15e3 == after.low
    assert before.high == after.high
    assert any(given.name.endswith("proved_torque") for given in tested.inputs)


def test_a_proof_test_of_a_joint_counts_for_its_arms(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = first(case_of(crossed("", ", proved_torque: 40 kN m")), knowledge, "finding.trunnion_static")
    assert result(found, "torque at which the arm root").spread.low == 40e3
    assert found.results[0].spread.nominal == pytest.approx(PEAK / 40e3)
