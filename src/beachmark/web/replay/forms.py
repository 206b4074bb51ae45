"""What the form of the replay page sends."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.datastructures import FormData

from beachmark.basis.errors import Fault, InputError
from beachmark.web.form_data import text_of, texts_of
from beachmark.workflow.replay_page import LEAST_DRAWS, MOST_DRAWS, EventKind, Order

MOST_SEED = 2**32 - 1
_NAMES = {"draws": "number of draws", "seed": "seed"}


@dataclass(frozen=True)
class Asked:
    """The form as it was typed."""

    events: tuple[str, ...]
    draws: str
    seed: str


def asked_of(form: FormData) -> Asked:
    """The form as it was sent."""
    return Asked(texts_of(form, "event"), text_of(form, "draws"), text_of(form, "seed"))


def as_typed(order: Order, events: tuple[EventKind, ...]) -> Asked:
    """The form as it would be typed for an order; one without events takes all that the vehicle can meet."""
    return Asked(order.events or tuple(event.id for event in events), str(order.draws), str(order.seed))


def order_of(asked: Asked, events: tuple[EventKind, ...]) -> Order:
    """What is to be run. Raises `InputError` with every fault."""
    faults: list[Fault] = []
    draws = _whole(asked.draws, "draws", LEAST_DRAWS, MOST_DRAWS, faults)
    seed = _whole(asked.seed, "seed", 0, MOST_SEED, faults)
    known = [event.id for event in events]
    strange = [id for id in asked.events if id not in known]
    if strange:
        allowed = "; ".join(event.title for event in events)
        faults.append(Fault("form", "events", f"this vehicle cannot meet the event {strange[0][:40]!r}", allowed))
    elif not asked.events:
        faults.append(Fault("form", "events", "no event was chosen", "one or more of the list"))
    if faults:
        raise InputError(faults)
    return Order(() if set(asked.events) == set(known) else asked.events, draws, seed)


def _whole(text: str, field: str, least: int, most: int, faults: list[Fault]) -> int:
    """A whole number within its ends, thousands apart or not; a fault is noted and the least stands in."""
    digits = text.replace(" ", "").replace("\u202f", "").replace("\u00a0", "")
    if digits.isascii() and digits.isdigit() and len(digits) <= 10 and least <= int(digits) <= most:
        return int(digits)
    name = _NAMES[field]
    wrong = f"{text[:40]!r} cannot be the {name}" if text else f"the {name} is missing"
    faults.append(Fault("form", field, wrong, f"a whole number from {least} to {most}"))
    return least
