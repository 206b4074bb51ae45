"""The charts: their numbers against computation of another kind, nothing without numbers, vectors that print."""

from __future__ import annotations

import dataclasses
import itertools
import math
import textwrap
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.basis.values import Spread
from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.driveline.positions import Address
from beachmark.findings.curves import RideCurves, directions_of, hard_use_peak, ratio_curves, whirl_curves
from beachmark.findings.results import Quantity, Sum
from beachmark.mechanics import chain
from beachmark.report.charts.plane import apart, staggered
from beachmark.report.charts.ratio import ratio_figure
from beachmark.report.charts.ride import ride_figure
from beachmark.report.charts.torque import torque_figure
from beachmark.report.charts.whirl import whirl_figure
from beachmark.report.figures import CAPTIONS, figure_svg, report_figures
from beachmark.report.look import WIDTH, Spec
from beachmark.report.words import Units
from beachmark.workflow.packaged import knowledge
from tests.report.test_content import NAMES, content_of, worked

METRIC = Units("metric")
FULL = """
vehicle:
  engine: {peak_torque: 1900 N m, governed_speed: 2100 rpm}
  gearbox: {first_gear: 9.2, top_gear: 0.83, gears: [{ratio: 1.4}, {ratio: 1.0}]}
  axle: {ratio: 4.6, load: 16000 kg}
  tyre: {rolling_radius: 0.5 m}
  duty: {top_speed: 90 km/h, overspeed: 105 km/h}
driveline:
  gearbox_end: {slope: 3.0 deg nose up, plan: 1 deg}
  axle_end: {slope: 1.0 deg nose up, plan: -2 deg}
  shafts:
  - {length: 1450 mm, slope: 4.5 deg nose up, plan: 2 deg, phase: 0 deg, support: true,
     tube: {outer_diameter: 127 mm, wall: 5 mm, yield_stress: 400 MPa}}
  - {length: 1720 mm, slope: 8.0 deg nose up, plan: 3 deg, phase: 30 deg,
     tube: {outer_diameter: 127 mm, wall: 5 mm, yield_stress: 400 MPa},
     slip: {root_diameter: 58 mm, yield_stress: 600 MPa}}
  joints:
  - {cross: {arm_radius: 68 mm, trunnion_diameter: 33 mm, root_distance: 19 mm, yield_stress: 800 MPa}}
  - {cross: {arm_radius: 68 mm, trunnion_diameter: 30 mm, root_distance: 19 mm, yield_stress: 800 MPa}}
  - {}
"""
# nearly an ideal tube on two pins: soft ends and masses as small in effect as the case file allows
PINNED = """
vehicle: {{engine: {{governed_speed: 1500 rpm}}, gearbox: {{top_gear: 1.0}}}}
driveline:
  gearbox_end: {{radial_stiffness: 1000000 kN/mm, mass: 0.001 kg}}
  axle_end: {{radial_stiffness: 1000000 kN/mm, mass: 0.001 kg}}
  shafts: [{{length: 3000 mm, tube: {{outer_diameter: 100 mm, wall: {wall}}}}}]
  joints: [{{mass: 0.001 kg}}, {{mass: 0.001 kg}}]
"""

CaseOf = Callable[[str], Case]


@pytest.fixture
def full(case_of: CaseOf) -> Assessment:
    return assess(case_of(FULL), knowledge())


def rows_of(spec: Spec) -> Iterator[dict[str, Any]]:
    """Every row of data in a chart."""
    for part in (*spec.get("layer", ()), *spec.get("vconcat", ()), *spec.get("hconcat", ())):
        yield from part.get("data", {}).get("values", ())
        yield from rows_of(part)


def curve(spec: Spec, **wanted: Any) -> list[tuple[float, float]]:
    rows = (row for row in rows_of(spec) if all(row.get(key) == value for key, value in wanted.items()))
    return [(row["x"], row["y"]) for row in rows]


