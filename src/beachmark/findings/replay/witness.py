"""Findings of a replay that the causes are weighed with: could an event like the one told overload a sound part?

The draws of all events count, each event by how well it fits what was told of it. What the parts say (which broke, in
which sense they are set) is left out of that, because the causes are weighed with it already. A share stays with an
event that is not in the list, and says nothing.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from beachmark.basis.values import Known, Value
from beachmark.driveline.positions import parse_address
from beachmark.findings.asking import Asking, judged
from beachmark.findings.ranges import of_sample
from beachmark.findings.replay.record import InputRecord, PartRecord, Reals, Record
from beachmark.findings.replay.weighing import peak, widening
from beachmark.findings.results import Input, Quantity, Sum
from beachmark.findings.topics import Topic
from beachmark.knowledge.model import Knowledge

_IDS = {"cross": "finding.replay_cross", "tube": "finding.replay_tube", "slip": "finding.replay_slip"}
_DECIDED = 0.6
_SAMPLE = 1024
_SHOWN, _LEAST_SHARE = 6, 0.01
_LEAST_DRAWS = 200
_OVER = "greatest torque over that at which a sound part first yields"
_METHOD = (
    "the events simulated on this driveline, each draw with a vehicle and a driver of its own; greatest torque over "
    "that at which a sound part first yields, every event counted by how well it fits what was told of it; what fits "
    "none of them, a tenth at least, says nothing"
)
_SOURCE = "lumped train, derived; checked draw by draw against another solver; docs/methods/replay.md"
_LEAST_BITS = 0.5  # that what was told must tell of the event
_ASKED = (
    "vehicle.engine.peak_torque",
    "vehicle.gearbox.first_gear",
    "vehicle.axle.ratio",
    "vehicle.axle.load",
    "vehicle.tyre.rolling_radius",
)  # without them it is the replay of a usual vehicle


def replay_sums(
    knowledge: Knowledge, record: Record, by_account: tuple[Reals, float], *, stale: bool
) -> tuple[Sum, ...]:
    """One finding for each part that was followed. It weighs only where vehicle, strength and event are known enough.

    by_account: chance of each event by what was told of it alone, and that it was none of them.
    """
    if not record.events:
        return ()
    silent = {part.id: _silent(record, part, by_account[0], stale) for part in record.parts}
    return tuple(_finding(knowledge, record, part, by_account, silent[part.id]) for part in record.parts)


def _silent(record: Record, part: PartRecord, chances: Reals, stale: bool) -> str:
    """Why a finding weighs nothing; empty when it weighs."""
    if stale:
        return "It weighs nothing: the case has changed since the replay was run."
    if len(record.events) < record.of_events:
        return f"It weighs nothing: only {len(record.events)} of {record.of_events} events were replayed."
    if record.draws < _LEAST_DRAWS:
        return f"It weighs nothing: {record.draws} draws of an event are too few, {_LEAST_DRAWS} are enough."
    if not part.known:
        return f"It weighs nothing: what the {part.words} bears is assumed (wanted: {part.because})."
    assumed = [one.words for one in record.inputs if one.assumed and one.name in _ASKED]
    if assumed:
        return f"It weighs nothing: of the vehicle is assumed: {', '.join(assumed)}."
    if told_bits(chances) < _LEAST_BITS:
        return "It weighs nothing yet: what was told hardly tells the events apart."
    return ""


def told_bits(chances: Reals) -> float:
    """What is known of the event: bits that there are, less those still open."""
    return float(np.log2(len(chances)) + np.sum(chances * np.log2(np.maximum(chances, 1e-300))))


def _finding(
    knowledge: Knowledge, record: Record, part: PartRecord, by_account: tuple[Reals, float], silent: str
) -> Sum:
    chances, other = by_account
    used, weights = _pooled(record, part, chances)
    limit = knowledge.limits["replay_strength_left"]
    marks = {"sound_part": used >= 1.0, "weakened_part": (used >= limit.si) & (used < 1.0), "hardly": used < limit.si}
    open_share = other / len(marks)
    classes = {answer: (1.0 - other) * float(weights[here].sum()) + open_share for answer, here in marks.items()}
    order = np.argsort(used)
    drawn = np.interp((np.arange(_SAMPLE) + 0.5) / _SAMPLE, np.cumsum(weights[order]), used[order])
    middle = float(np.interp(0.5, np.cumsum(weights[order]), used[order]))
    asking = Asking(knowledge)
    asking.inputs = {one.name: _input(one) for one in _widest(record, part, chances)}
    found = judged(
        knowledge,
        asking,
        id=_IDS[part.kind],
        at=parse_address(part.at),
        results=[Quantity(_OVER, of_sample(middle, drawn), "number")],
        chances=classes,
        limit=limit,
        method=_METHOD,
        source=_SOURCE,
        validity="; ".join((*record.notes, f"the replay page lists all {len(record.inputs)} inputs")),
    )
    wide = "" if max(classes.values()) >= _DECIDED else "It weighs nothing: its inputs are known too loosely to decide."
    return _hushed(found, silent or wide)


def _hushed(found: Sum, why: str) -> Sum:
    found = replace(found, topic=Topic.REPLAY)
    if not why:
        return found
    return replace(found, chances={}, speaks="neither", sentence=f"{found.sentence} {why}")


def _pooled(record: Record, part: PartRecord, chances: Reals) -> tuple[Reals, Reals]:
    """Load over first yield in all sound draws of all events, and the weight of each."""
    used, weights = [], []
    for event, chance in zip(record.events, chances, strict=True):
        here = (peak(record, event, part) / part.yields_nm)[event.sound]
        used.append(here)
        weights.append(np.full(len(here), chance / max(1, len(here))))
    whole = np.concatenate(weights)
    return np.concatenate(used), np.asarray(whole / whole.sum())


def _widest(record: Record, part: PartRecord, chances: Reals) -> list[InputRecord]:
    """The inputs that widen the load over strength of a part most, in the event that fits what was told best."""
    event = record.events[int(np.argmax(chances))]
    return [one for one, share in widening(record, event, part) if share >= _LEAST_SHARE][:_SHOWN]


def _input(one: InputRecord) -> Input:
    return Input(one.name, one.words, Value(one.si, one.low, one.high, one.dimension, Known(one.known), one.source))
