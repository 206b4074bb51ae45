"""Sums of the whole train: critical speeds, swinging in twist, travel of the suspension, and paths of torque."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import scipy.linalg

from beachmark.cases.assessment import compute
from beachmark.cases.case import Case
from beachmark.findings.results import Sum
from beachmark.findings.topics import Topic
from beachmark.knowledge.model import Knowledge

ReadCase = Callable[[str], Case]
RPM = 2 * math.pi / 60


def sums(case: Case, knowledge: Knowledge, id: str) -> list[Sum]:
    return [found for found in compute(case, knowledge) if found.id == id]


def results(found: Sum) -> dict[str, float]:
    return {result.words: result.spread.nominal for result in found.results}


def starting(found: Sum, words: str) -> float:
    return next(value for told, value in results(found).items() if told.startswith(words))


# ---- whirl of the whole line ----------------------------------------------------------------------------------------

TUBE = "tube: {outer_diameter: 88.9 mm, wall: 2.11 mm}, length: 1.524 m"


def line(stiffness: str, mass: str) -> str:
    """Tube A of the rotor library's comparison: joint and end share the mass at each end."""
    end = f"{{radial_stiffness: {stiffness}, mass: {mass}}}"
    return (
        "vehicle: {engine: {governed_speed: 2500 rpm}, gearbox: {top_gear: 1, gears: [{ratio: 2}]}}\n"
        f"driveline: {{gearbox_end: {end}, axle_end: {end}, shafts: [{{{TUBE}}}], "
        f"joints: [{{mass: {mass}}}, {{mass: {mass}}}]}}"
    )


@pytest.mark.parametrize(
    ("stiffness", "mass", "rpm"),
    [("1e9 N/m", "0.001 kg", 6331), ("2e7 N/m", "3 kg", 6096), ("5e6 N/m", "3 kg", 5307), ("1e8 N/m", "3 kg", 6267)],
)
def test_critical_speed_is_that_of_an_open_rotor_library(
    stiffness: str, mass: str, rpm: float, case_of: ReadCase, knowledge: Knowledge
) -> None:
    """Source: ross-rotordynamics 2.3.0 on the same tube (E 206 GPa, 7850 kg/m3); still or forward, 0.5 % apart."""
    [found] = sums(case_of(line(stiffness, mass)), knowledge, "sum.whirl_line")
    assert found.topic is Topic.SPEED
    critical = starting(found, "lowest bending critical speed, where")
    assert critical / RPM == pytest.approx(rpm, rel=0.006)
    assert starting(found, "half-critical") == pytest.approx(critical / 2, rel=0.01)
    assert starting(found, "governed speed in the gear of 1.00") == pytest.approx(2500 * RPM / critical)
    assert starting(found, "governed speed in the gear of 2.00") == pytest.approx(1250 * RPM / critical)


def test_soft_ends_widen_the_critical_speed_and_are_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(line("{value: 2e7 N/m, low: 5e6 N/m, high: 1e8 N/m}", "3 kg"))
    [found] = sums(case, knowledge, "sum.whirl_line")
    critical = next(one for one in found.results if one.words.startswith("lowest"))
    assert 5307 * 0.97 < critical.spread.low / RPM < 6096
    assert critical.spread.high / RPM < 6267 * 1.02
    assert "radial stiffness" in critical.widened_by


def test_a_joint_that_hangs_in_nothing_has_no_critical_speed(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = f"driveline: {{shafts: [{{{TUBE}}}, {{{TUBE}}}], joints: [{{}}, {{}}, {{}}]}}"
    [found] = sums(case_of(text), knowledge, "sum.whirl_line")
    assert not found.computed
    assert [lack.name for lack in found.missing] == ["driveline.shafts[0].support"]


def test_what_the_line_lacks_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of("driveline: {shafts: [{length: 1 m}]}"), knowledge, "sum.whirl_line")
    assert {lack.name for lack in found.missing} == {
        "driveline.shafts[0].tube.outer_diameter",
        "driveline.shafts[0].tube.wall",
    }


# ---- twist ----------------------------------------------------------------------------------------------------------

