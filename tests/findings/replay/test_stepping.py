"""The step of an event: bounded by the stiffest mode, shortened where a pilot says so, never endless."""

from collections.abc import Callable

import numpy as np
import pytest

from beachmark.cases.case import Case
from beachmark.findings.replay import stepping
from beachmark.findings.replay.driving import Driven, driven
from beachmark.findings.replay.stepping import groups, shortening, whole_step_s
from beachmark.findings.replay.vehicle import plant_of
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.replay import safe_steps_s


@pytest.fixture(scope="module")
def made(knowledge: Knowledge, vehicle_case: Callable[[str], Case]) -> Driven:
    case = vehicle_case("bus with converter")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    return driven(plant, knowledge.events["rocking_out"], count=200, seed=1)


def test_every_draw_runs_once_with_a_step_that_it_bears(made: Driven) -> None:
    found = groups(made.draws, made.duration_s, 0.5)
    assert sorted(np.concatenate([numbers for numbers, _ in found]).tolist()) == list(range(200))
    safe = safe_steps_s(made.draws)
    for numbers, step_s in found:
        assert step_s <= max(0.5 * safe[numbers].min(), made.duration_s / 1e5) * (1 + 1e-9)
        assert made.duration_s / step_s == pytest.approx(round(made.duration_s / step_s), abs=1e-6)


def test_shortening_never_asks_for_endless_steps(made: Driven) -> None:
    steps = [step_s for _, step_s in groups(made.draws, made.duration_s, 1e-6)]
    assert made.duration_s / min(steps) <= 1.001e5


def test_too_short_a_step_is_refused_with_what_to_look_at() -> None:
    with pytest.raises(ValueError, match="look at the inertias"):
        whole_step_s(1.0, 1e-7)


def test_a_pilot_that_disagrees_shortens_the_step(made: Driven, monkeypatch: pytest.MonkeyPatch) -> None:
    """Peaks off by a 400th of the whole between a step and its half: second order says half the step for 1e-3."""

    def pilot(*given: object) -> np.ndarray:
        step_s = float(given[2])  # type: ignore[arg-type]
        whole = whole_step_s(made.duration_s, float(safe_steps_s(made.draws.only(range(32))).min()))
        return np.full((32, 3), 1.0 + (3e-3 if step_s == whole else 0.0))

    monkeypatch.setattr(stepping, "_pilot", pilot)
    assert shortening(made.draws, made.duration_s, cache_folder=None) == pytest.approx(0.5, rel=1e-3)
