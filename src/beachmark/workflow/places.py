"""The parts of a driveline as places where something can be looked at, and the questions that fit each of them."""

from __future__ import annotations

from beachmark.basis.errors import NotFoundError
from beachmark.cases.case import Case
from beachmark.cases.codec import accepts
from beachmark.diagnosis.ask import NextQuestion
from beachmark.driveline.positions import JOINT_PARTS, SHAFT_PARTS, Address, Layout, in_words, parse_address
from beachmark.evidence.records import CANNOT_TELL, NOT_LOOKED, How, Observation, Sure
from beachmark.knowledge.model import Caution, Question
from beachmark.workflow.packaged import knowledge

NEIGHBOURS = ("case", "engine", "clutch", "suspension", "wheels", "fleet")
ANSWERS_OF_NONE = {NOT_LOOKED: "Not looked at", CANNOT_TELL: "Looked, cannot tell"}
_NOT_ASKED = ("sign", "finding")


def place(text: str, case: Case) -> Address:
    """A place of this case by its address. Raises `NotFoundError` saying what there is."""
    try:
        address = parse_address(text)
    except ValueError as error:
        raise NotFoundError(str(error)) from None
    if not case.train.layout.holds(address):
        raise NotFoundError(f"this driveline has no {in_words(address)}; it has {_size(case.train.layout)}")
    return address


def _size(layout: Layout) -> str:
    return "1 shaft and 2 joints" if layout.shafts == 1 else f"{layout.shafts} shafts and {layout.joints} joints"


def driveline_places(case: Case) -> tuple[Address, ...]:
    """The drawn parts from the gearbox to the axle, in their order."""
    layout = case.train.layout
    places = [Address("gearbox")]
    for k in range(1, layout.joints + 1):
        places.append(Address("joint", k))
        if k <= layout.shafts:
            places += [Address("shaft", k), Address("shaft", k, "slip")]
        if k < layout.shafts:
            places.append(Address("support", k))
    return (*places, Address("axle"))


def neighbour_places() -> tuple[Address, ...]:
    """What happened, and what stands around the driveline."""
    return tuple(Address(unit) for unit in NEIGHBOURS)


def shown_at(address: Address | None) -> Address | None:
    """The place whose page shows what was recorded at `address`: a cap is shown at its joint."""
    if address is None or address.unit == "train":
        return None
    return address if address.part == "slip" else address.holder


def holder(address: Address) -> Address:
    """The joint, shaft or support that a part belongs to."""
    return address.holder


def questions_at(address: Address) -> tuple[Question, ...]:
    """The questions of the vocabulary that may be answered at a place or at one of its parts."""
    return tuple(
        question
        for question in knowledge().questions.values()
        if question.type not in _NOT_ASKED and _fits(question, address)
    )


def _fits(question: Question, address: Address) -> bool:
    if question.place == "any":
        return bool(address.number)
    if address.unit == "shaft" and (question.place == "slip") != (address.part == "slip"):
        return False
    return accepts(question, address.kind, address.unit)


def finer_places(question: Question, address: Address) -> tuple[Address, ...]:
    """The parts of the joint or shaft `address` where this question may be answered instead of the whole."""
    if address.part:
        return (address,)
    parts = {"joint": JOINT_PARTS, "shaft": SHAFT_PARTS}.get(address.unit, ())
    inside = [Address(address.unit, address.number, part) for part in parts]
    if address.unit == "shaft":
        inside = [at for at in inside if at.part != "slip"]
    return tuple(at for at in inside if accepts(question, at.kind, at.unit) and question.place != address.unit)


def asking_place(question: Question, at: Address | None) -> Address:
    """Where to go to answer a question: the place proposed, else the first that fits."""
    if at is not None:
        return at
    holders = {"trunnion": "joint", "cap": "joint", "yoke": "joint", "fasteners": "joint", "weld": "shaft"}
    unit = holders.get(question.place, question.place)
    if unit in ("slip", "tube"):
        return Address("shaft", 1, "slip" if unit == "slip" else "")
    if unit in ("joint", "shaft", "support"):
        return Address(unit, 1)
    return Address("case") if unit in ("any", "train") else Address(unit)


def question_of(id: str) -> Question | None:
    """A question of the vocabulary that somebody can answer, or None."""
    found = knowledge().questions.get(id)
    return found if found and found.type not in _NOT_ASKED else None


def measuring_cautions() -> tuple[Caution, ...]:
    """What stands before measuring at the vehicle: heights, slopes, run-out, bolts."""
    return tuple(knowledge().cautions[id] for id in ("chock", "jack", "air_susp", "no_engine", "no_retighten"))


def cautions_of(question: Question) -> tuple[Caution, ...]:
    """The cautions that stand before a question, the gravest first."""
    order = ("danger", "warning", "caution", "notice")
    found = [knowledge().cautions[id] for id in question.cautions]
    return tuple(sorted(found, key=lambda caution: order.index(caution.word)))


def answer_words(question: Question, answer: str) -> str:
    """An answer in words."""
    known = question.answers.get(answer)
    return known.text if known else ANSWERS_OF_NONE.get(answer, answer)


def question_title(id: str) -> str:
    """The words of any question, of a finding too; the id itself when it is not known."""
    found = knowledge().questions.get(id)
    return found.question if found else id


def cause_title(id: str) -> str:
    """The title of a cause."""
    found = knowledge().causes.get(id)
    return found.title if found else "something that is not in the list"


def strength_scale() -> tuple[tuple[str, str], ...]:
    """The words for strength with their meanings, strongest first."""
    return tuple((word.word, word.meaning) for word in knowledge().scales.strengths)


__all__ = [
    "ANSWERS_OF_NONE",
    "Address",
    "Caution",
    "How",
    "NextQuestion",
    "Observation",
    "Question",
    "Sure",
    "answer_words",
    "asking_place",
    "cause_title",
    "cautions_of",
    "driveline_places",
    "finer_places",
    "holder",
    "in_words",
    "measuring_cautions",
    "neighbour_places",
    "place",
    "question_of",
    "question_title",
    "questions_at",
    "shown_at",
    "strength_scale",
]
