"""Reads a replay against what was seen: what each event would do, which one fits, what must have been wrong before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.evidence.records import Observation
from beachmark.evidence.states import part_states
from beachmark.findings.replay.proving import bracket_of, proved_nm
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent, Reading, Told
from beachmark.findings.replay.record import EventRecord, PartRecord, Reals, Record
from beachmark.findings.replay.running import digest
from beachmark.findings.replay.telling import Situation, focus_part, position_words, sentence, wanted
from beachmark.findings.replay.weighing import Spoken, peak, position_bits, share_of_other, shares, spoken
from beachmark.findings.replay.witness import replay_sums
from beachmark.knowledge.model import Knowledge
from beachmark.knowledge.parting import parted

_STALE = "vehicle, driveline or what is usual has changed since it was run: run it again, until then it weighs nothing"
_LEAST_SOUND = 0.5  # an event that went astray in more draws than this is not read
_QUANTILES = (0.05, 0.5, 0.95)


def read_replay(
    knowledge: Knowledge, vehicle: Vehicle, train: Train, observations: Sequence[Observation], record: Record
) -> Reading:
    """The whole answer of a replay, with what was seen until now."""
    record = replace(record, events=tuple(one for one in record.events if _readable(knowledge, one)))
    stale = "" if record.digest == digest(knowledge, vehicle, train) else _STALE
    states = part_states(observations)
    said = spoken(knowledge, record, observations, states)
    account = [one for one in said if one.by_account]
    chances = shares([one.weights for one in said], len(record.events))
    by_account = shares([one.weights for one in account], len(record.events))
    other = share_of_other(said)
    inside = (1.0 - other) * chances
    events = [
        _event(knowledge, record, event, said, number, (float(inside[number]), float(by_account[number])))
        for number, event in enumerate(record.events)
    ]
    events.sort(key=lambda one: -one.chance)
    bits, whole = position_bits(record)
    focus = focus_part(record, states, events)
    broke = parted(knowledge, ((one.see, one.answers) for one in observations))
    sums = replay_sums(knowledge, record, (by_account, share_of_other(account)), stale=bool(stale))
    bracket = bracket_of(record, states)
    situation = Situation(
        events, max(record.of_events, len(events)), other, bool(said), broke, proved_nm(record, states)
    )
    return Reading(
        events=tuple(events),
        about=focus.id if focus is not None else "",
        sentence=sentence(situation, focus),
        other=other,
        sums=(*sums, bracket) if bracket is not None else sums,
        bracket=bracket,
        position_bits=bits,
        event_bits=whole,
        position_words=position_words(bits, whole, len(record.events)),
        wanted=wanted(knowledge, record, observations, (events, by_account), focus),
        notes=record.notes,
        stale=stale,
        seed=record.seed,
        draws=record.draws,
        versions=tuple(record.versions.items()),
    )


def _readable(knowledge: Knowledge, event: EventRecord) -> bool:
    return event.event in knowledge.events and float(event.sound.mean()) >= _LEAST_SOUND


def _event(
    knowledge: Knowledge,
    record: Record,
    event: EventRecord,
    said: Sequence[Spoken],
    number: int,
    chances: tuple[float, float],
) -> EventReading:
    kind = knowledge.events[event.event]
    judged = [None if np.isnan(one) else float(one) for one in event.deviation]
    return EventReading(
        id=kind.id,
        title=kind.title,
        story=kind.story,
        draws=len(event.sound),
        sound=float(event.sound.mean()),
        parts=tuple(_part(record, event, part) for part in record.parts),
        chance=chances[0],
        by_account=chances[1],
        told=tuple(Told(one.words, float(one.weights[number])) for one in said),
        history=event.history,
        loads=record.loads,
        typical_deviation=judged[0],
        worst_deviation=judged[1],
        step_s=event.step_s,
        gear=band(event.gear[event.sound]),
        friction=band(event.friction[event.sound]),
    )


def _part(record: Record, event: EventRecord, part: PartRecord) -> PartInEvent:
    sound, number = event.sound, record.load_number(part.load)
    load = peak(record, event, part)[sound]
    pull = event.greatest[sound, number] >= -event.least[sound, number]
    used, breaks = load / part.yields_nm[sound], load / part.breaks_nm[sound]
    first = event.first[sound] == record.parts.index(part)
    return PartInEvent(
        part=part.id,
        words=part.words,
        at=part.at,
        peak_nm=band(load),
        over_steady=band(load / np.maximum(event.steady_nm[sound], 1e-9)),
        used=band(used),
        breaks_below=band(breaks),
        yields=share(used >= 1.0),
        breaks=share(breaks >= 1.0),
        first=share(first),
        pull=share(pull),
        known=part.known,
        because=part.because,
    )


def band(values: Reals) -> Band:
    """5 %, middle and 95 % of the draws; zeros where there are none."""
    if not len(values):
        return Band(0.0, 0.0, 0.0)
    low, middle, high = np.quantile(values, _QUANTILES)
    return Band(float(low), float(middle), float(high))


def share(marks: npt.NDArray[np.bool_]) -> float:
    """Share of the draws that are marked."""
    return float(np.mean(marks)) if len(marks) else 0.0