def figures(assessment: Assessment, units: str = "metric") -> dict[str, Spec]:
    return report_figures(assessment, knowledge(), content_of(assessment), units=units)


def torque(assessment: Assessment, *more: Sum, units: Units = METRIC) -> Spec:
    peak = hard_use_peak(knowledge(), assessment.case.vehicle)
    return torque_figure([*assessment.sums, *more], peak, units)


def bars(spec: Spec) -> dict[str, dict[str, Any]]:
    return {row["row"]: row for row in rows_of(spec) if "row" in row}


# ---- torque ---------------------------------------------------------------------------------------------------


def test_arm_capacity_is_that_of_the_beam_formula() -> None:
    """T = 2 R F with F from bending 32 F l D / (pi (D^4 - d^4)) = yield stress (any strength-of-materials text)."""
    yield_pa, arm_m, lever_m, diameter_m, bore_m = 750e6, 0.075, 0.022, 0.037, 0.008
    force_n = yield_pa * math.pi * (diameter_m**4 - bore_m**4) / (32 * lever_m * diameter_m)
    row = next(row for name, row in bars(torque(worked("tide-and-fresh"))).items() if "arm root" in name)
    assert row["nominal"] == pytest.approx(2 * arm_m * force_n, rel=1e-9)


def test_tube_and_slip_bear_what_torsion_and_von_mises_give(full: Assessment) -> None:
    """T = yield / sqrt(3) * pi (D^4 - d^4) / (16 D) (any strength-of-materials text); the code rounds to 0.577."""
    shown = bars(torque(full))
    tube = 400e6 / math.sqrt(3) * math.pi * (0.127**4 - 0.117**4) / (16 * 0.127)
    slip = 600e6 / math.sqrt(3) * math.pi * 0.058**3 / 16
    assert shown["shaft 1, tube"]["nominal"] == pytest.approx(tube, rel=1e-3)
    assert shown["shaft 2, slip"]["nominal"] == pytest.approx(slip, rel=1e-3)


def test_loads_are_the_gear_relation_the_grip_and_their_least_with_its_overshoot(full: Assessment) -> None:
    shown, typical = bars(torque(full)), knowledge().typical
    engine = 1900 * 9.2 * typical["gearbox_efficiency"].si
    grip = typical["tyre_grip"].si * 16000 * 9.80665 * 0.5 / (4.6 * typical["axle_efficiency"].si)
    assert shown["engine, lowest gear"]["nominal"] == pytest.approx(engine)
    assert shown["tyre grip"]["nominal"] == pytest.approx(grip)
    assert shown["cap of a steady pull"]["nominal"] == pytest.approx(min(engine, grip))
    peak = shown["peak of hard use"]
    assert peak["nominal"] == pytest.approx(min(engine, grip) * typical["dynamic_peak"].si)
    band = next(row for row in rows_of(torque(full)) if row.keys() == {"low", "high", "y", "y2"})
    assert (band["low"], band["high"]) == (peak["low"], peak["high"])
    assert band["low"] < peak["nominal"] < band["high"]


def test_parts_stand_from_gearbox_to_axle_and_the_weakest_alone_is_marked(full: Assessment) -> None:
    shown = bars(torque(full))
    parts = [name for name, row in shown.items() if row["kind"] == "capacity"]
    assert parts == ["joint 1, arm root", "shaft 1, tube", "joint 2, arm root", "shaft 2, tube", "shaft 2, slip"]
    tops = [row["y"] for row in shown.values()]
    assert tops == sorted(tops)
    least = min((shown[name] for name in parts), key=lambda row: row["nominal"])
    assert [name for name in parts if shown[name]["weakest"]] == [least["row"]]
    assert least["label"].endswith("weakest")
    assert least["row"].replace(",", "") in torque(full)["description"]


