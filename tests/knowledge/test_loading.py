"""The knowledge files: strict loading with file, line and field; the linter; the data themselves."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from beachmark.basis.errors import Fault, InputError
from beachmark.evidence.signs import SIGN_IDS
from beachmark.knowledge.linter import WEAKNESSES, lint
from beachmark.knowledge.loader import load_knowledge
from beachmark.knowledge.model import Knowledge
from beachmark.workflow.packaged import knowledge_texts

TEXTS = knowledge_texts()


def faults_of(name: str, old: str, new: str) -> list[Fault]:
    """The faults after one edit of one file."""
    assert old in TEXTS[name], "the edit must hit something"
    with pytest.raises(InputError) as refused:
        load_knowledge({**TEXTS, name: TEXTS[name].replace(old, new, 1)})
    return refused.value.faults


CROSS, FATIGUE = "vocabulary/cross.yaml", "causes/fatigue.yaml"
EDITS = [
    (CROSS, "place: trunnion", "place: elbow", "place", "not known"),
    (CROSS, "effort: hand", "effort: heavy", "effort", "not known"),
    (CROSS, "minutes: ", "minutes: -", "minutes", "not accepted"),
    (CROSS, "group: ", "group: no_such_", "group", "is not defined"),
    (CROSS, "seen: usual", "seen: daily", "seen", "not known"),
    (CROSS, "version: 1", "version: 2", "version", "cannot be read"),
    (CROSS, "  - id: cross.face\n", "  - id: cross.face\n    colour: red\n", "colour", "unknown field"),
    (CROSS, "- id: cross.face\n", "- id: cross.broken\n", "id", "stands already"),
    (FATIGUE, "cross.face:", "cross.fase:", "cross.fase", "is not defined"),
    (FATIGUE, "how_common: common", "how_common: daily", "how_common", "not known"),
    (FATIGUE, "expected: [", "expected: [no_such_answer, ", "expected", "has no answer"),
    (FATIGUE, "remedy:", "remedi:", "remedi", "unknown field"),
    ("causes/assembly.yaml", "groups: [phase,", "groups: [phasee,", "explains_nothing", "is not defined"),
    ("causes/assembly.yaml", "answers: [remains]", "answers: [remain]", "explains_nothing", "has no answer"),
    ("vocabulary/event.yaml", "parted: false", "parted: maybe", "parted", "is not true or false"),
    ("root_causes.yaml", "cross_fatigue_fillet: main", "cross_fatigue_filet: main", "of", "is not defined"),
    ("root_causes.yaml", "origin: application", "origin: somebody", "origin", "not known"),
    ("limits.yaml", "value: 0.5 deg", "value: 0.5 mm", "value", "is a length"),
    ("limits.yaml", "low: 300", "low: 900", "limits[0]", "does not lie between"),
    ("scales.yaml", "trust: 0.7", "trust: 7", "trust", "not accepted"),
    ("signs.yaml", "sign.dry_caps", "sign.wet_caps", "signs", "not derived by any rule"),
    ("findings.yaml", "speaks: for", "speaks: maybe", "speaks", "not known"),
    ("aliases.yaml", "arm_end_scuffed", "arm_end_scufed", "causes", "is not defined"),
]

TWIN_EVENTS = "".join(
    f"  - {{id: twin_{n}, title: t, story: s, needs: [], duration: 1 s, gear: reverse, speed: {{value: 0 m/s}}, "
    "grade: {value: 0 deg}, surfaces: {dry: 1}, courses: {throttle: {first: {value: 0}}}, "
    "leaves: {event.gear: {expected: [low]}}, source: from memory}\n"
    for n in (1, 2)
)


@pytest.mark.parametrize(("name", "old", "new", "field", "says"), EDITS)
def test_a_fault_is_reported_with_file_line_field_and_allowed(
    name: str, old: str, new: str, field: str, says: str
) -> None:
    assert_reported(name, old, new, field, says)


def assert_reported(name: str, old: str, new: str, field: str, says: str) -> None:
    """One edit of one file is a fault with the file, the field and a line near the edit."""
    faults = faults_of(name, old, new)
    hit = [fault for fault in faults if says in fault.wrong and field in fault.field]
    assert hit, [str(fault) for fault in faults]
    assert hit[0].where == name
    assert hit[0].line
    # the line is that of the edit, or the line of the entry that holds it
    position = TEXTS[name].index(old)
    assert abs(hit[0].line - (TEXTS[name][:position].count("\n") + 1)) <= 12


def test_faults_of_several_files_come_together() -> None:
    broken = dict(TEXTS)
    broken[CROSS] = broken[CROSS].replace("effort: hand", "effort: heavy", 1)
    broken[FATIGUE] = broken[FATIGUE].replace("how_common: common", "how_common: daily", 1)
    del broken["groups.yaml"]
    with pytest.raises(InputError) as refused:
        load_knowledge(broken)
    assert {fault.where for fault in refused.value.faults} >= {CROSS, FATIGUE, "groups.yaml"}


def test_an_unknown_file_is_a_fault() -> None:
    with pytest.raises(InputError, match="not known here"):
        load_knowledge({**TEXTS, "extra.yaml": "version: 1\nextra: []\n"})


def test_the_packaged_knowledge_has_no_weakness(knowledge: Knowledge) -> None:
    assert lint(knowledge) == ()


def test_each_weakness_can_be_found(knowledge: Knowledge) -> None:
    """Spoil the packaged knowledge in one way for each kind of weakness."""
    spoiled = dict(TEXTS)
    lonely = "version: 1\ncauses:\n" + "".join(
        f"  - {{id: twin_{n}, title: t, family: f, component: cross, place: joint, how_common: rare, mechanism: m, "
        "first_failure: f, remedy: r, source: from memory, expects: {cross.broken: {expected: [none]}}}\n"
        for n in (1, 2)
    )
    spoiled["causes/lonely.yaml"] = lonely
    spoiled["vocabulary/odd.yaml"] = (
        "version: 1\nobservations:\n  - {id: odd.thing, place: joint, type: sight, group: fracture_face, question: q, "
        "answers: {a: {text: a}, b: {text: b}}, how_to_look: l, effort: hand, minutes: 1, source: from memory}\n"
    )
    spoiled["events.yaml"] += TWIN_EVENTS
    spoiled["root_causes.yaml"] = re.sub(r"\n    act: [^\n]*", "", spoiled["root_causes.yaml"], count=1)
    found = Counter(weakness.kind for weakness in lint(load_knowledge(spoiled)))
    assert set(found) == set(WEAKNESSES)


def test_nothing_of_the_drafts_was_lost(knowledge: Knowledge) -> None:
    """At least the 98 observations, 35 mechanisms and 35 root causes that the first version started from."""
    asked = [question for question in knowledge.questions.values() if question.effort]
    assert len(asked) >= 98
    assert len(knowledge.causes) >= 35
    assert len(knowledge.root_causes) >= 35
    assert {q.id for q in knowledge.questions.values() if q.type == "sign"} == set(SIGN_IDS)


def test_every_entry_names_its_source(knowledge: Knowledge) -> None:
    sourced = [*knowledge.questions.values(), *knowledge.causes.values(), *knowledge.root_causes.values()]
    assert all(entry.source for entry in sourced)
    assert all(limit.value.source for limit in knowledge.limits.values())
    assert all(value.source for value in knowledge.typical.values())


def test_no_sentence_blames(knowledge: Knowledge) -> None:
    words = re.compile(
        r"\b(abuse|abused|neglect|negligen\w*|driver error|careless\w*|fault of|to blame|guilty)\b", re.I
    )
    for name, text in TEXTS.items():
        assert not words.search(text), f"{name}: {words.search(text)}"
    assert knowledge.version == 1


def test_steps_that_can_hurt_carry_a_caution(knowledge: Knowledge) -> None:
    under_the_vehicle = [
        q for q in knowledge.questions.values() if q.effort in ("tools", "strip") and q.component != "lab"
    ]
    without = [q.id for q in under_the_vehicle if not q.cautions and not q.id.startswith(("geo.", "cap.", "cross."))]
    assert not without
    altering = [q.id for q in knowledge.questions.values() if q.alters_evidence and not q.cautions]
    assert not altering
