"""Swing of the whole train in twist against its own matrices at real speeds, by NumPy and SciPy, and closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import scipy.linalg

from beachmark.cases.case import Case
from beachmark.findings.curves import TwistCurves, twist_curves
from beachmark.findings.results import Sum
from beachmark.findings.twist_swing import swinging
from beachmark.knowledge.model import Knowledge
from tests.findings.lone import lone, nominal, result
from tests.findings.test_whole_train import TRAIN

CaseOf = Callable[[str], Case]
RPM = 2 * math.pi / 60
FIRED = TRAIN.replace("cylinders: 6", "cylinders: 6, peak_torque: 1500 N m")
OUTER, INNER, LENGTH, AXLE = 0.12, 0.108, 1.5, 4.0
PARTS = ("engine", "gearbox output", "pinion", "wheels", "vehicle")


def matrices(gear: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Inertias, springs and twists of the train with every part at its own speed: no gear is taken out."""
    area = math.pi / 32 * (OUTER**4 - INNER**4)
    half_tube = 7850 * area * LENGTH / 2
    inertias = np.array([3.0, 0.3 + 0.03 + half_tube, 0.1 + 0.03 + half_tube, 60.0, 30e3 * 0.25])
    twists = [[1, -gear, 0, 0, 0], [0, 1, -1, 0, 0], [0, 0, 1 / AXLE, -1, 0], [0, 0, 0, 1, -1]]
    return inertias, np.array([20e3, 79.5e9 * area / LENGTH, 60e3, 200e3]), np.array(twists, float)


def tube_torque(gear: float, frequency: float, damping: float, *, engine_nm: float = 0.0, lead: float = 0.0) -> float:
    """Amplitude in the tube under a torque on the engine, or a twist forced into the tube."""
    inertias, springs, twists = matrices(gear)
    springs = springs * (1 + 2j * damping)
    forced = np.array([0, lead, 0, 0])
    load = np.array([engine_nm, 0, 0, 0, 0]) - twists.T @ (springs * forced)
    angles = np.linalg.solve(twists.T @ np.diag(springs) @ twists - frequency**2 * np.diag(inertias), load)
    return float(abs(springs[1] * (twists @ angles + forced)[1]))


def by_firing(gear: float, shaft_speed: float, knowledge: Knowledge) -> float:
    """Six cylinders of a four-stroke engine fire three times a turn."""
    typical = knowledge.typical
    torque = 1500 * typical["firing_share"].si
    return tube_torque(gear, 3 * gear * shaft_speed, typical["twist_damping"].si, engine_nm=torque)


def by_joints(gear: float, shaft_speed: float, knowledge: Knowledge) -> float:
    """Yokes in line, joints in one plane: the leads tan2(b/2) of the joints oppose each other (theory of machines)."""
    lead = math.tan(math.radians(4) / 2) ** 2 - math.tan(math.radians(3) / 2) ** 2
    return tube_torque(gear, 2 * shaft_speed, knowledge.typical["twist_damping"].si, lead=lead)


def sum_of(text: str, case_of: CaseOf, knowledge: Knowledge) -> Sum:
    return lone(case_of(text), knowledge, "sum.twist")


def curves_of(text: str, case_of: CaseOf, knowledge: Knowledge) -> TwistCurves | None:
    case = case_of(text)
    return twist_curves(knowledge, case.vehicle, case.installed())


# ---- shapes ---------------------------------------------------------------------------------------------------------


def test_what_swings_is_that_of_the_geared_matrices(case_of: CaseOf, knowledge: Knowledge) -> None:
    found = sum_of(FIRED, case_of, knowledge)
    inertias, springs, twists = matrices(0.8)
    squares, shapes = scipy.linalg.eigh(twists.T @ np.diag(springs) @ twists, np.diag(inertias))
    for mode in (1, 2, 3):
        at_shaft = shapes[:, mode] / np.array([0.8, 1, 1, 1 / AXLE, 1 / AXLE])
        first, second = sorted((int(at_shaft.argmax()), int(at_shaft.argmin())), reverse=True)
        told = result(found, f"natural frequency {mode} ")
        assert told.words == f"natural frequency {mode} in the gear of 0.80, {PARTS[first]} against {PARTS[second]}"
        assert told.spread.nominal == pytest.approx(math.sqrt(squares[mode]) / (2 * math.pi), rel=1e-9)
    assert not [one for one in found.results if one.words.startswith("natural frequency 4")]


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ([1.0, 0.9, 0.8, 0.3, -0.1], "vehicle against engine"),
        ([-0.1, 1.0, -0.9, 0.0, 0.0], "pinion against gearbox output"),
        ([0.1, -0.2, 1.0, -0.9, 0.1, 0.0], "pinion against joint 2"),
        ([0.1, -0.2, -0.6, 1.0, 0.4, 0.1, 0.0], "joint 3 against joint 2"),
    ],
)
def test_the_greatest_angles_of_opposite_sign_are_named_rear_first(shape: list[float], words: str) -> None:
    assert swinging(np.array(shape)) == words
    assert swinging(-np.array(shape)) == words


