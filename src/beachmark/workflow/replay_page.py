"""What the replay page needs of a case: what its vehicle lacks, pictures, what to ask next, and its JSON twin."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from beachmark.basis.errors import NotFoundError
from beachmark.cases.assessment import Assessment
from beachmark.findings.replay.reading import EventReading, PartInEvent, Reading
from beachmark.findings.replay.record import InputRecord, Record
from beachmark.findings.replay.vehicle import plant_of
from beachmark.report.charts.replay import replay_loads, replay_needed
from beachmark.report.charts.replay_history import replay_history
from beachmark.report.figures import CAPTIONS, figure_svg
from beachmark.report.look import Spec
from beachmark.report.replayed import CAUTION, checked, hundredths, of_hundred, percent, times, torques
from beachmark.report.words import Units, capital
from beachmark.workflow import objects
from beachmark.workflow.loading import Loaded
from beachmark.workflow.packaged import knowledge
from beachmark.workflow.pages import Figure
from beachmark.workflow.replay_object import replay_object
from beachmark.workflow.replaying import (
    ENDED,
    LEAST_DRAWS,
    MOST_DRAWS,
    EventKind,
    Job,
    Order,
    State,
    cancel,
    events_of,
    job_of,
    start,
)

VERSION = 1
LOADS, NEEDED, HISTORY = "loads", "needed", "history-"
_OWN = ("vehicle.", "driveline.")  # so begin the names of what a case can state
_NEEDED = (
    "left with less than this share of a sound one's strength, it would have broken. A bar holds nine draws in ten, "
    "its notch is the middle; hollow and dashed: the strength is assumed. The likeliest event stands first."
)
_HISTORY = (
    "torque over time in each joint, of the typical draw, in which every number has its nominal value, and of the "
    "worst of all draws, as if nothing broke. Dashed line and pale band: first yield of the weakest part there."
)


@dataclass(frozen=True)
class Lack:
    """A number that nobody gave, by its name in the case file, and the part whose strength hangs on it."""

    words: str
    name: str = ""
    at: str = ""  # the address of the part


@dataclass(frozen=True)
class Wanted:
    """What to measure or ask next, with what leads to it: a question, a field, or a part."""

    words: str
    question: str = ""
    lack: Lack | None = None


def lacking(loaded: Loaded) -> tuple[Lack, ...]:
    """What a replay would have to assume of this vehicle: strengths of parts first, then its own numbers."""
    case = loaded.case
    plant = plant_of(knowledge(), case.vehicle, case.installed())
    strengths = [Lack(f"{part.words}, {part.because}", at=str(part.at)) for part in plant.parts if not part.known]
    assumed = [one for one in plant.inputs if one.value.is_assumed and one.name.startswith(_OWN)]
    return (*strengths, *(Lack(one.words, one.name) for one in assumed))


# ---- pictures -------------------------------------------------------------------------------------------------


def focus_of(assessment: Assessment) -> str:
    """Id of the part that the replay of a case is about."""
    return assessment.replay.about if assessment.replay else ""


def replay_pictures(assessment: Assessment, record: Record) -> tuple[Figure, ...]:
    """Every picture of the replay page: its key, its caption, and what it shows in words."""
    found = ((key, _spec(assessment, record, key)) for key in _keys(assessment))
    return tuple(Figure(key, _caption(assessment, key), spec["description"]) for key, spec in found if spec)


def replay_picture(assessment: Assessment, record: Record | None, key: str) -> str:
    """One of them as SVG text. Raises `NotFoundError`."""
    if record is None or key not in _keys(assessment):
        raise NotFoundError("the replay holds no such picture")
    return figure_svg(_spec(assessment, record, key))


def _keys(assessment: Assessment) -> tuple[str, ...]:
    if assessment.replay is None or not assessment.replay.events:
        return ()
    return (LOADS, NEEDED, *(f"{HISTORY}{event.id}" for event in assessment.replay.events))


def _caption(assessment: Assessment, key: str) -> str:
    events = assessment.replay.events if assessment.replay else ()
    if key == LOADS:
        return CAPTIONS["replay_loads"]
    if key == NEEDED:
        focus = next(part.words for part in events[0].parts if part.part == focus_of(assessment))
        return f"{capital(focus)}: {_NEEDED}"
    return f"{_event_of(key, events).title}: {_HISTORY}"


def _event_of(key: str, events: Sequence[EventReading]) -> EventReading:
    return next(one for one in events if f"{HISTORY}{one.id}" == key)


def _spec(assessment: Assessment, record: Record, key: str) -> Spec:
    reading = assessment.replay
    if reading is None:
        return {}
    if key == LOADS:
        return replay_loads(reading)
    if key == NEEDED:
        return replay_needed(reading, focus_of(assessment))
    return replay_history(_event_of(key, reading.events), record.parts, Units("metric"))


def record_mark(record: Record | None) -> str:
    """Changes with what a replay was run from, so that a browser never shows the pictures of an old one."""
    if record is None:
        return ""
    events = tuple((one.event, one.deviation.tolist()) for one in record.events)
    return hashlib.sha256(repr((record.digest, record.draws, record.seed, events)).encode()).hexdigest()[:10]


# ---- what to measure or ask next ------------------------------------------------------------------------------


def wanted_next(reading: Reading, record: Record) -> tuple[Wanted, ...]:
    """What would help most, each with what leads to it where that is known."""
    return tuple(_wanted(words, reading, record) for words in reading.wanted)


def _wanted(words: str, reading: Reading, record: Record) -> Wanted:
    asked = next((one.id for one in knowledge().questions.values() if one.question == words), "")
    return Wanted(words, asked, next(_leads(words, reading, record.inputs), None))


def _leads(words: str, reading: Reading, inputs: Iterable[InputRecord]) -> Iterator[Lack]:
    """The field of an input that is told by its words, or the part whose strength is wanted."""
    for one in inputs:
        if one.name.startswith(_OWN) and (words == one.words or words.startswith(f"{one.words} (")):
            yield Lack(one.words, one.name)
    for part in reading.events[0].parts if reading.events else ():
        if part.because and part.words in words:
            yield Lack(part.words, at=part.at)


# ---- JSON -----------------------------------------------------------------------------------------------------


def replay_page_object(loaded: Loaded, assessment: Assessment, job: Job | None) -> objects.Plain:
    """The JSON twin of the replay page: what can be run, what runs, and the kept replay."""
    case = objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision)
    reading, record = assessment.replay, loaded.replay
    return {
        "object": "beachmark.replay_page",
        "version": VERSION,
        "case": case,
        "events": [{"id": one.id, "title": one.title, "story": one.story} for one in events_of(loaded)],
        "assumed": [
            {"name": one.name or None, "position": one.at or None, "words": one.words} for one in lacking(loaded)
        ],
        "job": _job(job) if job else None,
        "replay": replay_object(case, reading, record) if reading and record else None,
    }


def _job(job: Job) -> objects.Plain:
    return {
        "state": job.state.value,
        "share": job.share,
        "words": job.words,
        "error": job.error or None,
        "kept": job.kept,
        "order": {"events": list(job.order.events), "draws": job.order.draws, "seed": job.order.seed},
    }


__all__ = [
    "CAUTION",
    "ENDED",
    "HISTORY",
    "LEAST_DRAWS",
    "LOADS",
    "MOST_DRAWS",
    "NEEDED",
    "Assessment",
    "EventKind",
    "EventReading",
    "InputRecord",
    "Job",
    "Lack",
    "Order",
    "PartInEvent",
    "Reading",
    "Record",
    "State",
    "Wanted",
    "cancel",
    "checked",
    "events_of",
    "focus_of",
    "hundredths",
    "job_of",
    "lacking",
    "of_hundred",
    "percent",
    "record_mark",
    "replay_page_object",
    "replay_picture",
    "replay_pictures",
    "start",
    "times",
    "torques",
    "wanted_next",
]
