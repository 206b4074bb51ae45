"""Nothing is fixed to one layout: what is seen one joint further rearward moves everything with it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.driveline.parts import Joint, Shaft
from beachmark.driveline.positions import Address, in_words
from beachmark.driveline.train import Train
from beachmark.knowledge.model import Knowledge
from beachmark.report.content import report_content
from beachmark.workflow.drawing import driveline_drawing

ReadExample = Callable[[str], Case]


def on_train(case: Case, shafts: int, joint: int) -> Case:
    """The case's broken joint as joint `joint` of a driveline of so many shafts, every observation with it."""
    broken = case.train.joint(1)
    joints = tuple(broken if number == joint else Joint() for number in range(1, shafts + 2))
    train = Train(tuple(Shaft(support=n < shafts - 1) for n in range(shafts)), joints)
    seen = tuple(
        replace(one, at=one.at.moved(joint - 1)) if one.at and one.at.unit == "joint" else one
        for one in case.observations
    )
    return replace(case, train=train, observations=seen)


def worked(example: ReadExample, knowledge: Knowledge, shafts: int, joint: int) -> Assessment:
    return assess(on_train(example("tide-and-fresh"), shafts, joint), knowledge)


PLACES = [(shafts, joint) for shafts in (1, 2, 3, 4) for joint in range(1, shafts + 1)]


@pytest.mark.parametrize(("shafts", "joint"), PLACES)
def test_every_answer_one_joint_rearwards(shafts: int, joint: int, example: ReadExample, knowledge: Knowledge) -> None:
    here, rearwards = (worked(example, knowledge, shafts, number) for number in (joint, joint + 1))
    for found, number in ((here, joint), (rearwards, joint + 1)):
        arm = Address("joint", number, "trunnion-A1")
        assert found.opinion.first.id == "cross_fatigue_fillet"
        assert found.opinion.first_failure.at == arm
        assert in_words(arm) in found.opinion.first_failure.words
        computed = {one.at for one in found.sums if one.id == "finding.trunnion_repeated" and one.computed}
        assert computed == {Address("joint", number)}
        assert any(seen.at == Address("joint", number, "trunnion-A2") for seen in found.opinion.consequences)
    assert rearwards.opinion.first.share == pytest.approx(here.opinion.first.share, rel=0.05)


@pytest.mark.parametrize(("shafts", "joint"), PLACES)
def test_the_drawing_moves_with_it(shafts: int, joint: int, example: ReadExample, knowledge: Knowledge) -> None:
    places = [_marked_x(worked(example, knowledge, shafts, number)) for number in (joint, joint + 1)]
    assert places[0] < places[1]


def _marked_x(found: Assessment) -> float:
    """Where the case's own drawing writes FIRST."""
    words = re.search(r'<text x="([-0-9.]+)"[^>]*>FIRST', driveline_drawing(found))
    assert words is not None
    return float(words.group(1))


@pytest.mark.parametrize(("shafts", "joint"), PLACES)
def test_the_report_moves_with_it(shafts: int, joint: int, example: ReadExample, knowledge: Knowledge) -> None:
    here, rearwards = (
        report_content(worked(example, knowledge, shafts, number), knowledge, number="1", revision=1, issued="x")
        for number in (joint, joint + 1)
    )
    for content, number, other in ((here, joint, joint + 1), (rearwards, joint + 1, joint)):
        assert f"joint {number}, arm A1" in content.finding.headline
        assert f"joint {other}, arm" not in content.finding.paragraph
        places = {fact.place for fact in content.facts}
        assert f"joint {number}, arm A1" in places
        assert f"joint {other}, arm A1" not in places


def test_one_dimension_across_a_limit_changes_the_order(example: ReadExample, knowledge: Knowledge) -> None:
    """A shorter tube runs clear of its critical speed: through the finding alone, whirl gives way."""
    case = example("long-wheelbase")
    case = replace(case, observations=tuple(seen for seen in case.observations if seen.see == "event.shake_when"))
    orders = []
    for metres in (2.65, 1.35):
        shaft = case.train.shaft(1)
        assert shaft.length is not None
        length = replace(shaft.length, si=metres, low=metres, high=metres)
        changed = replace(case, train=replace(case.train, shafts=(replace(shaft, length=length),)))
        found = assess(changed, knowledge)
        answer = next(one.answer for one in found.sums if one.id == "finding.whirl")
        orders.append((answer, found.opinion.first.id, [cause.id for cause in found.opinion.causes]))
    (reached, first, _), (clear, then, order) = orders
    assert (reached, first) == ("reached", "whirl_critical_speed")
    assert clear == "clear"
    assert then != "whirl_critical_speed"
    assert order.index("whirl_critical_speed") > 3
