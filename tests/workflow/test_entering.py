"""What a form shows about what was typed: how it was read, what is asked back, what is wrong in its own words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from beachmark.basis.errors import Fault, InputError
from beachmark.cases.case import Case
from beachmark.driveline.positions import parse_address
from beachmark.store.database import Store
from beachmark.workflow import entering, keeping
from beachmark.workflow.fields import FormField, asked_back, facts_groups, fields_at, read_as
from beachmark.workflow.home import open_store
from beachmark.workflow.loading import Loaded, from_store

ReadCase = Callable[[str], Case]
WALL = "driveline.shafts[0].tube.wall"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A house whose case 1 has two shafts and nothing else."""
    store = open_store(tmp_path)
    keeping.new_case(store, title="Bang on the ramp", shafts=2)
    yield store
    store.close()


def typed_at(store: Store, place: str, **typed: str) -> Loaded:
    groups = fields_at(from_store(store, 1).case, parse_address(place))
    names = {name.replace("__", "."): text for name, text in typed.items()}
    return entering.enter(store, 1, entering.changed_fields(groups, names), known="measured", source="caliper")


def field(case: Case, name: str, place: str = "") -> FormField:
    groups = fields_at(case, parse_address(place)) if place else facts_groups(case)
    return next(one for group in groups for one in group.fields if one.name == name)


def faults(store: Store, place: str, name: str, text: str) -> list[Fault]:
    groups = fields_at(from_store(store, 1).case, parse_address(place))
    with pytest.raises(InputError) as refused:
        entering.enter(store, 1, entering.changed_fields(groups, {name: text}))
    assert from_store(store, 1).revision == 1
    return refused.value.faults


# --- numbers and margins ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value", "low_mm", "high_mm"),
    [
        ("4,5 mm", "4,5 mm", 4.5, 4.5),
        ("4,5 ± 0,2 mm", "4,5 mm", 4.3, 4.7),
        ("4.5 mm ± 0.2", "4.5 mm", 4.3, 4.7),
        ("4.5 MM +/- 0.2 MM", "4.5 MM", 4.3, 4.7),
    ],
)
def test_a_wall_as_people_type_it(store: Store, text: str, value: str, low_mm: float, high_mm: float) -> None:
    typed_at(store, "shaft-1", **{WALL: text})
    wall = from_store(store, 1).case.train.shaft(1).tube.wall
    assert wall is not None
    assert wall.typed == value, "what was typed is kept"
    assert (wall.low, wall.high) == pytest.approx((low_mm / 1e3, high_mm / 1e3))


@pytest.mark.parametrize(
    ("text", "degrees", "margin"),
    [("rear down 3 ± 0.2", -3, 0.2), ("3° rear down ± 0.2°", -3, 0.2), ("3 ± 0,2° nose down", 3, 0.2)],
)
def test_a_slope_with_its_sense_and_its_margin(store: Store, text: str, degrees: float, margin: float) -> None:
    typed_at(store, "shaft-1", **{"driveline.shafts[0].slope": text})
    slope = from_store(store, 1).case.train.shaft(1).slope
    assert slope is not None
    assert [math.degrees(x) for x in (slope.si, slope.low, slope.high)] == pytest.approx(
        [degrees, degrees - margin, degrees + margin]
    )


def test_a_speed_in_turns_a_minute_with_its_margin(store: Store) -> None:
    groups = facts_groups(from_store(store, 1).case)
    speed = "vehicle.engine.governed_speed"
    for text in ("2100 ± 50 1/min", "2100 1/min ± 50"):
        entering.enter(store, 1, entering.changed_fields(groups, {speed: text}))
        found = from_store(store, 1).case.vehicle.engine.governed_speed
        assert found is not None
        assert (found.low, found.high) == pytest.approx((2050 * math.pi / 30, 2150 * math.pi / 30))


# --- how a slope was read ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "typed", "degrees", "reading"),
    [
        ("slope", "3° rear down", -3, "read as: 3.0° falling to the rear"),
        ("slope", "nose up 2,25°", -2.25, "read as: 2.25° falling to the rear"),
        ("slope", "-4.0 deg", -4, "read as: 4.0° falling to the rear"),
        ("slope", "+3.2 deg", 3.2, "read as: 3.2° rising to the rear"),
        ("slope", "0 deg", 0, "read as: level"),
        ("plan", "2 deg to the left", -2, "read as: 2.0° to the left at the rear"),
        ("plan", "-0.4 deg", -0.4, "read as: 0.4° to the left at the rear"),
    ],
)
def test_a_slope_that_says_its_sense_is_shown_as_read(key: str, typed: str, degrees: float, reading: str) -> None:
    assert read_as(key, typed, math.radians(degrees)) == reading