def test_any_sum_with_a_torque_at_which_a_part_gives_is_drawn_at_its_place(full: Assessment) -> None:
    ear = Sum(
        "sum.yoke_ear",
        "Bending of the ear",
        Address("joint", 2, "yoke-rear"),
        results=(Quantity("torque at which the ear yields", Spread(9000.0, 8000.0, 9900.0), "torque"),),
    )
    shown = bars(torque(full, ear))
    names = list(shown)
    assert names.index("joint 2, yoke ear") == names.index("joint 2, arm root") + 1
    assert [shown["joint 2, yoke ear"][end] for end in ("low", "nominal", "high")] == [8000.0, 9000.0, 9900.0]
    assert [name for name, row in shown.items() if row["weakest"]] == ["joint 2, yoke ear"]


def test_torque_in_foot_pounds(full: Assessment) -> None:
    """1 lbf ft = 1.3558179483314004 N m (NIST SP 811, appendix B)."""
    metric, us = bars(torque(full)), bars(torque(full, units=Units("us")))
    for name, row in metric.items():
        assert row["nominal"] / us[name]["nominal"] == pytest.approx(1.3558179483314004, rel=1e-12)


# ---- ratio ----------------------------------------------------------------------------------------------------


def single_joint(angle: float, drive: float) -> tuple[float, float]:
    """Driven angle and speed ratio, drive angle from the pin in the plane of both shafts (Khurmi & Gupta, ch. 9)."""
    driven = math.atan2(math.sin(drive), math.cos(angle) * math.cos(drive))
    return driven, math.cos(angle) / (1 - (math.sin(angle) * math.cos(drive)) ** 2)


def test_ratio_of_two_joints_in_a_plane_is_that_of_the_closed_form() -> None:
    spec = figures(worked("one-tooth-out"))["ratio"]
    angle, out = math.radians(5.0), math.radians(360 / 16)
    shaft, pinion = curve(spec, line="shaft 1"), curve(spec, line="pinion")
    assert len(shaft) == len(pinion) == 361
    for (degrees, first), (_, last) in zip(shaft, pinion, strict=True):
        driven, ratio = single_joint(angle, math.radians(degrees))
        assert first == pytest.approx(ratio, abs=1e-9)
        assert last == pytest.approx(ratio * single_joint(angle, driven + math.pi / 2 + out)[1], abs=1e-9)
    assert "one plane" in spec["description"]


def powers(directions: Any, phases: list[float], turn: float) -> list[float]:
    """Speed of every shaft by another way: a frictionless cross carries torque only square to both of its pins, and
    power in is power out, so speeds are as that torque's parts along the shafts (statics, derived)."""
    first = np.array([0.0, 1.0, 0.0]) - directions[0][1] * directions[0]
    first /= np.linalg.norm(first)
    pin = math.cos(turn) * first + math.sin(turn) * np.cross(directions[0], first)
    speed, found = 1.0, []
    for before, after, phase in zip(directions, directions[1:], [*phases, 0.0], strict=False):
        driven = np.cross(after, pin)
        driven /= np.linalg.norm(driven)
        normal = np.cross(pin, driven)
        speed *= float(normal @ before) / float(normal @ after)
        found.append(speed)
        pin = math.cos(phase) * driven + math.sin(phase) * np.cross(after, driven)
    return found


def test_ratio_of_three_joints_in_space_agrees_with_power_through_the_crosses(full: Assessment) -> None:
    spec = figures(full)["ratio"]
    slopes, plans = np.radians([-3.0, -4.5, -8.0, -1.0]), np.radians([1.0, 2.0, 3.0, -2.0])
    directions = np.stack([np.ones(4), np.tan(plans), np.tan(slopes)], axis=1)
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)
    for column, name in enumerate(("shaft 1", "shaft 2", "pinion")):
        for degrees, ratio in curve(spec, line=name)[::15]:
            expected = powers(directions, [0.0, math.radians(30)], math.radians(degrees))[column]
            assert ratio == pytest.approx(expected, abs=1e-9)


