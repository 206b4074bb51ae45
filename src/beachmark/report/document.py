"""The frozen values that make up a report: everything in words and ready to set, for page and paper alike."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Statement:
    """A sentence of the reasoning, the keys of the evidence under it and where the report prints that evidence."""

    text: str
    evidence: tuple[str, ...] = ()  # keys of items: `cross.face@joint-1/trunnion-A1`
    refs: tuple[str, ...] = ()  # F3: fact, D1: follows from facts, C5: computed
    lead: str = ""  # the first words, printed so that the eye finds them

    @property
    def full(self) -> str:
        """The sentence with its first words."""
        return f"{self.lead} {self.text}".strip()


@dataclass(frozen=True)
class Cover:
    """What this document is and which question it answers."""

    number: str
    revision: int
    issued: str
    title: str
    reference: str
    vehicle: str
    asked_by: str
    question: str
    document_hash: str
    kind: str  # what the paper is called at its head


@dataclass(frozen=True)
class Reason:
    """One piece of evidence and what it says about a cause."""

    ref: str
    key: str
    answer: str
    question: str
    place: str
    strength: str  # speaks clearly for
    says: str  # the same with its reason
    side: str  # for, against
    counted: bool  # False: another item of the same story says it more strongly
    source: str


@dataclass(frozen=True)
class Finding:
    """What failed first, how strongly that is held, what brought it about and what followed."""

    known: bool  # False: nothing was recorded that could order the causes
    settled: bool  # False: the evidence does not order the causes yet
    headline: str
    strength: str
    strength_meaning: str
    statements: tuple[Statement, ...]
    rests_on: tuple[Reason, ...]
    root_title: str  # empty while open
    root_candidates: tuple[str, ...]
    would_settle: tuple[str, ...]
    consequences: tuple[Statement, ...]

    @property
    def paragraph(self) -> str:
        """The finding in one paragraph."""
        return " ".join(statement.full for statement in self.statements)


@dataclass(frozen=True)
class WorkLine:
    """One entry of the work history."""

    what: str
    when: str
    odometer: str
    by: str


@dataclass(frozen=True)
class Told:
    """What was told, in the words of those who told it."""

    driver_words: str
    mechanic_words: str
    happened: str
    story: str
    history: tuple[WorkLine, ...]

    @property
    def empty(self) -> bool:
        """True when nobody told anything."""
        return not (self.driver_words or self.mechanic_words or self.happened or self.story or self.history)


@dataclass(frozen=True)
class Fact:
    """One thing that was seen or said: which place, which answer, by whom, how, how sure, on which photo."""

    ref: str
    key: str
    place: str
    question: str
    answer: str
    how: str
    note: str
    photos: tuple[str, ...]


@dataclass(frozen=True)
class Derived:
    """What follows from several facts together."""

    ref: str
    key: str
    place: str
    question: str
    answer: str
    basis: tuple[str, ...]  # refs of the facts


@dataclass(frozen=True)
class NotKnown:
    """A question that has no answer, and why it matters where that is known."""

    question: str
    place: str
    state: str  # not looked at, could not tell, not asked yet
    gate: bool  # the finding could be overturned by it
    because: str = ""
    note: str = ""


@dataclass(frozen=True)
class Picture:
    """One photo by its number."""

    id: str
    shows: str
    place: str
    taken: str
    by: str
    file: str
    hash: str


@dataclass(frozen=True)
class InputLine:
    """One input of a sum with its origin."""

    ref: str  # I1, I2 ...; equal inputs of several parts share one
    words: str
    part: str  # joint 1, shaft 2; several in the list of all inputs; nothing for the vehicle
    value: str
    origin: str
    source: str
    assumed: bool  # nobody measured or stated it for this vehicle


@dataclass(frozen=True)
class ResultLine:
    """One computed quantity with its range, in two systems of units where they differ."""

    words: str
    value: str
    band: str
    other: str
    widened: str  # which input makes most of the range


@dataclass(frozen=True)
class SumCard:
    """One sum about one part."""

    ref: str
    key: str
    title: str
    place: str
    inputs: tuple[InputLine, ...]
    results: tuple[ResultLine, ...]
    limit: str
    speaks: str  # for, against, neither
    sentence: str
    method: str
    source: str
    valid: bool
    validity: str


@dataclass(frozen=True)
class SumGroup:
    """The same sum at one or more places: what they share is told once."""

    topic: str  # the question that it answers
    title: str
    method: str
    source: str
    validity: str
    inputs: tuple[InputLine, ...]
    cards: tuple[SumCard, ...]


@dataclass(frozen=True)
class NotComputed:
    """A kind of sum that could not be done at some places, and what it lacks there, by name."""

    title: str
    places: str
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class ReplayedEvent:
    """What one replayed event would do to the part in question; each number with its range."""

    title: str
    fits: str  # how well it fits what was told and seen, of 100
    peak: str
    over_steady: str
    used: str  # over what a sound one bears at first yield
    needed: str  # percent of a sound one's strength below which it breaks
    breaks: str  # in so many of 100 draws a sound one breaks


@dataclass(frozen=True)
class Replayed:
    """What the replay of the events tells, once it is kept and speaks of the case as it is."""

    topic: str  # the question that it answers
    sentence: str
    part: str
    events: tuple[ReplayedEvent, ...]  # the likeliest first
    bracket: str
    position: str
    assumptions: tuple[str, ...]


@dataclass(frozen=True)
class CauseView:
    """One cause in full: what speaks for and against it and what is silent."""

    id: str
    title: str
    place: str
    mechanism: str
    speaks_for: tuple[Reason, ...]
    speaks_against: tuple[Reason, ...]
    silent: tuple[str, ...]
    ranked_lower: Statement | None
    caution: str
    source: str


@dataclass(frozen=True)
class Considered:
    """Every cause that was weighed, the first and its two best rivals in full."""

    first: CauseView | None
    rivals: tuple[CauseView, ...]
    others: tuple[Statement, ...]
    far_behind: tuple[str, ...]
    not_in_list: Statement


@dataclass(frozen=True)
class ChangeLine:
    """What would have to turn out otherwise, and which cause would then come first."""

    text: str
    then_first: str


@dataclass(frozen=True)
class StrengthRow:
    """One word of the strength scale."""

    word: str
    meaning: str
    used_here: bool


@dataclass(frozen=True)
class Limits:
    """How far the report can be trusted."""

    scale: tuple[StrengthRow, ...]
    judgement: str
    robustness: str
    assumed: tuple[InputLine, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class CautionLine:
    """A warning with its signal word."""

    word: str  # DANGER, WARNING, CAUTION, NOTICE
    text: str


@dataclass(frozen=True)
class Step:
    """One thing to do. Its own cautions stand before it."""

    cautions: tuple[CautionLine, ...]
    text: str
    place: str = ""
    because: str = ""
    how: str = ""
    minutes: str = ""


@dataclass(frozen=True)
class StepGroup:
    """Steps that belong together."""

    title: str
    note: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class ToDo:
    """What to do, kept apart from the finding. `cautions` stand before all steps."""

    advice: tuple[str, ...]
    cautions: tuple[CautionLine, ...]
    first: tuple[str, ...]  # the first page's short list
    groups: tuple[StepGroup, ...]


@dataclass(frozen=True)
class SignLine:
    """One line to sign."""

    role: str
    meaning: str


@dataclass(frozen=True)
class ShareRow:
    """A share in the annex."""

    title: str
    share: str


@dataclass(frozen=True)
class WeightRow:
    """The weight of one piece of evidence in the annex."""

    ref: str
    answer: str
    ratio: str
    counted: bool
    story: str


@dataclass(frozen=True)
class Annex:
    """The only place where shares and ratios are printed."""

    note: str
    causes: tuple[ShareRow, ...]
    roots: tuple[ShareRow, ...]
    weights: tuple[WeightRow, ...]
    chances: tuple[ShareRow, ...]
    robustness: str


@dataclass(frozen=True)
class ReportContent:
    """The whole report as data in words, in the order in which it is read."""

    cover: Cover
    finding: Finding
    drawing_caption: str
    told: Told
    facts: tuple[Fact, ...]
    derived: tuple[Derived, ...]
    not_known: tuple[NotKnown, ...]
    pictures: tuple[Picture, ...]
    computed: tuple[SumGroup, ...]
    replay: Replayed | None
    inputs: tuple[InputLine, ...]
    not_computed: tuple[NotComputed, ...]
    considered: Considered
    would_change: tuple[ChangeLine, ...]
    would_change_warning: str
    limits: Limits
    to_do: ToDo
    sign_off: tuple[SignLine, ...]
    annex: Annex
