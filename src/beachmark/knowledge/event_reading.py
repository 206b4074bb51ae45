"""Entries of events.yaml and trains.yaml into `EventKind` and `VehicleClass`."""

from __future__ import annotations

from typing import Any

from beachmark.basis.documents import Document, Path
from beachmark.basis.values import Known, Value
from beachmark.knowledge.events import EventCourse, EventKind, Obstacle, Step, VehicleClass
from beachmark.knowledge.quantities import quantity, ranged

_OF_OBSTACLE = {"force": "number", "place": "length", "length": "length"}
_OF_STEP = {"at": "time", "takes": "time", "to": "number"}


def event_kind(entry: dict[str, Any], document: Document, path: Path) -> EventKind:
    """An event of events.yaml; a value without a source of its own has that of its event."""
    reader = _Reader(document, entry["source"])

    def asked(key: str, dimension: str) -> Value | None:
        return reader.value(entry.get(key), (*path, key), dimension)

    return EventKind(
        **{key: entry[key] for key in ("id", "title", "story", "surfaces", "source")},
        repeat=asked("repeat", "time"),
        gear=asked("gear", "number"),
        speed=asked("speed", "speed"),
        input_share=asked("input_share", "number"),
        engine_share=asked("engine_share", "number"),
        grade=reader.sure(entry["grade"], (*path, "grade"), "angle"),
        needs=tuple(entry["needs"]),
        duration_s=quantity(entry["duration"], "time", document, (*path, "duration")),
        courses={key: reader.course(course, (*path, "courses", key)) for key, course in entry["courses"].items()},
        obstacle=reader.obstacle(entry.get("obstacle"), (*path, "obstacle")),
        leaves={
            question: {word: tuple(answers) for word, answers in table.items()}
            for question, table in entry["leaves"].items()
        },
    )


class _Reader:
    """Reads the values of one event, which share a document and a source."""

    def __init__(self, document: Document, source: str):
        self.document, self.source = document, source

    def value(self, entry: Any, path: Path, dimension: str) -> Value | None:
        """A value; None where there is none, or the word `reverse` in its place."""
        return self.sure(entry, path, dimension) if isinstance(entry, dict) else None

    def sure(self, entry: dict[str, Any], path: Path, dimension: str) -> Value:
        """A value that is there."""
        return ranged({"source": self.source, **entry}, self.document, path, Known.ASSUMED, dimension=dimension)

    def course(self, entry: dict[str, Any], path: Path) -> EventCourse:
        """A share over time."""
        steps = tuple(
            Step(**{key: self.sure(step[key], (*path, "steps", index, key), _OF_STEP[key]) for key in _OF_STEP})
            for index, step in enumerate(entry.get("steps", ()))
        )
        return EventCourse(self.sure(entry["first"], (*path, "first"), "number"), steps)

    def obstacle(self, entry: dict[str, Any] | None, path: Path) -> Obstacle | None:
        """A hole or kerb."""
        if entry is None:
            return None
        values = {key: self.sure(entry[key], (*path, key), dimension) for key, dimension in _OF_OBSTACLE.items()}
        return Obstacle(entry["kind"], **values)


def vehicle_class(entry: dict[str, Any], document: Document, path: Path) -> VehicleClass:
    """A class of trains.yaml."""
    values = {
        value["id"]: ranged(value, document, (*path, "values", index), Known.ASSUMED)
        for index, value in enumerate(entry["values"])
    }
    return VehicleClass(entry["id"], entry["title"], values)
