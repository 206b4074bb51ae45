"""What the replay page shows: before a run, while it runs, and what it told."""

from __future__ import annotations

from dataclasses import dataclass

from beachmark.basis.errors import InputError
from beachmark.web.form_data import FormFaults
from beachmark.web.house import Worked
from beachmark.web.rendering import anchor
from beachmark.web.replay.forms import Asked, as_typed
from beachmark.web.spine import Frame, frame_of, part_link, question_link
from beachmark.web.sums.pages import InputLine, KindCard, kind_card
from beachmark.workflow.pages import Figure, Units, link_to_field
from beachmark.workflow.places import asking_place, question_of
from beachmark.workflow.replay_page import (
    CAUTION,
    ENDED,
    HISTORY,
    LEAST_DRAWS,
    LOADS,
    MOST_DRAWS,
    NEEDED,
    EventKind,
    EventReading,
    InputRecord,
    Job,
    Lack,
    Order,
    PartInEvent,
    Reading,
    State,
    Wanted,
    checked,
    events_of,
    focus_of,
    hundredths,
    lacking,
    of_hundred,
    percent,
    replay_pictures,
    times,
    torques,
    wanted_next,
)

METRIC = Units("metric")
_ENDS = {
    State.FAILED: "The last run could not be finished.",
    State.CANCELLED: "The last run was stopped before it ended; nothing of it was kept.",
}
_KEPT = {
    State.FAILED: "The replay is kept; the check of its peaks could not be finished.",
    State.CANCELLED: "The replay is kept; the check of its peaks was stopped.",
}


@dataclass(frozen=True)
class LinkLine:
    """Words that may lead somewhere."""

    words: str
    href: str = ""


@dataclass(frozen=True)
class Running:
    """A run that has not ended, or how the last one ended."""

    state: str
    title: str
    words: str
    percent: int
    error: str
    at_work: bool  # the page waits for it
    judging: bool  # its result is shown already
    stopping: bool  # somebody asked it to stop


@dataclass(frozen=True)
class OrderForm:
    """The form that asks for a run."""

    events: tuple[tuple[EventKind, bool], ...]  # with what is ticked
    draws: str
    seed: str
    least: int = LEAST_DRAWS
    most: int = MOST_DRAWS


@dataclass(frozen=True)
class PartLine:
    """What one event does to one part."""

    words: str
    href: str
    peak: str
    over_steady: str
    used: str
    needed: str
    yields: str
    breaks: str
    first: str
    sense: str
    assumed: str  # for want of what its strength is assumed; empty when it is known


@dataclass(frozen=True)
class EventLine:
    """One event with the part in question first."""

    title: str
    story: str
    chance: str
    width: int  # of its bar, percent of the likeliest
    account: str
    part: PartLine | None
    others: tuple[PartLine, ...]
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    gear: str
    friction: str
    astray: str
    history: Figure | None  # that of the likeliest stands with the pictures


@dataclass(frozen=True)
class CheckLine:
    """How far the peaks of one event are from those of the other solver."""

    title: str
    typical: str
    worst: str
    step: str
    carried: str


@dataclass(frozen=True)
class Told:
    """What a kept replay tells."""

    sentences: tuple[str, ...]
    stale: str
    events: tuple[EventLine, ...]
    other: str  # of a hundred, that it was none of them
    pictures: tuple[Figure, ...]  # loads, what is left, and the torque over time of the likeliest event
    bracket: KindCard | None
    bracket_words: str  # where the parts prove nothing that can be drawn
    position: str
    wanted: tuple[LinkLine, ...]
    notes: tuple[str, ...]
    inputs: tuple[InputLine, ...]
    assumed: int
    checks: tuple[CheckLine, ...]
    checked: str
    seed: str
    draws: str
    versions: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ReplayPage:
    """The whole page."""

    frame: Frame
    caution: str
    running: Running | None
    renew: bool  # by itself, every second
    told: Told | None
    form: OrderForm | None
    faults: FormFaults
    lacks: tuple[LinkLine, ...]


def replay_page(
    worked: Worked,
    job: Job | None,
    *,
    asked: Asked | None = None,
    faults: FormFaults | None = None,
    hold: bool = False,
    stopping: bool = False,
) -> ReplayPage:
    """The replay of a case; `asked` is what could not be run and stays in the form."""
    running = _running(job, stopping) if job else None
    found = faults or FormFaults()
    try:
        events, lacks = events_of(worked.loaded), lacking(worked.loaded)
    except InputError as error:
        events, lacks, found = (), (), found or FormFaults(tuple(error.faults))
    return ReplayPage(
        frame=frame_of(worked, "replay"),
        caution=CAUTION,
        running=running,
        renew=bool(running and running.at_work and not hold and not found),
        told=_told(worked),
        form=_form(asked or _last_typed(worked, job, events), events) if events else None,
        faults=found,
        lacks=tuple(_lack_line(worked.number, one) for one in lacks),
    )


def _running(job: Job, stopping: bool) -> Running | None:
    """Nothing to say of a run that came to its end."""
    if job.state is State.DONE:
        return None
    ended = job.state in ENDED
    titles = {State.WAITING: "Waiting its turn", State.RUNNING: "Replaying the events", State.JUDGING: "Being checked"}
    return Running(
        state=job.state.value,
        title=(_KEPT if job.kept else _ENDS).get(job.state) or titles[job.state],
        words=job.words,
        percent=round(100 * job.share),
        error=job.error,
        at_work=not ended and job.state is not State.JUDGING,
        judging=job.state is State.JUDGING,
        stopping=stopping and not ended,
    )


