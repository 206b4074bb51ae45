"""What marks on parts prove: readings by hand, who sets the bracket, who contradicts, and who is no witness."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, optimize

from beachmark.basis.values import Known, Value
from beachmark.cases.case import Case
from beachmark.driveline.train import Train
from beachmark.findings.results import Sum
from beachmark.findings.sums import all_sums
from beachmark.knowledge.model import Knowledge

from .lone import lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
STRONG = "outer_diameter: 127 mm, wall: 6 mm, yield_stress: 450 MPa"
WEAK = "outer_diameter: 100 mm, wall: 4 mm, yield_stress: 350 MPa"
NEEDLES = "arm_radius: 68 mm, trunnion_diameter: 33 mm, needles: 32, needle_diameter: 3 mm, needle_length: 18 mm"
ARM = (
    "arm_radius: 68 mm, trunnion_diameter: 33 mm, root_distance: 19 mm, yield_stress: 600 MPa, "
    "tensile_strength: 900 MPa"
)


def proved(tube: str) -> str:
    """The same tube, its yield stress measured."""
    return re.sub(r"yield_stress: (\d+ MPa)", r"yield_stress: {value: \1, known: measured}", tube)


UNTWISTED = Value.exact(0.0, "angle", Known.MEASURED)


def two_tubes(first: str, second: str) -> str:
    shafts = f"[{{length: 1.5 m, tube: {{{first}}}}}, {{length: 1.5 m, tube: {{{second}}}}}]"
    return f"{vehicle()}\ndriveline: {{shafts: {shafts}}}"


def crossed(cross: str) -> str:
    return f"{vehicle()}\ndriveline: {{shafts: [{{}}], joints: [{{cross: {{{cross}}}}}, {{}}]}}"


def untwisted(case: Case, number: int) -> Train:
    train = case.installed()
    shafts = list(train.shafts)
    tube = replace(shafts[number - 1].tube, twist_left=UNTWISTED)
    shafts[number - 1] = replace(shafts[number - 1], tube=tube)
    return replace(train, shafts=tuple(shafts))


def of_train(case: Case, train: Train, knowledge: Knowledge, id: str) -> list[Sum]:
    return [one for one in all_sums(knowledge, case.vehicle, train) if one.id == id]


def first_yield(outer: float, wall: float, stress: float) -> float:
    inner = outer - 2 * wall
    return stress / math.sqrt(3) * math.pi / 16 * (outer**4 - inner**4) / outer


def torque_leaving(twist: float, outer: float, wall: float, stress: float, length: float) -> float:
    """Torque that leaves a twist: integral of tau r over the ring, elastic to yield, then 0.01 of G; less T L / G J.

    Method: shear strain r phi / L, scipy's quadrature and root; G 79.5 GPa as the typical values have it.
    """
    shear, hardening, yields = 79.5e9, 0.01, stress / math.sqrt(3)
    outside, inside = outer / 2, outer / 2 - wall
    polar = math.pi / 2 * (outside**4 - inside**4)

    def tau(radius: float, held: float) -> float:
        elastic = shear * radius * held / length
        return elastic if elastic < yields else yields + hardening * (elastic - yields)

    def torque(held: float) -> float:
        edge = min(max(yields * length / (shear * held), inside), outside)
        return (
            2
            * math.pi
            * float(
                integrate.quad(lambda r: tau(r, held) * r**2, inside, edge)[0]
                + integrate.quad(lambda r: tau(r, held) * r**2, edge, outside)[0]
            )
        )

    def left(held: float) -> float:
        return held - torque(held) * length / (shear * polar) - twist

    return torque(float(optimize.brentq(left, 1e-4, 2.0)))


# ---- single marks ---------------------------------------------------------------------------------------------


def test_the_turn_of_a_stub_speaks_of_the_torque_of_a_printed_bar(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Solid bar 50 mm, 1.2 m, 150 MPa in shear, 4.6 kN m: 1.81 degrees stay at G = 77 GPa.

    Source: Beer & Johnston, Mechanics of Materials, examples 3.08 and 3.09 (from memory). The typical G here is 79.5
    GPa, so that 77 / 79.5 of the twist stays; its small hardening of 0.01 is within the tolerance.
    """
    twist = 1.81 * 77 / 79.5
    slip = (
        f"root_diameter: 50 mm, engaged_length: 1.2 m, yield_stress: {150 * math.sqrt(3)} MPa, twist_left: {twist} deg"
    )
    case = case_of(f"{vehicle()}\ndriveline: {{shafts: [{{slip: {{{slip}}}}}]}}")
    found = lone(case, knowledge, "sum.witness_twist")
    assert nominal(found, "speaks of") == pytest.approx(4600, rel=0.02)
    assert "sprang back elastically" in found.validity
    assert found.held_against.value.dimension == found.results[0].dimension
    assert found.results[0].widened_by


