"""Centre bearing: one bent joint by hand, ranges against chance draws, and what each question lacks."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from beachmark.cases.case import Case
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking
from beachmark.findings.bearing_forces import force_per_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.centre_bearing_force import two_piece_bearing_force

from .lone import PEAK, lone, nominal, result, sums_of, vehicle

ReadCase = Callable[[str], Case]
CRUISE = 1000.0
DUTY = "duty: {cruise_torque: 1000 N m, distance: 200 000 km}"
BEARING = "position: 100 mm, radial_stiffness: 300 N/mm, mass: 5 kg, dynamic_rating: 8 kN"
SEAT = "misalignment: 1 deg, allowed_misalignment: 1.5 deg, axial_offset: 3 mm, allowed_axial: 5 mm"
BEND = 6.0  # degrees at joint 1, all that follows is straight


def line(bearing: str, more: str = DUTY, *, slope: str = f"{-BEND} deg", shafts: str = "") -> str:
    first = (
        f"{{length: 1.1 m, slope: {slope}, mass: 30 kg, phase: 0 deg, support: true, centre_bearing: {{{bearing}}}}}"
    )
    second = f"{{length: 1.6 m, slope: {-BEND} deg, mass: 50 kg, phase: 0 deg}}"
    ends = f"gearbox_end: {{slope: 0 deg}}, axle_end: {{slope: {-BEND} deg}}"
    return f"{vehicle(more=more)}\ndriveline: {{{ends}, shafts: [{first}, {second}{shafts}]}}"


def test_one_bent_joint_pushes_and_shakes_the_bearing(case_of: ReadCase, knowledge: Knowledge) -> None:
    """On the driven shaft of a joint the couple is T sin b cos^2 and T tan b sin cos of the drive angle: mean
    T sin b / 2, and twice a turn an ellipse whose longer half axis is T tan b / 2; over a span of 1.1 m - 0.1 m."""
    found = lone(case_of(line(BEARING)), knowledge, "sum.centre_bearing")
    for words, torque in (("at cruise", CRUISE), ("at the peak torque", PEAK)):
        steady = torque * math.sin(math.radians(BEND)) / 2
        assert nominal(found, f"steady force of the couples {words}") == pytest.approx(steady, rel=1e-9)
        second = torque * math.tan(math.radians(BEND)) / 2
        assert nominal(found, f"zero to peak, {words}") == pytest.approx(second, rel=1e-9)
        assert nominal(found, f"give of the rubber under the steady force {words}") == pytest.approx(steady / 300e3)


def test_balls_carry_weight_and_couple(case_of: ReadCase, knowledge: Knowledge) -> None:
    """ISO 281: (C/P)^3 million turns. The couple of a bend in height pushes sideways, the weight of half of both
    shafts and of the bearing, 45 kg, pulls down."""
    found = lone(case_of(line(BEARING)), knowledge, "sum.centre_bearing")
    load = math.hypot(CRUISE * math.sin(math.radians(BEND)) / 2, 45 * 9.80665)
    assert nominal(found, "radial load of the balls") == pytest.approx(load, rel=1e-6)
    distance = 1e6 * (8e3 / load) ** 3 * 2 * math.pi * 0.5 / 4  # one turn of the shaft is 2 pi r / axle ratio
    assert nominal(found, "L10") == pytest.approx(distance, rel=1e-6)
    assert nominal(found, "over rating life") == pytest.approx(200e6 / distance, rel=1e-6)
    large = lone(case_of(line(BEARING.replace("8 kN", "80 kN"))), knowledge, "sum.centre_bearing")
    assert "less than a hundredth" in large.sentence


def test_bounce_of_the_mass_on_the_rubber(case_of: ReadCase, knowledge: Knowledge) -> None:
    """sqrt(300 N/mm / 45 kg) = 81.65 rad/s, met by twice the shaft speed at 40.8 rad/s; top speed 2100 rpm."""
    found = lone(case_of(line(BEARING)), knowledge, "sum.centre_bearing")
    assert nominal(found, "shaft speed at which") == pytest.approx(math.sqrt(300e3 / 45) / 2)
    assert nominal(found, "top shaft speed over") == pytest.approx(2100 * math.pi / 30 / 40.825, rel=1e-4)
    assert "passes" in found.sentence


def test_seat_against_what_its_maker_allows(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(line(SEAT)), knowledge, "sum.centre_bearing")
    assert [one.spread.nominal for one in found.results[:2]] == pytest.approx([1 / 1.5, 3 / 5])
    assert found.held_against.value.si == 1.0
    assert found.results[0].dimension == "number"


def test_a_straight_line_is_not_shaken(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = line("position: 100 mm").replace(f"{-BEND} deg", "0 deg")
    found = lone(case_of(text), knowledge, "sum.centre_bearing")
    assert found.results[0].spread.nominal == pytest.approx(0.0, abs=1e-9)
    assert "straight" in found.sentence


def test_a_turned_rear_shaft_does_not_change_the_steady_force(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Mean couples do not know how the crosses stand; only the twice-a-turn parts add or cancel by phase."""
    text = line("position: 100 mm").replace("axle_end: {slope: -6.0 deg}", "axle_end: {slope: 0 deg}")
    found = {}
    for phase in (0, 90):
        turned = text.replace("mass: 50 kg, phase: 0 deg", f"mass: 50 kg, phase: {phase} deg")
        found[phase] = lone(case_of(turned), knowledge, "sum.centre_bearing")
    steady = [nominal(one, "steady force of the couples at cruise") for one in found.values()]
    second = [nominal(one, "zero to peak, at cruise") for one in found.values()]
    assert steady[0] == pytest.approx(steady[1], rel=0.02)
    assert abs(second[0] - second[1]) > 0.1 * max(second)