@pytest.mark.parametrize(
    ("key", "typed", "other"),
    [("slope", "3 deg", "rear down"), ("slope", "2 deg to the right", "rear down"), ("plan", "2 deg", "to the left")],
)
def test_a_sense_that_was_not_typed_is_called_assumed(key: str, typed: str, other: str) -> None:
    reading = read_as(key, typed, math.radians(3))
    assert "assumed" in reading
    assert typed in reading
    assert reading.endswith(f"write {other}")


def test_other_angles_have_no_sense() -> None:
    assert read_as("phase", "90 deg", 1.57) == ""


def test_the_field_shows_the_reading_behind_how_it_is_known(store: Store) -> None:
    typed_at(store, "shaft-1", **{"driveline.shafts[0].slope": "3 ± 0.2° rear down"})
    shown = field(from_store(store, 1).case, "driveline.shafts[0].slope", "shaft-1")
    assert shown.known == "measured"
    assert shown.reach == "-3.2 deg to -2.8 deg; read as: 3.0° falling to the rear"
    assert shown.source == "caliper"


# --- what is asked back -----------------------------------------------------------------------------------


def test_an_unusual_size_is_stored_and_asked_back_beside_its_field(store: Store) -> None:
    typed_at(store, "shaft-1", **{WALL: "40 mm"})
    case = from_store(store, 1).case
    assert case.train.shaft(1).tube.wall is not None, "it warns, it never refuses"
    shown = field(case, WALL, "shaft-1")
    assert shown.question == "Wall thickness 40 mm: usual is 1.6 to 10 mm. Keep it if measured."
    assert shown.source == f"caliper. {shown.question}"
    typed_at(store, "shaft-1", **{WALL: "4 mm"})
    assert field(from_store(store, 1).case, WALL, "shaft-1").question == ""


def test_all_that_is_asked_back_about_a_case(case_of: ReadCase) -> None:
    case = case_of(
        "vehicle: {axle: {ratio: 29}}\n"
        "driveline: {gearbox_end: {slope: 4 deg, plan: 0 deg}, axle_end: {slope: -4 deg},\n"
        "  shafts: [{slope: 3 deg rear down, plan: 1 deg, tube: {wall: 0.2 mm}}]}"
    )
    asked = {one.name: one for one in asked_back(case)}
    assert list(asked) == [
        "vehicle.axle.ratio", WALL, "driveline.gearbox_end.slope", "driveline.shafts[0].plan",
    ]  # fmt: skip
    assert asked[WALL].source == "common practice, no source"
    assert "4.0° rising to the rear, which was assumed" in asked["driveline.gearbox_end.slope"].question


# --- faults in the words of the form ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("3.4 kg", "Wall thickness (tube): '3.4 kg' is a mass, not a length"),
        ("0 mm", "Wall thickness (tube): 0 mm cannot be"),
        ("1,234 mm", "Wall thickness (tube): '1,234 mm' can be read in two ways, as 1234 and as 1.234"),
        ("3 mm ± 2 kg", "Wall thickness (tube), its margin: '2 kg' is a mass, not a length"),
    ],
)
def test_a_fault_names_its_field_in_words(store: Store, text: str, says: str) -> None:
    (fault,) = faults(store, "shaft-1", WALL, text)
    assert fault.wrong == says
    assert "driveline" not in fault.wrong + fault.allowed
    assert fault.field.startswith(WALL), "the name still leads to the field"


def test_faults_of_ends_say_which_end(store: Store) -> None:
    (fault,) = faults(store, "axle", "driveline.axle_end.slope", "steep")
    assert fault.wrong.startswith("Slope in side view, + rear end higher (axle pinion): 'steep'")


def test_a_whole_number_too(store: Store) -> None:
    (fault,) = faults(store, "joint-1", "driveline.joints[0].cross.needles", "many")
    assert fault.wrong == "Needles in one cap (cross and needles): 'many' is not a whole number"