def test_a_twisted_tube_bore_more_than_its_yield_and_about_its_plastic_torque(
    case_of: ReadCase, knowledge: Knowledge
) -> None:
    case = case_of(two_tubes(f"{STRONG}, twist_left: 6 deg", WEAK))
    found = lone(case, knowledge, "sum.witness_twist")
    plastic = math.pi / 12 * 450e6 / math.sqrt(3) * (0.127**3 - 0.115**3)
    assert first_yield(0.127, 0.006, 450e6) < nominal(found, "speaks of") < 1.1 * plastic
    assert found.sentence.endswith("ordinary hard use gives 12.0 kN m.")


def test_dents_by_hand(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Set of 1e-4 of the needle at the static rating, 0.7 of it in the race: 0.21 um is the rating itself.

    44 (1 - 3/36) x 32 x 18 x 3 = 69 696 N (ISO 76); torque 2 R F = 2 x 68 mm x 69 696 N.
    """
    case = case_of(crossed(f"{NEEDLES}, dent_depth: 0.21 um"))
    found = lone(case, knowledge, "sum.witness_dent")
    assert nominal(found, "speaks of") == pytest.approx(2 * 0.068 * 69_696, rel=1e-6)
    assert found.results[0].widened_by == "how deep a load sets"
    assert "false brinelling" in found.validity


def test_dents_too_deep_to_read_are_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    (only,) = lone(case_of(crossed(f"{NEEDLES}, dent_depth: 40 um")), knowledge, "sum.witness_dent").missing
    assert only.name == "driveline.joints[0].cross.dent_depth"
    assert "no deeper than 1%" in only.words


def test_a_whole_arm_broke_at_its_plastic_moment(case_of: ReadCase, knowledge: Knowledge) -> None:
    """D^3 / 6 x (600 + 900) / 2 MPa = 4492 N m on nearly the whole section; torque 2 R M / l."""
    found = lone(case_of(crossed(f"{ARM}, final_share: 0.998")), knowledge, "sum.witness_fracture")
    assert nominal(found, "speaks of") == pytest.approx(2 * 0.068 * 4492 / 0.019, rel=0.02)
    assert "This arm broke first" in found.validity


def test_a_final_share_that_cannot_be_read_is_said_plainly(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Strong and brittle enough for the size rule, a crack deeper than any shape factor here: no traceback."""
    hard = ARM.replace("600 MPa", "1400 MPa").replace("900 MPa", "1700 MPa")
    found = lone(case_of(crossed(f"{hard}, final_share: 0.1")), knowledge, "sum.witness_fracture")
    assert not found.computed
    (only,) = found.missing
    assert only.name == "driveline.joints[0].cross.final_share"
    assert "0.06 to 0.75 of the diameter" in only.words
    assert "shape_factor" not in only.words


def test_what_a_mark_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(crossed("dent_depth: 2 um, arm_radius: 68 mm")), knowledge, "sum.witness_dent")
    assert {lack.name.rpartition(".")[2] for lack in found.missing} == {
        "needles",
        "needle_diameter",
        "needle_length",
        "trunnion_diameter",
    }


