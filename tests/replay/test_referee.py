"""The replay against SciPy at tight tolerance, and what the referee says, refuses and lets itself be told."""

import dataclasses

import numpy as np
import pytest

from beachmark.mechanics.replay import compiled, referee
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.kernel import replay
from beachmark.mechanics.replay.parameters import draws
from beachmark.mechanics.replay.referee import Method, StoppedError, judge, peaks
from beachmark.mechanics.replay.source import Program
from beachmark.mechanics.replay.train import FrictionClutch, Layout, Station
from tests.replay.accuracy import EVENTS, MEDIAN, NEARLY_ALL, Judged, beyond, judged, told, train
from tests.replay.plain_equations import PlainTrain
from tests.replay.trains import LAYOUTS, drawn, events

pytestmark = pytest.mark.xdist_group("replay")
SEED = 20261125  # fixed before the first run of these tests
PART = 3  # trains for each event here; twenty in tests/replay/accuracy.py


def test_peaks_agree_with_lsoda_at_tight_tolerance(kernels: str) -> None:
    """Every event, random trains with lash, each with the step that the program chooses: median at most 1e-4, 99th
    percentile at most 1e-3 for all but the clutch's own torque. The clutch's peak is a corner where slip ends: 1e-2."""
    every = []
    for event in EVENTS:
        for number in range(PART):
            name, these, duration_s = train(event, number)
            found = replay(draws=these, duration_s=duration_s, cache_folder=kernels)
            verdict = judge(draws=these, outcome=found, cache_folder=kernels)
            every.append(Judged(name, event, number, these, found, verdict))
    assert len(EVENTS) == 13
    assert {one.layout for one in every} == set(LAYOUTS)
    assert all(one.outcome.sound[0] for one in every)
    others, clutches = (np.concatenate([getattr(one, what) for one in every]) for what in ("of_others", "of_clutch"))
    print(f"\nbut for the clutch: {told(others)}\nclutch: {told(clutches)}\nbeyond 1e-3:")
    print(*(f"  {line}" for one in every for line in beyond(one, kernels)), sep="\n")
    assert others.size > 300
    assert np.median(others) <= MEDIAN
    assert np.quantile(others, 0.99) <= NEARLY_ALL
    assert max(others.max(), clutches.max()) <= 1e-2
    assert max(one.unaccounted for one in every) <= 1e-3


def test_peaks_that_stood_still_at_a_fracture_are_those_of_the_same_time(kernels: str) -> None:
    """Capacities near the peaks: the same part is over its capacity first, and every load is what it was by then."""
    every = [judged(event, number, kernels, weak=True) for event in EVENTS for number in range(PART)]
    broken = [one for one in every if one.broke]
    assert len(broken) > 0.8 * len(every)
    assert all(one.verdict.foremost[0] == one.outcome.broken[0] for one in broken)
    used = np.array([one.verdict.used[0] / one.outcome.used[0] for one in broken])
    assert used == pytest.approx(1.0, abs=2e-2)
    deviations = np.concatenate([one.of_others for one in broken])
    print(f"\nat a fracture, but for the clutch: {told(deviations)}")
    # A load that is caught while it rises, not at its top, shows the whole error of time: some microseconds.
    assert np.median(deviations) <= MEDIAN
    assert np.quantile(deviations, 0.99) <= 5e-3
    assert max(one.unaccounted for one in every) <= 1e-3


