"""What people type beside a number and its unit: hardness scales, threads, counts with their word, ranges, zero."""

from __future__ import annotations

import pytest

from beachmark.store.database import Store
from beachmark.workflow import entering
from beachmark.workflow.fields import FormField, asked_back, facts_groups
from beachmark.workflow.loading import from_store
from tests.workflow.test_entering import WALL, faults, field, store, typed_at

__all__ = ["store"]  # the fixture
TUBE, STUB, CORE = (
    "driveline.shafts[0].tube.hardness", "driveline.shafts[0].slip.hardness",
    "driveline.joints[0].cross.core_hardness",
)  # fmt: skip
NEEDLES, BOLT, PITCH = (
    "driveline.joints[0].cross.needles", "driveline.joints[0].yoke.bolt_diameter", "driveline.joints[0].yoke.bolt_pitch"
)  # fmt: skip


def entered_in_facts(store: Store, name: str, text: str) -> FormField:
    groups = facts_groups(from_store(store, 1).case)
    entering.enter(store, 1, entering.changed_fields(groups, {name: text}))
    return field(from_store(store, 1).case, name)


@pytest.mark.parametrize(
    ("place", "name", "text", "number", "low"),
    [
        ("shaft-1", TUBE, "170 HB", 170, 170), ("shaft-1", TUBE, "170 HBW", 170, 170),
        ("shaft-1", TUBE, "170HBW 10/3000", 170, 170), ("shaft-1", TUBE, "HB 170", 170, 170),
        ("shaft-1", TUBE, "170 ± 5 HB", 170, 165), ("shaft-1", TUBE, "170 HB ± 5", 170, 165),
        ("shaft-1", TUBE, "165 to 175 HBW", 170, 165), ("shaft-1", TUBE, "170", 170, 170),
        ("shaft-1/slip", STUB, "45 HRC", 45, 45), ("joint-1", CORE, "38,5 hrc", 38.5, 38.5),
    ],
)  # fmt: skip
def test_hardness_with_the_name_of_its_scale(
    store: Store, place: str, name: str, text: str, number: float, low: float
) -> None:
    typed_at(store, place, **{name: text})
    train = from_store(store, 1).case.train
    slip = train.shaft(1).slip
    found = {TUBE: train.shaft(1).tube.hardness, STUB: slip and slip.hardness, CORE: train.joint(1).cross.core_hardness}
    value = found[name]
    assert value is not None
    assert (value.si, value.low) == pytest.approx((number, low))


@pytest.mark.parametrize(
    ("place", "name", "text", "scale"),
    [("shaft-1", TUBE, "45 HRC", "Brinell"), ("shaft-1/slip", STUB, "60 HB", "Rockwell C"),
     ("joint-1", CORE, "60 HRB", "Rockwell C"), ("shaft-1", TUBE, "180 HV", "Brinell")],
)  # fmt: skip
def test_a_hardness_on_another_scale_is_refused(store: Store, place: str, name: str, text: str, scale: str) -> None:
    (fault,) = faults(store, place, name, text)
    assert f"'{text}' is on another scale than this field" in fault.wrong
    assert scale in fault.allowed


def test_no_other_number_takes_a_hardness(store: Store) -> None:
    with pytest.raises(entering.InputError):
        entered_in_facts(store, "vehicle.axle.ratio", "4.1 HRC")


def test_a_bolt_by_its_thread(store: Store) -> None:
    typed_at(store, "joint-1", **{BOLT: "M12"})
    yoke = from_store(store, 1).case.train.joint(1).yoke
    assert yoke.bolt_diameter is not None
    assert (yoke.bolt_diameter.si, yoke.bolt_diameter.typed) == (pytest.approx(12e-3), "M12")
    assert yoke.bolt_pitch is None, "a coarse pitch is not looked up"
    typed_at(store, "joint-1", **{BOLT: "M12 x 1.25"})
    yoke = from_store(store, 1).case.train.joint(1).yoke
    assert yoke.bolt_pitch is not None
    assert yoke.bolt_pitch.si == pytest.approx(1.25e-3)
    assert yoke.bolt_pitch.known == "measured"


@pytest.mark.parametrize("both", [True, False])
def test_a_pitch_that_is_stated_stays_and_is_asked_about(store: Store, both: bool) -> None:
    typed_at(store, "joint-1", **{PITCH: "1.75 mm"})
    typed_at(store, "joint-1", **{BOLT: "M12 x 1.25"}, **({PITCH: "1.5 mm"} if both else {}))
    case = from_store(store, 1).case
    pitch = case.train.joint(1).yoke.bolt_pitch
    assert pitch is not None
    assert pitch.si == pytest.approx(1.5e-3 if both else 1.75e-3)
    assert [one.name for one in asked_back(case)] == [PITCH]
    assert "M12 x 1.25" in field(case, PITCH, "joint-1").question


