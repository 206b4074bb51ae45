"""What a record says once it is held against what was seen."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from beachmark.cases.case import Case
from beachmark.driveline.positions import Address
from beachmark.evidence.records import How, Observation, Sure
from beachmark.evidence.states import State, part_states, questions
from beachmark.findings.replay.reader import read_replay
from beachmark.findings.replay.reading import Reading
from beachmark.findings.replay.record import Record
from beachmark.findings.replay.weighing import _sense_chance, information, shares
from beachmark.knowledge.model import Knowledge

Read = Callable[..., Reading]


def seen(see: str, *answers: str, at: Address | None = None) -> Observation:
    return Observation(see, answers, at, how=How.EYE, sure=Sure.CERTAIN)


PULLING = (
    seen("event.doing", "pull_away_grade"),
    seen("event.gear", "low"),
    seen("event.slope", "up"),
    seen("event.speed", "standstill"),
)


@pytest.fixture
def read(knowledge: Knowledge, vehicle_case: Callable[[str], Case]) -> Read:
    case = vehicle_case("plain two-piece")
    return lambda record, *observations: read_replay(knowledge, case.vehicle, case.installed(), observations, record)


def test_nothing_told_leaves_every_event_alike_and_weighs_nothing(read: Read, record: Record) -> None:
    found = read(record)
    assert [event.chance for event in found.events] == pytest.approx([0.8 / len(found.events)] * len(found.events))
    assert found.other == pytest.approx(0.2)
    assert not any(one.chances for one in found.sums)
    assert "Nothing was told yet" in found.sentence


def test_reverse_gear_and_overrun_sense_point_at_reverse(read: Read, record: Record) -> None:
    found = read(record, seen("event.gear", "reverse"), seen("event.set_sense", "overrun"))
    assert found.events[0].id == "reverse_dropped"
    assert found.events[0].chance > 0.5
    assert all(told.weight > 0 for told in found.events[0].told)


def test_the_sense_of_twist_excludes_by_the_physics_of_this_train(read: Read, record: Record) -> None:
    found = {event.id: event.chance for event in read(record, seen("event.set_sense", "overrun")).events}
    pulls = ("steady_pull", "full_throttle_launch", "clutch_dropped", "rolling_back_engaged")
    assert max(found[id] for id in pulls) < 0.2 * found["reverse_dropped"]


def test_weights_are_ratios_to_the_mean_over_all_events(read: Read, record: Record) -> None:
    found = read(record, seen("event.gear", "reverse"))
    trust = 0.0
    logs = [event.told[0].weight for event in found.events]
    trust = max(logs) - min(logs)
    assert trust > 1.0
    assert max(logs) > 0 > min(logs)


def test_a_weak_driveline_breaks_and_the_finding_speaks_for_one_overload(read: Read, weak: Record) -> None:
    told = (seen("event.doing", "pull_away_grade"), seen("event.gear", "low"), seen("event.slope", "up"))
    findings = {str(one.at): one for one in read(weak, *told).sums}
    cross = findings["joint-2"]
    assert cross.id == "finding.replay_cross"
    assert cross.speaks == "for"
    assert cross.chances["sound_part"] > 0.6
    assert sum(cross.chances.values()) == pytest.approx(1.0)


def test_a_strong_driveline_does_not(read: Read, record: Record) -> None:
    strong = replace(
        record,
        parts=tuple(replace(p, yields_nm=p.yields_nm * 4, breaks_nm=p.breaks_nm * 4) for p in record.parts),
    )
    found = read(strong, *PULLING)
    cross = next(one for one in found.sums if str(one.at) == "joint-2")
    assert (cross.speaks, cross.answer) == ("against", "hardly")
    assert "a sound one should have held by far" in found.sentence
    assert "look at speed, bending, heat and damage first" in found.sentence


def test_an_assumed_strength_is_shown_and_weighs_nothing(read: Read, record: Record) -> None:
    because = "the hardness of its core"
    guessed = replace(record, parts=tuple(replace(p, known=False, because=because) for p in record.parts))
    found = read(guessed, seen("event.gear", "low"), seen("cross.broken", "one", at=Address("joint", 2)))
    assert not any(one.chances for one in found.sums)
    assert all("assumed" in one.sentence for one in found.sums if one.id.startswith("finding."))
    assert found.wanted[0] == f"{because} (cross of joint 2)"
    assert not any("broken" in told.words for told in found.events[0].told)


def test_ranges_too_wide_to_decide_weigh_nothing(read: Read, record: Record) -> None:
    """Strengths between a fifth and five times: no class holds most of the draws."""
    rng = np.random.default_rng(4)
    wide = tuple(
        replace(p, yields_nm=p.yields_nm * np.exp(rng.uniform(-1.2, 1.6, p.yields_nm.size))) for p in record.parts
    )
    found = read(replace(record, parts=wide), *PULLING)
    findings = [one for one in found.sums if one.id.startswith("finding.")]
    assert all(not one.chances and "too loosely" in one.sentence for one in findings)


def test_a_changed_case_makes_the_replay_stale_and_silent(
    knowledge: Knowledge, vehicle_case: Callable[[str], Case], record: Record
) -> None:
    case = vehicle_case("bus with converter")
    found = read_replay(knowledge, case.vehicle, case.installed(), (seen("event.gear", "low"),), record)
    assert "run it again" in found.stale
    assert not any(one.chances for one in found.sums)


def test_the_broken_part_must_have_been_down_to_what_the_event_could_break(read: Read, record: Record) -> None:
    told = (seen("event.gear", "low"), seen("event.doing", "pull_away_grade"))
    found = read(record, *told, seen("cross.broken", "two_opposite", at=Address("joint", 2)))
    part = next(part for part in found.events[0].parts if part.part == "cross@joint-2")
    assert 0.0 < part.breaks_below.low < part.breaks_below.middle < part.breaks_below.high
    assert part.breaks_below.middle < part.used.middle
    assert "of its strength would have broken (nine draws in ten)" in found.sentence
    assert "cross of joint 2" in found.sentence


def test_set_and_unmarked_parts_leave_a_bracket(read: Read, record: Record) -> None:
    found = read(
        record,
        seen("tube.state", "straight", at=Address("shaft", 1)),
        seen("cross.bent", "bent_one_way", at=Address("joint", 3)),
    )
    assert found.bracket is not None
    assert "prove at least" in found.bracket.sentence
    low, high = (one.spread.nominal for one in found.bracket.results)
    yields = {part.id: part.yields_nm for part in record.parts}
    assert low == pytest.approx(np.quantile(yields["cross@joint-3"], 0.025))
    assert high == pytest.approx(np.quantile(yields["tube@shaft-1"], 0.975))


def test_a_part_that_nobody_looked_at_is_no_witness(read: Read, record: Record) -> None:
    assert read(record, seen("event.gear", "low")).bracket is None


def test_the_place_of_the_break_says_as_much_as_the_torque_differs(read: Read, record: Record) -> None:
    plain = read(record)
    assert plain.position_bits < 0.1
    assert "tells nothing" in plain.position_words
    hit = replace(record.events[0], greatest=record.events[0].greatest.copy())
    hit.greatest[:, record.load_number("joint 3")] *= 3.0
    skewed = read(replace(record, events=(hit, *record.events[1:])))
    assert skewed.position_bits > 3 * plain.position_bits


def test_information_of_a_table_is_what_the_definition_says() -> None:
    assert information(np.diag([1e6, 1e6, 1e6, 1e6])) == pytest.approx(2.0, abs=1e-5)
    assert information(np.full((3, 5), 1e6)) == pytest.approx(0.0, abs=1e-5)
    two = np.array([[9e6, 1e6], [1e6, 9e6]])
    assert information(two) == pytest.approx(1 + 0.9 * math.log2(0.9) + 0.1 * math.log2(0.1), abs=1e-5)


def test_chances_are_shares_of_the_product() -> None:
    found = shares([np.log([1.0, 2.0, 1.0]), np.log([1.0, 1.0, 2.0])], 3)
    assert found == pytest.approx([0.2, 0.4, 0.4])


def test_every_state_that_is_read_is_an_answer_of_the_knowledge(knowledge: Knowledge) -> None:
    for question, answers in questions().items():
        assert answers <= set(knowledge.questions[question].answers), question


def test_the_worst_state_of_a_part_counts(knowledge: Knowledge) -> None:
    states = part_states(
        [
            seen("slip.twist", "straight", at=Address("shaft", 2, "slip")),
            seen("slip.state", "twisted", at=Address("shaft", 2, "slip")),
            seen("cross.face", "grainy_even", at=Address("joint", 1, "trunnion-A1")),
        ]
    )
    assert [(one.kind, one.state) for one in states] == [("slip", State.SET)]


def test_the_answer_is_about_the_part_seen_broken_else_the_one_nearest_to_breaking(read: Read, record: Record) -> None:
    broken = seen("slip.state", "broken_across", at=Address("shaft", 2, "slip"))
    assert read(record, broken).about == "slip@shaft-2/slip"
    assert read(record, seen("cross.broken", "one", at=Address("joint", 1))).about == "cross@joint-1"
    found = read(record, seen("cross.broken", "none", at=Address("joint", 1)))
    assert found.about == max(found.events[0].parts, key=lambda part: part.breaks_below.middle).part
    assert "must have been" not in found.sentence
    assert "and nothing broke" in read(record, seen("event.doing", "found_parked")).sentence
    assert read(replace(record, events=())).about == ""


def test_a_vehicle_that_is_mostly_assumed_weighs_nothing(read: Read, record: Record) -> None:
    inputs = tuple(replace(one, assumed=one.name == "vehicle.axle.load") for one in record.inputs)
    found = read(replace(record, inputs=inputs), *PULLING)
    findings = [one for one in found.sums if one.id.startswith("finding.")]
    words = "of the vehicle is assumed: mass on the driven wheels"
    assert all(not one.chances and words in one.sentence for one in findings)
    assert any(one.chances for one in read(record, *PULLING).sums)


def test_an_answer_that_hardly_tells_the_events_apart_is_not_enough(read: Read, record: Record) -> None:
    found = read(record, seen("nb.clutch", "good"))
    assert not any(one.chances for one in found.sums)
    assert any("hardly tells the events apart" in one.sentence for one in found.sums)


def test_a_share_stays_with_an_event_that_is_not_in_the_list(read: Read, weak: Record) -> None:
    chances = next(one.chances for one in read(weak, *PULLING).sums if one.chances)
    assert min(chances.values()) >= 0.1 / 3 - 1e-9


def test_the_same_answer_told_twice_counts_once(read: Read, record: Record) -> None:
    once = read(record, seen("event.doing", "pull_away_grade"))
    again = read(record, *(seen("event.doing", "pull_away_grade") for _ in range(3)))
    assert [event.chance for event in again.events] == pytest.approx([event.chance for event in once.events])


def test_both_senses_of_twist_share_one(knowledge: Knowledge, record: Record) -> None:
    for event in record.events:
        chances = [_sense_chance(event, 1, answer) for answer in ("pull", "overrun")]
        assert sum(chances) == pytest.approx(1.0)


def test_an_event_that_went_astray_is_not_read(read: Read, record: Record) -> None:
    astray = replace(record.events[0], sound=np.zeros_like(record.events[0].sound))
    found = read(replace(record, events=(astray, *record.events[1:])), *PULLING)
    assert astray.event not in {event.id for event in found.events}
    assert read(replace(record, events=(astray,))).sentence == "No event was replayed."


def test_what_fits_no_event_is_said_to_fit_none(read: Read, record: Record) -> None:
    """Top speed, top gear, level road, cruising: no event of the list leaves such an account."""
    told = (
        seen("event.speed", "top"),
        seen("event.gear", "high"),
        seen("event.slope", "level"),
        seen("event.doing", "steady_cruise"),
        seen("event.tyre_marks", "none"),
    )
    found = read(record, *told, seen("tube.state", "torn", at=Address("shaft", 1)))
    assert found.other > found.events[0].chance
    assert "fits none of the events" in found.sentence
    assert "left with" not in found.sentence
    assert not any(one.chances for one in found.sums)


def test_parts_that_prove_more_than_any_event_reaches_silence_the_answer(read: Read, record: Record) -> None:
    twisted = seen("slip.twist", "strong", at=Address("shaft", 2, "slip"))
    found = read(record, *PULLING, twisted, seen("cross.broken", "one", at=Address("joint", 2)))
    assert "more than any event reaches here" in found.sentence
    assert "left with" not in found.sentence


def test_one_event_alone_is_not_said_to_fit(read: Read, record: Record) -> None:
    found = read(replace(record, events=record.events[:1]), *PULLING)
    assert "Only 1 of the 10 events were replayed" in found.sentence
    assert "best" not in found.sentence


def test_an_answer_that_no_event_names_says_nothing(read: Read, record: Record) -> None:
    assert read(record, seen("nb.clutch", "not_opened")).events[0].told == ()


def test_the_answer_spans_events_that_fit_about_alike(read: Read, record: Record) -> None:
    found = read(record, *PULLING, seen("cross.broken", "one", at=Address("joint", 2)))
    assert found.events[0].chance < 0.5
    parts = [next(p for p in event.parts if p.part == found.about) for event in found.events[:2]]
    low, high = min(p.breaks_below.low for p in parts), max(p.breaks_below.high for p in parts)
    assert f"{100 * low:.0f} to {100 * high:.0f} % of what breaks a sound one" in found.sentence


def test_of_an_unknown_strength_only_the_load_is_told(read: Read, record: Record) -> None:
    guessed = replace(record, parts=tuple(replace(p, known=False, because="its sizes") for p in record.parts))
    found = read(guessed, *PULLING)
    assert "What it bears is not known (wanted: its sizes)" in found.sentence
    assert "%" not in found.sentence
