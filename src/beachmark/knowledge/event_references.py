"""Faults of events and classes that a schema does not see: shares beyond 1, a course that outlasts its event."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isclose

from beachmark.basis.documents import Document, Path, field_name
from beachmark.basis.errors import Fault
from beachmark.basis.values import Value
from beachmark.driveline.vehicle import KINDS
from beachmark.knowledge.events import ANY_CLASS, USUAL, EventCourse, EventKind, VehicleClass

LONGEST_S = 4.0
"""An event is followed for no longer: its load has passed by then, and every second costs computing time."""
_SETTLED = 0.9
"""The last step ends within this share of the time an event is followed, or of a repeat."""


def event_faults(events: Mapping[str, EventKind], document: Document) -> Iterator[Fault]:
    """Faults of every event of events.yaml."""
    for index, entry in enumerate(document.data["events"]):
        event, path = events[entry["id"]], ("events", index)
        for where, wrong, allowed in (*_start(event), *_values(event), *_time(event)):
            yield _fault(document, (*path, *where), wrong, allowed)


_Found = Iterator[tuple[Path, str, str]]


def _start(event: EventKind) -> _Found:
    """One way of saying how fast it starts, and surfaces that add to one."""
    if (event.speed is None) == (event.input_share is None):
        yield (), "speed and input_share are " + ("both given" if event.speed else "both missing"), "one of the two"
    total = sum(event.surfaces.values())
    if not isclose(total, 1.0, abs_tol=1e-6):
        yield ("surfaces",), f"the chances add to {total:g}", "chances that add to 1"


def _values(event: EventKind) -> _Found:
    """Shares, times and lengths that cannot be."""
    for key, value in (("gear", event.gear), ("engine_share", event.engine_share)):
        yield from _within((key,), value, 0.0, 1.0)
    yield from _within(("input_share",), event.input_share, 0.0, 1.5)
    for name, course in event.courses.items():
        yield from _within(("courses", name, "first"), course.first, 0.0, 1.0)
        for index, step in enumerate(course.steps):
            path = ("courses", name, "steps", index)
            yield from _within((*path, "at"), step.at, 0.0, LONGEST_S)
            yield from _within((*path, "takes"), step.takes, 1e-3, LONGEST_S)
            yield from _within((*path, "to"), step.to, 0.0, 1.0)
    if event.obstacle:
        yield from _within(("obstacle", "force"), event.obstacle.force, 0.0, 2.0)
        yield from _within(("obstacle", "length"), event.obstacle.length, 1e-3, 5.0)


def _within(path: Path, value: Value | None, least: float, most: float) -> _Found:
    if value is not None and not (least <= value.low and value.high <= most):
        yield path, f"{value.low:g} to {value.high:g} reaches beyond", f"{least:g} to {most:g}"


def _time(event: EventKind) -> _Found:
    """Courses that end well within the event, and come back to their start where they repeat."""
    if not 0.0 < event.duration_s <= LONGEST_S:
        yield ("duration",), f"it is followed for {event.duration_s:g} s", f"more than 0 s, at most {LONGEST_S:g} s"
    for name, course in event.courses.items():
        ends = max((step.at.high + step.takes.high for step in course.steps), default=0.0)
        room = _SETTLED * min(event.duration_s, event.repeat.low if event.repeat else event.duration_s)
        if ends > room:
            yield ("courses", name), f"its last step may end at {ends:g} s", f"at most {room:g} s, for its load to show"
        if event.repeat and not _returns(course):
            yield ("courses", name), "it repeats but does not end where it starts", "a last step back to first"


def _returns(course: EventCourse) -> bool:
    last = course.steps[-1].to if course.steps else course.first
    return (last.si, last.low, last.high) == (course.first.si, course.first.low, course.first.high)


def class_faults(
    classes: Mapping[str, VehicleClass], typical: Mapping[str, Value], document: Document
) -> Iterator[Fault]:
    """Faults of trains.yaml: a value twice or of another dimension, and what class "any" lacks."""
    for index, entry in enumerate(document.data["classes"]):
        seen: set[str] = set()
        for number, value in enumerate(entry["values"]):
            path: Path = ("classes", index, "values", number)
            if value["id"] in seen:
                yield _fault(document, path, f"{value['id']} stands already in this class", "each value once")
            if value["dimension"] != USUAL[value["id"]]:
                wrong = f"{value['id']} is given as {value['dimension']}"
                yield _fault(document, (*path, "dimension"), wrong, USUAL[value["id"]])
            seen.add(value["id"])
        if entry["id"] not in (ANY_CLASS, *KINDS):
            where: Path = ("classes", index, "id")
            yield _fault(
                document, where, f"no vehicle can be of the class {entry['id']!r}", ", ".join((ANY_CLASS, *KINDS))
            )
    for id in (ANY_CLASS, *KINDS):
        if id not in classes:
            yield _fault(document, ("classes",), f"the class {id} is missing", f"a class with the id {id}")
    if ANY_CLASS not in classes:
        return
    for id in USUAL.keys() - classes[ANY_CLASS].values.keys():
        if id not in typical or typical[id].dimension != USUAL[id]:
            wrong = f"{id} is neither in class {ANY_CLASS} nor among the typical values"
            yield _fault(document, ("classes",), wrong, f"{id} as {USUAL[id]}")


def _fault(document: Document, path: Path, wrong: str, allowed: str) -> Fault:
    return Fault(document.name, field_name(path), wrong, allowed, document.line(path))
