"""The replay against equations of motion written a second time, and against SciPy's solvers on those.

``PlainTrain`` (tests/replay/plain_equations.py) goes from the data to the accelerations part by part, with joints by
``hooke`` and tables by ``numpy.interp``; it shares no line with the generated programs.
"""

import functools
import itertools
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from beachmark.mechanics.replay import compiled, draws, event_values, judge, parameters, replay, trace
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.source import Program
from beachmark.mechanics.replay.start import start_state
from tests.replay.plain_equations import PlainTrain
from tests.replay.trains import LAYOUTS, events, nominal, spread

Array = NDArray[np.float64]
SEED = 20261125  # fixed before the first run of these tests
FOLLOWED_S, LOOK_S = 0.3, 5e-5
STEP_S = 1.5e-4  # that which the program chooses for this train


def _drawn(layout_name: str, event_name: str, seed: int) -> tuple[Draws, dict[str, float]]:
    """One random train in an event, and its numbers by the names of the flat vector."""
    layout = LAYOUTS[layout_name]
    values = spread({**nominal(layout), **event_values(events(layout)[event_name])}, count=1, seed=seed)
    these = draws(layout=layout, values=values, count=1)
    named = [parameter.name for parameter in parameters(layout)]
    return these, dict(zip(named, these.rows[0].tolist(), strict=True))


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_generated_equations_are_those_written_separately(name: str) -> None:
    """At 40 states near each event's start, flanks touching and apart: the same accelerations and slip rates."""
    layout, rng = LAYOUTS[name], np.random.default_rng(5)
    program = Program(equations(layout))
    freedoms, slips = program.freedoms, len(program.sheet.slips)
    for event in events(layout):
        these, values = _drawn(name, event, 7)
        constants = tuple(program.sheet.constant_rows(these.columns)[:, 0].tolist())
        plain, slopes = PlainTrain(layout, values), compiled.slopes(program)
        for _ in range(40):
            # Angles that fit together but for some hundredths of a radian, so that flanks touch and part.
            turned, gear = rng.uniform(-5, 5), values["gearbox.ratio"]
            behind = layout.place["output"]
            q = [turned / (gear if n >= behind else 1) + rng.normal(0, 0.03) for n in range(freedoms)]
            w, z = rng.normal(0, 30, freedoms).tolist(), rng.normal(0, 0.02, slips).tolist()
            time = float(rng.uniform(0, 1.5))
            expected = plain.rates(time, q, w, z)
            # The series of a joint leaves 2e-10 rad: on 2.4e5 N m/rad and 0.14 kg m^2 that is 3e-4 rad/s^2.
            assert slopes(time, [*q, *w, *z], constants) == pytest.approx(expected, rel=1e-7, abs=5e-4)


