"""The demo cases: they load, lose nothing on the way through the case file, and say what they are there to say.

The expected first causes are what each case was written to show (its evidence is that of the cause's plain
story); they are not copied from a run.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from beachmark.basis.documents import read_document
from beachmark.basis.values import Known, Value
from beachmark.cases.assessment import Assessment
from beachmark.cases.case import Case
from beachmark.cases.codec import plain_case, read_case, read_catalogue, write_case
from beachmark.cases.schema import case_schema, catalogue_schema
from beachmark.driveline.catalogue import Catalogue
from beachmark.workflow.loading import Loaded, from_file
from beachmark.workflow.packaged import demo_names, demo_text, knowledge
from beachmark.workflow.working import STAGES, sums, weigh

TIPPER, MIXER, TRACTOR = "1-tipper-two-arms.yaml", "2-stretched-mixer.yaml", "3-fresh-off-the-phone.yaml"
NAMES = (TIPPER, MIXER, TRACTOR)
FOLDER = Path(str(resources.files("beachmark.workflow"))) / "demo"


@cache
def loaded(name: str) -> Loaded:
    return from_file(FOLDER / name)


@cache
def weighed(name: str) -> Assessment:
    return weigh(loaded(name))


@cache
def alder() -> Catalogue:
    return read_catalogue(demo_text("alder.yaml") or "", name="alder.yaml")


def answers(name: str, id: str) -> dict[str, str]:
    """Answer of one finding by place; empty text where it could not be computed."""
    return {str(one.at): one.answer for one in sums(loaded(name)) if one.id == id}


def quantities(of: Any) -> Iterator[Value]:
    """Every quantity inside a value, however deep."""
    if isinstance(of, Value):
        yield of
    elif is_dataclass(of):
        for one in fields(of):
            yield from quantities(getattr(of, one.name))
    elif isinstance(of, dict):
        for entry in of.values():
            yield from quantities(entry)
    elif isinstance(of, tuple):
        for entry in of:
            yield from quantities(entry)


def test_the_demo_is_these_three_cases_in_this_order() -> None:
    assert demo_names() == list(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_case_file_keeps_to_the_published_schema(name: str) -> None:
    plain = read_document(demo_text(name) or "", name=name).data
    assert not list(Draft202012Validator(case_schema()).iter_errors(plain))


def test_catalogue_keeps_to_the_published_schema() -> None:
    plain = read_document(demo_text("alder.yaml") or "", name="alder.yaml").data
    assert not list(Draft202012Validator(catalogue_schema()).iter_errors(plain))


@pytest.mark.parametrize("as_json", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_lost_through_the_case_file(name: str, as_json: bool) -> None:
    case = loaded(name).case
    again = read_case(write_case(case, as_json=as_json), name="again", knowledge=knowledge())
    assert again == case
    assert plain_case(again) == plain_case(case)


@pytest.mark.parametrize("name", NAMES)
def test_every_quantity_stays_as_it_was_typed(name: str) -> None:
    case = loaded(name).case
    source = f"{demo_text(name)}{demo_text('alder.yaml')}"
    again = read_case(write_case(case), name="again", knowledge=knowledge())
    before, after = list(quantities(case)), list(quantities(again))
    assert before == after  # SI value, range, origin, source and typed text
    assert len(before) > 80  # the catalogue alone holds more
    assert [value.typed for value in before if f" {value.typed}" not in source] == []


@pytest.mark.parametrize("name", NAMES)
def test_people_are_roles_and_dates_are_of_the_demo_year(name: str) -> None:
    case = loaded(name).case
    assert {seen.by for seen in case.observations} <= {"driver", "mechanic", "engineer"}
    assert all(seen.stage in STAGES and seen.how and seen.when.startswith("2026-") for seen in case.observations)
    assert all("drawing of our own" in photo.shows and photo.taken and photo.by and photo.at for photo in case.photos)


def test_catalogue_values_carry_their_table_as_source() -> None:
    assert alder().name == "Alder (invented)"
    assert (len(alder().joints), len(alder().tubes), len(alder().slips)) == (6, 6, 4)
    assert all(v.known is Known.TABLE and v.source == "Alder (invented)" for v in quantities(alder()))


@pytest.mark.parametrize("size", ["Alder t22", "Alder t25", "Alder t29", "Alder t33", "Alder t37", "Alder t41"])
def test_invented_cross_could_be_built(size: str) -> None:
    cross = alder().joints[size]
    si = {one.name: value.si for one in fields(cross) if isinstance(value := getattr(cross, one.name), Value)}
    found_on_a_part = {"core_hardness", "case_depth", "radial_clearance", "end_play", "dent_depth", "final_share"}
    found_on_a_part |= {"mark_spacing", "mark_depth"}
    of_its_fitting = {"fitting_hole", "fitting_between"}
    assert set(si) | {"needles"} == {one.name for one in fields(cross)} - found_on_a_part - of_its_fitting
    assert size == f"Alder t{si['trunnion_diameter'] * 1e3:.0f}"
    # needles on a ring: neighbours touch when each takes 2 asin(d / Dp) of the turn (elementary geometry)
    needle, ring = si["needle_diameter"], si["trunnion_diameter"] + si["needle_diameter"]
    assert cross.needles == math.floor(math.pi / math.asin(needle / ring))
    assert si["root_distance"] > si["needle_length"] / 2  # the needles end outward of the arm root
    assert si["arm_radius"] - si["root_distance"] > si["shoulder_diameter"] / 2  # room for the body between two arms
    assert si["fillet_radius"] <= (si["shoulder_diameter"] - si["trunnion_diameter"]) / 2
    assert si["grease_bore"] < si["trunnion_diameter"] / 3
    assert si["yield_stress"] < si["tensile_strength"]


def test_invented_tubes_and_slips_could_be_built() -> None:
    for size, tube in alder().tubes.items():
        assert tube.outer_diameter
        assert tube.wall
        assert size == f"Alder {tube.outer_diameter.typed[:-3]}x{tube.wall.typed[:-3]}"
    for size, slip in alder().slips.items():
        assert slip.root_diameter
        assert slip.pitch_diameter
        assert size == f"Alder p{slip.pitch_diameter.si * 1e3:.0f}x{slip.teeth}"
        assert slip.root_diameter.si < slip.pitch_diameter.si
        assert slip.bore is None or slip.bore.si < slip.root_diameter.si / 2


def test_tipper_is_fatigue_from_the_root_of_the_arm_with_the_old_mark() -> None:
    opinion = weighed(TIPPER).opinion
    assert opinion.first.id == "cross_fatigue_fillet"
    assert str(opinion.first.place) == "joint-2/trunnion-A1"
    assert opinion.first.strength.word == "strong support"
    assert all(gate.answered for gate in opinion.gates)
    assert "joint-2/trunnion-A2" in {str(seen.at) for seen in opinion.consequences}  # the fresh arm came later


def test_tipper_opinion_is_not_strong_before_the_parts_were_on_the_bench() -> None:
    for stages in (("call",), ("call", "photos")):
        assert weigh(loaded(TIPPER), stages=stages).opinion.first.strength.word != "strong support"


def test_tipper_sums_are_all_computed() -> None:
    assert [f"{one.id} {one.at}" for one in sums(loaded(TIPPER)) if not one.computed] == []


def test_tipper_numbers_tell_the_middle_joint_from_the_rest() -> None:
    repeated = answers(TIPPER, "finding.trunnion_repeated")
    assert repeated == {"joint-1": "in_band", "joint-2": "above", "joint-3": "in_band"}
    assert set(answers(TIPPER, "finding.tube_static").values()) == {"ample"}
    assert answers(TIPPER, "finding.spline_static") == {"shaft-2/slip": "ample"}
    assert set(answers(TIPPER, "finding.whirl").values()) == {"clear"}
    assert answers(TIPPER, "finding.torsional_excitation") == {"train": "within"}
    assert answers(TIPPER, "finding.torque_change") == {"case": "much_more"}
    assert answers(TIPPER, "finding.group_contrast") == {"fleet": "unlikely_chance"}


def test_tipper_grip_caps_the_torque() -> None:
    # by hand: 0.68 x 19000 kg x 9.80665 m/s2 x 0.5 m / (4.3 x 0.96) = 15 347 N m; engine 2300 x 11.7 x 0.95 = 25 565
    torque = next(one for one in sums(loaded(TIPPER)) if one.id == "sum.torque")
    assert torque.results[0].spread.nominal == pytest.approx(15347, abs=1)
    assert torque.results[1].spread.nominal == pytest.approx(25564.5)


def test_mixer_is_whirl_of_the_one_long_tube() -> None:
    opinion = weighed(MIXER).opinion
    assert opinion.first.id == "whirl_critical_speed"
    assert str(opinion.first.place) == "shaft-1"
    assert answers(MIXER, "finding.whirl") == {"shaft-1": "reached"}


def test_mixer_waits_for_gates_and_so_is_not_strong() -> None:
    opinion = weighed(MIXER).opinion
    waiting = [gate.question.id for gate in opinion.gates if not gate.answered]
    assert len(waiting) >= 3
    assert opinion.first.strength.word != "strong support"
    assert [one.question.id for one in opinion.ask_next[: len(waiting)]] == waiting


def test_mixer_rests_mostly_on_photos() -> None:
    count = {stage: sum(seen.stage == stage for seen in loaded(MIXER).case.observations) for stage in STAGES}
    assert count["photos"] > count["bench"] > 0


def test_tractor_is_open_and_its_gates_come_first() -> None:
    opinion = weighed(TRACTOR).opinion
    assert opinion.first.strength.word in ("open", "weak support")
    assert not any(gate.answered for gate in opinion.gates)
    asked = [one.gate for one in opinion.ask_next]
    gates = len(opinion.gates)
    assert asked == [True] * min(gates, len(asked)) + [False] * max(0, len(asked) - gates)
    assert not any(one.computed for one in sums(loaded(TRACTOR)))


def test_tractor_knows_only_what_was_told() -> None:
    case: Case = loaded(TRACTOR).case
    assert {(seen.how.value if seen.how else "", seen.stage) for seen in case.observations} == {("told", "call")}
    assert len(case.observations) <= 4
    assert not case.photos