def test_a_proof_test_is_no_witness_of_the_event(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(f"{vehicle()}\ndriveline: {{shafts: [{{proved_torque: 20 kN m}}]}}")
    found = lone(case, knowledge, "sum.witness_proof")
    assert nominal(found, "bore in the test") == 20e3
    assert "brackets nothing by itself" in found.validity
    assert sums_of(case, knowledge, "sum.torque_bracket") == []


# ---- all together ---------------------------------------------------------------------------------------------


def test_a_part_that_nobody_looked_at_is_no_survivor(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The weak tube yields at half of what the strong one speaks of: nothing follows, nobody said that it is whole."""
    found = lone(case_of(two_tubes(f"{STRONG}, twist_left: 6 deg", WEAK)), knowledge, "sum.torque_bracket")
    assert found.valid
    assert {one.words for one in found.results[:2]} == {
        "torque, at least, by the tube of shaft 1",
        "torque, at most, by the tube of shaft 1",
    }


def test_a_tube_without_a_twist_sets_the_upper_side(case_of: ReadCase, knowledge: Knowledge) -> None:
    """No twist found is none above what eyes see: 1 degree, at most 2 (typical value), along 0.85 of 1.5 m."""
    case = case_of(two_tubes(proved(STRONG), WEAK))
    (found,) = of_train(case, untwisted(case, 1), knowledge, "sum.torque_bracket")
    seen = [torque_leaving(math.radians(deg), 0.127, 0.006, 450e6, 0.85 * 1.5) for deg in (1.0, 2.0)]
    (single,) = of_train(case, untwisted(case, 1), knowledge, "sum.witness_twist")
    assert nominal(single, "would have left a twist") == pytest.approx(seen[0], rel=1e-4)
    most = nominal(found, "at most")
    assert seen[0] < most < 1.01 * seen[1]
    assert first_yield(0.127, 0.006, 450e6) < seen[0]
    assert not any("at least" in one.words for one in found.results)
    assert found.sentence == f"The parts prove at most {most / 1e3:.1f} kN m; ordinary hard use gives 12.0 kN m."
    assert any(given.name == "twist_detection" for given in found.inputs)
    assert "about 1 degrees (0.5 to 2)" in single.validity


def test_a_stated_range_of_no_twist_is_its_own_limit(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Measured as 0 within half a degree: the typical limit of eyes is not taken."""
    case = case_of(two_tubes(f"{STRONG}, twist_left: {{value: 0 deg, plus_minus: 0.5 deg}}", WEAK))
    found = lone(case, knowledge, "sum.witness_twist")
    by_hand = torque_leaving(math.radians(0.5), 0.127, 0.006, 450e6, 0.85 * 1.5)
    assert nominal(found, "would have left a twist") == pytest.approx(by_hand, rel=1e-4)
    assert not any(given.name == "twist_detection" for given in found.inputs)


def test_a_twist_the_other_way_is_a_twist(case_of: ReadCase, knowledge: Knowledge) -> None:
    there, back = (
        lone(
            case_of(two_tubes(f"{STRONG}, twist_left: {{value: {twist} deg, plus_minus: 1 deg}}", WEAK)),
            knowledge,
            "sum.witness_twist",
        )
        for twist in (6, -6)
    )
    assert nominal(back, "speaks of") == pytest.approx(nominal(there, "speaks of"), rel=1e-9)


@pytest.mark.parametrize(
    ("steel", "said"),
    [
        (
            "",
            "would allow at least {0} kN m and at most {1} kN m, if the steel is the usual one (measure its hardness)",
        ),
        ("yield_stress: 450 MPa, ", "would allow at least {0} kN m and at most {1} kN m, if the steel is as stated"),
        ("yield_stress: {value: 450 MPa, known: measured}, ", "prove at least {0} kN m and at most {1} kN m"),
        ("hardness: {value: 185, known: measured}, ", "prove at least {0} kN m and at most {1} kN m"),
        (
            "hardness: {value: 185, known: assumed}, ",
            "would allow at least {0} kN m and at most {1} kN m, if the steel is the usual one (measure its hardness)",
        ),
    ],
)
def test_only_a_measured_strength_proves(steel: str, said: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    tube = f"outer_diameter: 127 mm, wall: 6 mm, {steel}twist_left: 6 deg"
    found = lone(case_of(two_tubes(tube, WEAK)), knowledge, "sum.torque_bracket")
    ends = (f"{nominal(found, side) / 1e3:.1f}" for side in ("at least", "at most"))
    assert found.sentence == f"The parts {said.format(*ends)}; ordinary hard use gives 12.0 kN m."


def test_marks_and_load_of_one_bracket_share_no_foreign_draws(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Two inputs with one column of draws would rise and fall together: every two inputs differ in their order."""
    twists = [f"{tube}, twist_left: {{value: {deg} deg, plus_minus: 1 deg}}" for tube, deg in ((STRONG, 6), (WEAK, 8))]
    text = two_tubes(*twists).replace("peak_torque: 1000 N m", "peak_torque: {value: 1000 N m, plus_minus: 100 N m}")
    found = lone(case_of(text), knowledge, "sum.torque_bracket")
    orders = {one.name: tuple(np.argsort(one.value.sample)) for one in found.inputs if one.value.sample is not None}
    assert len(orders) >= 6
    assert len(set(orders.values())) == len(orders)
    assert result(found, "caps a steady pull").widened_by == "greatest engine torque"


def test_yielded_and_whole_parts_bracket_the_torque(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(two_tubes(proved(STRONG), f"{proved(WEAK)}, twist_left: {{value: 8 deg, plus_minus: 1 deg}}"))
    (found,) = of_train(case, untwisted(case, 1), knowledge, "sum.torque_bracket")
    least, most = result(found, "at least").spread.low, result(found, "at most").spread.high
    assert first_yield(0.1, 0.004, 350e6) < least < most < first_yield(0.127, 0.006, 450e6)
    told = f"The parts prove at least {least / 1e3:.1f} kN m and at most {most / 1e3:.1f} kN m; ordinary hard use"
    assert found.sentence.startswith(told)
    assert nominal(found, "steady pull") == pytest.approx(10e3)


def test_a_contradiction_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The strong tube twisted and the weak one, looked at, did not: no torque does that."""
    case = case_of(two_tubes(f"{STRONG}, twist_left: 6 deg", WEAK))
    (found,) = of_train(case, untwisted(case, 2), knowledge, "sum.torque_bracket")
    assert not found.valid
    assert "contradict each other (the tube of shaft 1 and the tube of shaft 2)" in found.sentence
    assert found.validity.startswith("no torque fits all marks")


def test_without_the_load_the_marks_still_speak(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(f"driveline: {{shafts: [{{length: 1.5 m, tube: {{{STRONG}, twist_left: 6 deg}}}}]}}")
    found = lone(case, knowledge, "sum.torque_bracket")
    assert found.computed
    assert found.held_against is None
    assert "ordinary hard use" not in found.sentence


def test_without_marks_nothing_is_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(two_tubes(STRONG, WEAK))
    assert sums_of(case, knowledge, "sum.torque_bracket") == sums_of(case, knowledge, "sum.witness_twist") == []
