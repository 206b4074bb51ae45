"""The case file: what is read, what is kept, what is refused, and that it comes back the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from beachmark.basis.errors import InputError
from beachmark.basis.units import UNITS, parse_quantity
from beachmark.basis.values import Known, Value
from beachmark.cases.case import Account, Case, Photo, Work
from beachmark.cases.codec import plain_case, read_case, read_catalogue, write_case
from beachmark.cases.schema import case_schema, catalogue_schema
from beachmark.driveline.fields import about
from beachmark.driveline.parts import Cross, End, Joint, Shaft, Slip, Tube
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import KINDS, Axle, Before, Duty, Engine, Gearbox, Tyre, Vehicle
from beachmark.evidence.records import How, Observation, Sure
from beachmark.findings.population import FleetGroup
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge as packaged
from tests.conftest import EXAMPLES, ROOT

ReadCase = Callable[[str], Case]
EVERY_EXAMPLE = sorted(EXAMPLES.rglob("*.yaml"))
KNOWLEDGE = packaged()


def reread(case: Case, *, as_json: bool = False) -> Case:
    return read_case(write_case(case, as_json=as_json), name="again", knowledge=KNOWLEDGE)


@pytest.mark.parametrize("path", EVERY_EXAMPLE, ids=lambda path: path.stem)
def test_examples_come_back_the_same_and_fit_the_schema(path: Path, knowledge: Knowledge) -> None:
    case = read_case(path.read_text(encoding="utf-8"), name=path.name, knowledge=knowledge)
    assert reread(case) == case
    assert reread(case, as_json=True) == case
    jsonschema.validate(plain_case(case), case_schema())
    jsonschema.validate(yaml.safe_load(path.read_text(encoding="utf-8")), case_schema())


def test_published_schemas_are_the_ones_in_the_code() -> None:
    for name, schema in (("case", case_schema()), ("catalogue", catalogue_schema())):
        jsonschema.Draft202012Validator.check_schema(schema)
        published = json.loads((ROOT / "docs" / f"{name}.schema.json").read_text(encoding="utf-8"))
        assert published == schema, f"run: beachmark case schema > docs/{name}.schema.json"


# --- a case of any shape comes back the same -------------------------------------------------------------

words = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=15).map(str.strip)
UNIT_OF = {dimension: next(iter(units)) for dimension, units in UNITS.items()}


@st.composite
def values(draw: st.DrawFn, dimension: str, most: float | None) -> Value:
    largest = 1.0 if most is None or most > 1 else most * 0.9
    number = draw(st.floats(largest / 50, largest).map(lambda x: round(x, 6)))
    unit = next(unit for unit, factor in UNITS[dimension].items() if factor == 1.0)
    typed = f"{number} {unit}".strip()
    si = parse_quantity(typed, dimension).si
    margin = draw(st.sampled_from([0.0, si / 10]))
    known = draw(st.sampled_from(list(Known)))
    return Value(si, si - margin, si + margin, dimension, known, draw(words), typed)


@st.composite
def parts(draw: st.DrawFn, kind: type[Any]) -> Any:
    chosen = {}
    for of in fields(kind):
        described = about(of)
        if described and draw(st.booleans()):
            chosen[of.name] = draw(values(described.dimension, described.most))
    return kind(**chosen)


@st.composite
def trains(draw: st.DrawFn) -> Train:
    count = draw(st.integers(1, 4))
    shafts = tuple(
        replace(
            draw(parts(Shaft)),
            tube=draw(parts(Tube)),
            slip=draw(st.none() | st.builds(Slip, teeth=st.integers(6, 40), teeth_out=st.none() | st.integers(0, 5))),
            support=n < count - 1 and draw(st.booleans()),
        )
        for n in range(count)
    )
    joints = tuple(replace(draw(parts(Joint)), cross=draw(parts(Cross))) for _ in range(count + 1))  # type: ignore[type-var]
    return Train(shafts, joints, draw(parts(End)), draw(parts(End)))  # type: ignore[arg-type]


@st.composite
def seen(draw: st.DrawFn, train: Train) -> Observation:
    question = draw(st.sampled_from([q for q in KNOWLEDGE.questions.values() if q.effort]))
    at = draw(st.sampled_from([None, *train.layout.places(question.place)])) if question.place != "any" else None
    return Observation(
        see=question.id,
        answers=(draw(st.sampled_from([*question.answers, "not_looked"])),),
        at=at,
        by=draw(words),
        how=draw(st.none() | st.sampled_from(list(How))),
        sure=draw(st.sampled_from(list(Sure))),
        note=draw(words),
    )


@st.composite
def cases(draw: st.DrawFn) -> Case:
    train = draw(trains())
    vehicle = Vehicle(
        description=draw(words),
        kind=draw(st.sampled_from(["", *KINDS])),
        engine=draw(parts(Engine)),  # type: ignore[arg-type]
        gearbox=draw(parts(Gearbox)),  # type: ignore[arg-type]
        axle=draw(parts(Axle)),  # type: ignore[arg-type]
        tyre=draw(parts(Tyre)),
        before=draw(parts(Before)),
        duty=draw(parts(Duty)),
    )
    return Case(
        title=draw(words.filter(bool)),
        reference=draw(words),
        vehicle=vehicle,
        train=train,
        layout_known=True,
        account=Account(driver_words=draw(words), question=draw(words)),
        observations=tuple(draw(st.lists(seen(train), max_size=4))),
        photos=tuple(draw(st.lists(st.builds(Photo, id=words.filter(bool), shows=words), max_size=2))),
        history=tuple(draw(st.lists(st.builds(Work, what=words.filter(bool)), max_size=2))),
        fleet=tuple(
            draw(
                st.lists(st.builds(FleetGroup, words, st.integers(0, 3), st.integers(3, 9), st.booleans()), max_size=2)
            )
        ),
    )


@given(cases())
@settings(max_examples=60, deadline=None)
def test_any_case_comes_back_the_same(case: Case) -> None:
    assert reread(case) == case
    assert reread(case, as_json=True) == case
    jsonschema.validate(plain_case(case), case_schema())


@pytest.mark.parametrize("kind", ["", *KINDS])
def test_a_kind_of_vehicle_is_one_of_the_classes_or_nothing(kind: str, case_of: ReadCase) -> None:
    case = case_of(f"vehicle: {{kind: {kind!r}}}")
    assert case.vehicle.kind == kind
    assert ("vehicle" in plain_case(case)) == bool(kind)
    jsonschema.validate({"beachmark_case": 1, "title": "t", "vehicle": {"kind": kind}}, case_schema())


@pytest.mark.parametrize("kind", ["lorry", "any", "Bus", 3, True])
def test_another_kind_of_vehicle_is_refused(kind: object, case_of: ReadCase) -> None:
    with pytest.raises(InputError) as refused:
        case_of(f"vehicle: {{kind: {kind}}}")
    [fault] = refused.value.faults
    assert fault.field == "vehicle.kind"
    assert fault.allowed == "tractor, tipper, bus, off_highway"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"beachmark_case": 1, "title": "t", "vehicle": {"kind": kind}}, case_schema())


# --- what was typed is kept, and things are found where they belong ---------------------------------------


def test_what_was_typed_is_kept_beside_the_si_number(case_of: ReadCase) -> None:
    case = case_of("driveline: {shafts: [{length: 59 13/16 in, slope: 3.2 deg nose down}]}")
    length = case.train.shaft(1).length
    assert length is not None
    assert length.si == pytest.approx(59.8125 * 0.0254)
    assert length.typed == "59 13/16 in"
    assert "59 13/16 in" in write_case(case)


def test_a_range_and_an_origin(case_of: ReadCase) -> None:
    text = "{value: 101.6 mm, plus_minus: 0.2 mm, known: measured, source: vernier}"
    outer = case_of(f"driveline: {{shafts: [{{tube: {{outer_diameter: {text}}}}}]}}").train.shaft(1).tube.outer_diameter
    assert outer is not None
    assert (outer.low, outer.high) == pytest.approx((0.1014, 0.1018))
    assert (outer.known, outer.source) == (Known.MEASURED, "vernier")


def test_catalogue_sizes_lie_under_what_the_case_states(case_of: ReadCase) -> None:
    catalogue = "catalogue: {beachmark_catalogue: 1, name: Own, joints: {t33: {trunnion_diameter: 33 mm, needles: 38}}}"
    case = case_of(f"{catalogue}\ndriveline: {{shafts: [{{}}], joints: [{{size: t33, cross: {{needles: 36}}}}, {{}}]}}")
    cross = case.installed().joint(1).cross
    assert cross.trunnion_diameter is not None
    assert (cross.trunnion_diameter.si, cross.trunnion_diameter.known) == (pytest.approx(0.033), Known.TABLE)
    assert cross.needles == 36, "what the case states stands above the table"


def test_slopes_and_lengths_follow_from_points(case_of: ReadCase) -> None:
    points = "[{at: {x: 0 m, y: 0 m, z: 0 m}}, {at: {x: 3 m, y: 0 m, z: -0.3 m}}]"
    shaft = case_of(f"driveline: {{shafts: [{{}}], joints: {points}}}").installed().shaft(1)
    assert shaft.length is not None
    assert shaft.length.si == pytest.approx((9 + 0.09) ** 0.5)
    assert shaft.slope is not None
    assert shaft.slope.si == pytest.approx(-0.0996687, rel=1e-5)


def test_old_names_are_read_as_todays(case_of: ReadCase) -> None:
    case = case_of("observations: [{see: nb.pinion, answers: [free]}]")
    assert case.observations[0].answers == ("moves_freely",)


# --- everything that is refused: field, value, what is allowed; nothing half taken ------------------------

ONE = "driveline: {shafts: [{}]}\n"
REFUSED = [
    ("vehicle: {axle: {ratio: 4.1 kg}}", "vehicle.axle.ratio", "is a mass"),
    ("vehicle: {tyre: {rolling_radius: 0.5}}", "vehicle.tyre.rolling_radius", "has no unit"),
    ("vehicle: {axle: {load: heavy}}", "vehicle.axle.load", "cannot be read"),
    ("vehicle: {gearbox: {efficiency: 1.2}}", "vehicle.gearbox.efficiency", "cannot be"),
    ("vehicle: {wheels: 6}", "vehicle.wheels", "unknown field"),
    ("vehicle: 12", "vehicle", "not a group of fields"),
    ("driveline: {shafts: [{length: -2 m}]}", "driveline.shafts[0].length", "cannot be"),
    ("driveline: {shafts: [{length: 0 mm}]}", "driveline.shafts[0].length", "cannot be"),
    ("driveline: {shafts: [{length: 80 m}]}", "driveline.shafts[0].length", "cannot be"),
    ("driveline: {shafts: [{slope: 120 deg}]}", "driveline.shafts[0].slope", "cannot be"),
    ("driveline: {shafts: [{slope: -120 deg}]}", "driveline.shafts[0].slope", "cannot be"),
    ("driveline: {shafts: [{length: .nan}]}", "driveline.shafts[0].length", "not a number"),
    ("driveline: {shafts: [{}], joints: [{}]}", "driveline.joints", "no neighbour"),
    ("driveline: {joints: [{}, {}]}", "driveline.joints", "no joint has neighbours"),
    ("driveline: {shafts: [{}, {}, {}, {}, {}, {}, {}]}", "driveline.shafts", "7 shafts"),
    ("driveline: {shafts: [{support: true}]}", "driveline.shafts[0].support", "ends at the axle"),
    ("driveline: {shafts: [{support: maybe}]}", "driveline.shafts[0].support", "not true or false"),
    ("driveline: [1]", "driveline", "not a group"),
    ("driveline: {shafts: [{slip: {teeth: 16.5}}]}", "driveline.shafts[0].slip.teeth", "not a whole number"),
    ("driveline: {shafts: [{}], joints: [{size: t99}, {}]}", "driveline.joints[0].size", "not in the catalogue"),
    (
        "driveline: {shafts: [{length: {value: 2 m, plus_minus: 3 s}}]}",
        "driveline.shafts[0].length.plus_minus",
        "is a time",
    ),
    ("driveline: {shafts: [{length: {value: 2 m, low: 3 m}}]}", "driveline.shafts[0].length", "does not lie between"),
    ("driveline: {shafts: [{length: {value: 2 m, guess: 1}}]}", "driveline.shafts[0].length.guess", "unknown field"),
    ("driveline: {shafts: [{length: {value: 2 m, known: sure}}]}", "driveline.shafts[0].length.known", "not known"),
    ("observations: [{see: cross.fase, answers: [mixed]}]", "observations[0].see", "unknown observation"),
    ("observations: [{see: finding.whirl, answers: [reached]}]", "observations[0].see", "unknown observation"),
    ("observations: [{see: cross.face, answers: [blue]}]", "observations[0].answers", "has no answer 'blue'"),
    ("observations: [{see: cross.face, answers: []}]", "observations[0].answers", "no answer is given"),
    ("observations: [{see: cross.face, answers: [mixed, smeared]}]", "observations[0].answers", "one answer"),
    ("observations: [{see: cross.face}]", "observations[0].answers", "missing"),
    ("observations: [{answers: [mixed]}]", "observations[0].see", "missing"),
    ("observations: [{see: cross.face, at: joint-0, answers: [mixed]}]", "observations[0].at", "is not a place"),
    ("observations: [{see: cross.face, at: joint-1/ear, answers: [mixed]}]", "observations[0].at", "has no part"),
    (ONE + "observations: [{see: cross.face, at: joint-3, answers: [mixed]}]", "observations[0].at", "has no joint-3"),
    ("observations: [{see: cross.face, at: shaft-1, answers: [mixed]}]", "observations[0].at", "is looked at on a"),
    ("observations: [{see: cross.face, answers: [mixed], sure: very}]", "observations[0].sure", "not known"),
    ("observations: [{see: cross.face, answers: [mixed], photos: [p1]}]", "observations[0].photos", "not in the list"),
    ("observations: 7", "observations", "not a list"),
    ("fleet: [{name: a, failed: 5, of: 3}]", "fleet[0]", "5 failed of 3"),
    ("fleet: [{name: a, failed: many, of: 3}]", "fleet[0].failed", "not a whole number"),
    ("catalogue: other.yaml", "catalogue", "cannot be read"),
    ("catalogue: {name: x}", "catalogue", "not a parts catalogue"),
    ("colour: red", "colour", "unknown field"),
]


@pytest.mark.parametrize(("text", "field", "says"), REFUSED)
def test_refused_with_field_value_and_what_is_allowed(text: str, field: str, says: str, case_of: ReadCase) -> None:
    with pytest.raises(InputError) as refused:
        case_of(text)
    faults = refused.value.faults
    assert any(fault.field == field and says in fault.wrong for fault in faults), [str(fault) for fault in faults]
    assert all(fault.line for fault in faults)


def test_all_faults_are_reported_at_once(case_of: ReadCase) -> None:
    with pytest.raises(InputError) as refused:
        case_of("vehicle: {axle: {ratio: x}}\ndriveline: {shafts: [{length: -1 m}]}\nobservations: [{see: no.thing}]")
    assert len(refused.value.faults) == 3
    lines = [fault.line or 0 for fault in refused.value.faults]
    assert lines == sorted(lines)


@pytest.mark.parametrize("text", ["title: x\n", "beachmark_case: 2\ntitle: x\n", "- 1\n", "7\n", "beachmark_case: 1\n"])
def test_not_a_case_file(text: str, knowledge: Knowledge) -> None:
    with pytest.raises(InputError):
        read_case(text, name="x.yaml", knowledge=knowledge)


def test_near_misses_are_named(case_of: ReadCase) -> None:
    with pytest.raises(InputError) as refused:
        case_of("observations: [{see: cross.fase, answers: [mixed]}]")
    assert "cross.face" in refused.value.faults[0].allowed


def test_a_catalogue_of_its_own() -> None:
    catalogue = read_catalogue(
        "beachmark_catalogue: 1\nname: Own\ntubes: {a: {outer_diameter: 4 in, wall: 3 mm}}", name="c"
    )
    assert catalogue.tubes["a"].wall is not None
    with pytest.raises(InputError) as refused:
        read_catalogue("beachmark_catalogue: 1\nname: Own\ntubes: {a: {outer_diameter: 4 kg, walls: 3 mm}}", name="c")
    assert {fault.field for fault in refused.value.faults} == {"tubes.a.outer_diameter", "tubes.a.walls"}
