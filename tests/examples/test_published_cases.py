"""Published failures, coded by somebody who had not read the findings; see examples/published/README.md.

What is compared is the published failure mode, as far as this vocabulary can express it. The published
sources are named here, beside the check, and nowhere in the case files.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from beachmark.cases.assessment import assess
from beachmark.cases.case import Case
from beachmark.diagnosis.opinion import Opinion
from beachmark.evidence.records import Observation
from beachmark.knowledge.model import Knowledge

ReadExample = Callable[[str], Case]

# case -> published failure mode as a cause of ours; source
FOUND_FIRST = {
    # Brittle cracking at a weld build-up: ASM Failure Analysis Case Histories, Processing Errors and Defects, 2019
    "P05": "tube_weld_fatigue",
    # Torsional fatigue with ductile overload of a splined half-shaft: Guimaraes et al., Case Studies in
    # Engineering Failure Analysis 7 (2016) 17-23 (root cause there: bar not to specification)
    "P06": "spline_fatigue_one_way",
    # Bolt fatigue first, from inadequate clamping: NTSB WPR15LA109
    "P09": "retention_lost",
    # Spline worn out to disengagement: ASM Failure Analysis Case Histories, Mechanical and Machine Components, 2019
    "P15": "spline_wear_dry",
    # Fatigue of a universal-joint yoke: Bayrakceken et al., Engineering Failure Analysis 14 (2007) 716-724
    "P21": "yoke_fatigue",
    # Fracture at a weld-repaired zone: Savkovic et al., Engineering Failure Analysis 20 (2012) 105-117
    "P23": "tube_weld_fatigue",
    # Fatigue from a spline root fillet: Zhao et al., Engineering Failure Analysis 99 (2019) 225-234
    "P29": "spline_fatigue_one_way",
}
# not first, but an honest tie: no more than weak support for anything, the published mode within a factor of the
# first, and an observation named that would put it first
TIES = {
    # Shock loads above yield at spline tooth roots: Lin et al., J. Failure Analysis and Prevention 8 (2008) 75-80
    "P02": "spline_torsion_overload",
    # Break in a section weakened by corrosion from inside a tube: TSB Canada A94W0162
    "P20": "tube_corrosion",
}
# coded, and not found: the tool stays open, which is honest, but it does not see what the source found
MISSED = {
    # Joints assembled without lubricant: NHTSA recall 92E-003 (nothing was given but early failure)
    "P01": "lube_none",
    # Bolts not tightened in production: NHTSA recall 10V-157
    "P26": "retention_lost",
}


def opinion_of(example: ReadExample, knowledge: Knowledge, name: str) -> Opinion:
    return assess(example(f"published/{name}"), knowledge).opinion


@pytest.mark.parametrize(("name", "cause"), FOUND_FIRST.items())
def test_published_mode_stands_first(name: str, cause: str, example: ReadExample, knowledge: Knowledge) -> None:
    opinion = opinion_of(example, knowledge, name)
    assert opinion.first.id == cause
    assert "strong" not in opinion.first.strength.word, "so little was given that nothing is strong"


@pytest.mark.parametrize(("name", "cause"), TIES.items())
def test_honest_tie_names_what_would_settle_it(
    name: str, cause: str, example: ReadExample, knowledge: Knowledge
) -> None:
    opinion = opinion_of(example, knowledge, name)
    share = next(found.share for found in opinion.causes if found.id == cause)
    assert opinion.first.strength.word in ("open", "weak support")
    assert share > 0.5 * opinion.first.share
    case = example(f"published/{name}")
    asked = [one for one in opinion.ask_next if not one.gate]
    settled = [
        one.question.id
        for one in asked
        for answer in one.question.answers
        if _first_after(case, Observation(one.question.id, (answer,), one.at), knowledge) == cause
    ]
    named = [change for change in opinion.would_change if change.then_first == cause]
    assert settled or named, "a question that is asked, or a change that is named, puts the published mode first"


def _first_after(case: Case, answered: Observation, knowledge: Knowledge) -> str:
    """The first cause once one more question was answered."""
    return assess(replace(case, observations=(*case.observations, answered)), knowledge).opinion.first.id


@pytest.mark.parametrize(("name", "cause"), MISSED.items())
def test_a_miss_stays_open_and_says_so(name: str, cause: str, example: ReadExample, knowledge: Knowledge) -> None:
    opinion = opinion_of(example, knowledge, name)
    assert opinion.first.id != cause, "found after all: move it up"
    assert opinion.first.strength.word in ("open", "weak support")
    assert not opinion.root_cause.root
