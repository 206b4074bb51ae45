"""What a severe review found, so that it stays mended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.stats import fisher_exact

from beachmark.basis.errors import BeachmarkError, InputError
from beachmark.cases.assessment import assess
from beachmark.cases.case import Case
from beachmark.evidence.records import How
from beachmark.findings.population import exact_probability
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge
from beachmark.workflow import keeping
from beachmark.workflow.home import open_store
from beachmark.workflow.loading import case_from_text, load
from beachmark.workflow.packaged import demo_names, demo_text

ReadCase = Callable[[str], Case]
CROSS = "{arm_radius: 50 mm, trunnion_diameter: 25 mm, root_distance: 15 mm}"
JOINT = f"driveline: {{shafts: [{{}}], joints: [{{cross: {CROSS}}}, {{}}]}}"
GRIP = "axle: {ratio: 4, load: 18 t}, tyre: {rolling_radius: 0.5 m}"


def sums(case: Case, knowledge: Knowledge, id: str) -> list[Sum]:
    return [one for one in assess(case, knowledge).sums if one.id == id]


@pytest.mark.parametrize("outside", ["{tmp}", "../../../../../../etc/passwd", "/etc/passwd", "x" * 400, "__init__.py"])
def test_a_sent_case_cannot_name_a_file_of_the_server(outside: str, tmp_path: Path) -> None:
    secret = tmp_path / "cat.yaml"
    secret.write_text("beachmark_catalogue: 1\nname: Secret\n", encoding="utf-8")
    named = outside.replace("{tmp}", str(secret))
    with pytest.raises(InputError, match="cannot be read: there is no such file"):
        case_from_text(f"beachmark_case: 1\ntitle: x\ncatalogue: '{named}'\n", name="sent.yaml")
    assert demo_text("alder.yaml"), "what comes with the package is found"


@pytest.mark.parametrize(
    "text",
    [
        "vehicle: {engine: {governed_speed: 2000 rpm}, gearbox: {top_gear: 1}}\n"
        "driveline: {shafts: [{length: 1e-300 m, tube: {outer_diameter: 100 mm, wall: 3 mm}}]}",
        f"vehicle: {{engine: {{peak_torque: 1e308 N m}}, gearbox: {{first_gear: 12}}}}\n{JOINT}",
    ],
)
def test_numbers_that_overflow_are_said(text: str, case_of: ReadCase, knowledge: Knowledge) -> None:
    assert sums(case_of(text), knowledge, "sum.refused")


@pytest.mark.parametrize(
    "catalogue", ["{beachmark_catalogue: 1, joints: {A: {}}}", "{beachmark_catalogue: 1, name: x, joints: [1]}"]
)
def test_a_catalogue_has_a_name_and_sizes_by_name(catalogue: str, case_of: ReadCase) -> None:
    with pytest.raises(InputError):
        case_of(f"catalogue: {catalogue}")


def test_an_empty_value_is_a_fault_and_no_traceback(case_of: ReadCase) -> None:
    with pytest.raises(InputError, match="value is missing"):
        case_of("vehicle: {axle: {ratio: {value: }}}")


@pytest.mark.parametrize("reference", ["²", "9" * 5000])
def test_an_odd_number_is_no_case(reference: str, tmp_path: Path) -> None:
    with pytest.raises(BeachmarkError):
        load(reference, home=tmp_path)


def test_hearsay_alone_is_never_strong(knowledge: Knowledge) -> None:
    case = case_from_text(demo_text(demo_names()[0]) or "", name="demo")
    assert assess(case, knowledge).opinion.first.strength.word == "strong support"
    told = replace(case, observations=tuple(replace(one, how=How.TOLD) for one in case.observations))
    assert "strong" not in assess(told, knowledge).opinion.first.strength.word


def test_unlike_paths_are_not_compared(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(f"vehicle: {{gearbox: {{first_gear: 10}}, {GRIP}, before: {{engine_peak_torque: 1000 N m}}}}")
    assert not sums(case, knowledge, "finding.torque_change")[0].computed


def test_an_upper_bound_on_the_load_accuses_nothing(case_of: ReadCase, knowledge: Knowledge) -> None:
    bound = sums(case_of(f"vehicle: {{{GRIP}}}\n{JOINT}"), knowledge, "finding.trunnion_static")[0]
    assert bound.computed
    assert bound.speaks == "neither"
    assert not bound.chances
    engine = "engine: {peak_torque: 300 N m}, gearbox: {first_gear: 4}"
    both = sums(case_of(f"vehicle: {{{GRIP}, {engine}}}\n{JOINT}"), knowledge, "finding.trunnion_static")[0]
    assert (both.answer, both.speaks) == ("ample", "against")


def test_whirl_is_judged_at_the_greatest_speed(case_of: ReadCase, knowledge: Knowledge) -> None:
    case = case_of(
        "vehicle: {axle: {ratio: 4}, tyre: {rolling_radius: 0.5 m}, "
        "duty: {event_speed: 20 km/h, top_speed: 100 km/h}}\n"
        "driveline: {shafts: [{length: 3.1 m, tube: {outer_diameter: 100 mm, wall: 4 mm}}]}"
    )
    assert sums(case, knowledge, "finding.whirl")[0].answer == "reached"


def test_recording_again_keeps_photos_and_stage(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    text = (
        "beachmark_case: 1\ntitle: x\nphotos: [{id: P1}]\n"
        "observations: [{see: cross.broken, at: joint-1, answers: [one], photos: [P1], stage: photos}]\n"
        "driveline: {shafts: [{}]}\n"
    )
    made = keeping.add_case(store, case_from_text(text, name="x"), why="test")
    assert made.number is not None
    after = keeping.record(store, made.number, keeping.Seen("cross.broken", ("two_opposite",), at="joint-1"))
    store.close()
    assert after.case.observations[0].answers == ("two_opposite",)
    assert after.case.observations[0].photos == ("P1",)
    assert after.case.observations[0].stage == "photos"


def test_exact_probability_agrees_with_scipy() -> None:
    """Reference: scipy.stats.fisher_exact, a general-purpose library."""
    for a, of_a, b, of_b in ((6, 9, 1, 14), (3, 5, 0, 9), (0, 4, 0, 7), (40, 900, 12, 1100), (5, 5, 5, 5)):
        reference = fisher_exact([[a, of_a - a], [b, of_b - b]]).pvalue
        ours = exact_probability(failed_a=a, of_a=of_a, failed_b=b, of_b=of_b)
        assert ours == pytest.approx(reference, rel=1e-6)
