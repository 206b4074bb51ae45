"""The driveline as a row of places from the gearbox to the axle: the backbone of every page of a case."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from beachmark.web.house import Worked
from beachmark.workflow.pages import capital, is_settled, shown_place, start_words
from beachmark.workflow.places import (
    Address,
    asking_place,
    driveline_places,
    in_words,
    neighbour_places,
    shown_at,
)
from beachmark.workflow.replay_page import record_mark

TABS = (
    ("case", "Driveline", ""),
    ("facts", "Facts", "/facts"),
    ("sums", "Sums", "/sums"),
    ("replay", "Replay", "/replay"),
    ("causes", "Causes", "/causes"),
    ("report", "Report", "/report"),
    ("history", "History", "/history"),
)
NEIGHBOUR_NAMES = {"case": "What happened", "fleet": "Sister vehicles"}


@dataclass(frozen=True)
class Node:
    """One place of the row."""

    at: str
    name: str
    kind: str
    href: str
    seen: int
    to_ask: int
    first: bool
    followed: bool
    chosen: bool

    @property
    def told(self) -> tuple[str, ...]:
        """What stands there, in a few words."""
        parts = [f"{self.seen} seen"] if self.seen else []
        parts += [f"{self.to_ask} to ask"] if self.to_ask else []
        return tuple(parts)


@dataclass(frozen=True)
class Frame:
    """What every page of a case has around it."""

    number: int
    revision: int
    title: str
    reference: str
    changed: str
    tab: str
    first_flag: str
    shafts_known: bool
    shafts: int
    train: tuple[Node, ...]
    around: tuple[Node, ...]
    drawn: str  # changes with whatever the pictures show
    tabs: tuple[tuple[str, str, str], ...] = TABS


def part_link(number: int, at: Address | str) -> str:
    """The address of a part of a case."""
    return f"/case/{number}?at={at}#part"


def question_link(number: int, question: str, at: Address) -> str:
    """The address of one question at a part of a case, opened."""
    return f"/case/{number}?at={at}&ask={question}#q-{question}"


def place_title(at: Address) -> str:
    """A place as a heading."""
    if at.unit in NEIGHBOUR_NAMES:
        return NEIGHBOUR_NAMES[at.unit]
    return capital(in_words(at).removeprefix("the "))


def frame_of(worked: Worked, tab: str, chosen: Address | None = None) -> Frame:
    """The frame of one page of a case."""
    node = _nodes(worked, chosen)
    case = worked.loaded.case
    return Frame(
        number=worked.number,
        revision=worked.revision,
        title=case.title,
        reference=case.reference,
        changed=worked.loaded.changed,
        tab=tab,
        first_flag=start_words(worked.assessment.opinion).flag,
        shafts_known=case.layout_known,
        shafts=case.train.layout.shafts,
        train=tuple(node(at) for at in driveline_places(case)),
        around=tuple(node(at) for at in neighbour_places()),
        drawn=f"{worked.revision}{record_mark(worked.loaded.replay)}",
    )


def _nodes(worked: Worked, chosen: Address | None) -> Callable[[Address], Node]:
    opinion = worked.assessment.opinion
    seen = Counter(shown_place(observation) for observation in worked.loaded.case.observations)
    asked = Counter(shown_at(asking_place(one.question, one.at)) for one in opinion.ask_next)
    known = is_settled(opinion) and opinion.first.cause is not None
    first = shown_at(opinion.first_failure.at) if known else None
    followed = {shown_at(one.at) for one in opinion.consequences if one.at is not None}

    def node(at: Address) -> Node:
        name = f"Slip {at.number}" if at.part == "slip" else place_title(at)
        kind = "slip" if at.part == "slip" else at.unit
        return Node(
            at=str(at), name=name, kind=kind, href=part_link(worked.number, at), seen=seen[at], to_ask=asked[at],
            first=at == first, followed=at in followed, chosen=at == shown_at(chosen),
        )  # fmt: skip

    return node