@given(
    st.lists(st.tuples(st.floats(0.01, 0.6), st.floats(-3.1, 3.1)), min_size=1, max_size=5),
)
def test_directions_have_the_angles_and_planes_that_they_are_made_from(bends: list[tuple[float, float]]) -> None:
    angles, planes = np.array(bends).T
    made = directions_of(angles_rad=angles, bend_planes_rad=planes)
    assert np.allclose(np.linalg.norm(made, axis=1), 1.0)
    assert np.allclose(chain.joint_angles(directions=made), angles)
    assert np.allclose(chain.bend_planes(directions=made), planes)


def test_the_scale_is_never_so_tight_that_little_looks_like_much(case_of: CaseOf) -> None:
    text = "driveline: {shafts: [{phase: 0 deg}], joints: [{angle: 0.3 deg}, {angle: 4 deg}]}"
    for angle, reach in (("4 deg", 0.01), ("20 deg", 1.06 * (1 / math.cos(math.radians(20)) - 1))):
        train = case_of(text.replace("4 deg", angle)).installed()
        spec = ratio_figure(ratio_curves(knowledge(), train))
        low, high = spec["layer"][1]["encoding"]["y"]["scale"]["domain"]
        assert high - 1 == pytest.approx(1 - low)
        assert high - 1 == pytest.approx(reach, rel=0.01)


@pytest.mark.parametrize(
    "driveline",
    [
        "{shafts: [{}], joints: [{angle: 3 deg}, {angle: 3 deg}]}",  # phase not known
        "{shafts: [{phase: 0 deg}], joints: [{angle: 3 deg}, {}]}",  # an angle is missing
        "{shafts: [{phase: 0 deg, slope: 2 deg}], joints: [{}, {}], axle_end: {slope: 1 deg}}",  # a slope is missing
        "{shafts: [{}, {phase: 0 deg}], joints: [{angle: 3 deg}, {angle: 3 deg}, {angle: 1 deg}]}",  # one phase of two
    ],
)
def test_no_ratio_without_angles_and_phases(case_of: CaseOf, driveline: str) -> None:
    assert "ratio" not in figures(assess(case_of(f"driveline: {driveline}"), knowledge()))


# ---- whirl ----------------------------------------------------------------------------------------------------


def ringed(spec: Spec, order: int) -> list[tuple[float, float]]:
    return [
        (row["x"], row["y"])
        for part in spec["layer"]
        if part["mark"].get("type") == "point"
        for row in part["data"]["values"]
        if row["order"] == order
    ]


def test_whirl_of_a_tube_on_two_pins_is_that_of_the_euler_beam(case_of: CaseOf) -> None:
    """f_n = (n pi / L)^2 sqrt(E I / m) / (2 pi) (any vibration text); shear and tilting lower it a little."""
    assessment = assess(case_of(PINNED.format(wall="4 mm")), knowledge())
    spec = figures(assessment)["whirl"]
    youngs, density = (knowledge().typical[key].si for key in ("steel_youngs_modulus", "steel_density"))
    radius_of_gyration = math.sqrt(0.1**2 + 0.092**2) / 4
    first = (math.pi / 3.0) ** 2 * math.sqrt(youngs / density) * radius_of_gyration / (2 * math.pi)
    assert curve(spec, mode=0, way="forward")[0][1] == pytest.approx(first, rel=0.005)
    assert curve(spec, mode=0, way="backward")[0][1] == pytest.approx(first, rel=0.005)
    (critical, at), (half, _) = ringed(spec, 1)[0], ringed(spec, 2)[0]
    assert critical == pytest.approx(60 * first, rel=0.005)
    assert at == pytest.approx(critical / 60)
    assert half == pytest.approx(critical / 2, rel=0.002)


def test_rings_lie_where_the_forward_curves_meet_the_lines_of_the_orders(full: Assessment) -> None:
    """The curves come from eigenvalues at given speeds, the rings from one solution for the speed itself."""
    spec = figures(full)["whirl"]
    forward = [np.array(curve(spec, mode=mode, way="forward")) for mode in range(4)]
    for order in (1, 2):
        found = ringed(spec, order)
        assert found
        for speed, frequency in found:
            assert frequency == pytest.approx(order * speed / 60)
            nearest = min(abs(np.interp(speed, mode[:, 0], mode[:, 1]) / frequency - 1) for mode in forward)
            assert nearest < 2e-4


