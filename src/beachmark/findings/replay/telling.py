"""What a replay says in sentences: of the event, of the part, of the place of the break, and what to measure next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from beachmark.evidence.records import Observation
from beachmark.evidence.states import Seen, State
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent
from beachmark.findings.replay.record import PartRecord, Reals, Record
from beachmark.findings.replay.weighing import SENSE, widening
from beachmark.knowledge.chances import answer_chances
from beachmark.knowledge.model import Knowledge

_LEADS = 0.5  # chance from which one event is named alone
_COUNTS = 0.1  # chance from which an event counts for the answer beside the first
_OFTEN, _SELDOM = 0.5, 0.005  # share of draws that break a sound part
_HALF = 0.5  # share of its strength: an event that needs a part weaker than this explains little
_NAMED = 3  # events named while none leads
_WIDE_SHARE = 0.1  # of the variance of a load
_WANTED, _ASKED, _MEASURED = 6, 3, 2
_OF_A_CASE = ("vehicle.", "driveline.")  # what can be measured and entered
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


@dataclass(frozen=True)
class Situation:
    """What a sentence about a replay rests on."""

    events: Sequence[EventReading]  # the likeliest first
    of_events: int  # how many the vehicle can meet
    other: float  # chance that it was none of them
    said: bool  # anything was seen that tells them apart
    broke: bool | None  # whether anything broke or came off, None while nobody said
    proved_nm: float  # least torque that parts which are set prove, 0 for none

    @property
    def settled(self) -> Sequence[EventReading]:
        """The events that the answer spans: those that fit about as well as the first, else all."""
        if not self.said or len(self.events) < self.of_events or self.elsewhere:
            return self.events
        least = max(_COUNTS, self.events[0].chance / 2)
        return [event for event in self.events if event.chance >= min(least, self.events[0].chance)]

    @property
    def elsewhere(self) -> bool:
        """True when what was seen fits none of the events best."""
        return self.said and self.other > self.events[0].chance


def sentence(of: Situation, focus: PartRecord | None) -> str:
    """Could it have broken, in which event, and what must already have been wrong with the part?"""
    if not of.events or focus is None:
        return "No event was replayed."
    return f"{_fits(of)} {_could(of, focus)}"


def _fits(of: Situation) -> str:
    if len(of.events) < of.of_events:
        return f"Only {len(of.events)} of the {of.of_events} events were replayed: which one fits is not said."
    if not of.said:
        return f"Nothing was told yet that tells the {len(of.events)} events apart."
    if of.elsewhere:
        return (
            f"What was seen fits none of the events replayed well ({of_hundred(of.other)} for something else): look at "
            "speed, bending, heat and at what was wrong long before."
        )
    first = of.events[0]
    if first.chance >= _LEADS:
        return f"Of the events replayed, what was told fits “{first.title}” best ({of_hundred(first.chance)})."
    names = ", ".join(f"“{one.title}” ({of_hundred(one.chance)})" for one in of.events[:_NAMED])
    return f"What was told does not settle the event; it fits best: {names}."


def _could(of: Situation, focus: PartRecord) -> str:
    """The reverse question about one part, over the events that fit about as well as the first."""
    span = _span(of.settled, focus)
    where = "There" if len(of.settled) == 1 else "In these" if len(of.settled) < len(of.events) else "In all of them"
    load = f"{where} the {focus.words} carries {span.peak_nm.low / 1e3:.1f} to {span.peak_nm.high / 1e3:.1f} kN m"
    most = max(part.peak_nm.high for event in of.events for part in event.parts if part.part == focus.id)
    if of.proved_nm > most:
        return (
            f"{load}. But the parts that are set prove at least {of.proved_nm / 1e3:.1f} kN m, more than any event "
            "reaches here: a number of the vehicle, a material or the event is not as supposed, and nothing follows "
            "for the part."
        )
    if not span.known:
        return f"{load}. What it bears is not known (wanted: {span.because}), so whether it breaks is not said."
    share = f"{100 * span.breaks_below.low:.0f} to {percent(span.breaks_below.high)}"
    load = f"{load}, {share} of what breaks a sound one"
    return f"{load}; {_breaks(span, share, of)}."


def _breaks(span: PartInEvent, share: str, of: Situation) -> str:
    if of.broke is False:
        return f"a sound one breaks in up to {of_hundred(span.breaks)} draws, and nothing broke"
    if span.breaks >= _OFTEN:
        return (
            f"a sound one breaks in up to {of_hundred(span.breaks)} draws: nothing need have been wrong with it, or it "
            "is too small for this vehicle, or a number is wrong"
        )
    left = f"one left with {share} of its strength would have broken (nine draws in ten)"
    if of.elsewhere:
        return "a sound one should have held"
    if span.breaks_below.high < _HALF:
        return (
            f"a sound one should have held by far: these events break it only with {share} of its strength left, so "
            "look at speed, bending, heat and damage first"
        )
    if span.breaks > _SELDOM:
        return f"a sound one breaks in up to {of_hundred(span.breaks)} draws; {left}"
    return f"a sound one should have held; {left}"


def _span(events: Sequence[EventReading], focus: PartRecord) -> PartInEvent:
    """One part over several events: the ends of all of them."""
    parts = [part for event in events for part in event.parts if part.part == focus.id]
    hardest = max(parts, key=lambda part: part.breaks_below.middle)

    def over(bands: Sequence[Band]) -> Band:
        return Band(min(one.low for one in bands), hardest.breaks_below.middle, max(one.high for one in bands))

    return replace(
        hardest,
        peak_nm=over([part.peak_nm for part in parts]),
        breaks_below=over([part.breaks_below for part in parts]),
        breaks=max(part.breaks for part in parts),
    )


def of_hundred(share: float) -> str:
    """`48 of 100`."""
    return f"{100 * share:.0f} of 100"


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
    own = [(one, share) for one, share in widening(record, event, focus) if one.name.startswith(_OF_A_CASE)]
    wide = [(one.words, share) for one, share in own if one.assumed][:_MEASURED]
    return [f"{words} (makes {percent(share)} of the range)" for words, share in wide if share >= _WIDE_SHARE]


def percent(share: float) -> str:
    """`34 %`, as the house writes it."""
    return f"{100 * share:.0f} %"