@functools.cache
def _solved(event: str, method: str) -> tuple[Array, dict[str, Array]]:
    """Times, and every load of the plain equations along them, by a solver of SciPy."""
    these, values = _drawn("one shaft", event, SEED)
    plain = PlainTrain(these.layout, values)
    angles, speeds = start_state(these)
    freedoms, slips = len(angles), len(these.layout.clutches) + len(these.layout.tyres) + 1
    start = np.concatenate([angles[:, 0], speeds[:, 0], np.zeros(slips)])
    plain.rates(0.0, start[:freedoms], start[freedoms : 2 * freedoms], start[2 * freedoms :])
    assert max(abs(plain.loads[part.name]) for part in these.layout.couplings) < 1e-6  # what starts, starts untwisted

    def slopes(t: float, y: Array) -> list[float]:
        return plain.rates(t, y[:freedoms], y[freedoms : 2 * freedoms], y[2 * freedoms :])

    # Corners of the courses: a solver must not step over one.
    ramps = [name.removesuffix("_start_s") for name in values if "_ramp_1_start_s" in name]
    corners = {t for r in ramps for t in (values[f"{r}_start_s"], values[f"{r}_start_s"] + values[f"{r}_takes_s"])}
    cuts = sorted({0.0, FOLLOWED_S} | {t for t in corners if 1e-9 < t < FOLLOWED_S - 1e-9})
    times, loads = [np.zeros(0)], list[dict[str, float]]()
    limits = np.where(np.arange(start.size) // freedoms == 1, 1e-7, 1e-9)
    for begin, end in itertools.pairwise(cuts):
        looks = np.linspace(begin, end, round((end - begin) / LOOK_S) + 2)
        run: Any = solve_ivp(slopes, (begin, end), start, method=method, t_eval=looks, rtol=1e-8, atol=limits)
        assert run.success
        start = run.y[:, -1]
        times.append(looks)
        for t, y in zip(looks, run.y.T, strict=True):
            slopes(float(t), y)
            loads.append(dict(plain.loads))
    return np.concatenate(times), {name: np.array([one[name] for one in loads]) for name in loads[0]}


@pytest.mark.parametrize("event", ["clutch dropped", "hard brake"])
def test_peaks_of_a_whole_train_are_those_of_the_plain_equations(event: str) -> None:
    """LSODA on the plain equations: the replay within 2e-3 of each load, its referee within 1e-5."""
    these, _ = _drawn("one shaft", event, SEED)
    # What is looked at ends with the beginning of the last step.
    found = replay(draws=these, duration_s=FOLLOWED_S + STEP_S, step_s=STEP_S, plain=True)
    assert found.seen_until_s == pytest.approx(FOLLOWED_S)
    verdict = judge(draws=these, outcome=found)
    _, loads = _solved(event, "LSODA")
    for place, name in enumerate(found.loads):
        greatest, least = max(loads[name].max(), 0.0), min(loads[name].min(), 0.0)
        scale = max(greatest, -least, 1.0)
        for ours, referee, expected in (
            (found.greatest[0, place], verdict.greatest[0, place], greatest),
            (found.least[0, place], verdict.least[0, place], least),
        ):
            assert abs(ours - expected) <= 2e-3 * scale, name
            assert abs(referee - expected) <= 1e-5 * scale, name
    assert found.peak[0, found.loads.index("joint 1")] > 1000.0


def test_loads_over_time_are_those_of_the_plain_equations() -> None:
    """The clutch drops at 0.05 s: the shaft's torque follows that of LSODA within 0.1 % of its peak all along."""
    these, _ = _drawn("one shaft", "clutch dropped", SEED)
    shown = trace(draws=these, duration_s=FOLLOWED_S, step_s=1e-4, every=10)
    times, loads = _solved("clutch dropped", "LSODA")
    for name in ("joint 1", "half shafts", "tyre"):
        expected = np.interp(shown.times_s, times, loads[name])
        ours = shown.values[0, shown.loads.index(name)]
        assert np.abs(ours - expected).max() < 1e-3 * np.abs(expected).max(), name


def test_lsoda_and_radau_agree_on_the_plain_equations() -> None:
    """An implicit method of another family: the reference above does not hang on one solver."""
    times, loads = _solved("clutch dropped", "LSODA")
    again, others = _solved("clutch dropped", "Radau")
    assert again == pytest.approx(times)
    for name, load in loads.items():
        assert np.abs(load - others[name]).max() <= 2e-6 * max(np.abs(load).max(), 1.0), name


def test_lsoda_and_radau_agree_in_the_referee() -> None:
    """The referee with an implicit method of another family, on a train with two axles."""
    these, _ = _drawn("two axles, open", "clutch dropped", SEED)
    found = replay(draws=these, duration_s=0.15, plain=True)
    one, other = (judge(draws=these, outcome=found, method=method) for method in ("LSODA", "Radau"))
    for ours, theirs in ((one.greatest, other.greatest), (one.least, other.least)):
        assert ours == pytest.approx(theirs, rel=5e-6, abs=2e-2)


def test_a_wrong_yoke_would_show() -> None:
    """The comparison can fail: a yoke that stands 0.1 rad elsewhere changes an acceleration by far more."""
    _, values = _drawn("one shaft", "launch", 7)
    layout = LAYOUTS["one shaft"]
    still, place = [0.0] * len(layout.freedoms), len(layout.freedoms) + layout.place["output"]
    found = [
        PlainTrain(layout, {**values, "joint 1.yoke_rad": yoke}).rates(0.1, still, still, [0.0] * 4)[place]
        for yoke in (0.0, 0.1)
    ]
    assert abs(found[0] - found[1]) > 10.0