TRAIN = """
vehicle:
  engine: {governed_speed: 2000 rpm, idle_speed: 600 rpm, cylinders: 6, inertia: 3 kg m2}
  gearbox: {top_gear: 0.8, first_gear: 9, clutch_stiffness: 20 kN m/rad, inertia: 0.3 kg m2}
  axle: {ratio: 4, pinion_inertia: 0.1 kg m2, half_shaft_stiffness: 60 kN m/rad, wheel_inertia: 60 kg m2}
  tyre: {rolling_radius: 0.5 m, twist_stiffness: 200 kN m/rad}
  duty: {mass: 30 t}
driveline:
  shafts: [{length: 1.5 m, tube: {outer_diameter: 120 mm, wall: 6 mm}, phase: 0 deg}]
  joints: [{angle: 4 deg}, {angle: 3 deg}]
"""


def frequencies(gear: float) -> np.ndarray:
    """The same train as mass and stiffness matrices (real speeds joined by their ratios), solved by SciPy."""
    outer, inner, length = 0.12, 0.108, 1.5
    tube = 79.5e9 * math.pi / 32 * (outer**4 - inner**4) / length
    half_tube = 7850 * math.pi / 32 * (outer**4 - inner**4) * length / 2  # turns with each of its joints
    masses = np.diag([3.0, 0.3 + 0.03 + half_tube, 0.1 + 0.03 + half_tube, 60.0, 30e3 * 0.25])
    # twists of clutch (at engine speed), tube, half shafts (at wheel speed), tyres, over the stations' own angles
    twists = np.array([[1, -gear, 0, 0, 0], [0, 1, -1, 0, 0], [0, 0, 0.25, -1, 0], [0, 0, 0, 1, -1]], float)
    stiffness = twists.T @ np.diag([20e3, tube, 60e3, 200e3]) @ twists
    squares = scipy.linalg.eigh(stiffness, masses, eigvals_only=True)
    return np.sqrt(np.clip(squares, 0, None))


def test_frequencies_in_twist_are_those_of_an_independent_model(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of(TRAIN), knowledge, "sum.twist")
    expected = frequencies(0.8)
    assert found.topic is Topic.TWIST
    assert starting(found, "natural frequency 1") == pytest.approx(expected[1] / (2 * math.pi), rel=1e-9)
    assert starting(found, "natural frequency 2") == pytest.approx(expected[2] / (2 * math.pi), rel=1e-9)


def test_the_gear_that_meets_a_resonance_is_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    """A frequency w is met by the joints at w / 2, if that lies between idle and governed speed of the gear."""
    [found] = sums(case_of(TRAIN), knowledge, "sum.twist")
    for gear in (9.0, 0.8):
        low, high = 600 * RPM / gear, 2000 * RPM / gear
        for mode, frequency in enumerate(frequencies(gear)):
            told = f"frequency {mode}, near {frequency / 2 / RPM:.0f} rpm"
            met = bool(mode > 0 and low <= frequency / 2 <= high)
            gear_told = f"in the gear of {gear:.2f} the joints' second order"
            said = [part for part in found.sentence.lower().split(";") if gear_told in part and told in part]
            assert bool(said) is met, (gear, mode)


def test_what_was_not_checked_is_not_cleared(case_of: ReadCase, knowledge: Knowledge) -> None:
    no_speed = case_of(TRAIN.replace("governed_speed: 2000 rpm, ", ""))
    assert "was not checked: no governed engine speed" in sums(no_speed, knowledge, "sum.twist")[0].sentence
    no_cylinders = case_of(TRAIN.replace("cylinders: 6, ", ""))
    assert "firing order was not checked" in sums(no_cylinders, knowledge, "sum.twist")[0].sentence


def test_straight_joints_force_no_swing_and_lose_no_frequency(case_of: ReadCase, knowledge: Knowledge) -> None:
    straight = case_of(TRAIN.replace("angle: 4 deg", "angle: 0 deg").replace("angle: 3 deg", "angle: 0 deg"))
    [found] = sums(straight, knowledge, "sum.twist")
    assert starting(found, "natural frequency 1") > 0
    assert starting(found, "greatest torque swing") == 0.0


def test_nothing_is_said_of_a_swing_without_angles(case_of: ReadCase, knowledge: Knowledge) -> None:
    with_angles, without = case_of(TRAIN), case_of(TRAIN.replace("{angle: 4 deg}", "{}"))
    told = [
        [result.words[:21] for result in sums(case, knowledge, "sum.twist")[0].results]
        for case in (with_angles, without)
    ]
    assert "greatest torque swing" in told[0]
    assert "greatest torque swing" not in told[1]


