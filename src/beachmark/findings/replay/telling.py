"""What a replay says in sentences: of the event, of the part, of the place of the break, and what to measure next."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from beachmark.evidence.records import Observation
from beachmark.evidence.states import Seen, State
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent
from beachmark.findings.replay.record import PartRecord, Reals, Record
from beachmark.findings.replay.weighing import SENSE, widening
from beachmark.knowledge.chances import answer_chances
from beachmark.knowledge.model import Knowledge

_LEADS = 0.5  # chance from which one event is named alone
_NAMED = 3  # events named while none leads
_WIDE_SHARE = 0.1  # of the variance of a load
_WANTED, _ASKED, _MEASURED = 6, 3, 2
_LEAST_BITS = 0.05  # an answer that tells less than this is not asked for
_NOTHING, _LITTLE = 0.02, 0.15  # of what there is to be told


def focus_part(record: Record, states: Sequence[Seen], events: Sequence[EventReading]) -> PartRecord | None:
    """The part that the sentence is about: the first seen broken, else the most loaded in the likeliest event."""
    parts = {(part.kind, part.at): part for part in record.parts}
    for one in states:
        if one.state is State.BROKEN and (one.kind, str(one.at)) in parts:
            return parts[one.kind, str(one.at)]
    if not events or not record.parts:
        return None
    most = max(events[0].parts, key=lambda part: part.breaks_below.middle)
    return next(part for part in record.parts if part.id == most.part)


def sentence(events: Sequence[EventReading], focus: PartRecord | None, *, told: bool, broke: bool | None) -> str:
    """Could it have broken, in which event, and what must already have been wrong with the part?

    broke: whether anything broke or came off, None while nobody said.
    """
    if not events or focus is None:
        return "No event was replayed."
    told_words = _fits(events) if told else _alike(events)
    return f"{told_words} {_could(events, focus, told=told, broke=broke)}"


def _fits(events: Sequence[EventReading]) -> str:
    first = events[0]
    if first.chance >= _LEADS:
        return f"Of the events replayed, what was seen fits “{first.title}” best ({percent(first.chance)})."
    names = ", ".join(f"“{one.title}” ({percent(one.chance)})" for one in events[:_NAMED])
    return f"What was seen does not settle the event; it fits best: {names}."


def _alike(events: Sequence[EventReading]) -> str:
    return f"Nothing was told yet that tells the {len(events)} events apart."


def _could(events: Sequence[EventReading], focus: PartRecord, *, told: bool, broke: bool | None) -> str:
    """The reverse question about one part, in the likeliest event or over all of them."""
    here = [(event, part) for event in events for part in event.parts if part.part == focus.id]
    event, part = here[0] if told else max(here, key=lambda pair: pair[1].breaks_below.middle)
    where = "There" if told else f"In the hardest of them, “{event.title}”,"
    load = f"{_kilo(part.peak_nm)}, {_percent(part.breaks_below)} of what breaks a sound one"
    words = f"{where} the {focus.words} carries {load}; {_breaks(part, broke)}"
    if not part.known:
        words += f". What it bears is assumed; wanted: {part.because}. Until then this weighs nothing"
    return f"{words}."


def _breaks(part: PartInEvent, broke: bool | None) -> str:
    if broke is False:
        return f"a sound one breaks in {percent(part.breaks)} of the draws, and nothing broke"
    tense = "it must have been" if broke else "it would have to be"
    if part.breaks >= 0.5:
        return f"a sound one breaks in {percent(part.breaks)} of the draws: nothing need have been wrong with it before"
    middle, most = _rounded(part.breaks_below.middle), _rounded(part.breaks_below.high)
    need = f"{tense} down to about {middle} of its strength, at most {most}"
    if part.breaks > 0.005:
        return f"a sound one breaks in {percent(part.breaks)} of the draws; else {need}"
    return f"no sound one breaks: {need}"


def position_words(bits: float, whole: float, events: int) -> str:
    """How far the place of the break may vote on the event, on this very driveline."""
    if events < 2 or whole <= 0.0:
        return "With one event there is nothing for the place of the break to tell apart."
    share = bits / whole
    much = "nothing" if share < _NOTHING else "little" if share < _LITTLE else "something"
    why = {
        "nothing": "the torque is nearly the same all along it; the weakest part breaks, whatever the event",
        "little": "the torque differs a little along it, the strength of the parts more",
        "something": "what is mounted on it makes the torque differ along it",
    }[much]
    return (
        f"On this driveline the place of the break tells {much} of the event: {bits:.2f} of the {whole:.1f} bits that "
        f"would settle it; {why}. It counts no further than that."
    )


# ---- what to measure or ask next ------------------------------------------------------------------------------


def wanted(
    knowledge: Knowledge,
    record: Record,
    observations: Sequence[Observation],
    weighed: tuple[Sequence[EventReading], Reals],
    focus: PartRecord | None,
) -> tuple[str, ...]:
    """What would help most: strength of the part in question, answers about the event, then the widest inputs."""
    found = [f"{focus.because} ({focus.words})"] if focus is not None and not focus.known else []
    found += _questions(knowledge, record, observations, weighed[1])
    if focus is not None and weighed[0]:
        found += _widest(record, weighed[0][0].id, focus)
    return tuple(dict.fromkeys(found))[:_WANTED]


def _questions(knowledge: Knowledge, record: Record, observations: Sequence[Observation], chances: Reals) -> list[str]:
    """Open questions about the event by what an answer is expected to tell, bits."""
    answered = {one.see for one in observations if one.speaks}
    groups = {knowledge.questions[see].group for see in answered if see in knowledge.questions}
    leaves = {see for event in record.events for see in knowledge.events[event.event].leaves}
    asked = leaves - answered - {SENSE}  # the sense comes from the physics, below
    gains: dict[str, float] = {}
    for see in asked:
        question = knowledge.questions[see]
        tables = [knowledge.events[event.event].leaves.get(see, {}) for event in record.events]
        rows = np.array([answer_chances(knowledge, question, table) for table in tables])
        gain = _gain(rows, chances) * (0.5 if question.group in groups else 1.0)
        gains[question.question] = gain
    if SENSE not in answered:
        gains[knowledge.questions[SENSE].question] = _sense_gain(record, chances)
    best = sorted(gains, key=lambda words: -gains[words])
    return [words for words in best if gains[words] >= _LEAST_BITS][:_ASKED]


def _gain(rows: Reals, chances: Reals) -> float:
    """Expected information of an answer on the event, bits."""
    mean = chances @ rows
    return float(chances @ np.sum(rows * np.log2(rows / mean), axis=1))


def _sense_gain(record: Record, chances: Reals) -> float:
    pull = np.array([np.mean(event.greatest[:, 0] >= -event.least[:, 0]) for event in record.events])
    pull = np.clip(pull, 0.05, 0.95)
    return _gain(np.stack([pull, 1.0 - pull], axis=1), chances)


def _widest(record: Record, event_id: str, focus: PartRecord) -> list[str]:
    """The assumed inputs that widen the load over strength of a part most, in one event."""
    event = next(one for one in record.events if one.event == event_id)
    wide = [(one.words, share) for one, share in widening(record, event, focus) if one.assumed][:_MEASURED]
    return [f"{words} (makes {percent(share)} of the range)" for words, share in wide if share >= _WIDE_SHARE]


def _kilo(band: Band) -> str:
    return f"{band.middle / 1e3:.1f} kN m ({band.low / 1e3:.1f} to {band.high / 1e3:.1f})"


def _percent(band: Band) -> str:
    return f"{percent(band.middle)} ({100 * band.low:.0f} to {percent(band.high)})"


def _rounded(share: float) -> str:
    return percent(round(share * 20) / 20)


def percent(share: float) -> str:
    """`34 %`, as the house writes it."""
    return f"{100 * share:.0f} %"
