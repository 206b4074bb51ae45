"""The frozen values that the knowledge files become."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from beachmark.basis.values import Value
from beachmark.knowledge.events import ANY_CLASS, EventKind, VehicleClass

WEIGHTLESS = "measurement"  # such questions feed a sum or a record and carry no weight


@dataclass(frozen=True)
class Answer:
    """One answer of a question: its words and how often it is met when no cause made it."""

    text: str
    seen: str = "possible"  # usual, possible, telling, hallmark
    speaks: str = "neither"  # of a finding: for, against, neither
    says: str = ""  # of a finding: the sentence on its card
    parted: bool | None = None  # True: something broke or came off; False: nothing did; None: it does not tell


@dataclass(frozen=True)
class MeasuredField:
    """A number that goes with an answer."""

    name: str
    dimension: str


@dataclass(frozen=True)
class Gate:
    """A question that is asked first until it is answered, and why."""

    order: int
    because: str
    after_break: bool = False  # about broken parts: not asked where nothing broke or came off
    running: str = ""  # why it is asked of a vehicle on which nothing broke or came off


@dataclass(frozen=True)
class AskedWhen:
    """Another question whose answer must be one of these before a question makes sense there."""

    see: str
    answers: tuple[str, ...]


@dataclass(frozen=True)
class Question:
    """Something that can be seen, asked, derived or computed at a place, with its possible answers."""

    id: str
    place: str
    group: str
    answers: Mapping[str, Answer]
    question: str = ""
    component: str = ""
    type: str = "sight"  # sight, account, measurement, sign, finding
    several: bool = False
    fields: tuple[MeasuredField, ...] = ()
    how_to_look: str = ""
    picture: str = ""
    effort: str = ""
    minutes: float = 0.0
    cautions: tuple[str, ...] = ()
    alters_evidence: bool = False
    gate: Gate | None = None
    asked_when: AskedWhen | None = None
    source: str = ""

    @property
    def weighs(self) -> bool:
        """True when its answers change the belief."""
        return self.type != WEIGHTLESS and len(self.answers) > 1


Expectation = Mapping[str, tuple[str, ...]]  # word (expected, fits, unexpected, against) -> answers


@dataclass(frozen=True)
class Consequence:
    """What a cause leaves elsewhere; never a cause of its own."""

    see: str
    answers: tuple[str, ...]
    where: str
    text: str


@dataclass(frozen=True)
class LookAlike:
    """Another cause that is easily taken for this one, and what tells them apart."""

    cause: str
    because: str


@dataclass(frozen=True)
class BeforeRemedy:
    """What has to be done before a cause's remedy, when something else was seen or computed."""

    see: str
    answers: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class ExplainsNothing:
    """An answer under which a cause, though its state is there, is not what did the harm."""

    see: str
    answers: tuple[str, ...]
    groups: tuple[str, ...]  # stories that only show the state: they then speak for the cause no more
    because: str


@dataclass(frozen=True)
class Cause:
    """A mechanism by which a part fails, and what it predicts."""

    id: str
    title: str
    family: str
    component: str
    place: str
    how_common: str
    mechanism: str
    first_failure: str
    expects: Mapping[str, Expectation]
    elsewhere: Mapping[str, float] = field(default_factory=dict)
    consequences: tuple[Consequence, ...] = ()
    explains: tuple[str, ...] = ()
    look_alikes: tuple[LookAlike, ...] = ()
    checks: tuple[str, ...] = ()
    explains_nothing: tuple[ExplainsNothing, ...] = ()
    before_remedy: tuple[BeforeRemedy, ...] = ()
    remedy: str = ""
    caution: str = ""
    source: str = ""


@dataclass(frozen=True)
class RootCause:
    """What brought a mechanism about, and the field of responsibility that it belongs to."""

    id: str
    title: str
    origin: str
    of: Mapping[str, str]  # cause -> main, possible, rare
    expects: Mapping[str, Expectation] = field(default_factory=dict)
    settle: tuple[str, ...] = ()
    act: str = ""
    source: str = ""


@dataclass(frozen=True)
class Caution:
    """A warning that stands before the step it belongs to."""

    word: str  # danger, warning, caution, notice
    text: str


@dataclass(frozen=True)
class Limit:
    """A number that a computed value is held against."""

    id: str
    value: Value
    words: str

    @property
    def si(self) -> float:
        """The limit itself, in SI."""
        return self.value.si


@dataclass(frozen=True)
class StrengthWord:
    """What a belief must reach to be called by this word."""

    word: str
    least_share: float
    least_ratio: float  # to the best rival
    meaning: str
    needs_parts: bool = False  # only with evidence from the parts themselves
    needs_gates: bool = False  # only with the gates answered


@dataclass(frozen=True)
class Scales:
    """The verbal scales and the numbers behind them, all declared in one file."""

    expected_share: float  # chance that the answer is one of those that a table expects
    factors: Mapping[str, float]
    backgrounds: Mapping[str, float]
    mistakes: Mapping[str, float]  # how sure -> chance that the answer is mistaken
    told_mistake: float  # added when it was only told
    trust: float  # share of each log ratio that is believed, because groups still lean on one another
    relations: Mapping[str, float]  # relation -> power of a cause's table there
    priors: Mapping[str, float]
    links: Mapping[str, float]  # main, possible, rare
    not_in_list: float  # prior of "something that is not in the list"
    open_below: float  # a root cause with less share than this stays open
    strengths: tuple[StrengthWord, ...]
    efforts: Mapping[str, float]  # effort -> factor on the minutes
    source: str = ""


@dataclass(frozen=True)
class Aliases:
    """Ids of earlier versions and what they are called now."""

    observations: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    causes: Mapping[str, str] = field(default_factory=dict)
    root_causes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Knowledge:
    """Everything that experts know, checked."""

    questions: Mapping[str, Question]
    causes: Mapping[str, Cause]
    root_causes: Mapping[str, RootCause]
    groups: Mapping[str, str]
    cautions: Mapping[str, Caution]
    limits: Mapping[str, Limit]
    typical: Mapping[str, Value]
    scales: Scales
    aliases: Aliases
    version: int = 1
    events: Mapping[str, EventKind] = field(default_factory=dict)
    classes: Mapping[str, VehicleClass] = field(default_factory=dict)

    @property
    def gates(self) -> tuple[Question, ...]:
        """The questions that are asked first, in their order."""
        gated = [question for question in self.questions.values() if question.gate]
        return tuple(sorted(gated, key=lambda question: question.gate.order if question.gate else 0))

    def usual(self, kind: str, id: str) -> Value | None:
        """The value usual in a class of vehicles, else in any class, else the typical one; None if there is none."""
        for name in (kind, ANY_CLASS):
            if name in self.classes and id in self.classes[name].values:
                return self.classes[name].values[id]
        return self.typical.get(id)