@pytest.mark.parametrize(
    ("text", "count"), [("36 needles", 36), ("36", 36), ("36 Needles", 36), ("1 needle", 1)]
)  # fmt: skip
def test_a_count_with_its_word(store: Store, text: str, count: int) -> None:
    typed_at(store, "joint-1", **{NEEDLES: text})
    assert from_store(store, 1).case.train.joint(1).cross.needles == count


def test_a_tooth_out(store: Store) -> None:
    typed_at(store, "shaft-1/slip", **{"driveline.shafts[0].slip.teeth_out": "-1 tooth"})
    slip = from_store(store, 1).case.train.shaft(1).slip
    assert slip is not None
    assert slip.teeth_out == -1, "which way it is off may be told by the sign"


@pytest.mark.parametrize("text", ["36 mm", "36 teeth", "36.5", "about 36"])
def test_a_count_of_something_else_is_refused(store: Store, text: str) -> None:
    (fault,) = faults(store, "joint-1", NEEDLES, text)
    assert fault.wrong == f"Needles in one cap (cross and needles): '{text}' is not a whole number"


@pytest.mark.parametrize("text", ["0", "-6", "-6 needles"])
def test_a_count_is_one_or_more(store: Store, text: str) -> None:
    (fault,) = faults(store, "joint-1", NEEDLES, text)
    assert fault.wrong == f"Needles in one cap (cross and needles): '{text}' cannot be"
    assert fault.allowed == "a count of 1 or more"


def test_cylinders_below_one_are_refused_and_many_are_asked_about(store: Store) -> None:
    with pytest.raises(entering.InputError, match="1 or more"):
        entered_in_facts(store, "vehicle.engine.cylinders", "-6")
    assert "usual is 1 to 16" in entered_in_facts(store, "vehicle.engine.cylinders", "60").question
    assert entered_in_facts(store, "vehicle.engine.cylinders", "6 cylinders").question == ""


def test_a_range_is_stored_with_its_ends_and_shown(store: Store) -> None:
    shown = entered_in_facts(store, "vehicle.engine.peak_torque", "2250 to 2350 N m")
    assert (shown.typed, shown.span) == ("2300 N m", "2250 N m to 2350 N m")
    torque = from_store(store, 1).case.vehicle.engine.peak_torque
    assert torque is not None
    assert (torque.low, torque.si, torque.high) == pytest.approx((2250, 2300, 2350))


def test_a_ratio_to_one_is_not_taken_for_a_range(store: Store) -> None:
    with pytest.raises(entering.InputError, match="as a ratio and as a range"):
        entered_in_facts(store, "vehicle.axle.ratio", "4.1 to 1")
    assert from_store(store, 1).case.vehicle.axle.ratio is None


def test_a_range_of_another_dimension_is_refused(store: Store) -> None:
    (fault,) = faults(store, "shaft-1", WALL, "3 to 4 kg")
    assert "is a mass, not a length" in fault.wrong


def test_zero_needs_no_sense_and_no_unit(store: Store) -> None:
    typed_at(store, "shaft-1", **{"driveline.shafts[0].phase": "0", "driveline.shafts[0].slope": "0"})
    case = from_store(store, 1).case
    assert (case.train.shaft(1).phase, case.train.shaft(1).slope) != (None, None)
    assert asked_back(case) == ()
    assert field(case, "driveline.shafts[0].slope", "shaft-1").reading == "read as: level"


def test_what_does_not_fit_is_said_beside_its_field_and_both_stay(store: Store) -> None:
    typed_at(store, "shaft-1", **{WALL: "30 mm", "driveline.shafts[0].tube.outer_diameter": "60 mm"})
    shown = field(from_store(store, 1).case, WALL, "shaft-1")
    assert shown.question.startswith("Wall thickness 30 mm: usual is 1.6 to 10 mm. Keep it if measured. Wall thickness")
    assert shown.question.endswith("which leaves no tube. Which is right?")
    assert shown.source.startswith("caliper. ")


def test_nothing_said_about_how_it_is_known_is_stated(store: Store) -> None:
    assert entered_in_facts(store, "vehicle.axle.ratio", "4.1").known == "stated"
