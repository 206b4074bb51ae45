"""What a replay tells of one case, once its peaks are held against what was seen."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.findings.replay.record import History
from beachmark.findings.results import Sum


@dataclass(frozen=True)
class Band:
    """A quantity over the draws: 5 %, middle, 95 %."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class PartInEvent:
    """What one event does to one part. What it bears is that of a sound part."""

    part: str  # id of the part
    words: str
    at: str
    peak_nm: Band  # greatest torque in either sense
    over_steady: Band  # that over the steady torque available in that draw
    used: Band  # that over what it bears at first yield; also the share of strength below which the event yields it
    breaks_below: Band  # that over what it bears at fracture: left with less than this share, it would have broken
    yields: float  # share of draws in which a sound part yields
    breaks: float  # share of draws in which a sound part breaks
    first: float  # share of draws in which it is the first to break
    pull: float  # share of draws whose greatest torque is in the sense of pulling
    known: bool  # what it bears is known of this vehicle, not taken from its class
    because: str  # what would make it known


@dataclass(frozen=True)
class Told:
    """What one thing that was seen says about an event: log of its chance there over its mean chance in all events."""

    words: str
    weight: float


@dataclass(frozen=True)
class EventReading:
    """One event: what it would do, and how well it fits what was seen."""

    id: str
    title: str
    story: str
    draws: int
    sound: float  # share of draws that the computation carried through
    parts: tuple[PartInEvent, ...]
    chance: float  # of this event, after everything that was seen; the rest lies with the others and with none of them
    by_account: float  # the same by what was told of the event alone
    told: tuple[Told, ...]
    history: History
    loads: tuple[str, ...]  # names of the rows of the history
    typical_deviation: float | None  # peaks against the referee, greatest over the loads; None until it has judged
    worst_deviation: float | None
    step_s: float
    gear: Band
    friction: Band


@dataclass(frozen=True)
class Reading:
    """The whole answer. `stale` says why the replay no longer speaks of the case as it is now; empty while it does."""

    events: tuple[EventReading, ...]  # the likeliest first
    other: float  # chance that it was none of them
    about: str  # id of the part that the answer is about; empty when no event was replayed
    sentence: str
    sums: tuple[Sum, ...]  # findings that the diagnosis weighs, and those that inform
    bracket: Sum | None  # torque that survivors and yielded parts allow
    position_bits: float  # what the place of the break tells of the event, bits
    event_bits: float  # what there is to be told, bits
    position_words: str
    wanted: tuple[str, ...]  # what to measure or ask next, most useful first
    notes: tuple[str, ...]
    stale: str
    seed: int
    draws: int
    versions: tuple[tuple[str, str], ...]
