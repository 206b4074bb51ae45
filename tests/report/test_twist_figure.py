"""The chart of the swing in twist: its numbers against the curves and sums, its scale, nothing without numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from beachmark.cases.assessment import Assessment, assess
from beachmark.cases.case import Case
from beachmark.findings.curves import SwingCurve, TwistCrossing, TwistCurves, twist_curves
from beachmark.findings.topics import Topic
from beachmark.report.charts.twist import PowerAxis, twist_figure
from beachmark.report.figures import CAPTIONS, figure_svg
from beachmark.report.look import FIGURES_OF, WIDTH, Spec
from beachmark.report.words import Units
from beachmark.workflow.packaged import knowledge
from tests.findings.lone import result
from tests.findings.test_twist_swing import FIRED
from tests.report.test_figures import curve, figures, rows_of

CaseOf = Callable[[str], Case]
RPM = 2 * math.pi / 60
SPEEDS = np.linspace(800.0, 2400.0, 9) * RPM
METRIC = Units("metric")


@pytest.fixture
def fired(case_of: CaseOf) -> Assessment:
    return assess(case_of(FIRED.replace("first_gear: 9, ", "")), knowledge())


def made(joints: Any, firing: Any, *, meets: tuple[float, ...] = (), units: Units = METRIC) -> Spec:
    met = tuple(TwistCrossing(rpm * RPM, n, 200.0, "wheels against engine") for n, rpm in enumerate(meets, start=1))
    swings = (
        SwingCurve("the joints' second order", np.broadcast_to(joints, 9), met),
        SwingCurve("the engine's firing order", np.broadcast_to(firing, 9), ()),
    )
    return twist_figure(TwistCurves(0.8, SPEEDS, swings), units)


def scale(spec: Spec) -> dict[str, Any]:
    [found] = [part["encoding"]["y"]["scale"] for part in spec["layer"] if part["mark"]["type"] == "line"][:1]
    return dict(found)


def flags(spec: Spec) -> dict[str, float]:
    rules = [part for part in spec["layer"] if part["mark"]["type"] == "rule"]
    return {row["text"]: row["x"] for part in rules for row in part["data"]["values"] if "x2" not in row}


def test_curves_end_at_the_speeds_of_the_gear_and_peak_at_the_sum(fired: Assessment) -> None:
    spec = figures(fired)["twist"]
    total = next(one for one in fired.sums if one.id == "sum.twist")
    for line, words in (("joints", "from the joints"), ("firing", "from firing")):
        points = np.array(curve(spec, line=line))
        assert points[[0, -1], 0] == pytest.approx([750, 2500])
        assert points[:, 1].max() == pytest.approx(result(total, words).spread.nominal, rel=5e-3)


def test_upright_lines_stand_where_an_order_meets_a_frequency(fired: Assessment) -> None:
    """The joints shake twice, six cylinders 3 x 0.8 times a turn of the shafts; both meet the third frequency."""
    total = next(one for one in fired.sums if one.id == "sum.twist")
    third = result(total, "natural frequency 3").spread.nominal
    expected = {"joints at frequency 3": 60 * third / 2, "firing at frequency 3": 60 * third / 2.4}
    spec = figures(fired)["twist"]
    found = {text.split(",")[0]: x for text, x in flags(spec).items()}
    assert found == {words: pytest.approx(rpm) for words, rpm in expected.items()}
    for words, rpm in expected.items():
        assert f"{words}, {rpm:.0f}\u00a0rpm" in flags(spec)
        assert f"{rpm:.0f}\u00a0rpm" in spec["description"]
    assert "pinion against engine" in spec["description"]


def test_the_greatest_swing_is_told_in_the_readers_unit() -> None:
    rising = np.linspace(10.0, 90.0, 9)
    metric, us = (made(rising, 50.0, units=Units(system)) for system in ("metric", "us"))
    assert "up to 90\u00a0N\u00a0m, at 2400\u00a0rpm, and meets no natural frequency" in metric["description"]
    assert f"up to {90 / 1.3558179483314004:.1f}\u00a0lbf\u00a0ft" in us["description"]  # NIST SP 811, appendix B
    ratio = np.array(curve(metric, line="joints"))[:, 1] / np.array(curve(us, line="joints"))[:, 1]
    assert ratio == pytest.approx(np.full(9, 1.3558179483314004))


@pytest.mark.parametrize(("firing", "log"), [(40.0, False), (4000.0, True), (4e6, True)])
def test_a_swing_far_below_the_other_is_shown_by_powers(firing: float, log: bool) -> None:
    spec = made(np.linspace(10.0, 90.0, 9), firing)
    found = scale(spec)
    low, high = found["domain"]
    assert (found.get("type") == "log") is log
    assert low > 0 if log else low == 0
    assert high > max(firing, 90)
    assert "log scale" in str(spec) if log else "log scale" not in str(spec)
    assert max(y for _, y in curve(spec, line="joints")) == 90.0
    assert "NaN" not in figure_svg(spec)


def test_a_scale_by_powers_counts_equal_ratios_as_equal_steps() -> None:
    axis = PowerAxis("t", 0.5, 500.0, 300.0, {})
    assert [axis.pixel(value) for value in (0.5, 5.0, 50.0, 500.0)] == pytest.approx([0, 100, 200, 300])
    assert [axis.at(pixel) for pixel in (0.0, 150.0, 400.0)] == pytest.approx([0.5, math.sqrt(250), 5000])


def test_a_swing_of_nothing_is_not_drawn() -> None:
    spec = made(0.0, 50.0)
    assert {row["line"] for row in rows_of(spec) if "line" in row} == {"firing"}
    assert "joints" not in spec["description"]
    assert made(0.0, 1e-9) == {}
    assert twist_figure(None, METRIC) == {}


@pytest.mark.parametrize("meets", [(), (810.0,), (2390.0,), (810.0, 1600.0, 2390.0), (2300.0, 2350.0, 2399.0)])
def test_the_chart_fits_the_page_wherever_the_lines_stand(meets: tuple[float, ...]) -> None:
    for firing in (50.0, 50_000.0):
        svg = figure_svg(made(np.linspace(10.0, 90.0, 9), firing, meets=meets))
        assert float(svg.split('width="')[1].split('"')[0]) <= 1.02 * WIDTH
        assert "Barlow" in svg


def test_it_belongs_to_the_question_and_vanishes_without_numbers(fired: Assessment, case_of: CaseOf) -> None:
    assert FIGURES_OF[Topic.TWIST] == ("twist",)
    assert "twist" in CAPTIONS
    assert "twist" in figures(fired)
    still = FIRED.replace("{angle: 4 deg}", "{}").replace("cylinders: 6, ", "")  # nothing is known to shake it
    for text in (FIRED.replace("governed_speed: 2000 rpm, ", ""), FIRED.replace("length: 1.5 m, ", ""), still):
        assert "twist" not in figures(assess(case_of(text), knowledge()))


def test_straight_joints_leave_the_firing_alone(case_of: CaseOf) -> None:
    case = case_of(FIRED.replace("angle: 4 deg", "angle: 0 deg").replace("angle: 3 deg", "angle: 0 deg"))
    found = twist_curves(knowledge(), case.vehicle, case.installed())
    assert found is not None
    assert found.swings[0].torques_nm.max() == 0.0
    alone = dataclasses.replace(found, swings=found.swings[:1])
    assert twist_figure(alone, METRIC) == {}
    assert "firing order" in twist_figure(found, METRIC)["description"]
