"""A chain of two joints that runs free in the replay: against MuJoCo, against the exact chain, and by its energy.

The engine is no dependency; scripts/references/mujoco_free_chains.py says how its results are made again. Nothing
drives or damps the three shafts: the first one slows and quickens as the joints take energy to and fro.
"""

import functools
import importlib.util
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from beachmark.mechanics import chain, hooke
from beachmark.mechanics.replay import Coupling, Layout, Run, Station, draws

Array = NDArray[np.float64]
ROOT = Path(__file__).parents[2]
STORED: dict[str, Any] = json.loads((ROOT / "tests/references/data/mujoco_free_chains.json").read_text("utf-8"))
NAMES = list(STORED["chains"])
INERTIAS: list[float] = STORED["inertias_kg_m2"]
EVERY_S, STEPS = 0.01, 200  # between two stored looks, and our steps in that time
NEARLY_RIGID_NM_RAD, SPRING_TIME_S = 1e7, 1e-4
LAYOUT = Layout(
    stations=tuple(Station(name=f"shaft {n}") for n in range(3)),
    couplings=tuple(
        Coupling(name=f"joint {n}", driving=f"shaft {n - 1}", driven=(f"shaft {n}",), jointed=True) for n in (1, 2)
    ),
)


def _engine(name: str) -> dict[str, Array]:
    return {what: np.array(values) for what, values in STORED["chains"][name]["mujoco"].items()}


def _geometry(name: str, *, mirrored: bool = False) -> tuple[Array, Array, Array]:
    """Directions, phases, joint angles and angles of the driving yokes are all that the replay is told of a chain."""
    given = STORED["chains"][name]
    directions = chain.direction(slope_rad=np.radians(given["slopes_deg"]), plan_rad=np.radians(given["plans_deg"]))
    phases = np.radians(given["phases_deg"]) * (-1 if mirrored else 1)
    yokes = chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=chain.bend_planes(directions=directions))
    return directions, chain.joint_angles(directions=directions), yokes


@functools.cache
def _replayed(*, mirrored: bool = False) -> tuple[Array, Array]:
    """Angles and speeds at the stored times, from the engine's first angle and speed on: times, shafts, chains."""
    values: dict[str, Any] = {f"shaft {n}.inertia_kg_m2": inertia for n, inertia in enumerate(INERTIAS)}
    geometry = [_geometry(name, mirrored=mirrored) for name in NAMES]
    for n in (1, 2):
        values[f"joint {n}.stiffness_nm_rad"] = NEARLY_RIGID_NM_RAD
        values[f"joint {n}.spring_time_s"] = SPRING_TIME_S
        values[f"joint {n}.angle_rad"] = [bends[n - 1] for _, bends, _ in geometry]
        values[f"joint {n}.yoke_rad"] = [yokes[n - 1] for _, _, yokes in geometry]
    pins = [math.radians(STORED["chains"][name]["first_pin_deg"]) for name in NAMES]
    values["shaft 0.start_angle_rad"] = [_engine(n)["input_rad"][0] + p for n, p in zip(NAMES, pins, strict=True)]
    values["shaft 0.start_speed_rad_s"] = [_engine(name)["input_rad_s"][0] for name in NAMES]
    run = Run(draws=draws(layout=LAYOUT, values=values, count=len(NAMES)), step_s=EVERY_S / STEPS, plain=True)
    states = [run.full_state()]
    for _ in _engine(NAMES[0])["time_s"][1:]:
        run.advance(STEPS)
        states.append(run.full_state())
    found = np.array(states)
    return found[:, :3], found[:, 3:6]


