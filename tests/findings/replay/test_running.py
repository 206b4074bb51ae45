"""A run: repeatable, stoppable, at rest without torque, and the same by another solver."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from beachmark.basis.errors import InputError
from beachmark.cases.case import Case
from beachmark.findings.replay import running, stepping
from beachmark.findings.replay.record import Record, from_bytes, to_bytes
from beachmark.findings.replay.running import Order, Progress, StoppedError, judge_record, replay_case
from beachmark.knowledge.model import Knowledge
from tests.replay_vehicles import VEHICLES

Cases = Callable[[str], Case]


def _run(knowledge: Knowledge, case: Case, folder: str, **order: object) -> Record:
    wanted = Order(**{"draws": 32, "seed": 1, "events": ("clutch_dropped",), **order})  # type: ignore[arg-type]
    return replay_case(knowledge, case.vehicle, case.installed(), order=wanted, cache_folder=folder, threads=2)


def test_the_same_seed_gives_the_same_peaks_and_another_one_others(
    knowledge: Knowledge, vehicle_case: Cases, compiled: str
) -> None:
    case = vehicle_case("plain two-piece")
    once, again, other = (_run(knowledge, case, compiled, seed=seed) for seed in (5, 5, 6))
    assert np.array_equal(once.events[0].greatest, again.events[0].greatest)
    assert not np.array_equal(once.events[0].greatest[1:], other.events[0].greatest[1:])
    assert once.events[0].greatest[0] == pytest.approx(other.events[0].greatest[0], rel=2e-3)  # the typical draw


@pytest.mark.parametrize("name", VEHICLES)
def test_a_vehicle_that_nothing_moves_carries_no_torque(
    knowledge: Knowledge, vehicle_case: Cases, compiled: str, name: str
) -> None:
    """Engine at idle with the clutch open, level ground, no brake: the joints may stand at any angle and phase."""
    still = replace(
        knowledge.events["steady_pull"],
        speed=knowledge.typical["grip_dry"].__class__.exact(0.0, "speed"),
        input_share=None,
        engine_share=knowledge.typical["grip_dry"].__class__.exact(0.0, "number"),
        grade=knowledge.typical["grip_dry"].__class__.exact(0.0, "angle"),
        courses={"clutch": replace(knowledge.events["steady_pull"].courses["clutch"], first=_nothing(), steps=())},
    )
    bare = replace(knowledge, events={"steady_pull": still})
    case = vehicle_case(name)
    found = _run(bare, case, compiled, events=("steady_pull",)).events[0]
    line = slice(1, 4)  # joints
    assert np.abs(found.greatest[:, line]).max() < 1.0
    assert np.abs(found.least[:, line]).max() < 1.0


def _nothing() -> object:
    from beachmark.basis.values import Value

    return Value.exact(0.0, "number")


def test_the_referee_agrees_on_the_typical_and_the_worst_draw(
    knowledge: Knowledge, vehicle_case: Cases, compiled: str
) -> None:
    case = vehicle_case("plain two-piece")
    record = _run(knowledge, case, compiled, events=("clutch_dropped", "hard_brake_engaged"))
    assert all(np.isnan(event.deviation).all() for event in record.events)
    judged = judge_record(knowledge, case.vehicle, case.installed(), record)
    for event in judged.events:
        assert (event.deviation < 1e-3).all(), (event.event, event.deviation)
        assert (event.deviation > 0.0).all()


def test_the_referee_catches_a_wrong_step(
    knowledge: Knowledge, vehicle_case: Cases, compiled: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A record made with steps five times too long does not pass as a good one."""
    case = vehicle_case("plain two-piece")
    right = stepping.safe_steps_s
    monkeypatch.setattr(stepping, "safe_steps_s", lambda draws: 5.0 * right(draws))
    monkeypatch.setattr(running, "shortening", lambda *_, **__: 1.0)
    record = _run(knowledge, case, compiled)
    judged = judge_record(knowledge, case.vehicle, case.installed(), record)
    assert (judged.events[0].deviation > 1e-3).any()


def test_the_referee_looks_at_the_peaks_that_are_kept(knowledge: Knowledge, vehicle_case: Cases, compiled: str) -> None:
    case = vehicle_case("plain two-piece")
    record = _run(knowledge, case, compiled)
    event = record.events[0]
    spoiled = replace(record, events=(replace(event, greatest=event.greatest * 1.05),))
    judged = judge_record(knowledge, case.vehicle, case.installed(), spoiled)
    assert judged.events[0].deviation == pytest.approx([0.05, 0.05], abs=5e-3)