def test_the_heavy_ring_is_the_lowest_critical_speed_of_the_sum(full: Assessment) -> None:
    spec = figures(full)["whirl"]
    heavy = {
        row["order"]: row["x"]
        for part in spec["layer"]
        if part["mark"].get("type") == "point" and part["mark"]["strokeWidth"] > 2
        for row in part["data"]["values"]
    }
    results = next(one for one in full.sums if one.id == "sum.whirl_line").results
    told = {one.words.split()[0]: one.spread.nominal * 30 / math.pi for one in results}
    assert heavy == {1: pytest.approx(told["lowest"], rel=1e-6), 2: pytest.approx(told["half-critical:"], rel=1e-6)}


def test_upright_lines_are_the_speeds_of_gears_and_road(full: Assessment) -> None:
    flags = {row["text"]: row["x"] for row in rows_of(figures(full)["whirl"]) if "y2" in row and row.get("y") == 0}
    road = {"top road speed": 90, "overspeed downhill": 105}
    expected = {words: kmh / 3.6 / 0.5 * 4.6 * 30 / math.pi for words, kmh in road.items()}
    expected |= {f"gear of {ratio:.2f}": 2100 / ratio for ratio in (1.4, 1.0, 0.83)}
    assert {text.split(",")[0]: x for text, x in flags.items()} == {k: pytest.approx(v) for k, v in expected.items()}


def test_the_diagram_ends_beyond_the_fastest_and_the_lowest_critical_speed(case_of: CaseOf) -> None:
    for governed, ends in (("1500 rpm", None), ("4000 rpm", 1.15 * 4000)):
        text = PINNED.format(wall="4 mm").replace("1500 rpm", governed)
        spec = figures(assess(case_of(text), knowledge()))["whirl"]
        last = curve(spec, mode=0, way="forward")[-1][0]
        assert last == pytest.approx(ends if ends else 1.15 * ringed(spec, 1)[0][0])


def test_the_share_of_the_critical_speed_is_told(case_of: CaseOf) -> None:
    spec = figures(assess(case_of(PINNED.format(wall="4 mm")), knowledge()))["whirl"]
    assert f"{1500 / ringed(spec, 1)[0][0]:.2f} of the critical speed" in spec["description"]


@pytest.mark.parametrize("wall", ["60 mm", "50.1 mm"])
def test_a_wall_that_fits_no_tube_makes_no_diagram_and_no_error(case_of: CaseOf, wall: str) -> None:
    case = case_of(PINNED.format(wall=wall))
    assert whirl_figure(whirl_curves(knowledge(), case.vehicle, case.installed()), ()) == {}


# ---- ride height ----------------------------------------------------------------------------------------------

HEIGHTS = np.array([0.12, 0.06, 0.0, -0.05, -0.09])  # not in rising order, on purpose
ANGLES = np.radians(np.stack([2.0 + 10 * HEIGHTS, 7.0 + 20 * HEIGHTS], axis=1))
SHAKE = 100.0 + 4000.0 * HEIGHTS


def ride(units: Units = METRIC, **changes: Any) -> Spec:
    curves = RideCurves(HEIGHTS, ANGLES, SHAKE, 0.12, "the excitation is greatest at full bump")
    return ride_figure(dataclasses.replace(curves, **changes), knowledge(), units)


def test_ride_shows_each_angle_and_the_excitation_over_the_same_heights() -> None:
    spec = ride()
    rising = np.sort(HEIGHTS)
    for line, values in (
        ("joint 1", 2 + 10 * rising),
        ("joint 2", 7 + 20 * rising),
        ("excitation", 100 + 4000 * rising),
    ):
        assert np.allclose(curve(spec, line=line), np.stack([rising, values], axis=1))
    told = spec["description"]
    assert "90 mm down to 120\u00a0mm up".replace(" mm", "\u00a0mm", 1) in told
    assert "580 rad/s²" in told
    assert told.endswith("; the excitation is greatest at full bump.")


