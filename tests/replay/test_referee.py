"""The replay against SciPy at tight tolerance, and its equations against the same written a second time."""

import dataclasses

import numpy as np
import pytest

from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.kernel import replay
from beachmark.mechanics.replay.referee import judge, peaks
from beachmark.mechanics.replay.source import Program
from tests.replay.plain_equations import PlainTrain
from tests.replay.trains import drawn, events, shaft_layout

LAYOUTS = {
    "two shafts": shaft_layout(2),
    "one shaft": shaft_layout(1),
    "three shafts, retarder": shaft_layout(3, retarder=True),
    "two axles, open": shaft_layout(2, axles=2),
    "two axles, locked": shaft_layout(2, axles=2, locked=True),
    "converter": shaft_layout(2, converter=True),
}
SEED = 20261125  # fixed before the first run of these tests


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_generated_equations_are_those_written_separately(name: str) -> None:
    layout, rng = LAYOUTS[name], np.random.default_rng(5)
    program = Program(equations(layout))
    freedoms, slips = program.freedoms, len(program.sheet.slips)
    for event in events(layout).values():
        these = drawn(layout, event, count=1, seed=7)
        values = {key: float(column[0]) for key, column in these.columns.items()}
        constants = tuple(program.sheet.constant_rows(these.columns)[:, 0].tolist())
        plain, slopes = PlainTrain(layout, values), compiled.slopes(program)
        for _ in range(40):
            # Angles that fit together but for some hundredths of a radian, so that flanks touch and part.
            turned = rng.uniform(-5, 5)
            q = [turned / (12.3 if n > 1 else 1) + rng.normal(0, 0.03) for n in range(freedoms)]
            w, z = rng.normal(0, 30, freedoms).tolist(), rng.normal(0, 0.02, slips).tolist()
            time = float(rng.uniform(0, 1))
            expected = plain.rates(time, q, w, z)
            found = slopes(time, [*q, *w, *z], constants)
            assert found == pytest.approx(expected, rel=1e-7, abs=1e-6)


@pytest.mark.xdist_group("replay")
def test_peaks_agree_with_lsoda_at_tight_tolerance(kernels: str) -> None:
    """Every layout and event, random trains with lash: median at most 1e-4, 99th percentile at most 1e-3."""
    deviations, beyond = [], []
    for number, (name, layout) in enumerate(LAYOUTS.items()):
        for place, (what, event) in enumerate(events(layout).items()):
            these = drawn(layout, event, count=2, seed=SEED + 10 * number + place)
            found = replay(draws=these, duration_s=event.duration_s, cache_folder=kernels)
            verdict = judge(draws=these, outcome=found)
            carried = np.maximum(verdict.greatest, -verdict.least) > 0
            deviations.append(verdict.deviation[carried])
            for draw, load in np.argwhere(verdict.deviation > 1e-3).tolist():
                beyond.append(f"{name}, {what}, draw {draw}, {found.loads[load]}: {verdict.deviation[draw, load]:.1e}")
    every = np.concatenate(deviations)
    print(
        f"\n{every.size} peaks: median {np.median(every):.1e}, 99 % {np.quantile(every, 0.99):.1e}, {every.max():.1e}"
    )
    print("beyond 1e-3:", *beyond, sep="\n  ")
    assert np.median(every) <= 1e-4
    assert np.quantile(every, 0.99) <= 1e-3
    assert every.max() <= 1e-2


def test_lsoda_and_radau_agree() -> None:
    layout = LAYOUTS["two shafts"]
    these = drawn(layout, events(layout)["clutch dropped"], count=1, seed=SEED)
    one, other = (peaks(draws=these, duration_s=0.3, method=method) for method in ("LSODA", "Radau"))
    assert one[0] == pytest.approx(other[0], rel=2e-6, abs=1e-2)
    assert one[1] == pytest.approx(other[1], rel=2e-6, abs=1e-2)


def test_the_replay_comes_nearer_with_the_square_of_the_step() -> None:
    layout = LAYOUTS["two shafts"]
    these = drawn(layout, events(layout)["clutch dropped"], count=1, seed=SEED)
    errors = [
        judge(draws=these, outcome=replay(draws=these, duration_s=0.3, step_s=step, plain=True)).deviation.max()
        for step in (2e-4, 5e-5)
    ]
    assert errors[1] < errors[0] / 6


def test_a_wrong_replay_is_told_of(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    event = events(layout)["clutch dropped"]
    these = drawn(layout, event, count=1, seed=SEED)
    coarse = replay(draws=these, duration_s=0.3, step_s=8e-4, cache_folder=kernels)
    deviation = judge(draws=these, outcome=coarse).deviation
    assert not coarse.sound[0] or deviation.max() > 1e-2


def test_hole_and_kerb_in_the_generated_equations() -> None:
    layout = LAYOUTS["one shaft"]
    event = events(layout)["launch"]
    given = {"hole_n": 3e4, "hole_length_m": 0.4, "kerb_n": 2e4, "kerb_place_m": 1.0, "kerb_length_m": 0.2}
    values = {**event.values, **{f"vehicle.{name}": value for name, value in given.items()}}
    these = drawn(layout, dataclasses.replace(event, values=values), count=1)
    program = Program(equations(layout))
    constants = tuple(program.sheet.constant_rows(these.columns)[:, 0].tolist())
    plain = PlainTrain(layout, {key: float(column[0]) for key, column in these.columns.items()})
    slopes, freedoms = compiled.slopes(program), program.freedoms
    still = [0.0] * (freedoms + len(program.sheet.slips))
    pushed = []
    for place in (-0.5, -0.3, 0.0, 0.2309401, 0.5, 0.85, 1.0, 1.3):
        q = [0.0] * (freedoms - 1) + [place]
        found = slopes(0.0, [*q, *still], constants)
        assert found == pytest.approx(plain.rates(0.0, q, still[:freedoms], still[freedoms:]), rel=1e-9, abs=1e-9)
        pushed.append(found[2 * freedoms - 1] * 26e3)
    assert pushed[3] == pytest.approx(-3e4, rel=1e-6)  # the steepest place of the hole
    assert pushed[6] == pytest.approx(-2e4, rel=1e-6)  # the middle of the kerb