def test_lsoda_and_radau_agree(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    these = drawn(layout, events(layout)["clutch dropped"], count=1, seed=SEED)
    methods: tuple[Method, Method] = ("LSODA", "Radau")
    one, other = (peaks(draws=these, duration_s=0.3, method=method, cache_folder=kernels) for method in methods)
    assert one[0] == pytest.approx(other[0], rel=2e-6, abs=1e-2)
    assert one[1] == pytest.approx(other[1], rel=2e-6, abs=1e-2)


def test_the_replay_comes_nearer_with_the_square_of_the_step(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    these = drawn(layout, events(layout)["clutch dropped"], count=1, seed=SEED)
    errors = [
        judge(
            draws=these,
            outcome=replay(draws=these, duration_s=0.3, step_s=step, cache_folder=kernels),
            cache_folder=kernels,
        ).deviation.max()
        for step in (2e-4, 5e-5)
    ]
    assert errors[1] < errors[0] / 6


def test_a_wrong_replay_is_told_of(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    event = events(layout)["clutch dropped"]
    these = drawn(layout, event, count=1, seed=SEED)
    coarse = replay(draws=these, duration_s=0.3, step_s=8e-4, cache_folder=kernels)
    deviation = judge(draws=these, outcome=coarse, cache_folder=kernels).deviation
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


def test_the_watch_is_asked_and_can_stop_the_referee(kernels: str) -> None:
    layout = LAYOUTS["one shaft"]
    these = drawn(layout, events(layout)["clutch dropped"], count=2, seed=SEED)
    found = replay(draws=these, duration_s=0.3, step_s=2e-4, plain=True)
    asked: list[tuple[int, int]] = []

    def watch(done: int, of: int) -> bool:
        asked.append((done, of))
        return done < 4

    with pytest.raises(StoppedError, match="stopped after 4 of"):
        judge(draws=these, outcome=found, watch=watch, cache_folder=kernels)
    assert [done for done, _ in asked] == [1, 2, 3, 4]
    assert issubclass(StoppedError, ArithmeticError)
    asked.clear()

    def never(done: int, of: int) -> bool:
        asked.append((done, of))
        return True

    judge(draws=these, outcome=found, watch=never, cache_folder=kernels)
    assert asked == [(n + 1, asked[0][1]) for n in range(asked[0][1])]


def test_what_would_not_end_and_what_does_not_belong_is_refused() -> None:
    layout = LAYOUTS["one shaft"]
    event = events(layout)["clutch dropped"]
    these = drawn(layout, event, count=2, seed=SEED)
    found = replay(draws=these, duration_s=0.01, step_s=2e-4, plain=True)
    with pytest.raises(ValueError, match=r"duration_s is 120; it must be at least 0 and at most 60"):
        judge(draws=these, outcome=dataclasses.replace(found, steps=600_001))
    with pytest.raises(ValueError, match=r"duration_s is nan"):
        peaks(draws=these, duration_s=float("nan"))
    often = drawn(layout, dataclasses.replace(event, values={**event.values, "repeat_s": 1e-9}), count=2, seed=SEED)
    with pytest.raises(ValueError, match=r"repeat_s is 1e-09; in 0.0098 s it must be at least 4.9e-06"):
        judge(draws=often, outcome=found)
    with pytest.raises(ValueError, match=r"outcome has 2 draws"):
        judge(draws=these.only(0), outcome=found)


@pytest.mark.filterwarnings("ignore::scipy.integrate.ODEintWarning")
def test_a_motion_without_bound_is_told_of_and_a_draw_gone_astray_is_off_without_bound(kernels: str) -> None:
    layout = LAYOUTS["one shaft"]
    these = drawn(layout, events(layout)["launch"], count=2, seed=SEED)
    found = replay(draws=these, duration_s=0.05, step_s=2e-4, plain=True)
    astray = dataclasses.replace(found, sound=np.array([True, False]))
    deviation = judge(draws=these, outcome=astray, cache_folder=kernels).deviation
    assert np.isfinite(deviation[0]).all()
    assert np.isinf(deviation[1]).all()
    rows = these.rows.copy()
    rows[:, these.names.index("engine.inertia_kg_m2")] = 1e-300
    with pytest.raises(ArithmeticError, match="did not get through"):
        peaks(draws=dataclasses.replace(these, rows=rows), duration_s=0.05, cache_folder=kernels)


def test_loads_at_the_very_start_count_and_a_corner_is_not_cut_off(kernels: str) -> None:
    """A push that is there from the start, seen at time 0; a clutch's peak where slip ends, between two looks."""
    layout = LAYOUTS["converter"]
    these = drawn(layout, events(layout)["hard brake"], seed=SEED)
    greatest, least = peaks(draws=these, duration_s=0.0, cache_folder=kernels)
    assert np.all((greatest >= 0) & (least <= 0))
    assert greatest[layout.loads.index("converter")] != 0.0 or least[layout.loads.index("converter")] != 0.0
    dropped = drawn(layout, events(layout)["clutch dropped"], seed=SEED)
    wide, _ = peaks(draws=dropped, duration_s=0.1, cache_folder=kernels)
    finer, _ = peaks(draws=dropped, duration_s=0.1, relative_tolerance=1e-10, cache_folder=kernels)
    assert wide == pytest.approx(finer, rel=2e-5, abs=1e-3)


def test_without_numba_the_referee_says_the_same(monkeypatch: pytest.MonkeyPatch, kernels: str) -> None:
    layout = LAYOUTS["one shaft"]
    these = drawn(layout, events(layout)["clutch dropped"], seed=SEED)
    quick = peaks(draws=these, duration_s=0.2, cache_folder=kernels)
    monkeypatch.setattr(referee.compiled, "can_compile", lambda: False)
    plain = peaks(draws=these, duration_s=0.2)
    assert plain[0] == pytest.approx(quick[0], rel=1e-7, abs=1e-3)
    assert plain[1] == pytest.approx(quick[1], rel=1e-7, abs=1e-3)


def test_a_clutch_that_slips_while_its_capacity_grows_is_of_second_order() -> None:
    """Half the step, a quarter of the energy that is not accounted for."""
    layout = Layout(
        stations=(Station(name="engine"), Station(name="rest")),
        couplings=(),
        clutches=(FrictionClutch(name="clutch", driving="engine", driven="rest"),),
    )
    values = {
        "engine.inertia_kg_m2": 3.0, "rest.inertia_kg_m2": 3.0, "engine.start_speed_rad_s": 120.0,
        "clutch.stiffness_nm_rad": 28e3, "clutch.damping_nm_s_rad": 30.0, "clutch.capacity_nm": 0.0,
        "clutch.capacity_ramp_1_takes_s": 0.06, "clutch.capacity_ramp_1_change_nm": 3500.0,
    }  # fmt: skip
    these = draws(layout=layout, values=values, count=1)
    runs = [replay(draws=these, duration_s=0.03, step_s=step, plain=True) for step in (2e-4, 1e-4)]
    missing = [abs(float(run.energy.missing_j[0])) for run in runs]
    assert missing[1] < 0.3 * missing[0]