def test_ride_shows_the_limits_of_the_knowledge_and_marks_ride_height_and_the_worst() -> None:
    upper, lower = ride()["vconcat"]
    limits = knowledge().limits
    rules = {row["text"]: row["y"] for row in rows_of(upper) if row.get("text", "").startswith(("least", "large"))}
    assert list(rules.values()) == [
        pytest.approx(math.degrees(limits[key].si)) for key in ("least_joint_angle", "large_joint_angle")
    ]
    band = next(row for row in rows_of(lower) if row.keys() == {"x", "x2", "y", "y2"})
    disputed = limits["torsional_excitation"].value
    assert (band["y"], band["y2"]) == (disputed.low, disputed.high)
    marks = {row["text"]: row["x"] for row in rows_of(upper) if row.get("text", "").startswith(("ride", "worst"))}
    assert marks == {"ride height": 0.0, "worst, 120\u00a0mm up": 0.12}


def test_ride_without_a_speed_shows_the_angles_alone_and_without_travel_nothing() -> None:
    assert "vconcat" not in ride(excitation_rad_s2=None)
    assert "excitation" not in ride(excitation_rad_s2=None)["description"].split("; the")[0]
    assert ride_figure(None, knowledge(), METRIC) == {}
    assert ride(heights_m=np.array([0.0]), joint_angles_rad=ANGLES[:1], excitation_rad_s2=None) == {}


def test_a_case_with_its_travel_measured_has_the_chart(case_of: CaseOf) -> None:
    """In one plane a joint angle is the difference of two slopes; the shaft follows its rear joint (plane geometry)."""
    text = """
    vehicle: {suspension: {measured: [{height: -60 mm, pinion_slope: -2 deg}, {height: 0 mm, pinion_slope: -3 deg},
      {height: 90 mm, pinion_slope: -4.5 deg}]}}
    driveline:
      gearbox_end: {slope: -3.5 deg}
      shafts: [{length: 1500 mm, slope: -6 deg, phase: 0 deg}]
      joints: [{}, {}]
      axle_end: {slope: -3 deg}
    """
    spec = figures(assess(case_of(textwrap.dedent(text)), knowledge()))["ride"]
    nose = knowledge().typical["pinion_nose"].si  # the rear joint stands so far ahead of the axle's centre
    for height, pinion in ((-0.06, -2.0), (0.0, -3.0), (0.09, -4.5)):
        fall = 1.5 * math.sin(math.radians(-6)) + height - nose * math.radians(pinion + 3)
        shaft = math.degrees(math.atan2(fall, 1.5 * math.cos(math.radians(6))))
        for line, angle in (("joint 1", abs(shaft + 3.5)), ("joint 2", abs(shaft - pinion))):
            points = np.array(curve(spec, line=line))
            assert np.min(np.abs(points[:, 0] - height)) < 1e-9
            assert np.interp(height, points[:, 0], points[:, 1]) == pytest.approx(angle, abs=0.05)
    assert "ride" not in figures(worked("long-wheelbase"))


@pytest.mark.parametrize(("units", "step"), [("metric", 0.05), ("us", 2 * 0.0254)])
def test_heights_are_numbered_in_round_steps_of_the_readers_unit(units: str, step: float) -> None:
    values = ride(Units(units))["vconcat"][1]["layer"][0]["encoding"]["x"]["axis"]["values"]
    assert 0.0 in values
    assert all(b - a == pytest.approx(step) for a, b in itertools.pairwise(values))
    assert min(HEIGHTS) <= values[0]
    assert values[-1] <= max(HEIGHTS)


# ---- excitation -----------------------------------------------------------------------------------------------