def _last_typed(worked: Worked, job: Job | None, events: tuple[EventKind, ...]) -> Asked:
    """What was asked last: by the run of this process, else by the kept replay, else the usual."""
    if job is not None and job.state is not State.DONE:
        return as_typed(job.order, events)
    kept = worked.loaded.replay
    if kept is None:
        return as_typed(Order(), events)
    return as_typed(Order(tuple(one.event for one in kept.events), kept.draws, kept.seed), events)


def _form(asked: Asked, events: tuple[EventKind, ...]) -> OrderForm:
    return OrderForm(tuple((event, event.id in asked.events) for event in events), asked.draws, asked.seed)


def _lack_line(number: int, lack: Lack) -> LinkLine:
    return LinkLine(lack.words, _lack_href(number, lack))


def _lack_href(number: int, lack: Lack) -> str:
    """The field that takes the number, or the part whose sizes are wanted."""
    if not lack.name:
        return part_link(number, lack.at)
    part = link_to_field(lack.name)
    return f"/case/{number}?at={part}#{anchor(lack.name)}" if part else f"/case/{number}/facts#{anchor(lack.name)}"


# ---- what it told ---------------------------------------------------------------------------------------------


def _told(worked: Worked) -> Told | None:
    reading, record = worked.assessment.replay, worked.loaded.replay
    if reading is None or record is None:
        return None
    pictures = {one.key: one for one in replay_pictures(worked.assessment, record)}
    first = (LOADS, NEEDED, *(f"{HISTORY}{event.id}" for event in reading.events[:1]))
    focus, bracket = focus_of(worked.assessment), reading.bracket
    return Told(
        sentences=tuple(part for part in reading.sentence.split(". ") if part),
        stale=reading.stale,
        events=tuple(_event(worked, reading, event, focus, pictures) for event in reading.events),
        other=of_hundred(reading.other),
        pictures=tuple(pictures[key] for key in first if key in pictures),
        bracket=kind_card(worked.number, [bracket]) if bracket and bracket.computed else None,
        bracket_words=bracket.sentence if bracket and not bracket.computed else "",
        position=reading.position_words,
        wanted=tuple(_wanted_line(worked.number, one) for one in wanted_next(reading, record)),
        notes=reading.notes,
        inputs=tuple(_input(worked.number, one) for one in record.inputs),
        assumed=sum(one.assumed for one in record.inputs),
        checks=tuple(_check(event) for event in reading.events),
        checked=checked(reading),
        seed=str(reading.seed),
        draws=str(reading.draws),
        versions=reading.versions,
    )


def _event(worked: Worked, reading: Reading, event: EventReading, focus: str, pictures: dict[str, Figure]) -> EventLine:
    parts = {part.part: _part(worked.number, part) for part in event.parts}
    told = [one.words for one in event.told if one.weight > 0.0]
    against = [one.words for one in event.told if one.weight < 0.0]
    return EventLine(
        title=event.title,
        story=event.story,
        chance=of_hundred(event.chance),
        width=round(100 * event.chance),
        account=of_hundred(event.by_account),
        part=parts.get(focus),
        others=tuple(line for id, line in parts.items() if id != focus),
        speaks_for=tuple(told),
        speaks_against=tuple(against),
        gear=times(event.gear),
        friction=times(event.friction),
        astray="" if event.sound >= 1.0 else of_hundred(1.0 - event.sound),
        history=pictures.get(f"{HISTORY}{event.id}") if event is not reading.events[0] else None,
    )


def _part(number: int, part: PartInEvent) -> PartLine:
    return PartLine(
        words=part.words,
        href=part_link(number, part.at),
        peak=torques(part.peak_nm, METRIC),
        over_steady=times(part.over_steady),
        used=times(part.used),
        needed=hundredths(part.breaks_below),
        yields=of_hundred(part.yields),
        breaks=of_hundred(part.breaks),
        first=of_hundred(part.first),
        sense=_sense(part.pull),
        assumed="" if part.known else part.because,
    )


def _sense(pull: float) -> str:
    """In which sense the greatest torque turns the part, in most draws."""
    if pull >= 0.9:
        return "pulling"
    return "overrun or reverse" if pull <= 0.1 else f"pulling in {of_hundred(pull)} of 100 draws, else the other way"


def _wanted_line(number: int, wanted: Wanted) -> LinkLine:
    question = question_of(wanted.question) if wanted.question else None
    if question is not None:
        return LinkLine(wanted.words, question_link(number, question.id, asking_place(question, None)))
    return LinkLine(wanted.words, _lack_href(number, wanted.lack) if wanted.lack else "")


def _input(number: int, one: InputRecord) -> InputLine:
    value = METRIC.one(one.si, one.dimension, 4)
    band = METRIC.band(one.low, one.high, one.dimension, 4)
    own = one.name.startswith(("vehicle.", "driveline."))
    return InputLine(
        words=one.words,
        value=f"{value} ({band})" if band else value,
        known=one.known,
        source=one.source,
        assumed=one.assumed,
        href=_lack_href(number, Lack(one.words, one.name)) if own else "",
    )


def _check(event: EventReading) -> CheckLine:
    told = [
        "not yet" if deviation is None else percent(deviation)
        for deviation in (event.typical_deviation, event.worst_deviation)
    ]
    return CheckLine(
        title=event.title,
        typical=told[0],
        worst=told[1],
        step=f"{1e6 * event.step_s:.0f} µs",
        carried=of_hundred(event.sound),
    )