# ---- the greatest swing ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("from_what", "swing", "order"), [("from firing", by_firing, 3.0), ("from the joints", by_joints, None)]
)
def test_the_greatest_swing_is_that_of_the_worst_gear(
    from_what: str, swing: Callable[..., float], order: float | None, case_of: CaseOf, knowledge: Knowledge
) -> None:
    """A search over 4000 speeds of each gear; the peak of a damped train lies a little beside its frequency."""
    text = FIRED.replace("first_gear: 9", "first_gear: 9, gears: [{ratio: 5}, {ratio: 2.5}, {ratio: 1.4}]")
    peaks = {
        gear: max(swing(gear, w, knowledge) for w in np.linspace(600, 2000, 4000) * RPM / gear)
        for gear in (9.0, 5.0, 2.5, 1.4, 0.8)
    }
    worst = max(peaks, key=lambda gear: peaks[gear])
    found = result(sum_of(text, case_of, knowledge), from_what)
    assert found.words == f"greatest torque swing {from_what}, gear of {worst:.2f}, zero to peak"
    assert found.spread.nominal == pytest.approx(peaks[worst], rel=5e-3)
    assert found.spread.low < found.spread.nominal < found.spread.high


# clutch, half shafts and tyres a thousand times as stiff: engine and gearbox on the one side, the rest on the other
TWO = """
vehicle:
  engine: {governed_speed: 2000 rpm, idle_speed: 600 rpm, cylinders: CYLINDERS, inertia: 3 kg m2, peak_torque: 1000 N m}
  gearbox: {top_gear: 1, clutch_stiffness: 100000 kN m/rad, inertia: 0.3 kg m2}
  axle: {ratio: 4, pinion_inertia: 0.1 kg m2, half_shaft_stiffness: 1000000 kN m/rad, wheel_inertia: 60 kg m2}
  tyre: {rolling_radius: 0.5 m, twist_stiffness: 1000000 kN m/rad}
  duty: {mass: 400 kg}
driveline: {shafts: [{length: 1.5 m, tube: {outer_diameter: 60 mm, wall: 3 mm}, phase: 0 deg}], joints: [{}, {}]}
"""


@pytest.mark.parametrize("cylinders", [4, 6])
def test_two_inertias_on_one_spring_swing_as_in_the_closed_form(
    cylinders: int, case_of: CaseOf, knowledge: Knowledge
) -> None:
    """T J2/(J1+J2) |(1+2iz) / (1 - r2 + 2iz)|, r = w sqrt(J1 J2 / k (J1+J2)) (Thomson, ch. 5, from memory)."""
    area = math.pi / 32 * (0.06**4 - 0.054**4)
    half_tube = 7850 * area * 1.5 / 2
    front, rear = 3.0 + 0.3 + 0.03 + half_tube, 0.1 + 0.03 + half_tube + (60 + 400 * 0.25) / 16
    natural = math.sqrt(79.5e9 * area / 1.5 * (1 / front + 1 / rear))
    damping, share = knowledge.typical["twist_damping"].si, knowledge.typical["firing_share"].si

    def swing(speed: float) -> float:
        over = (cylinders / 2 * speed / natural) ** 2
        return abs(1000 * share * rear / (front + rear) * (1 + 2j * damping) / (1 - over + 2j * damping))

    text = TWO.replace("CYLINDERS", str(cylinders))
    assert not 600 * RPM <= natural / (cylinders / 2) <= 2000 * RPM  # so the greatest is that of idle
    assert nominal(sum_of(text, case_of, knowledge), "from firing") == pytest.approx(swing(600 * RPM), rel=2e-3)
    slow = text.replace("idle_speed: 600 rpm", "idle_speed: 100 rpm")
    at_resonance = 1000 * share * rear / (front + rear) * math.sqrt(1 + 4 * damping**2) / (2 * damping)
    assert nominal(sum_of(slow, case_of, knowledge), "from firing") == pytest.approx(at_resonance, rel=2e-3)
    found = curves_of(slow, case_of, knowledge)
    assert found is not None
    [firing] = found.swings
    for speed, torque in zip(found.speeds_rad_s, firing.torques_nm, strict=True):
        assert torque == pytest.approx(swing(speed), rel=0.02)  # near its peak a shift of 0.05 % counts
    assert [one.speed_rad_s for one in firing.crossings] == [pytest.approx(natural / (cylinders / 2), rel=2e-3)]