@pytest.mark.parametrize("name", NAMES)
def test_both_ends_turn_as_in_the_engine(name: str) -> None:
    """Source: MuJoCo (version in the data file). Both speeds within 0.1 %, and within 1 % of how far they swing."""
    found, place = _engine(name), NAMES.index(name)
    assert found["time_s"] == pytest.approx(np.arange(found["time_s"].size) * EVERY_S)
    for shaft, end in ((0, "input"), (2, "output")):
        ours, theirs = _replayed()[1][:, shaft, place], found[f"{end}_rad_s"]
        swing = np.ptp(theirs)
        assert swing > 0.02 * theirs.mean()
        assert np.abs(ours / theirs - 1).max() < 1e-3
        assert np.abs(ours - theirs).max() < 0.01 * swing


@pytest.mark.parametrize("name", [name for name in NAMES if STORED["chains"][name]["phases_deg"][0] % 90])
def test_a_wrong_sign_of_the_phase_would_show(name: str) -> None:
    found, place = _engine(name), NAMES.index(name)
    ours = _replayed(mirrored=True)[1][:, 2, place]
    assert np.abs(ours - found["output_rad_s"]).max() > 0.1 * np.ptp(found["output_rad_s"])


@pytest.mark.parametrize("name", NAMES)
def test_the_driven_shaft_follows_the_exact_chain_and_the_ratio_of_its_joints(name: str) -> None:
    """Source: the chain in space by vectors (chain.exact_chain_motion) and the joint's own ratio (hooke)."""
    place = NAMES.index(name)
    angles, speeds = (rows[:, :, place] for rows in _replayed())
    directions, bends, yokes = _geometry(name)
    phases = np.radians(STORED["chains"][name]["phases_deg"])
    exact = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=angles[:, 0])
    # Shafts that swing by 1.3 rad/s at 40 rad/s take some 30 and 50 N m: what these springs are twisted.
    assert np.abs(angles[:, 2] - exact).max() < 1e-5
    first = hooke.speed_ratio(angle_rad=bends[0], drive_angle_rad=angles[:, 0] + yokes[0])
    second = hooke.speed_ratio(angle_rad=bends[1], drive_angle_rad=angles[:, 1] + yokes[1])
    assert speeds[:, 2] / speeds[:, 0] == pytest.approx(first * second, rel=2e-4)


@pytest.mark.parametrize("name", NAMES)
def test_the_first_shaft_turns_as_its_energy_allows(name: str) -> None:
    """Rigid joints: J0 + J1 r1^2 + J2 r1^2 r2^2 times the speed squared stays what it was. Derived here."""
    place = NAMES.index(name)
    angles, speeds = (rows[:, :, place] for rows in _replayed())
    _, bends, yokes = _geometry(name)
    ratio, felt = np.ones(len(angles)), np.full(len(angles), INERTIAS[0])
    for n in (1, 2):
        ratio = ratio * hooke.speed_ratio(angle_rad=bends[n - 1], drive_angle_rad=angles[:, n - 1] + yokes[n - 1])
        felt = felt + INERTIAS[n] * ratio**2
    assert np.ptp(felt) > 0.05 * felt.mean()
    assert speeds[:, 0] == pytest.approx(speeds[0, 0] * np.sqrt(felt[0] / felt), rel=2e-4)


def test_the_engine_gives_the_stored_motion() -> None:
    pytest.importorskip("mujoco", reason="MuJoCo is not installed here (no dependency): its stored motion stands in")
    spec = importlib.util.spec_from_file_location("free", ROOT / "scripts/references/mujoco_free_chains.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    assert list(script.INERTIAS_KG_M2) == INERTIAS
    for name in script.NAMES:
        given = {key: value for key, value in STORED["chains"][name].items() if key != "mujoco"}
        assert given == script.builder().CHAINS[name]
        again = script.motion(given)
        for what in ("input_rad", "output_rad", "input_rad_s", "output_rad_s"):
            assert again[what] == pytest.approx(STORED["chains"][name]["mujoco"][what], abs=1e-6), what


def test_the_points_held_together_stayed_together() -> None:
    """The engine holds points on each other; pins are 0.2 m long, so 1e-8 m turn a shaft by 5e-8 rad."""
    assert max(_engine(name)["farthest_apart_m"].max() for name in NAMES) < 1e-8
