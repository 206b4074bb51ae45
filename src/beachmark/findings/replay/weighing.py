"""How well each replayed event fits what was seen: what was told of it, and what the parts say through the physics.

Only ratios between events are told. The chance of an answer in an event is that of its table of expectations, mixed
with the chance of a mistake; answers are taken as independent within an event, and each log ratio is trusted only in
part, as in the weighing of causes. The state of a part is worked out from the draws; how weak the broken part had
become before is left open.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from beachmark.evidence.records import SILENT, Observation
from beachmark.evidence.states import Seen, State
from beachmark.findings.ranges import first_order_share
from beachmark.findings.replay.record import EventRecord, InputRecord, PartRecord, Reals, Record
from beachmark.knowledge.chances import answer_chances, background, mistake
from beachmark.knowledge.model import Knowledge

Marks = npt.NDArray[np.bool_]
SENSE = "event.set_sense"
NOT_LISTED = 0.2  # chance of an event that is not in the list, before anything was seen (common practice, no source)
_LEAST_OTHER = 0.1  # however well an event fits (common practice, no source)
_LEFT = np.geomspace(0.2, 1.0, 17)  # share of its strength that the broken part may have had left
_STATE_MISTAKE = 0.05  # of the model and of the look at a part
_SENSE_MISTAKE = 0.1
_CLASSES, _FEW = 16, 64  # of the share that an input makes; fewer draws tell none
_REBOUND = 0.8  # an opposite peak of this share of the greatest may set a part the other way too


@dataclass(frozen=True)
class Spoken:
    """What one thing that was seen says of every event: log of its chance there over the mean of all events."""

    words: str
    weights: Reals  # (events,)
    other: float  # the same of anything that is not in the list
    by_account: bool  # told of the event itself, not read from the parts


def spoken(
    knowledge: Knowledge, record: Record, observations: Sequence[Observation], states: Sequence[Seen]
) -> tuple[Spoken, ...]:
    """Everything that orders the events, strongest first."""
    found = _by_account(knowledge, record, observations)
    found += _by_sense(knowledge, record, observations, states)
    parts = _by_parts(record, states)
    found += [parts] if parts is not None else []
    return tuple(sorted(found, key=lambda one: -float(np.ptp(one.weights))))


def shares(weights: Sequence[Reals], events: int) -> Reals:
    """Chance of each event among those replayed, equal before anything was seen."""
    if not events:
        return np.zeros(0)
    total = np.sum(weights, axis=0) if weights else np.zeros(events)
    raised = np.exp(total - total.max())
    return np.asarray(raised / raised.sum())


def share_of_other(said: Sequence[Spoken]) -> float:
    """Chance that it was none of the events replayed: a fifth before anything was seen, never less than a tenth.

    What is not in the list may look much like what is.
    """
    if not said:
        return NOT_LISTED
    events = np.sum([one.weights for one in said], axis=0)
    inside = math.log((1.0 - NOT_LISTED) / len(events)) + float(np.logaddexp.reduce(events))
    outside = math.log(NOT_LISTED) + sum(one.other for one in said)
    return max(_LEAST_OTHER, 1.0 / (1.0 + math.exp(min(inside - outside, 700.0))))


# ---- what was told --------------------------------------------------------------------------------------------


def _by_account(knowledge: Knowledge, record: Record, observations: Sequence[Observation]) -> list[Spoken]:
    asked = {see for event in record.events for see in knowledge.events[event.event].leaves} - {SENSE}
    by_question: dict[str, list[Observation]] = {}
    for one in observations:
        if one.see in asked and any(answer in _named(knowledge, record, one.see) for answer in one.answers):
            by_question.setdefault(one.see, []).append(one)
    return [_told(knowledge, record, told) for told in by_question.values()]


def _named(knowledge: Knowledge, record: Record, see: str) -> set[str]:
    """Answers that some event names: one that none does (not opened, say) tells nothing of the event."""
    tables = [knowledge.events[event.event].leaves.get(see, {}) for event in record.events]
    return {answer for table in tables for answers in table.values() for answer in answers} - SILENT


def _told(knowledge: Knowledge, record: Record, told: Sequence[Observation]) -> Spoken:
    """One question against every event's table; all that was answered to it shares one vote.

    Something that is not in the list gives answers as often as they are given when nothing made them.
    """
    question = knowledge.questions[told[0].see]
    ground = background(knowledge, question)
    tables = [knowledge.events[event.event].leaves.get(question.id, {}) for event in record.events]
    chances = np.array([answer_chances(knowledge, question, table) for table in tables])
    rows = np.vstack([chances, ground])
    logs, words = [], []
    for one in told:
        error = mistake(knowledge.scales, one)
        mixed = (1.0 - error) * rows + error * ground
        answers = [answer for answer in one.answers if answer not in SILENT]
        logs += [np.log(mixed[:, list(question.answers).index(answer)]) for answer in answers]
        words += [question.answers[answer].text for answer in answers]
    text = f"{question.question.rstrip('?')}: {' / '.join(dict.fromkeys(words))}"
    return _spoken(text, knowledge.scales.trust * np.mean(logs, axis=0), by_account=True)


def _spoken(words: str, logs: Reals, *, by_account: bool) -> Spoken:
    """Logs of chances in every event, and last in anything else, over the log of their mean over the events."""
    events = logs[:-1]
    mean = float(np.logaddexp.reduce(events)) - math.log(len(events)) if events.size else 0.0
    return Spoken(words, events - mean, float(logs[-1]) - mean, by_account)


# ---- sense of twist -------------------------------------------------------------------------------------------


def _by_sense(
    knowledge: Knowledge, record: Record, observations: Sequence[Observation], states: Sequence[Seen]
) -> list[Spoken]:
    """In which sense parts are set, against the sense of the greatest torque in every draw."""
    seen = [one for one in observations if one.see == SENSE and one.speaks and one.answers[0] in ("pull", "overrun")]
    if not seen:
        return []
    answer = seen[-1].answers[0]
    load = _set_load(record, states)
    logs = np.log([*(_sense_chance(event, load, answer) for event in record.events), 0.5])
    words = knowledge.questions[SENSE].answers[answer].text
    where = record.loads[load]
    return [_spoken(f"Twisted parts are set: {words.lower()} (torque at {where})", logs, by_account=False)]


def _set_load(record: Record, states: Sequence[Seen]) -> int:
    """The load of the first part that was seen set, else that of the first joint."""
    at = {(part.kind, part.at): part.load for part in record.parts}
    loads = [at.get((one.kind, str(one.at))) for one in states if one.state is State.SET]
    named = [load for load in loads if load] or [part.load for part in record.parts][:1]
    return record.load_number(named[0])


def _sense_chance(event: EventRecord, load: int, answer: str) -> float:
    """Chance that parts are set in this sense rather than the other, over the draws; mistakes included."""
    pull, overrun = event.greatest[event.sound, load], -event.least[event.sound, load]
    may = {"pull": pull >= _REBOUND * overrun, "overrun": overrun >= _REBOUND * pull}
    both = float(np.mean(may["pull"]) + np.mean(may["overrun"])) if len(pull) else 0.0
    fits = float(np.mean(may[answer])) / both if both else 0.5
    return (1.0 - _SENSE_MISTAKE) * fits + _SENSE_MISTAKE * 0.5


# ---- which part broke, which survived -------------------------------------------------------------------------


def _by_parts(record: Record, states: Sequence[Seen]) -> Spoken | None:
    """Chance of just these parts broken, set and unmarked, in every event; None unless all their strengths are known.

    The part that broke first may have lost strength before; every share left from a fifth to the whole counts alike
    on a scale of ratios.
    Up to the moment of the break the loads along the line are taken to grow together.
    """
    parts = {(part.kind, part.at): part for part in record.parts}
    known = [(parts.get((one.kind, str(one.at))), one) for one in states]
    counted = [(part, one) for part, one in known if part is not None and part.known]
    broken = [part for part, one in counted if one.state is State.BROKEN]
    if len(broken) != 1 or any(one.state is State.BROKEN and (part is None or not part.known) for part, one in known):
        return None
    others = [(part, one.state) for part, one in counted if part is not broken[0]]
    logs = np.log([_parts_chance(record, event, broken[0], others) for event in record.events])
    names = ", ".join([f"{broken[0].words} broken", *(f"{part.words} {state}" for part, state in others)])
    anything_else = float(np.logaddexp.reduce(logs)) - math.log(max(1, len(logs)))  # as likely as in a mean event
    return _spoken(f"{names[0].upper()}{names[1:]}", np.append(logs, anything_else), by_account=False)


def _parts_chance(
    record: Record, event: EventRecord, broken: PartRecord, others: Sequence[tuple[PartRecord, State]]
) -> float:
    sound = event.sound
    load = peak(record, event, broken)[sound]
    bears = broken.breaks_nm[sound]
    if not len(load):
        return 0.5
    chances = []
    for left in _LEFT:
        limit = left * bears
        breaks = load >= limit
        held = np.minimum(load, limit) / np.maximum(load, 1e-9)  # the line unloads when it breaks
        fits = breaks
        for part, state in others:
            used = held * peak(record, event, part)[sound]
            fits = fits & _agrees(part, sound, used, state)
        chances.append(fits.mean())
    return float((1.0 - _STATE_MISTAKE) * np.mean(chances) + _STATE_MISTAKE * 0.5)


def _agrees(part: PartRecord, sound: Marks, used: Reals, state: State) -> Marks:
    yields: Marks = used >= part.yields_nm[sound]
    return yields if state is not State.UNMARKED else ~yields


def peak(record: Record, event: EventRecord, part: PartRecord) -> Reals:
    """Greatest torque on a part in either sense, in every draw."""
    number = record.load_number(part.load)
    found: Reals = np.maximum(event.greatest[:, number], -event.least[:, number])
    return found


def widening(record: Record, event: EventRecord, part: PartRecord) -> list[tuple[InputRecord, float]]:
    """The inputs by the share of the range of load over strength that each makes alone, in one event, widest first."""
    sound = np.flatnonzero(event.sound)
    sound = sound[: len(sound) // _CLASSES * _CLASSES]  # classes of equal count
    if len(sound) < _FEW:
        return []
    used = np.log(np.maximum(peak(record, event, part)[sound] / part.breaks_nm[sound], 1e-9))
    shares = [(one, first_order_share(one.draws[sound], used)) for one in record.inputs if one.draws.size]
    return sorted(shares, key=lambda pair: -pair[1])


# ---- what the place of the break tells ------------------------------------------------------------------------


def position_bits(record: Record) -> tuple[float, float]:
    """What the place that breaks first tells of the event, and what there is to be told, bits.

    Mutual information of event and part with the greatest load over strength, events equally likely; the bias of a
    finite count of draws is taken off. Source: Miller, Note on the bias of information estimates (1955) (from memory).
    """
    known = [number for number, part in enumerate(record.parts) if part.breaks_nm.size]
    if len(record.events) < 2 or len(known) < 2:
        return 0.0, math.log2(max(1, len(record.events)))
    counts = np.array([_nearest(record, event) for event in record.events])
    return information(counts), math.log2(len(record.events))


def _nearest(record: Record, event: EventRecord) -> Reals:
    """How often each part is the one nearest to its limit."""
    used = np.stack([peak(record, event, part) / part.breaks_nm for part in record.parts])[:, event.sound]
    return np.bincount(used.argmax(axis=0), minlength=len(record.parts)).astype(float)


def information(counts: Reals) -> float:
    """Mutual information of rows and columns of a table of counts, rows equally likely, bits; never below 0."""
    rows = counts / np.maximum(counts.sum(axis=1, keepdims=True), 1.0)
    columns = rows.mean(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(rows > 0.0, rows * np.log2(rows / columns), 0.0)
    used = (counts > 0).any(axis=0).sum()
    bias = (len(counts) - 1) * (int(used) - 1) / (2.0 * math.log(2.0) * max(1.0, float(counts.sum())))
    return max(0.0, float(each.sum(axis=1).mean()) - bias)
