"""Events and classes of vehicles as knowledge: strict loading, what is usual, numbers that fit together."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from beachmark.basis.values import Value
from beachmark.driveline.vehicle import KINDS
from beachmark.knowledge.events import USUAL, EventKind
from beachmark.knowledge.linter import lint
from beachmark.knowledge.loader import load_knowledge
from beachmark.knowledge.model import Knowledge
from tests.knowledge.test_loading import TEXTS, TWIN_EVENTS, assert_reported, faults_of

EVENTS, TRAINS = "events.yaml", "trains.yaml"
EDITS = [
    (EVENTS, "needs: [clutch]", "needs: [pedal]", "needs", "not known"),
    (EVENTS, "surfaces: {dry:", "surfaces: {mud: 0, dry:", "surfaces", "unknown field"),
    (EVENTS, "surfaces: {dry: 0.45", "surfaces: {dry: 0.55", "surfaces", "the chances add to 1.1"),
    (EVENTS, "      throttle:", "      gas:", "courses", "unknown field"),
    (EVENTS, "      event.doing:", "      event.doin:", "event.doin", "is not defined"),
    (EVENTS, "expected: [low_gear_pull]", "expected: [pull]", "event.doing", "has no answer"),
    (EVENTS, "expected: [low_gear_pull]", "expected: [pull_away_grade]", "event.doing", "stands under expected and"),
    (EVENTS, "value: 0.1, low: 0, high: 0.4", "value: 0.1, low: 0.2, high: 0.4", "gear", "does not lie between"),
    (EVENTS, "gear: {value: 0.1, low: 0, high: 0.4", "gear: {value: 0.1, low: 0, high: 1.4", "gear", "reaches beyond"),
    (EVENTS, "first: {value: 0.1, low: 0", "first: {value: 0.1, low: -1", "throttle.first", "reaches beyond"),
    (EVENTS, "to: {value: 0.95, low: 0.8, high: 1", "to: {value: 0.95, low: 0.8, high: 2", "[0].to", "reaches beyond"),
    (EVENTS, "takes: {value: 0.6 s, low: 0.4", "takes: {value: 0.6 s, low: 0", "[0].takes", "reaches beyond"),
    (EVENTS, "low: 0.4 s, high: 0.9 s", "low: 0.4 s, high: 1.9 s", "courses.throttle", "may end at 1.95 s"),
    (EVENTS, "    input_share:", "    speed: {value: 1 m/s}\n    input_share:", "events[0]", "are both given"),
    (EVENTS, "    speed: {value: 0 m/s}\n", "", "events[1]", "are both missing"),
    (EVENTS, "duration: 2.0 s", "duration: 20 s", "duration", "followed for 20 s"),
    (EVENTS, "grade: {value: 3 deg", "grade: {value: 3 mm", "grade", "is a length"),
    (EVENTS, "gear: reverse", "gear: backward", "gear", "cannot be read"),
    (EVENTS, "            to: {value: 0.1}\n", "            to: {value: 0.2}\n", "throttle", "does not end where"),
    (EVENTS, "kind: hole", "kind: ditch", "kind", "not known"),
    (EVENTS, "id: clutch_dropped", "id: steady_pull", "id", "stands already"),
    (TRAINS, "id: spring_time", "id: springtime", "id", "not known"),
    (TRAINS, "high: 17, source", "high: 17 m, source", "high", "is a length, not a number"),
    (TRAINS, "id: tyre_stiffness, dimension: number", "id: tyre_stiffness, dimension: mass", "value", "has no unit"),
    (TRAINS, "id: top_gear", "id: first_gear", "values[14]", "stands already in this class"),
    (TRAINS, "- id: bus", "- id: coach", "id", "no vehicle can be of the class 'coach'"),
    (TRAINS, "low: 0.8 kN m, high: 4 kN m", "low: 3 kN m, high: 4 kN m", "values", "does not lie between"),
]


@pytest.mark.parametrize(("name", "old", "new", "field", "says"), EDITS)
def test_a_fault_of_events_or_classes_is_reported(name: str, old: str, new: str, field: str, says: str) -> None:
    assert_reported(name, old, new, field, says)


def test_a_third_step_of_a_course_is_refused() -> None:
    """The motion takes two at most."""
    step = "          - {at: {value: 1 s}, takes: {value: 0.1 s}, to: {value: 0}}\n"
    first = "        steps:\n"
    found = faults_of(EVENTS, first, first + 2 * step)
    assert [fault.field for fault in found] == ["events[0].courses.throttle.steps"]


@pytest.mark.parametrize("id", ["fracture_over_yield", "axle_ratio", "tyre_damping"])
def test_class_any_must_hold_what_typical_values_do_not(id: str) -> None:
    line = next(line for line in TEXTS[TRAINS].splitlines(keepends=True) if f"{{id: {id}," in line)
    [fault] = faults_of(TRAINS, line, "")
    assert f"{id} is neither in class any nor among the typical values" in fault.wrong


def test_a_class_without_its_vehicle_and_a_vehicle_without_its_class_are_both_told() -> None:
    wrong = [fault.wrong for fault in faults_of(TRAINS, "- id: bus", "- id: coach")]
    assert wrong == ["no vehicle can be of the class 'coach'", "the class bus is missing"]


def test_a_value_of_another_dimension_is_refused() -> None:
    old = "id: tyre_slide_speed, dimension: speed, value: 2.5 m/s, low: 1 m/s, high: 6 m/s"
    [fault] = faults_of(TRAINS, old, "id: tyre_slide_speed, dimension: number, value: 2.5, low: 1, high: 6")
    assert fault.wrong == "tyre_slide_speed is given as number"
    assert fault.allowed == "speed"


def test_weak_events_are_found() -> None:
    found = Counter(weakness.kind for weakness in lint(load_knowledge({**TEXTS, EVENTS: TEXTS[EVENTS] + TWIN_EVENTS})))
    assert found["event-hard-to-tell"] == 2
    assert found["events-alike"] >= 1


def test_what_is_usual_comes_from_the_class_then_any_then_the_typical_values(knowledge: Knowledge) -> None:
    own, any_class = knowledge.classes["bus"].values, knowledge.classes["any"].values
    assert knowledge.usual("bus", "axle_ratio") is own["axle_ratio"]
    assert knowledge.usual("", "axle_ratio") is any_class["axle_ratio"]
    assert "pinion_drag" not in own
    assert knowledge.usual("bus", "pinion_drag") is any_class["pinion_drag"]
    assert "joint_inertia" not in any_class
    assert knowledge.usual("bus", "joint_inertia") is knowledge.typical["joint_inertia"]
    assert knowledge.usual("bus", "no_such_value") is None


def test_a_vehicle_may_be_of_every_class_but_any(knowledge: Knowledge) -> None:
    assert set(knowledge.classes) == {"any", *KINDS}


def test_every_class_has_every_value_that_a_replay_needs(knowledge: Knowledge) -> None:
    for kind in ("", *KINDS):
        for id, dimension in USUAL.items():
            value = knowledge.usual(kind, id)
            assert value is not None, id
            assert value.dimension == dimension, id
            assert value.low < value.high, id
            assert value.low > 0, id
            assert value.source, id


def test_usual_values_fit_together(knowledge: Knowledge) -> None:
    """Whatever is drawn: idle below governed speed, the highest gear above the lowest, sliding grips no better."""
    for kind in ("", *KINDS):
        assert _usual(knowledge, kind, "idle_speed").high < _usual(knowledge, kind, "governed_speed").low
        assert _usual(knowledge, kind, "top_gear").high < _usual(knowledge, kind, "first_gear").low
        assert _usual(knowledge, kind, "clutch_capacity_share").low > 1.0
        assert _usual(knowledge, kind, "tyre_slide_share").high <= 1.0
        assert _usual(knowledge, kind, "fracture_over_yield").low > 1.0
        assert _usual(knowledge, kind, "joint_angle").high < math.pi / 4  # as far as the motion's series goes


def _usual(knowledge: Knowledge, kind: str, id: str) -> Value:
    found = knowledge.usual(kind, id)
    assert found is not None
    return found


def test_stiffnesses_are_those_of_the_steel_parts_that_their_sources_name(knowledge: Knowledge) -> None:
    """G J / L of a round bar or tube (Shigley, Mechanical Engineering Design, section 3-12, from memory)."""
    shear = knowledge.typical["steel_shear_modulus"].si

    def bar(outer: float, inner: float, length: float) -> float:
        return shear * math.pi / 32 * (outer**4 - inner**4) / length

    shaft = _usual(knowledge, "", "shaft_stiffness")
    assert shaft.low == pytest.approx(bar(0.100, 0.091, 1.6), rel=0.05)
    assert shaft.high == pytest.approx(bar(0.130, 0.116, 0.8), rel=0.05)
    for kind, thick in (("tractor", 0.054), ("tipper", 0.055)):
        pair = _usual(knowledge, kind, "half_shaft_stiffness")
        assert pair.low == pytest.approx(2 * bar(0.045, 0.0, 1.0), rel=0.02)
        assert pair.high == pytest.approx(2 * bar(thick, 0.0, 0.8), rel=0.02)


def test_the_events_of_the_list_are_there(knowledge: Knowledge) -> None:
    needs = {event.id: event.needs for event in knowledge.events.values()}
    assert needs == {
        **dict.fromkeys(["steady_pull", "spin_then_grip", "rocking_out", "hard_brake_engaged"], ()),
        **dict.fromkeys(["reverse_dropped", "kerb_or_rut"], ()),
        **dict.fromkeys(["full_throttle_launch", "clutch_dropped", "rolling_back_engaged"], ("clutch",)),
        "overspeed_downshift": ("clutch",),
        "power_take_off_shock": ("power_take_off",),
        "retarder_shock": ("retarder",),
        "converter_stall_launch": ("converter",),
    }
    assert [id for id, event in knowledge.events.items() if event.gear is None] == ["reverse_dropped"]
    assert [id for id, event in knowledge.events.items() if event.repeat] == ["rocking_out"]


def test_every_value_of_an_event_names_its_source(knowledge: Knowledge) -> None:
    for event in knowledge.events.values():
        assert event.source
        assert all(value.source for value in _values(event))
        assert sum(event.surfaces.values()) == pytest.approx(1.0)


def _values(event: EventKind) -> list[Value]:
    found = [event.repeat, event.gear, event.speed, event.input_share, event.engine_share, event.grade]
    for course in event.courses.values():
        found += [course.first, *(value for step in course.steps for value in (step.at, step.takes, step.to))]
    if event.obstacle:
        found += [event.obstacle.force, event.obstacle.place, event.obstacle.length]
    return [value for value in found if value is not None]


def test_what_an_event_leaves_speaks_for_something_and_never_of_parts_that_it_set(knowledge: Knowledge) -> None:
    """The sense in which parts are set follows from the motion; a table of it would count it twice."""
    for event in knowledge.events.values():
        assert "event.set_sense" not in event.leaves
        assert all(question.startswith(("event.", "nb.")) for question in event.leaves)
        assert any(table.get("expected") for table in event.leaves.values())
