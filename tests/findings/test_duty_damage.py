"""Damage over a duty against pulls counted by hand on a log-log line."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from beachmark.cases.case import Case
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.duty import damage_of_cycles
from beachmark.mechanics.fatigue import basquin_line

from .lone import PEAK, nominal, sums_of, vehicle

ReadCase = Callable[[str], Case]
STARTS = "duty: {distance: 100 000 km, starts_per_km: 0.5}"
NOTCH, ENDURANCE, AT_1000 = 1.7, 0.45, 0.85  # the typical values


def crossed(tensile: str, duty: str = STARTS) -> str:
    cross = f"{{arm_radius: 60 mm, trunnion_diameter: 40 mm, root_distance: 20 mm, tensile_strength: {tensile}}}"
    return f"{vehicle(more=duty)}\ndriveline: {{shafts: [{{}}], joints: [{{cross: {cross}}}, {{}}]}}"


def at_joint(case: Case, knowledge: Knowledge) -> Sum:
    return next(one for one in sums_of(case, knowledge, "sum.duty_damage") if one.at.unit == "joint")


def amplitude_mpa(tensile: float, torque: float = PEAK) -> float:
    """Goodman, nominal: half of 32 F l / (pi D^3) alternates, half of it is mean; the notch is in the line."""
    half = 32 * (torque / 0.12) * 0.02 / (math.pi * 0.04**3) / 2e6
    return half / (1 - half / tensile)


def pulls_by_line(amplitude: float, tensile: float, notch: float = NOTCH) -> float:
    """Between 1000 pulls at 0.85 and a million at 0.45 of the tensile strength over the notch factor.

    Below it twice the slope less one. The notch takes nothing at 1000 pulls and counts in full at a million: Shigley,
    Mechanical Engineering Design, section 6-10 (from memory).
    """
    upper, lower = math.log10(AT_1000 * tensile), math.log10(ENDURANCE * tensile / notch)
    decades = 3 / (upper - lower)
    over = (math.log10(amplitude) - lower) * decades
    return 10 ** (6 - over) if over > 0 else 10 ** (6 - over / decades * (2 * decades - 1))


@pytest.mark.parametrize("tensile", [600.0, 1000.0])
def test_starts_add_up_as_counted_by_hand(tensile: float, case_of: ReadCase, knowledge: Knowledge) -> None:
    """50 000 starts; 600 MPa lies above its endurance limit there, 1000 MPa below (half slope after Haibach)."""
    found = at_joint(case_of(crossed(f"{tensile} MPa")), knowledge)
    amplitude = amplitude_mpa(tensile)
    assert (amplitude > ENDURANCE * tensile / NOTCH) is (tensile == 600.0)
    by_hand = 50_000 / pulls_by_line(amplitude, tensile)
    assert nominal(found, "damage over the distance") == pytest.approx(by_hand, rel=1e-6)
    distances = [one.spread.nominal for one in found.results if "distance to the start" in one.words]
    # beyond ten million kilometres no distance is told
    assert distances == ([pytest.approx(1e8 / by_hand, rel=1e-6)] if tensile == 600.0 else [])
    assert found.results[0].widened_by
    assert found.valid
    assert found.results[0].dimension == found.held_against.value.dimension


def test_the_mechanics_of_one_duty_says_the_same(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Lives of every draw are taken in one go in the sum; `duty.damage_of_cycles` takes one line at a time."""
    duty = "duty: {distance: 100 000 km, loads: [{torque: 12 kN m, share: 0.3}, {torque: 7 kN m, share: 0.6}]}"
    found = at_joint(case_of(crossed("600 MPa", duty)), knowledge)
    line = basquin_line(ultimate_pa=600e6, endurance_pa=270e6 / NOTCH, strength_fraction=AT_1000)
    amplitudes = [amplitude_mpa(600.0, torque) * 1e6 for torque in (12e3, 7e3)]
    expected = damage_of_cycles(
        line=line,
        ranges_pa=[2 * one for one in amplitudes],
        means_pa=[0.0, 0.0],
        cycles=[0.3 * 0.5 * 1e5, 0.6 * 0.5 * 1e5],  # typical: a pull every two kilometres
        ultimate_pa=600e6,
    )
    assert nominal(found, "damage over the distance") == pytest.approx(expected, rel=1e-9)


def test_starts_and_steps_add_up(case_of: ReadCase, knowledge: Knowledge) -> None:
    loads = "loads: [{torque: 12 kN m, share: 0.4}]"
    duties = [f"duty: {{distance: 100 000 km, {what}}}" for what in ("starts_per_km: 0.5", loads)]
    both = f"duty: {{distance: 100 000 km, starts_per_km: 0.5, {loads}}}"
    alone = [nominal(at_joint(case_of(crossed("600 MPa", duty)), knowledge), "damage over") for duty in duties]
    together = nominal(at_joint(case_of(crossed("600 MPa", both)), knowledge), "damage over")
    assert alone[1] == pytest.approx(0.4 * alone[0])
    assert together == pytest.approx(sum(alone))


def tubed(outer_mm: float, wall_mm: float, duty: str = STARTS, load: str = "60 t") -> str:
    tube = f"shafts: [{{tube: {{outer_diameter: {outer_mm} mm, wall: {wall_mm} mm}}}}]"
    return f"{vehicle(more=duty).replace('load: 60 t, ', f'load: {load}, ' if load else '')}\ndriveline: {{{tube}}}"


def at_shaft(case: Case, knowledge: Knowledge) -> Sum:
    return next(one for one in sums_of(case, knowledge, "sum.duty_damage") if one.at.unit == "shaft")


