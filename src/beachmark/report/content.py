"""A worked case as a report: facts, then computation, then reasoning, then limits, then advice. Pure."""

from __future__ import annotations

from beachmark.cases.assessment import Assessment
from beachmark.knowledge.model import Knowledge
from beachmark.report.advised import SIGN_OFF, to_do
from beachmark.report.annex import annex
from beachmark.report.computed import all_inputs, computed, not_computed
from beachmark.report.concluded import Concluding, considered, finding, limits, would_change
from beachmark.report.document import Cover, ReportContent
from beachmark.report.recorded import derived, facts, not_known, pictures, told
from beachmark.report.replayed import replayed
from beachmark.report.starting import start_words
from beachmark.report.words import References, Units


def report_content(
    assessment: Assessment,
    knowledge: Knowledge,
    *,
    number: str,
    revision: int,
    issued: str,
    units: str = "metric",
    document_hash: str = "",
) -> ReportContent:
    """The whole report as data in words.

    `issued` is printed as it is given; `units` is `metric` or `us`; `document_hash` is the SHA-256 of the case
    document that the report was made from. Facts, derived facts and sums get labels (F, D, C), and every sentence
    of the reasoning names those it rests on. Percentages stand in the annex only.

    Raises `InputError` when `units` is not known.
    """
    shown, references = Units(units), References()
    recorded = facts(assessment, knowledge, references)
    follows = derived(assessment, knowledge, references)
    sums = computed(assessment, references, shown)
    inputs = all_inputs(sums)
    of = Concluding(assessment, knowledge, references)  # every label is given by now
    changes, warning = would_change(of)
    return ReportContent(
        cover=_cover(assessment, number, revision, issued, document_hash),
        finding=finding(of),
        drawing_caption=_drawing_caption(assessment),
        told=told(assessment.case),
        facts=recorded,
        derived=follows,
        not_known=not_known(assessment, knowledge),
        pictures=pictures(assessment.case),
        computed=sums,
        replay=replayed(assessment, shown),
        inputs=inputs,
        not_computed=not_computed(assessment.sums),
        considered=considered(of),
        would_change=changes,
        would_change_warning=warning,
        limits=limits(of, inputs),
        to_do=to_do(of),
        sign_off=SIGN_OFF,
        annex=annex(of),
    )


def _cover(assessment: Assessment, number: str, revision: int, issued: str, document_hash: str) -> Cover:
    case = assessment.case
    vehicle = case.vehicle
    named = vehicle.name if vehicle.name not in ("", case.reference) else ""
    return Cover(
        number=number,
        revision=revision,
        issued=issued,
        title=case.title,
        reference=case.reference,
        vehicle=", ".join(part for part in (vehicle.description, named) if part),
        asked_by=case.account.asked_by,
        question=case.account.question,
        document_hash=document_hash,
        kind=start_words(assessment.opinion).report,
    )


def _drawing_caption(assessment: Assessment) -> str:
    found = "with what was found" if assessment.opinion.items else "as far as it is known"
    told = "" if assessment.case.layout_known else " Nobody has said how many shafts there are: one is drawn for them."
    return f"The driveline {found}.{told}"