# ---- ranges ---------------------------------------------------------------------------------------------------


def test_ranges_are_those_of_the_exact_force_of_chance_draws(case_of: ReadCase, knowledge: Knowledge) -> None:
    """300 draws of all slopes, the lengths and the phase through the exact statics; sizes found over a fine turn."""
    rng = np.random.default_rng(5)
    slopes, half = np.radians([-4.0, -3.1, -7.4, -3.5]), math.radians(0.6)
    phase_half = math.radians(15)
    text = (
        "driveline: {gearbox_end: {slope: {value: -4 deg, plus_minus: 0.6 deg}}, "
        "axle_end: {slope: {value: -3.5 deg, plus_minus: 0.6 deg}}, shafts: ["
        "{length: 1.1 m, slope: {value: -3.1 deg, plus_minus: 0.6 deg}, phase: {value: 0 deg, plus_minus: 15 deg}, "
        "support: true, centre_bearing: {position: {value: 100 mm, plus_minus: 30 mm}}}, "
        "{length: 1.6 m, slope: {value: -7.4 deg, plus_minus: 0.6 deg}, phase: 0 deg}]}"
    )
    train: Train = case_of(text).installed()
    found = force_per_torque(Asking(knowledge), train, 1)
    turn = np.arange(32) * 2 * np.pi / 32
    steady, second = [], []
    for _ in range(300):
        drawn = rng.triangular(slopes - half, slopes, slopes + half)
        place = rng.triangular(0.07, 0.1, 0.13)
        forces = two_piece_bearing_force(
            torque_nm=1.0,
            directions=np.column_stack([np.cos(drawn), np.zeros(4), np.sin(drawn)]),
            phases_rad=[rng.triangular(-phase_half, 0.0, phase_half), 0.0],
            front_span_m=1.1 - place,
            overhang_m=place,
            rear_length_m=1.6,
            input_angles_rad=turn,
        )
        steady.append(np.linalg.norm(forces.mean(axis=0)))
        part = np.fft.rfft(forces, axis=0)[2] / len(turn) * 2
        swings = np.real(part[None] * np.exp(2j * np.linspace(0, np.pi, 721))[:, None])
        second.append(np.linalg.norm(swings, axis=1).max())
    x, y, z = (found.steady_parts[axis].sample for axis in "xyz")
    ours = np.sqrt(x**2 + y**2 + z**2)
    for one, exact in ((ours, steady), (found.second.sample, second)):
        for share in (0.025, 0.5, 0.975):
            width = np.quantile(exact, 0.975) - np.quantile(exact, 0.025)
            assert np.quantile(one, share) == pytest.approx(np.quantile(exact, share), abs=0.08 * width)


def test_the_widest_input_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = line(BEARING, slope=f"{{value: {-BEND} deg, plus_minus: 2 deg}}")
    steady = result(lone(case_of(text), knowledge, "sum.centre_bearing"), "steady force of the couples at cruise")
    assert steady.spread.low < steady.spread.nominal < steady.spread.high
    assert steady.widened_by == "slope of the shaft 1"


# ---- what is missing ------------------------------------------------------------------------------------------


def test_half_of_an_allowance_asks_for_the_other(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(line("misalignment: 1 deg, radial_stiffness: 300 N/mm")), knowledge, "sum.centre_bearing")
    assert found.computed  # forces and bounce are
    names = [lack.name.rpartition(".")[2] for lack in found.missing]
    assert names == ["allowed_misalignment"]


def test_a_bearing_with_nothing_else_known_names_all_it_lacks(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = "driveline: {shafts: [{support: true, centre_bearing: {dynamic_rating: 30 kN}}, {}]}"
    found = lone(case_of(text), knowledge, "sum.centre_bearing")
    assert not found.computed
    names = {lack.name for lack in found.missing}
    assert {"vehicle.duty.cruise_torque", "driveline.shafts[0].length", "driveline.axle_end.slope"} <= names


@pytest.mark.parametrize("bearing", ["", "position: 100 mm"])
def test_a_bearing_that_nobody_described_says_nothing(bearing: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    sums = sums_of(case_of(line(bearing)), knowledge, "sum.centre_bearing")
    assert [one.computed for one in sums] == ([True] if bearing else [])


def test_a_line_of_three_shafts_is_told_as_outside(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(line("dynamic_rating: 30 kN", shafts=", {}")), knowledge, "sum.centre_bearing")
    assert not found.computed
    assert any("for no other" in lack.words for lack in found.missing)


def test_a_bearing_off_its_shaft_is_said(case_of: ReadCase, knowledge: Knowledge) -> None:
    found = lone(case_of(line("position: 1.2 m")), knowledge, "sum.centre_bearing")
    assert "a place on the shaft that it carries" in [lack.words for lack in found.missing]