def bending_alike_mpa(outer: float, wall: float) -> float:
    """sqrt 3 T c / J of a ring."""
    inner = outer - 2 * wall
    return math.sqrt(3) * PEAK * outer / 2 / (math.pi / 32 * (outer**4 - inner**4)) / 1e6


def test_a_tube_counts_at_its_weld_without_its_mean(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Half of the stress by hand on the line; typical tensile strength 500 MPa and notch factor of the weld 2.

    No mean in torsion: Smith's tests, Shigley, Mechanical Engineering Design, 9th edition, section 6-13 (read).
    """
    found = at_shaft(case_of(tubed(120, 6)), knowledge)
    stress = bending_alike_mpa(0.12, 0.006)
    assert nominal(found, "nominal stress") == pytest.approx(stress * 1e6, rel=1e-6)
    assert nominal(found, "damage over") == pytest.approx(50_000 / pulls_by_line(stress / 2, 500, 2.0), rel=1e-6)
    assert found.valid
    assert "at least" not in found.sentence


def test_draws_beyond_the_line_make_a_least_value(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Nominally the tube stays below its tensile strength; where the peak is 1.3 times the cap it does not."""
    found = at_shaft(case_of(tubed(90, 4)), knowledge)
    stress = bending_alike_mpa(0.09, 0.004)
    assert stress < 500 < stress * 1.3 / 1.2
    assert nominal(found, "damage over the distance run, at least") == pytest.approx(
        50_000 / pulls_by_line(stress / 2, 500, 2.0), rel=1e-6
    )
    assert any("distance to the start of a crack, at most" in one.words for one in found.results)
    assert not found.valid
    assert found.validity.startswith("the greatest pull may lie above the stress that 1000 pulls bear")
    assert "add up to at least" in found.sentence
    assert "to be expected" not in found.sentence


def test_a_damage_that_is_only_the_end_of_the_line_is_not_told(case_of: ReadCase, knowledge: Knowledge) -> None:
    """50 000 starts over 1000 pulls would be 50, whatever the tube: no number for it, but how far beyond it lies."""
    found = at_shaft(case_of(tubed(80, 3)), knowledge)
    over = bending_alike_mpa(0.08, 0.003) / 500
    assert found.results[0].spread.nominal == pytest.approx(over, rel=1e-6)
    assert over > 1
    assert found.results[0].spread.low < over < found.results[0].spread.high
    assert not any("damage over" in one.words or "distance to" in one.words for one in found.results)
    assert not found.valid
    assert "at least a thousandth of the life" in found.sentence
    assert "to be expected" not in found.sentence
    assert "50" not in found.sentence


def test_few_pulls_beyond_the_line_clear_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    few = "duty: {distance: 100 km, starts_per_km: 0.5}"
    found = at_shaft(case_of(tubed(90, 4, few)), knowledge)
    assert found.results[0].spread.high < knowledge.limits["damage_sum"].value.low
    assert "does not explain" not in found.sentence
    assert "a crack is possible" in found.sentence


def test_too_little_by_the_line_and_too_much_by_the_load_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    few = "duty: {distance: 100 km, starts_per_km: 0.5}"
    found = at_shaft(case_of(tubed(90, 4, few, load="")), knowledge)
    assert found.sentence.startswith("Accuses nothing")
    assert not any("at least" in one.words for one in found.results)


def test_a_crack_is_to_be_expected_only_beyond_the_scatter_of_tests(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Sums of damages at which bars cracked lie between 0.3 and 3: two lives are no proof."""
    near, far = (
        at_joint(case_of(crossed("600 MPa", f"duty: {{distance: {run} km, starts_per_km: 0.5}}")), knowledge)
        for run in (2_500_000, 6_000_000)
    )
    assert 1.0 < near.results[0].spread.low < 3.0 < far.results[0].spread.low
    assert "a crack is possible" in near.sentence
    assert "a crack is to be expected" in far.sentence


def test_a_known_fillet_replaces_the_typical_notch(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = crossed("600 MPa").replace("root_distance", "fillet_radius: 6 mm, shoulder_diameter: 46 mm, root_distance")
    found = at_joint(case_of(text), knowledge)
    assert not any(given.name == "arm_root_notch" for given in found.inputs)
    assert any(given.name.endswith("fillet_radius") for given in found.inputs)
    assert nominal(found, "damage over") < nominal(at_joint(case_of(crossed("600 MPa")), knowledge), "damage over")


def test_what_a_duty_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = at_joint(case_of(crossed("600 MPa", "duty: {starts_per_km: 0.5}")), knowledge)
    assert [lack.name for lack in found.missing] == ["vehicle.duty.distance"]
    bare = at_joint(case_of(crossed("600 MPa", "duty: {distance: 1 km, loads: [{torque: 1 kN m}]}")), knowledge)
    assert [lack.name for lack in bare.missing] == ["vehicle.duty.loads[0].share"]


def test_shares_beyond_the_whole_are_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    duty = "duty: {distance: 1 km, loads: [{torque: 1 kN m, share: 0.8}, {torque: 2 kN m, share: 0.7}]}"
    (only,) = at_joint(case_of(crossed("600 MPa", duty)), knowledge).missing
    assert "they make up 150%" in only.words


def test_a_duty_without_pulls_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums_of(case_of(crossed("600 MPa", "duty: {distance: 1 km}")), knowledge, "sum.duty_damage") == []


def test_a_light_duty_is_said_to_do_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    duty = "duty: {distance: 100 000 km, loads: [{torque: 500 N m, share: 1}]}"
    found = at_joint(case_of(crossed("1000 MPa", duty)), knowledge)
    assert "practically no damage" in found.sentence
    assert not any("distance to the start" in one.words for one in found.results)
