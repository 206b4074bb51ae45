"""What the replay of the events tells, in words and numbers with their ranges."""

from __future__ import annotations

from collections.abc import Callable

from beachmark.basis.units import UNITS, tidy
from beachmark.cases.assessment import Assessment
from beachmark.findings.replay.reading import Band, EventReading, PartInEvent, Reading
from beachmark.findings.topics import Topic
from beachmark.report.document import Replayed, ReplayedEvent
from beachmark.report.words import Units, capital, ended, plain

HARD = "\u00a0"  # a space that no line breaks at
_SOUND = 0.9995  # a lower share of draws carried through is told
CAUTION = (
    "A replay is a computed load under the assumptions of its draws: by itself it proves nothing, a person decides. "
    "Do not repeat the event on a vehicle to try it: parts break, and a broken shaft strikes."
)


def replayed(assessment: Assessment, units: Units) -> Replayed | None:
    """The replay for the report; nothing while none is kept, or the case has changed since."""
    reading = assessment.replay
    if reading is None or reading.stale or not reading.events:
        return None
    found = [(event, part) for event in reading.events for part in event.parts if part.part == reading.about]
    if not found:
        return None
    return Replayed(
        topic=Topic.REPLAY.value,
        sentence=plain(reading.sentence),
        part=found[0][1].words,
        events=tuple(_event(event, part, units) for event, part in found),
        bracket=plain(reading.bracket.sentence) if reading.bracket else "",
        position=plain(reading.position_words),
        assumptions=tuple(plain(text) for text in _assumptions(reading, found[0][1])),
    )


def _event(event: EventReading, part: PartInEvent, units: Units) -> ReplayedEvent:
    return ReplayedEvent(
        title=event.title,
        fits=of_hundred(event.chance),
        peak=torques(part.peak_nm, units),
        over_steady=times(part.over_steady),
        used=times(part.used),
        needed=hundredths(part.breaks_below),
        breaks=of_hundred(part.breaks),
    )


def torques(band: Band, units: Units) -> str:
    """Great torques with their range: `14.7 (13.5 to 15.8) kN m`."""
    if units.system == "metric":
        return f"{_reach(band, lambda torque: f'{torque / 1e3:.1f}')} kN{HARD}m"
    factor = UNITS["torque"]["lbf ft"]
    return f"{_reach(band, lambda torque: tidy(torque / factor, 3))} lbf{HARD}ft"


def times(band: Band) -> str:
    """A ratio with its range, two decimals while it is small: `1.02 (0.94 to 1.31)`."""
    return _reach(band, lambda ratio: f"{ratio:.2f}" if ratio < 9.995 else tidy(ratio, 3))


def hundredths(band: Band) -> str:
    """A share in percent with its range, without the sign: `53 (47 to 60)`."""
    return _reach(band, lambda share: f"{100 * share:.0f}")


def _reach(band: Band, write: Callable[[float], str]) -> str:
    """The middle of the draws, and where nine draws in ten lie."""
    low, middle, high = (write(end) for end in (band.low, band.middle, band.high))
    told = middle if low == high else f"{middle} ({low} to {high})"
    return told.replace("\u202f", HARD)


def of_hundred(share: float) -> str:
    """A share of a hundred, never rounded to none or to all."""
    if 0.0 < share < 0.01:
        return "below 1"
    if 0.99 < share < 1.0:
        return "above 99"
    return f"{100 * share:.0f}"


def _assumptions(reading: Reading, part: PartInEvent) -> list[str]:
    """How it was made, what was taken for granted, and how far the numbers were checked."""
    events = f"{len(reading.events)} event{'s' if len(reading.events) > 1 else ''}"
    found = [f"{events} of {reading.draws} draws each, seed {reading.seed}; a range holds nine draws in ten"]
    found.append(f"none of these events, or no single one: {of_hundred(reading.other)} of 100")
    found += [] if part.known else [f"what the {part.words} bears is assumed for want of {part.because}"]
    found += list(reading.notes)
    astray = [one for one in reading.events if one.sound < _SOUND]
    found += [f"draws that the computation did not carry through are left out ({_names(astray)})"] if astray else []
    return [*(ended(capital(one)) for one in [*found, checked(reading)]), CAUTION]


def checked(reading: Reading) -> str:
    """How far the peaks lie from those of the other solver."""
    pairs = [(one.typical_deviation, one.worst_deviation) for one in reading.events]
    judged = [max(typical, worst) for typical, worst in pairs if typical is not None and worst is not None]
    if not judged:
        return "the peaks were not checked by the other solver"
    some = f"{len(judged)} of " if len(judged) < len(pairs) else ""
    of = f"{some}{len(pairs)} event{'s' if len(pairs) > 1 else ''}"
    told = (
        f"the typical and the worst draw of {of}, solved again by another solver at tight tolerance, differ by at most"
    )
    return f"{told} {percent(max(judged))}{'; the others were not checked' if some else ''}"


def percent(share: float) -> str:
    """A deviation in percent: `below 0.01 %`, `0.49 %`."""
    return f"below 0.01{HARD}%" if share < 1e-4 else f"{tidy(100 * share, 2)}{HARD}%"


def _names(events: list[EventReading]) -> str:
    return "; ".join(f"{one.title}: {of_hundred(1 - one.sound)} of 100" for one in events)