def test_a_run_can_be_stopped(knowledge: Knowledge, vehicle_case: Cases, compiled: str) -> None:
    told: list[Progress] = []

    def until_half(progress: Progress) -> bool:
        told.append(progress)
        return progress.share < 0.5

    case = vehicle_case("plain two-piece")
    with pytest.raises(StoppedError):
        replay_case(
            knowledge,
            case.vehicle,
            case.installed(),
            order=Order(draws=16),
            cache_folder=compiled,
            threads=1,
            watch=until_half,
        )
    assert told[-1].share >= 0.5
    assert [one.share for one in told] == sorted(one.share for one in told)
    assert "equations" in told[0].words


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ({"events": ("flat_tyre",)}, "'flat_tyre' is not an event.*clutch_dropped"),
        ({"events": ("converter_stall_launch",)}, "needs what this vehicle has not"),
        ({"draws": 3}, "3 is not possible"),
        ({"seed": -1}, "-1 is not possible"),
    ],
)
def test_what_cannot_be_run_is_refused_with_what_is_allowed(
    knowledge: Knowledge, vehicle_case: Cases, compiled: str, order: dict[str, object], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        _run(knowledge, vehicle_case("plain two-piece"), compiled, **order)


def test_numbers_that_cannot_be_computed_with_are_refused_not_raised(
    knowledge: Knowledge, case_of: Callable[..., Case], compiled: str
) -> None:
    case = case_of(VEHICLES["plain two-piece"].replace("wall: 5 mm", "wall: 60 mm"))
    with pytest.raises(InputError, match="wall"):
        _run(knowledge, case, compiled)


def test_a_record_is_kept_whole(record: Record) -> None:
    back = from_bytes(to_bytes(record))
    assert back is not None
    assert (back.seed, back.draws, back.digest, back.loads) == (record.seed, record.draws, record.digest, record.loads)
    assert [event.event for event in back.events] == [event.event for event in record.events]
    assert back.events[0].greatest == pytest.approx(record.events[0].greatest, rel=1e-6)
    assert back.parts[0].words == record.parts[0].words
    assert back.inputs[0] is not record.inputs[0]
    assert back.events[0].history.loads.shape == record.events[0].history.loads.shape


def test_the_first_to_break_is_the_weakest_of_equals(
    knowledge: Knowledge, case_of: Callable[..., Case], compiled: str
) -> None:
    """One cross of a fifth of the strength: it breaks first in every draw that breaks anything."""
    soft = VEHICLES["plain two-piece"].replace(
        "  - cross: {arm_radius: 70 mm, trunnion_diameter: 31 mm",
        "  - cross: {arm_radius: 70 mm, trunnion_diameter: 18 mm",
        1,
    )
    case = case_of(soft)
    record = _run(knowledge, case, compiled)
    first = record.events[0].first
    assert (first >= 0).any()
    assert {record.parts[number].id for number in first[first >= 0]} == {"cross@joint-1"}


def test_an_event_named_twice_runs_once(knowledge: Knowledge, vehicle_case: Cases, compiled: str) -> None:
    case = vehicle_case("plain two-piece")
    record = _run(knowledge, case, compiled, events=("clutch_dropped", "clutch_dropped"))
    assert len(record.events) == 1 < record.of_events


@pytest.mark.parametrize(
    "change",
    [
        ("first_gear: 12.3", "first_gear: 1e-300"),
        ("governed_speed: 2000 rpm", "governed_speed: 400 rpm"),
        ("first_gear: 12.3", "first_gear: 0.5"),
        ("ratio: 4.3", "ratio: 4.3, pinion_inertia: 1e-7 kg m2"),
        ("slope: -3 deg", "slope: 75 deg"),
    ],
)
def test_odd_numbers_are_refused_with_a_sentence(
    knowledge: Knowledge, case_of: Callable[..., Case], compiled: str, change: tuple[str, str]
) -> None:
    case = case_of(VEHICLES["plain two-piece"].replace(*change))
    with pytest.raises(InputError, match="cannot be computed with"):
        _run(knowledge, case, compiled)


def test_a_description_does_not_make_a_replay_stale(knowledge: Knowledge, vehicle_case: Cases) -> None:
    case = vehicle_case("plain two-piece")
    told = replace(case.vehicle, description="a tipper", name="X-1")
    heavier = replace(case.vehicle, duty=replace(case.vehicle.duty, mass=None))
    marks = [running.digest(knowledge, vehicle, case.installed()) for vehicle in (case.vehicle, told, heavier)]
    assert marks[0] == marks[1] != marks[2]