# ---- travel ---------------------------------------------------------------------------------------------------------

RIDE = """
vehicle:
  engine: {governed_speed: 2000 rpm}
  gearbox: {top_gear: 1}
  suspension: {bump: 100 mm, droop: 60 mm, arm_length: 0.8 m, arm_slope: 0 deg, turn_share: SHARE}
driveline:
  gearbox_end: {slope: 0 deg}
  shafts: [{length: 1.5 m, slope: "-2 deg", phase: 0 deg}]
  joints: [{}, {}]
  axle_end: {slope: 0 deg}
"""


def test_angles_over_the_travel_follow_from_plane_geometry(case_of: ReadCase, knowledge: Knowledge) -> None:
    """The axle stays parallel: both joints have the angle of the shaft, whose rear end moves on the arm's circle."""
    [found] = sums(case_of(RIDE.replace("SHARE", "1e-9")), knowledge, "sum.ride_height")
    x, z = 1.5 * math.cos(math.radians(2)), -1.5 * math.sin(math.radians(2))
    heights = np.linspace(-0.06, 0.1, 2001)
    shifts = np.sqrt(0.8**2 - heights**2) - 0.8
    angles = np.abs(np.arctan2(z + heights, x + shifts))
    lengths = np.hypot(x + shifts, z + heights)
    assert starting(found, "greatest working angle") == pytest.approx(angles.max(), rel=1e-4)
    assert starting(found, "travel that the slip") == pytest.approx(np.ptp(lengths), rel=1e-3)
    assert starting(found, "greatest torsional excitation") == pytest.approx(0.0, abs=1.0)  # equal angles cancel


def test_a_pinion_that_turns_with_its_arm_shakes_most_at_an_end(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of(RIDE.replace("SHARE", "1")), knowledge, "sum.ride_height")
    turn = math.asin(0.1 / 0.8)
    nose = 0.35  # typical
    x, z = 1.5 * math.cos(math.radians(2)), -1.5 * math.sin(math.radians(2))
    rear = (x + 0.8 * math.cos(turn) - 0.8 + nose * (1 - math.cos(turn)), z + 0.1 - nose * math.sin(turn))
    shaft = math.atan2(rear[1], rear[0])
    expected = abs(shaft**2 - (turn - shaft) ** 2) * (2000 * RPM) ** 2
    words = "greatest torsional excitation, rad/s², with the axle 100 mm up"
    assert starting(found, words) == pytest.approx(expected, rel=1e-3)
    assert "with the axle 100 mm up" in found.sentence
    assert found.held_against is not None


def test_measured_heights_stand_above_the_arms(case_of: ReadCase, knowledge: Knowledge) -> None:
    readings = [("-60 mm", "0 deg"), ("0 mm", "0 deg"), ("100 mm", "3 deg")]
    measured = ", ".join(f"{{height: {height}, pinion_slope: {slope}}}" for height, slope in readings)
    text = RIDE.replace("turn_share: SHARE", f"measured: [{measured}]")
    [found] = sums(case_of(text), knowledge, "sum.ride_height")
    assert any(given.name == "vehicle.suspension.measured[2].pinion_slope" for given in found.inputs)
    assert not any(given.name.endswith("arm_length") for given in found.inputs)


