"""What each joint does by itself, by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from beachmark.cases.assessment import compute
from beachmark.cases.case import Case
from beachmark.knowledge.model import Knowledge

ReadCase = Callable[[str], Case]
CASE = """
vehicle:
  engine: {governed_speed: 1500 rpm}
  gearbox: {top_gear: 1}
  duty: {cruise_torque: 1000 N m}
driveline:
  shafts: [{}]
  joints: [{angle: 20 deg}, {}]
"""


def test_swing_couples_and_acceleration_of_one_joint(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Source: Khurmi & Gupta, Theory of Machines, ch. 9 (from memory): 20 deg, 1500 rpm give 3090 rad/s² (rounded)."""
    [found] = [one for one in compute(case_of(CASE), knowledge) if one.id == "sum.joint_motion"]
    swing, driving, driven, shaken = [result.spread.nominal for result in found.results]
    b = math.radians(20)
    assert swing == pytest.approx(math.sin(b) * math.tan(b))
    assert (driving, driven) == pytest.approx((1000 * math.tan(b), 1000 * math.sin(b)))
    assert shaken == pytest.approx(3090, rel=0.004)
    assert found.at.number == 1


def test_the_angle_s_range_reaches_the_couples(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = CASE.replace("angle: 20 deg", "angle: {value: 20 deg, plus_minus: 2 deg}")
    [found] = [one for one in compute(case_of(text), knowledge) if one.id == "sum.joint_motion"]
    driving = found.results[1]
    assert 1000 * math.tan(math.radians(18)) < driving.spread.low < driving.spread.high
    assert driving.spread.high < 1000 * math.tan(math.radians(22))
    assert driving.widened_by == "angle of joint 1"
