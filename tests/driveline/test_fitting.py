"""Values that cannot fit together are asked back in a sentence; those that can are left alone."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.cases.case import Case
from beachmark.driveline.fitting import cannot_fit, most_needles
from beachmark.workflow.loading import from_file
from tests.driveline.test_usual import CASES

ReadCase = Callable[[str], Case]
CROSS = "driveline: {{shafts: [{{}}], joints: [{{cross: {{{}}}}}, {{}}]}}"
SHAFT = "driveline: {{shafts: [{{{}}}]}}"
DUTY = "vehicle: {{duty: {{{}}}}}"
HEIGHT = (
    "vehicle: {{suspension: {{measured: [{{height: {}, pinion_slope: {}}}]}}}}\n"
    "driveline: {{shafts: [{{}}], axle_end: {{slope: {}}}}}"
)
GEARS = "vehicle: {{gearbox: {{first_gear: 9.2, top_gear: 0.83, gears: [{{ratio: {}}}]}}}}"
ENDS = "driveline: {{gearbox_end: {{slope: {}}}, shafts: [{{slope: {}}}], axle_end: {{slope: {}}}}}"


def questions(case: Case) -> dict[str, str]:
    return {one.name: one.question for one in cannot_fit(case.vehicle, case.installed())}


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_no_example_is_asked_back(path: Path) -> None:
    assert questions(from_file(path).case) == {}


@given(
    st.floats(min_value=1e-3, max_value=8e-3),
    st.floats(min_value=10e-3, max_value=100e-3),
)
def test_needles_laid_round_an_arm_fit_and_one_more_overlaps(needle_m: float, arm_m: float) -> None:
    """Independent: the distance between two middles, from their coordinates on the ring."""
    most = most_needles(needle_diameter_m=needle_m, trunnion_diameter_m=arm_m)

    def gap(count: int) -> float:
        radius, turn = (arm_m + needle_m) / 2, 2 * math.pi / count
        return math.dist((radius, 0.0), (radius * math.cos(turn), radius * math.sin(turn))) - needle_m

    assert gap(most) >= -1e-12
    assert gap(most + 1) < 1e-12


@pytest.mark.parametrize(("needle", "arm"), [(0.0, 0.03), (0.003, 0.0), (-1.0, 0.03)])
def test_needles_need_diameters(needle: float, arm: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        most_needles(needle_diameter_m=needle, trunnion_diameter_m=arm)


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        (CROSS.format("needles: 38, needle_diameter: 3 mm, trunnion_diameter: 33 mm"),
         "driveline.joints[0].cross.needles", "Needles in one cap 38: round an arm of 33 mm at most 37 of 3 mm fit."),
        (CROSS.format("needles: -3"), "driveline.joints[0].cross.needles", "a count must be 1 or more"),
        ("driveline: {shafts: [{}], joints: [{yoke: {bolts: 0}}, {}]}", "driveline.joints[0].yoke.bolts", "1 or more"),
        ("driveline: {shafts: [{slip: {teeth: 0}}]}", "driveline.shafts[0].slip.teeth", "1 or more"),
        ("driveline: {shafts: [{}], joints: [{yoke: {bolt_diameter: M12 x 1.25, bolt_pitch: 1.75 mm}}, {}]}",
         "driveline.joints[0].yoke.bolt_pitch", "1.75 mm, but the bolt is an M12 x 1.25."),
        ("vehicle: {engine: {cylinders: 0}}", "vehicle.engine.cylinders", "cylinders 0: usual is 1 to 16"),
        ("vehicle: {engine: {cylinders: -6}}", "vehicle.engine.cylinders", "cylinders -6"),
        ("vehicle: {engine: {cylinders: 17}}", "vehicle.engine.cylinders", "cylinders 17"),
        (DUTY.format("cruise_speed: 110 km/h, top_speed: 90 km/h"), "vehicle.duty.cruise_speed",
         "Usual road speed 110 km/h is far above the greatest road speed, 90 km/h."),
        (DUTY.format("event_speed: 140 km/h, top_speed: 90 km/h, overspeed: 105 km/h"), "vehicle.duty.event_speed",
         "Road speed at the event 140 km/h is far above the greatest road speed downhill, 105 km/h."),
        (DUTY.format("distance: 90 000 km, distance_since_change: 120 000 km"), "vehicle.duty.distance_since_change",
         "is more than the 90\u202f000 km run in all"),
        (GEARS.format("10.4"), "vehicle.gearbox.gears[0].ratio", "10.4 is more than the 9.2 of the lowest gear"),
        (GEARS.format("0.7"), "vehicle.gearbox.gears[0].ratio", "0.7 is less than the 0.83 of the highest gear"),
        (HEIGHT.format("0 mm", "{value: 3 deg nose up, plus_minus: 0.2 deg}",
                       "{value: 4 deg nose up, plus_minus: 0.2 deg}"),
         "vehicle.suspension.measured[0].pinion_slope", "-3 deg is not the -4 deg of the axle pinion"),
        (SHAFT.format("phase: 0 deg, tube: {twist_left: 3 deg}"), "driveline.shafts[0].tube.twist_left",
         "Twist left in the tube 3 deg, yet the yokes are stated in line (phase 0 deg)."),
        (SHAFT.format("phase: 0, slip: {twist_left: -2 deg}"), "driveline.shafts[0].slip.twist_left", "along the stub"),
        (SHAFT.format("phase: 180 deg, tube: {twist_left: 3 deg}"), "driveline.shafts[0].tube.twist_left", "in line"),
        (SHAFT.format("tube: {outer_diameter: 100 mm, wall: 50 mm}"), "driveline.shafts[0].tube.wall",
         "Wall thickness 50 mm is half of the outside diameter 100 mm or more"),
        (ENDS.format("4 deg nose up", "12 deg nose up", "14 deg nose down"), "driveline.axle_end.slope",
         "Slope of the axle pinion 14 deg against shaft 1 -12 deg bends joint 2 by 26 deg. "
         "Was nose up or nose down meant, for both?"),
    ],
)  # fmt: skip
def test_what_cannot_fit_is_asked_back(text: str, name: str, says: str, case_of: ReadCase) -> None:
    asked = questions(case_of(text))
    assert list(asked) == [name]
    assert says in asked[name]
    assert asked[name].endswith(("?", ".")), "a plain sentence"


@pytest.mark.parametrize(
    "text",
    [
        CROSS.format("needles: 37, needle_diameter: 3 mm, trunnion_diameter: 33 mm"),
        CROSS.format("needles: 38, needle_diameter: 3 mm, trunnion_diameter: {value: 33 mm, plus_minus: 1 mm}"),
        CROSS.format("needles: 60, needle_diameter: 3 mm"),
        "driveline: {shafts: [{}], joints: [{yoke: {bolt_diameter: M12 x 1.25, bolt_pitch: 1.25 mm}}, {}]}",
        "driveline: {shafts: [{}], joints: [{yoke: {bolt_diameter: M12, bolt_pitch: 1.75 mm}}, {}]}",
        "vehicle: {engine: {cylinders: 1}}",
        "vehicle: {engine: {cylinders: 16}}",
        DUTY.format("cruise_speed: 95 km/h, top_speed: 90 km/h"),
        DUTY.format("event_speed: 110 km/h, top_speed: 90 km/h, overspeed: 105 km/h"),
        DUTY.format("cruise_speed: 110 km/h"),
        DUTY.format("distance: 90 000 km, distance_since_change: 90 000 km"),
        DUTY.format("distance: 90 000 km, distance_since_change: {value: 91 000 km, plus_minus: 2000 km}"),
        GEARS.format("9.2"),
        GEARS.format("0.83"),
        HEIGHT.format("0 mm", "{value: 3 deg nose up, plus_minus: 0.6 deg}",
                      "{value: 4 deg nose up, plus_minus: 0.6 deg}"),
        HEIGHT.format("40 mm", "3 deg nose up", "4 deg nose up"),
        SHAFT.format("phase: 3 deg, tube: {twist_left: 3 deg}"),
        SHAFT.format("tube: {twist_left: 3 deg}"),
        SHAFT.format("phase: {value: 0 deg, plus_minus: 4 deg}, tube: {twist_left: 3 deg}"),
        SHAFT.format("phase: 0 deg, tube: {twist_left: 0 deg}"),
        SHAFT.format("tube: {outer_diameter: 100 mm, wall: 49 mm}"),
        ENDS.format("3 deg nose down", "18 deg nose up", "-5 deg"),
        "driveline: {gearbox_end: {slope: 20 deg nose up}, shafts: [{}], axle_end: {slope: 20 deg nose down}}",
    ],
)  # fmt: skip
def test_what_can_fit_is_left_alone(text: str, case_of: ReadCase) -> None:
    assert questions(case_of(text)) == {}


def test_sizes_of_the_catalogue_are_compared_too(case_of: ReadCase) -> None:
    catalogue = "catalogue: {beachmark_catalogue: 1, name: Own, tubes: {a: {outer_diameter: 60 mm}}}"
    asked = questions(case_of(f"{catalogue}\ndriveline: {{shafts: [{{tube_size: a, tube: {{wall: 30 mm}}}}]}}"))
    assert list(asked) == ["driveline.shafts[0].tube.wall"]