def test_a_suspension_without_travel_names_what_it_lacks(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = RIDE.replace("bump: 100 mm, ", "").replace("SHARE", "1")
    [found] = sums(case_of(text), knowledge, "sum.ride_height")
    assert [lack.name for lack in found.missing] == ["vehicle.suspension.bump"]


def test_nothing_known_of_the_suspension_says_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums(case_of("driveline: {shafts: [{}]}"), knowledge, "sum.ride_height") == []


# ---- paths of torque ------------------------------------------------------------------------------------------------

PATHS = """
vehicle:
  engine: {peak_torque: 2000 N m}
  gearbox: {first_gear: 10, reverse_gear: 9, efficiency: 0.95, gears: [{ratio: 2}], retarder_torque: 3500 N m}
  axle: {ratio: 4, load: 10 t, efficiency: 0.96, second_load: 9 t, second_ratio: 4.1}
  tyre: {rolling_radius: 0.5 m, grip: 0.6}
  duty: {mass: 30 t, grade: 8 deg}
"""
G = 9.80665


def test_every_path_is_hand_arithmetic(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Gear relation, friction and a slope (Gillespie, Fundamentals of Vehicle Dynamics, chapter 2, from memory)."""
    [found] = sums(case_of(PATHS), knowledge, "sum.torque_paths")
    told = results(found)
    assert told["engine, lowest gear"] == pytest.approx(19_000)
    assert told["engine, reverse"] == pytest.approx(17_100)
    assert told["engine, gear of 2.00"] == pytest.approx(3_800)
    slips = 0.6 * 10_000 * G * 0.5 / (4 * 0.96)
    second = 0.6 * 9_000 * G * 0.5 / (4.1 * 0.96)
    assert told["tyres slip, grip as stated"] == pytest.approx(slips + second)
    assert told["tyres of the second axle alone slip"] == pytest.approx(second)
    slope = 30_000 * G * (math.sin(math.radians(8)) + 0.01 * math.cos(math.radians(8))) * 0.5 / (4 * 0.96)
    assert told["asked for by the steepest slope"] == pytest.approx(slope)
    assert told["retarder, on overrun"] == pytest.approx(3_500)
    assert told["tyres slip, on overrun"] == pytest.approx(0.6 * 10_000 * G * 0.5 * 0.96 / 4)
    wound = told[
        "wound up in the shaft between two locked axles, straight road"
    ]  # slip 0.1 / 4 shared by two axles of 1000 kN
    assert wound == pytest.approx(0.025 * 500e3 * 0.5 / 4)
    assert "In drive it is capped by: tyres slip, grip as stated (14.4 kN m)." in found.sentence
    assert "On overrun it is capped by: retarder, on overrun (3.5 kN m)." in found.sentence


def test_without_a_stated_grip_each_surface_has_its_own_limit(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of(PATHS.replace(", grip: 0.6", "")), knowledge, "sum.torque_paths")
    told = results(found)
    assert told["tyres slip, dry"] / told["tyres slip, snow"] == pytest.approx(0.7 / 0.2)
    assert next(one for one in found.results if one.words == "tyres slip, dry").widened_by == "tyre grip, dry"


def test_both_axles_cap_the_torque_of_the_shaft_that_feeds_them(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of(PATHS), knowledge, "sum.torque")
    both = 0.6 * G * 0.5 / 0.96 * (10_000 / 4 + 9_000 / 4.1)
    assert results(found)["by tyre grip"] == pytest.approx(both)


def test_a_sudden_stop_widens_with_the_tube(case_of: ReadCase, knowledge: Knowledge) -> None:
    """min(w sqrt(k J), held torque / ratio): with strong brakes the tube's stiffness sets it."""
    more = "axle: {brake_torque: 500 kN m, "
    tube = "tube: {outer_diameter: 120 mm, wall: {value: 6 mm, plus_minus: 1 mm}}, length: 1.5 m"
    text = PATHS.replace("axle: {", more).replace("retarder_torque: 3500 N m", "top_gear: 1")
    text = text.replace("duty: {", "duty: {top_speed: 20 km/h, ").replace(
        "{peak_torque", "{inertia: 3 kg m2, peak_torque"
    )
    case = case_of(f"{text}\ndriveline: {{shafts: [{{{tube}}}]}}")
    [found] = sums(case, knowledge, "sum.torque_paths")
    stop = next(one for one in found.results if one.words.startswith("wheels stopped suddenly"))
    stiffness = 79.5e9 * math.pi / 32 * (0.12**4 - 0.108**4) / 1.5
    assert stop.spread.nominal == pytest.approx(20 / 3.6 / 0.5 * 4 * math.sqrt(stiffness * 3))
    assert stop.spread.low < 0.97 * stop.spread.nominal
    assert any(given.name.endswith("tube.wall") for given in found.inputs)


# ---- what a review asked for ----------------------------------------------------------------------------------------


def test_every_range_reaches_the_travel(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Travel, speed and phase with ranges, each alone: the excitation must widen."""
    base = RIDE.replace("SHARE", "1").replace("gearbox_end: {slope: 0 deg}", "gearbox_end: {slope: 4 deg}")
    exact = [one.spread for one in sums(case_of(base), knowledge, "sum.ride_height")[0].results]
    changes = {
        "bump: 100 mm": ("bump: {value: 100 mm, plus_minus: 40 mm}", 0),
        "governed_speed: 2000 rpm": ("governed_speed: {value: 2000 rpm, plus_minus: 200 rpm}", 0),
        "phase: 0 deg": ("phase: {value: 0 deg, plus_minus: 60 deg}", 1),  # at ride height neither joint is straight
    }
    for before, (after, place) in changes.items():
        found = sums(case_of(base.replace(before, after)), knowledge, "sum.ride_height")[0].results[place].spread
        assert found.high > 1.02 * exact[place].high, after


def test_a_nominally_straight_joint_has_a_least_angle_with_a_range(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = RIDE.replace("SHARE", "1").replace('slope: "-2 deg"', "slope: {value: 0 deg, plus_minus: 0.5 deg}")
    [found] = sums(case_of(text), knowledge, "sum.ride_height")
    least = next(one.spread for one in found.results if one.words.startswith("least working angle"))
    assert least.low == pytest.approx(0.0, abs=1e-3)
    assert least.high >= least.nominal


def test_yokes_that_nobody_measured_are_told_with_the_travel(case_of: ReadCase, knowledge: Knowledge) -> None:
    [found] = sums(case_of(RIDE.replace("SHARE", "1").replace(", phase: 0 deg", "")), knowledge, "sum.ride_height")
    assert "taken as in line, which nobody measured" in found.validity
    assert "Not to be relied on yet" in found.sentence


def test_two_slopes_of_one_pinion_that_differ_are_told(case_of: ReadCase, knowledge: Knowledge) -> None:
    readings = [("-60 mm", "5 deg"), ("0 mm", "6 deg"), ("100 mm", "9 deg")]
    measured = ", ".join(f"{{height: {height}, pinion_slope: {slope}}}" for height, slope in readings)
    text = RIDE.replace("turn_share: SHARE", f"measured: [{measured}]")
    [found] = sums(case_of(text), knowledge, "sum.ride_height")
    assert "not the one stated for the axle" in found.validity
    agreeing = sums(case_of(text.replace("axle_end: {slope: 0 deg}", "axle_end: {slope: 6 deg}")), knowledge, found.id)
    assert "not the one stated" not in agreeing[0].validity


def test_the_line_takes_the_material_of_its_own_tube(case_of: ReadCase, knowledge: Knowledge) -> None:
    """E and density of aluminium: sqrt(E / rho) is 0.6 % above that of steel for a bare tube (Euler-Bernoulli)."""
    bare = line("1e9 N/m", "0.001 kg")
    light = bare.replace("wall: 2.11 mm", "wall: 2.11 mm, youngs_modulus: 70 GPa, density: 2700 kg/m3")
    steel, aluminium = (
        starting(sums(case_of(text), knowledge, "sum.whirl_line")[0], "lowest") for text in (bare, light)
    )
    expected = math.sqrt(70e9 / 2700) / math.sqrt(206e9 / 7850)
    assert aluminium / steel == pytest.approx(expected, rel=2e-3)


def test_a_slip_beside_its_shaft_is_refused_and_named(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = line("2e7 N/m", "3 kg").replace("length: 1.524 m", "length: 1.524 m, slip: {position: 3 m}")
    [found] = sums(case_of(text), knowledge, "sum.whirl_line")
    assert [lack.name for lack in found.missing] == ["driveline.shafts[0].slip.position"]


def test_what_moves_is_an_end_where_an_end_is_soft(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = line("3e5 N/m", "6 kg").replace("length: 1.524 m", "length: 0.5 m")
    [found] = sums(case_of(text), knowledge, "sum.whirl_line")
    assert any("end moves" in one.words for one in found.results)


def test_a_gear_that_stands_twice_is_told_once(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = line("2e7 N/m", "3 kg").replace("gears: [{ratio: 2}]", "gears: [{ratio: 2}, {ratio: 1}]")
    [found] = sums(case_of(text), knowledge, "sum.whirl_line")
    assert [one.words for one in found.results].count("governed speed in the gear of 1.00, over critical") == 1
