"""What a page needs to know of a case beside its sums and its opinion, and the types that pages are written with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from beachmark.basis.errors import NotFoundError
from beachmark.cases.assessment import Assessment
from beachmark.cases.codec import plain_case
from beachmark.diagnosis.change import Change
from beachmark.diagnosis.explain import Contribution
from beachmark.diagnosis.items import Item
from beachmark.diagnosis.opinion import CauseOpinion, Opinion
from beachmark.evidence.records import Observation
from beachmark.findings.ranges import mostly
from beachmark.findings.results import Input, Quantity, Sum
from beachmark.findings.topics import Topic
from beachmark.report.document import ReportContent
from beachmark.report.figures import CAPTIONS, figure_svg, report_figures
from beachmark.report.look import FIGURES_OF
from beachmark.report.starting import StartWords, start_words
from beachmark.report.words import Units, capital, ended, plain
from beachmark.store import CaseLine, ConflictError, RevisionLine, StoreError
from beachmark.store.database import Store
from beachmark.workflow import objects, places
from beachmark.workflow.loading import Loaded
from beachmark.workflow.objects import listed_causes
from beachmark.workflow.packaged import knowledge

VERSION = 1


def shown_place(observation: Observation) -> places.Address | None:
    """The place whose page shows an observation; None when nobody said where it was seen."""
    question = places.question_of(observation.see)
    if observation.at is None and question and question.place in ("axle", "gearbox", *places.NEIGHBOURS):
        return places.Address(question.place)
    return places.shown_at(observation.at)


def is_settled(opinion: Opinion) -> bool:
    """True when the evidence orders the causes: the strength is not the last word of the scale."""
    return bool(opinion.items) and opinion.first_failure.strength is not knowledge().scales.strengths[-1]


def case_page_object(loaded: Loaded, assessment: Assessment) -> dict[str, Any]:
    """The JSON twin of a case's first page: the whole case document and what is to be asked next."""
    case = objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision)
    weighed = objects.weigh_object(case, assessment, knowledge())
    shown = ("first_failure", "root_cause", "gates", "ask_next", "numbers_next")
    return {
        "object": "beachmark.case",
        "version": VERSION,
        "case": case,
        "document": plain_case(loaded.case),
        **{key: weighed[key] for key in shown},
    }


def facts_object(loaded: Loaded, assessment: Assessment) -> dict[str, Any]:
    """The JSON twin of the facts page."""
    document = plain_case(loaded.case)
    driveline: Mapping[str, Any] = document.get("driveline", {})
    numbers = assessment.opinion.numbers_next
    return {
        "object": "beachmark.facts",
        "version": VERSION,
        "case": objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision),
        "shafts": len(driveline.get("shafts", [])) or None,
        **{key: document.get(key) for key in ("vehicle", "account", "history", "fleet", "driveline")},
        "numbers_next": [{"name": one.name, "words": one.words, "allows": list(one.allows)} for one in numbers],
    }


def causes_object(loaded: Loaded, assessment: Assessment) -> dict[str, Any]:
    """The JSON twin of the causes page."""
    case = objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision)
    return objects.weigh_object(case, assessment, knowledge())


def sums_page_object(loaded: Loaded, assessment: Assessment) -> dict[str, Any]:
    """The JSON twin of the sums page."""
    case = objects.case_object(loaded.case, number=loaded.number, revision=loaded.revision)
    return objects.sums_object(case, assessment.sums)


@dataclass(frozen=True)
class Figure:
    """A figure that the case has numbers for: its key, its caption, and what it shows in words with its numbers."""

    key: str
    caption: str
    told: str


def figures_of(assessment: Assessment, content: ReportContent, *, keys: tuple[str, ...]) -> tuple[Figure, ...]:
    """The figures among `keys` that the case has numbers for; nothing is drawn yet."""
    found = report_figures(assessment, knowledge(), content)
    return tuple(Figure(key, CAPTIONS[key], found[key]["description"]) for key in keys if key in found)


def figure(assessment: Assessment, content: ReportContent, key: str) -> str:
    """One figure as SVG text. Raises `NotFoundError` when the case has no numbers for it."""
    found = report_figures(assessment, knowledge(), content)
    if key not in found:
        raise NotFoundError("the case holds no such figure")
    return figure_svg(found[key])


def link_to_field(name: str) -> str:
    """The address, at a part of the driveline, of a field of the case file; empty when it is one of the vehicle."""
    driveline, _, rest = name.partition(".")
    if driveline != "driveline":
        return ""
    unit, _, inside = rest.partition(".")
    if unit in ("gearbox_end", "axle_end"):
        return unit.removesuffix("_end")
    kind, _, index = unit.removesuffix("]").partition("[")
    if not index:
        return ""
    base = f"{kind.removesuffix('s')}-{int(index) + 1}"
    return f"{base}/slip" if kind == "shafts" and inside.startswith("slip") else base


__all__ = [
    "FIGURES_OF",
    "Assessment",
    "CaseLine",
    "CauseOpinion",
    "Change",
    "ConflictError",
    "Contribution",
    "Figure",
    "Input",
    "Item",
    "Loaded",
    "Observation",
    "Opinion",
    "Quantity",
    "ReportContent",
    "RevisionLine",
    "StartWords",
    "Store",
    "StoreError",
    "Sum",
    "Topic",
    "Units",
    "capital",
    "case_page_object",
    "causes_object",
    "ended",
    "facts_object",
    "figure",
    "figures_of",
    "is_settled",
    "link_to_field",
    "listed_causes",
    "mostly",
    "plain",
    "shown_place",
    "start_words",
    "sums_page_object",
]