def test_firing_needs_torque_and_cylinders_and_says_what_it_rests_on(case_of: CaseOf, knowledge: Knowledge) -> None:
    found = sum_of(FIRED, case_of, knowledge)
    assert {"vehicle.engine.peak_torque", "firing_share"} <= {given.name for given in found.inputs}
    assert "at full engine torque at every speed" in found.validity
    for text in (TRAIN, FIRED.replace("cylinders: 6, ", "")):
        less = sum_of(text, case_of, knowledge)
        assert not [one for one in less.results if "from firing" in one.words]
        assert "full engine torque" not in less.validity
        assert "firing_share" not in {given.name for given in less.inputs}
        assert [one.spread for one in less.results] == [
            one.spread for one in found.results if "from firing" not in one.words
        ]


def test_a_swing_above_the_steady_torque_opens_the_lash(case_of: CaseOf, knowledge: Knowledge) -> None:
    slow = TWO.replace("CYLINDERS", "6").replace("idle_speed: 600 rpm", "idle_speed: 100 rpm")
    assert nominal(sum_of(slow, case_of, knowledge), "from firing") > 1000.0
    assert "lash opens" in sum_of(slow, case_of, knowledge).validity
    fast = TWO.replace("CYLINDERS", "6")
    assert nominal(sum_of(fast, case_of, knowledge), "from firing") < 1000.0
    assert "lash opens" not in sum_of(fast, case_of, knowledge).validity


# ---- over speed -----------------------------------------------------------------------------------------------------


def test_both_curves_are_those_of_the_geared_matrices(case_of: CaseOf, knowledge: Knowledge) -> None:
    found = curves_of(FIRED, case_of, knowledge)
    assert found is not None
    assert found.gear == 0.8
    assert found.speeds_rad_s[[0, -1]] / RPM == pytest.approx([600 / 0.8, 2000 / 0.8])
    joints, firing = found.swings
    for speed, by_joint, by_engine in zip(found.speeds_rad_s, joints.torques_nm, firing.torques_nm, strict=True):
        assert by_joint == pytest.approx(by_joints(0.8, speed, knowledge), rel=1e-6)
        assert by_engine == pytest.approx(by_firing(0.8, speed, knowledge), rel=1e-6)


def test_no_peak_falls_between_the_points_and_crossings_stand_at_the_frequencies(
    case_of: CaseOf, knowledge: Knowledge
) -> None:
    found = curves_of(FIRED, case_of, knowledge)
    assert found is not None
    inertias, springs, twists = matrices(0.8)
    squares = scipy.linalg.eigh(twists.T @ np.diag(springs) @ twists, np.diag(inertias), eigvals_only=True)
    for curve, swing, order in zip(found.swings, (by_joints, by_firing), (2.0, 3 * 0.8), strict=True):
        fine = np.linspace(*found.speeds_rad_s[[0, -1]], 8001)
        exact = np.array([swing(0.8, speed, knowledge) for speed in fine])
        drawn = np.interp(fine, found.speeds_rad_s, curve.torques_nm)
        assert np.max(np.abs(drawn - exact)) < 0.01 * exact.max()
        speeds = np.sqrt(squares[1:]) / order
        met = [speed for speed in speeds if found.speeds_rad_s[0] <= speed <= found.speeds_rad_s[-1]]
        assert met
        assert [one.speed_rad_s for one in curve.crossings] == pytest.approx(met, rel=1e-9)
        assert [one.frequency_rad_s for one in curve.crossings] == pytest.approx([order * one for one in met], rel=1e-9)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("governed_speed: 2000 rpm, ", ""),
        ("governed_speed: 2000 rpm", "governed_speed: 500 rpm"),  # below idle
        ("rolling_radius: 0.5 m, ", ""),
        ("length: 1.5 m, ", ""),
        ("top_gear: 0.8, first_gear: 9, ", ""),
        ("wall: 6 mm", "wall: 61 mm"),
    ],
)
def test_no_curves_without_train_or_speeds(before: str, after: str, case_of: CaseOf, knowledge: Knowledge) -> None:
    assert before in FIRED
    assert curves_of(FIRED.replace(before, after), case_of, knowledge) is None


def test_each_curve_needs_its_own_numbers_only(case_of: CaseOf, knowledge: Knowledge) -> None:
    no_angle = ("{angle: 4 deg}", "{}")
    for text, words in (
        (TRAIN, ["the joints' second order"]),
        (FIRED.replace(*no_angle), ["the engine's firing order"]),
    ):
        found = curves_of(text, case_of, knowledge)
        assert found is not None
        assert [one.words for one in found.swings] == words
    assert curves_of(TRAIN.replace(*no_angle), case_of, knowledge) is None
