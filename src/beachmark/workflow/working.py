"""Sums and weighing."""

from __future__ import annotations

from beachmark.basis.errors import NotFoundError, refuse
from beachmark.cases.assessment import Assessment, assess, compute
from beachmark.cases.schema import case_schema, catalogue_schema
from beachmark.findings.results import Sum
from beachmark.workflow import objects
from beachmark.workflow import replay_object as replays
from beachmark.workflow.loading import Loaded
from beachmark.workflow.packaged import knowledge

STAGES = ("call", "photos", "bench")


def known_stages(given: list[str]) -> tuple[str, ...]:
    """The stages named, checked; none means all. Raises `InputError`."""
    for stage in given:
        if stage not in STAGES:
            raise refuse("weigh", "--stage", f"{stage!r} is not a stage", ", ".join(STAGES))
    return tuple(given)


def schema(*, catalogue: bool = False) -> objects.Plain:
    """The JSON Schema of the case file, or of the parts catalogue."""
    return catalogue_schema() if catalogue else case_schema()


def sums(loaded: Loaded) -> tuple[Sum, ...]:
    """Every sum of a case, computed or with what it lacks."""
    return compute(loaded.case, knowledge(), record=loaded.replay)


def weigh(loaded: Loaded, *, stages: tuple[str, ...] = ()) -> Assessment:
    """Work a case out; with `stages` only what had come in by then is weighed."""
    return assess(loaded.case, knowledge(), stages=stages, record=loaded.replay)


def sums_object(loaded: Loaded) -> objects.Plain:
    """The documented object of the sums."""
    return objects.sums_object(_case(loaded), sums(loaded))


def weigh_object(loaded: Loaded, *, stages: tuple[str, ...] = ()) -> objects.Plain:
    """The documented object of the weighing."""
    return objects.weigh_object(_case(loaded), weigh(loaded, stages=stages), knowledge())


def replay_object(loaded: Loaded) -> objects.Plain:
    """The documented object of the replay of a case. Raises `NotFoundError` when it has none."""
    reading = weigh(loaded).replay
    if reading is None or loaded.replay is None:
        raise NotFoundError(f"{loaded.label} has no replay yet; beachmark replay runs one")
    return replays.replay_object(_case(loaded), reading, loaded.replay)


def _case(loaded: Loaded) -> objects.Plain:
    return objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision)
