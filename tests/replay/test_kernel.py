"""The kernel as a machine: both paths alike, threads without effect, energy accounted for, layouts, fracture, cache."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.kernel import Run, replay
from beachmark.mechanics.replay.outcome import Outcome
from beachmark.mechanics.replay.parameters import draws
from beachmark.mechanics.replay.source import SPAN
from beachmark.mechanics.replay.trace import trace
from beachmark.mechanics.replay.train import Layout
from tests.replay.trains import LAYOUTS, drawn, events, nominal

pytestmark = pytest.mark.xdist_group("replay")


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_layout_runs_and_accounts_for_its_energy(name: str, kernels: str) -> None:
    layout = LAYOUTS[name]
    for event in events(layout).values():
        these = drawn(layout, event, count=16, seed=1)
        found = replay(draws=these, duration_s=event.duration_s, cache_folder=kernels)
        energy = found.energy
        lost = sum(np.abs(slipped) for slipped in energy.slipped_j.values()) + energy.damped_j
        assert found.sound.all()
        assert found.peak[:, : len(layout.couplings)].min() > 100.0
        assert np.all(np.abs(energy.missing_j) <= 1e-3 * (np.abs(energy.work_j) + lost))
        assert all(slipped.min() > -1.0 for slipped in energy.slipped_j.values())
        assert energy.damped_j.min() >= 0.0


def same(one: Outcome, other: Outcome, relative: float) -> None:
    for field in ("greatest", "least"):
        scale = np.abs(getattr(other, field)).max(axis=0) + 1.0
        assert np.all(np.abs(getattr(one, field) - getattr(other, field)) <= relative * scale)
    assert np.array_equal(one.broken, other.broken)


@pytest.mark.parametrize("name", ["two shafts", "two axles, open", "converter"])
def test_the_plain_path_equals_the_compiled_one(name: str, kernels: str) -> None:
    layout = LAYOUTS[name]
    for event in events(layout).values():
        these = drawn(layout, event, count=5, seed=2)
        quick, plain = (replay(draws=these, duration_s=0.2, cache_folder=kernels, plain=p) for p in (False, True))
        same(quick, plain, 1e-9)
        for what in ("work_j", "gained_j", "damped_j"):
            expected = getattr(plain.energy, what)
            assert getattr(quick.energy, what) == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_neither_threads_nor_pauses_nor_company_change_a_result(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    these = drawn(layout, events(layout)["clutch dropped"], count=45, seed=3)
    whole = replay(draws=these, duration_s=0.2, step_s=2e-4, cache_folder=kernels)
    shared = replay(draws=these, duration_s=0.2, step_s=2e-4, cache_folder=kernels, threads=2)
    alone = replay(draws=these.only([17]), duration_s=0.2, step_s=2e-4, cache_folder=kernels)
    paused = Run(draws=these, step_s=2e-4, cache_folder=kernels)
    for steps in (1, 299, 700):
        paused.advance(steps)
    assert np.array_equal(whole.greatest, shared.greatest)
    assert np.array_equal(whole.greatest[17], alone.greatest[0])
    assert np.array_equal(whole.greatest, paused.outcome().greatest)
    assert np.array_equal(whole.greatest_at_s, paused.outcome().greatest_at_s)


def test_the_first_fracture_stops_the_peaks(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    event = events(layout)["clutch dropped"]
    free = replay(draws=drawn(layout, event, count=8, seed=4), duration_s=0.5, cache_folder=kernels)
    weak = dataclasses.replace(event, values={**event.values, "joint 2.capacity_nm": 6000.0, "mesh.capacity_nm": 9e4})
    found = replay(draws=drawn(layout, weak, count=8, seed=4), duration_s=0.5, cache_folder=kernels)
    joint = found.loads.index("joint 2")
    assert (free.broken == -1).all()
    assert free.peak[:, joint].min() > 6000.0
    assert (found.broken == joint).all()
    assert np.all((found.peak[:, joint] >= 6000.0) & (found.peak[:, joint] < 6400.0))
    assert np.all(found.peak_at_s <= found.used_at_s[:, None] + SPAN / 2 * found.step_s + 1e-9)
    assert found.used == pytest.approx(found.peak[:, joint] / 6000.0)
    assert np.all(found.peak <= free.peak)


def test_a_draw_that_goes_astray_is_told_of_and_spoils_no_other(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    event = events(layout)["launch"]
    these = drawn(layout, event, count=8, seed=5)
    rows = these.rows.copy()
    rows[3, these.names.index("shaft 1.inertia_kg_m2")] = 1e-4  # far too light for the step
    found = replay(draws=dataclasses.replace(these, rows=rows), duration_s=0.2, step_s=2e-4, cache_folder=kernels)
    whole = replay(draws=these, duration_s=0.2, step_s=2e-4, cache_folder=kernels)
    others = np.arange(8) != 3
    assert found.sound.tolist() == others.tolist()
    assert np.array_equal(found.greatest[others], whole.greatest[others])


def test_time_starts_anew_when_the_event_repeats(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    event = events(layout)["clutch dropped"]
    ramp = {"clutch.capacity_ramp_2_start_s": 0.2, "clutch.capacity_ramp_2_takes_s": 0.02}
    rocking = {**event.values, **ramp, "clutch.capacity_ramp_2_change_nm": -3500.0, "repeat_s": 0.4}
    again = drawn(layout, dataclasses.replace(event, values=rocking), count=1)
    run = Run(draws=again, step_s=1e-4, cache_folder=kernels)
    clutch = layout.loads.index("clutch")
    run.advance(4000)
    first = run.outcome().energy.slipped_j["clutch"][0]
    run.advance(400)
    pause = run.outcome().energy.slipped_j["clutch"][0]
    run.advance(1600)
    assert first > 100.0
    assert pause == pytest.approx(first, rel=0.01)  # open again until 0.45 s
    assert run.outcome().energy.slipped_j["clutch"][0] > 1.1 * first
    assert run.outcome().greatest[0, clutch] <= 3500.0 * (1 + 1e-12)


def test_compiled_kernels_are_kept_by_what_they_are_and_never_taken_on_trust(tmp_path: Path) -> None:
    layout = LAYOUTS["one shaft"]
    these = drawn(layout, events(layout)["launch"], count=1)
    renamed = {old: old.replace("joint", "cross") for old in nominal(layout)}
    other = dataclasses.replace(
        layout, couplings=tuple(dataclasses.replace(c, name=c.name.replace("joint", "cross")) for c in layout.couplings)
    )
    values = {renamed[name]: value for name, value in nominal(layout).items()}
    found = replay(draws=these, duration_s=0.01, cache_folder=str(tmp_path))
    replay(draws=draws(layout=other, values=values, count=1), duration_s=0.01, cache_folder=str(tmp_path))
    (kept,) = tmp_path.glob("*.py")
    kept.write_text("raise SystemExit('not ours')\n", encoding="utf-8")
    compiled._compiled.cache_clear()
    again = replay(draws=these, duration_s=0.01, cache_folder=str(tmp_path))
    assert np.array_equal(found.greatest, again.greatest)
    compiled._compiled.cache_clear()
    nowhere = replay(draws=these, duration_s=0.01, cache_folder=str(tmp_path / "not there"))
    assert np.array_equal(found.greatest, nowhere.greatest)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("clutch.stiffness_nm_rad", 0.0, "greater than 0"),
        ("clutch.stiffness_nm_rad", np.inf, "clutch.stiffness_nm_rad is inf"),
        ("joint 1.angle_rad", 0.9, "at most 0.785398"),
        ("vehicle.mass_kg", np.nan, "vehicle.mass_kg is nan"),
        ("gearbox.ratio", [1.0, 2.0, 3.0], "list of 2"),
        ("bogus.ratio", 1.0, "no parameter"),
    ],
)
def test_a_value_that_cannot_be_is_refused_by_name(name: str, value: float, said: str) -> None:
    layout: Layout = LAYOUTS["two shafts"]
    with pytest.raises(ValueError, match=said):
        draws(layout=layout, values={**nominal(layout), name: value}, count=2)


def test_a_missing_value_and_a_gear_without_ratio_are_refused() -> None:
    layout = LAYOUTS["two shafts"]
    values = nominal(layout)
    with pytest.raises(ValueError, match=r"gearbox.ratio is 0"):
        draws(layout=layout, values={**values, "gearbox.ratio": 0.0}, count=1)
    del values["mesh.ratio"]
    with pytest.raises(ValueError, match=r"mesh.ratio is missing"):
        draws(layout=layout, values=values, count=1)


def test_the_trace_shows_the_same_peaks_and_the_same_time(kernels: str) -> None:
    layout = LAYOUTS["two shafts"]
    capacities = {"joint 1": 2e4, "mesh": 9e4}
    event = events(layout)["clutch dropped"]
    given = {f"{name}.capacity_nm": capacity for name, capacity in capacities.items()}
    these = drawn(layout, dataclasses.replace(event, values={**event.values, **given}), count=3, seed=6)
    found = replay(draws=these, duration_s=0.4, step_s=2e-4, cache_folder=kernels)
    shown = trace(draws=these, duration_s=0.4, step_s=2e-4, every=1, cache_folder=kernels)
    assert shown.loads == found.loads
    seen = shown.values[:, :, :-1]
    assert seen.max(axis=2) == pytest.approx(found.greatest, rel=1e-9, abs=1e-6)
    carried = found.greatest > 1.0
    apart = np.abs(shown.times_s[seen.argmax(axis=2)] - found.greatest_at_s)
    assert apart[carried].max() <= SPAN / 2 * 2e-4 + 1e-9
    over = (np.abs(seen) / np.array([capacities.get(load, np.inf) for load in shown.loads])[:, None]).max(axis=1)
    assert found.used == pytest.approx(over.max(axis=1), rel=1e-9)
    assert found.used_at_s == pytest.approx(shown.times_s[over.argmax(axis=1)], abs=1e-9)