def test_the_excitation_curve_meets_the_sum_at_the_top_speed() -> None:
    assessment = worked("one-tooth-out")
    spec = figures(assessment)["excitation"]
    last = max((row for row in rows_of(spec) if row.get("curve") == "as found"), key=lambda row: row["speed"])
    found = next(one for one in assessment.sums if one.id == "finding.torsional_excitation").results[0].spread.nominal
    at_top = last["shake"] * (2300 / last["speed"]) ** 2  # the curve is a parabola through nothing
    assert at_top == pytest.approx(found, rel=1e-9)
    assert {row["y"] for row in rows_of(spec) if "y" in row} == {300.0, 400.0, 500.0}


# ---- all of them ----------------------------------------------------------------------------------------------


def all_specs(full: Assessment) -> Iterator[Spec]:
    for units in ("metric", "us"):
        yield from figures(full, units).values()
        yield ride(Units(units))
    for name in NAMES:
        yield from figures(worked(name)).values()


def test_charts_are_vectors_in_the_reports_font_that_fit_the_page(full: Assessment) -> None:
    drawn = 0
    for spec in all_specs(full):
        svg = figure_svg(spec)
        assert svg.startswith("<svg")
        assert "Barlow" in svg
        assert "<image" not in svg
        assert "http" not in svg.replace("http://www.w3.org/", "")
        assert "NaN" not in svg
        if "hconcat" not in spec:
            assert float(svg.split('width="')[1].split('"')[0]) <= 1.02 * WIDTH  # a long name may stand out a little
        drawn += 1
    assert drawn > 15


def test_shares_are_never_told_in_percent(full: Assessment) -> None:
    for spec in all_specs(full):
        assert "%" not in spec["description"]
        assert not [row for row in rows_of(spec) if "%" in str(row.get("text", row.get("label", "")))]


def test_a_full_case_has_every_chart_and_each_tells_its_numbers(full: Assessment) -> None:
    specs = figures(full)
    assert set(specs) == {"torque", "whirl", "ratio", "excitation", "twist"} | ({"weights"} & set(specs))
    assert list(specs) == [key for key in CAPTIONS if key in specs]
    for key in specs.keys() - {"weights"}:
        assert specs[key]["description"] != CAPTIONS[key]
        assert any(letter.isdigit() for letter in specs[key]["description"])


def test_a_chart_is_drawn_only_where_there_are_numbers() -> None:
    assert figures(assess(Case(title="Nothing known yet"), knowledge())) == {}
    assert set(figures(worked("wash-bay"))) == {"weights"}


def test_counted_and_uncounted_items_look_different() -> None:
    panel = figures(worked("tide-and-fresh"))["weights"]["hconcat"][0]
    fills = {
        row["counted"]: layer["mark"]["fill"]
        for layer in panel["layer"]
        for row in layer["data"]["values"]
        if "counted" in row
    }
    assert fills[True] != fills[False]


# ---- places of names ------------------------------------------------------------------------------------------


@given(st.lists(st.floats(-500, 500), max_size=9), st.floats(0, 40))
def test_names_stand_apart_in_their_order_and_about_where_they_were(places: list[float], least: float) -> None:
    moved = apart(places, least)
    order = sorted(range(len(places)), key=lambda i: places[i])
    assert all(moved[b] - moved[a] >= least - 1e-6 for a, b in itertools.pairwise(order))
    assert math.isclose(sum(moved), sum(places), abs_tol=1e-6)
    if all(places[b] - places[a] >= least for a, b in itertools.pairwise(order)):
        assert moved == pytest.approx(places, abs=1e-6)


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(1, 200)), max_size=9), st.booleans())
def test_no_upright_line_crosses_the_words_of_another(flags: list[tuple[float, float]], leftward: bool) -> None:
    levels = staggered(flags, leftward=leftward)
    for (a, level), (b, other) in itertools.permutations(zip(flags, levels, strict=True), 2):
        ahead = (a[0] - b[0]) if leftward else (b[0] - a[0])
        if 0 < ahead <= a[1]:
            assert other < level
        if ahead == 0:
            assert other != level
