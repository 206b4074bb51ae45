"""What the first page of a case shows: finding, drawing, and one part with its questions and fields."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from beachmark.web.case.forms import Asking, Typed
from beachmark.web.case.questions import QuestionGroup, question_groups
from beachmark.web.form_data import FormFaults
from beachmark.web.house import Worked
from beachmark.web.rendering import drawn
from beachmark.web.spine import Frame, frame_of, part_link, place_title, question_link
from beachmark.workflow import drawing
from beachmark.workflow.fields import KNOWN_CHOICES, FieldGroup, FormField, fields_at
from beachmark.workflow.pages import Observation, capital, ended, is_settled, shown_place, start_words
from beachmark.workflow.places import (
    Address,
    NextQuestion,
    answer_words,
    asking_place,
    holder,
    in_words,
    question_of,
    shown_at,
)

WIDE, NARROW = 1120, 390  # pixels
ASKED_FIRST = 3
NOTHING_TYPED, NO_FAULTS = Asking(), FormFaults()
HOW_WORDS = {
    "told": "was told", "photo": "on a photo", "eye": "by eye", "hand": "by hand", "tools": "with tools",
    "laboratory": "in a laboratory",
}  # fmt: skip
STAGE_WORDS = {"call": "on the call", "photos": "from the photos", "bench": "at the bench"}
FIELD_TITLES = {"case": "Account, duty and what was before", "fleet": "How many failed of how many"}
# stated here, but not told by the drawing's own rows
TOLD_BESIDE = {
    "hardness", "core_hardness", "runout", "twist_left", "dent_depth", "bolts", "bolt_diameter", "radial_stiffness",
    "height", "pinion_slope",
}  # fmt: skip
SURE_WORDS = {"certain": "certain", "fairly": "fairly sure", "unsure": "not sure"}


@dataclass(frozen=True)
class AskLine:
    """One question to ask next, where to answer it, and why."""

    question: str
    place: str
    href: str
    because: str
    gate: bool
    minutes: float


@dataclass(frozen=True)
class FindingStrip:
    """First failure, strength, root cause, and what to ask next."""

    heading: str
    known: bool
    settled: bool
    words: str
    strength: str
    meaning: str
    root: str
    root_open: str
    ask: tuple[AskLine, ...]
    open_gates: int


@dataclass(frozen=True)
class SeenLine:
    """One observation as it was recorded."""

    see: str
    at: str
    by: str
    question: str
    place: str
    answers: str
    silent: bool
    how: str
    note: str
    photos: str
    href: str


@dataclass(frozen=True)
class PartPanel:
    """One part: what is drawn of it, what was seen, what can be answered, what is installed."""

    at: str  # the place chosen, perhaps an arm
    part: str  # the part whose panel this is
    title: str
    told: tuple[tuple[str, str], ...]
    seen: tuple[SeenLine, ...]
    cross: Markup | None
    finer: tuple[tuple[str, str, bool], ...]
    groups: tuple[QuestionGroup, ...]
    fields: tuple[FieldGroup, ...]
    fields_title: str
    whole: str  # leads back from an arm to its joint


@dataclass(frozen=True)
class CasePage:
    """The whole page."""

    frame: Frame
    finding: FindingStrip
    wide: Markup
    narrow: Markup
    words: tuple[tuple[str, str, str], ...]
    panel: PartPanel | None
    everything: tuple[tuple[str, tuple[SeenLine, ...]], ...]
    typed: Typed
    faults: FormFaults
    done: str
    name: str
    known_choices: tuple[str, ...] = KNOWN_CHOICES
    how_choices: tuple[tuple[str, str], ...] = tuple(HOW_WORDS.items())
    sure_choices: tuple[tuple[str, str], ...] = tuple(SURE_WORDS.items())


def case_page(
    worked: Worked,
    *,
    base: str = "",
    at: Address | None = None,
    asking: Asking = NOTHING_TYPED,
    faults: FormFaults = NO_FAULTS,
    done: str = "",
) -> CasePage:
    """The page of a case with one part opened, or with everything recorded so far."""
    panel = _panel(worked, at, base, asking) if at is not None else None
    question = question_of(done)
    return CasePage(
        frame=frame_of(worked, "case", at),
        finding=finding_strip(worked),
        wide=_drawing(worked, at, base, WIDE),
        narrow=_drawing(worked, at, base, NARROW),
        words=tuple(drawing.driveline_words(worked.assessment)),
        panel=panel,
        everything=() if panel else _everything(worked),
        typed=asking.typed,
        faults=faults,
        done=question.question if question else "",
        name=asking.name,
    )


def _drawing(worked: Worked, at: Address | None, base: str, width: int) -> Markup:
    def link(part: Address) -> str:
        return base + part_link(worked.number, part)

    return drawn(drawing.driveline_drawing(worked.assessment, link=link, chosen=at, seen=True, width=width))


def finding_strip(worked: Worked) -> FindingStrip:
    """What the case comes to, in one strip."""
    opinion = worked.assessment.opinion
    known, root = bool(opinion.items), opinion.root_cause
    candidates = [candidate.root.title for candidate in root.candidates]
    return FindingStrip(
        heading=start_words(opinion).heading,
        known=known,
        settled=is_settled(opinion),
        words=ended(capital(opinion.first_failure.words)),
        strength=opinion.first_failure.strength.word,
        meaning=opinion.first_failure.strength.meaning,
        root=root.root.title if root.root else "",
        root_open=" or ".join(candidates[:3]) if known else "",
        ask=tuple(_ask_line(worked, one) for one in opinion.ask_next[:ASKED_FIRST]),
        open_gates=sum(not gate.answered for gate in opinion.gates),
    )


def _ask_line(worked: Worked, one: NextQuestion) -> AskLine:
    at = asking_place(one.question, one.at)
    href = question_link(worked.number, one.question.id, at)
    place = place_title(at) if one.at is not None or not at.number else capital(one.question.place)
    because = ended(capital(one.because.split(";")[0]))  # the whole of it stands with the question
    return AskLine(one.question.question, place, href, because, one.gate, one.question.minutes)


def _panel(worked: Worked, at: Address, base: str, asking: Asking) -> PartPanel:
    part = shown_at(at) or at
    seen = [one for one in worked.loaded.case.observations if shown_place(one) == part]
    joint = part.unit == "joint"
    return PartPanel(
        at=str(at),
        part=str(part),
        title=place_title(at),
        told=_told(worked, part),
        seen=tuple(_seen_line(worked, one) for one in seen),
        cross=_cross(worked, at, base) if joint else None,
        finer=_finer(worked, at),
        groups=question_groups(worked, at, seen, asking),
        fields=fields_at(worked.loaded.case, part) if worked.loaded.case.layout_known or not part.number else (),
        fields_title=FIELD_TITLES.get(part.unit, "What is installed"),
        whole=part_link(worked.number, part) if part != at else "",
    )


def _cross(worked: Worked, at: Address, base: str) -> Markup:
    def link(part: Address) -> str:
        return base + part_link(worked.number, part)

    return drawn(drawing.cross_drawing(worked.assessment, joint=at.number, link=link, chosen=at))


def _finer(worked: Worked, at: Address) -> tuple[tuple[str, str, bool], ...]:
    """The arms, caps and yokes of a joint as links, because a sketch cannot be followed by everybody."""
    if at.unit != "joint":
        return ()
    parts = [f"{kind}-{arm}" for arm in ("G1", "G2", "A1", "A2") for kind in ("trunnion", "cap")]
    places = [Address("joint", at.number, part) for part in (*parts, "yoke-front", "yoke-rear", "fasteners")]
    return tuple((in_words(one).partition(", ")[2], part_link(worked.number, one), one == at) for one in places)


def _told(worked: Worked, part: Address) -> tuple[tuple[str, str], ...]:
    name = {"slip": f"Shaft {part.number} slip"}.get(part.part, place_title(part))
    rows = drawing.driveline_words(worked.assessment)
    drawn_rows = [(what, how) for row, what, how in rows if row == name and how != "missing"]
    return (*drawn_rows, *_told_beside(worked, part))


def _told_beside(worked: Worked, part: Address) -> Iterator[tuple[str, str]]:
    """What was stated of a part that no drawing shows; the numbers of one ride height stand together."""
    case = worked.loaded.case
    for group in fields_at(case, part) if case.layout_known or not part.number else ():
        said = [one for one in group.fields if one.typed and one.name.rpartition(".")[2] in TOLD_BESIDE]
        lines = [said] if group.id.startswith("measured-") and said else [[one] for one in said]
        for line in lines:
            how = ", ".join(dict.fromkeys(one.known or "stated" for one in line))
            yield ", ".join(f"{one.words} {one.typed}{_span(one)}" for one in line), how


def _span(field: FormField) -> str:
    return f", {field.span}" if field.span else ""


def _seen_line(worked: Worked, one: Observation) -> SeenLine:
    question, at = question_of(one.see), shown_place(one)
    told = [f"by {one.by}" if one.by else "nobody named", HOW_WORDS[one.how.value] if one.how else ""]
    told += [SURE_WORDS[one.sure.value], one.when, STAGE_WORDS.get(one.stage, one.stage)]
    return SeenLine(
        see=one.see,
        at=str(one.at) if one.at else "",
        by=one.by,
        question=question.question if question else one.see,
        place=in_words(one.at) if one.at and one.at != holder(one.at) else "",
        answers=" / ".join(answer_words(question, answer) for answer in one.answers) if question else "",
        silent=not one.speaks,
        how=", ".join(part for part in told if part),
        note=one.note,
        photos=", ".join(one.photos),
        href=part_link(worked.number, at) if at else "",
    )


def _everything(worked: Worked) -> tuple[tuple[str, tuple[SeenLine, ...]], ...]:
    """All that was recorded, by place."""
    groups: dict[str, list[SeenLine]] = {}
    for one in worked.loaded.case.observations:
        at = shown_place(one)
        groups.setdefault(place_title(at) if at else "Place not said", []).append(_seen_line(worked, one))
    return tuple((title, tuple(lines)) for title, lines in groups.items())
