"""What the replay shares with other modules: the kinematics of joints and the frequencies of trains."""

import itertools
from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike

from beachmark.mechanics import chain, hooke, torsional
from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.natural import frequencies, frequency_bound
from beachmark.mechanics.replay.parameters import Draws, draws
from beachmark.mechanics.replay.source import Program
from beachmark.mechanics.replay.start import start_state
from beachmark.mechanics.replay.train import Coupling, Layout, Station
from tests.replay.trains import drawn, events, nominal, shaft_layout


def two_jointed() -> Layout:
    coupling = Coupling(name="spring", driving="a", driven=("b",), jointed=True)
    return Layout(stations=(Station(name="a"), Station(name="b")), couplings=(coupling,))


def spring_loads(these: Draws, angles: np.ndarray, speeds: np.ndarray) -> np.ndarray:
    program = Program(equations(these.layout))
    loads, _, _ = compiled.look(program)(
        0.0, np.concatenate((angles, speeds)), program.sheet.constant_rows(these.columns)
    )
    return np.array(loads)


def test_a_chain_of_joints_turns_as_the_exact_chain_in_space_does() -> None:
    rng = np.random.default_rng(1)
    directions = [[1.0, 0.0, 0.0], [1.0, 0.12, -0.1], [1.0, 0.05, 0.15], [1.0, -0.3, 0.1], [1.0, -0.3, 0.4]]
    phases = np.array([0.3, -0.4, 1.1])
    planes, bends = chain.bend_planes(directions=directions), chain.joint_angles(directions=directions)
    yokes = chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=planes)
    names = [f"shaft {n}" for n in range(5)]
    pairs = list(itertools.pairwise(names))
    layout = Layout(
        stations=tuple(Station(name=name) for name in names),
        couplings=tuple(Coupling(name=f"j{n}", driving=a, driven=(b,), jointed=True) for n, (a, b) in enumerate(pairs)),
    )
    turned = rng.uniform(-60.0, 60.0, 500)
    values: dict[str, ArrayLike] = {f"{name}.inertia_kg_m2": 1.0 for name in names}
    values["shaft 0.start_angle_rad"] = turned
    for n in range(4):
        values |= {f"j{n}.stiffness_nm_rad": 1.0, f"j{n}.angle_rad": bends[n], f"j{n}.yoke_rad": yokes[n]}
    these = draws(layout=layout, values=values, count=turned.size)
    exact = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=turned)
    angles, speeds = start_state(these)
    assert angles[4] == pytest.approx(exact, abs=1e-12)
    # What the kernel's own series leaves as twist of unit springs between these angles is its error.
    assert np.abs(spring_loads(these, angles, speeds)).max() < 1e-9


def test_the_joint_of_the_kernel_has_the_ratio_of_a_hooke_joint() -> None:
    angle, turned = np.repeat(np.radians([1.0, 10.0, 30.0, 45.0]), 200), np.tile(np.linspace(-9.0, 9.0, 200), 4)
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": 1.0, "b.inertia_kg_m2": 1.0, "spring.stiffness_nm_rad": 1.0, "spring.spring_time_s": 1.0,
        "spring.angle_rad": angle, "spring.yoke_rad": 0.4, "a.start_angle_rad": turned,
    }  # fmt: skip
    these = draws(layout=two_jointed(), values=values, count=turned.size)
    angles, _ = start_state(these)
    loads = spring_loads(these, angles, np.array([np.ones(turned.size), np.zeros(turned.size)]))
    ratio = hooke.speed_ratio(angle_rad=angle, drive_angle_rad=turned + 0.4)
    assert loads[0] == pytest.approx(ratio, abs=2e-9)


def test_frequencies_are_those_of_the_torsional_module() -> None:
    layout = shaft_layout(3)
    these = drawn(layout, events(layout)["launch"], count=8, seed=3)
    found = frequencies(these, holding=("clutch",))
    ratio, axle, radius = 12.3, 4.3, 0.5
    for n in range(8):
        one = {name: float(column[n]) for name, column in these.columns.items()}
        row = [station.name for station in layout.stations]
        speeds = [ratio, ratio, *[1.0] * (len(row) - 4), 1 / axle, 1 / axle]
        springs = [one["clutch.stiffness_nm_rad"], *(one[f"{c.name}.stiffness_nm_rad"] for c in layout.couplings)]
        springs.append(one["tyre.load_n"] * one["tyre.stiffness_per_m"] * radius**2)
        train = torsional.reduced_train(
            inertias_kg_m2=[*(one[f"{name}.inertia_kg_m2"] for name in row), one["vehicle.mass_kg"] * radius**2],
            stiffnesses_nm_rad=springs,
            station_ratios=[*speeds, 1 / axle],
            spring_ratios=[ratio, *[1.0] * (len(springs) - 4), *[1 / axle] * 3],
        )
        expected = torsional.natural_frequencies(train=train).frequencies_rad_s
        assert found[n] == pytest.approx(expected, rel=1e-6, abs=1e-4)


@pytest.mark.parametrize("kind", [{"shafts": 1}, {"shafts": 4}, {"axles": 2}, {"axles": 2, "locked": True}])
def test_the_bound_lies_above_the_stiffest_frequency_and_not_far(kind: dict[str, Any]) -> None:
    layout = shaft_layout(**kind)
    these = drawn(layout, events(layout)["launch"], count=50, seed=4)
    stiffest = frequencies(these, holding=("clutch", "brake", "brake 2", "vehicle"))[:, -1]
    over = frequency_bound(these) / stiffest
    assert over.min() >= 1.0
    assert over.max() < 1.3


@pytest.mark.parametrize("axles", [1, 2])
def test_frequencies_are_those_of_the_equations_of_motion(axles: int) -> None:
    """One axle, and two behind an open differential."""
    layout = shaft_layout(2, axles=axles)
    values = dict(nominal(layout)) | {
        "clutch.capacity_nm": 1e6,
        **{f"{tyre.name}.damping_s_m": 0.0 for tyre in layout.tyres},
        "diesel.idle_gain_nm_s_rad": 0.0,
    }
    values |= {name: 1e-9 for name in values if name.endswith(("damping_nm_s_rad", "drag_nm_s_rad"))}
    values |= {name: 0.0 for name in values if name.endswith(("spring_time_s", "half_gap_rad", "angle_rad", "drag_nm"))}
    these = draws(layout=layout, values=values, count=1)
    program = Program(equations(layout))
    constants = tuple(program.sheet.constant_rows(these.columns)[:, 0].tolist())
    slopes, size, small = compiled.slopes(program), 2 * program.freedoms + len(program.sheet.slips), 1e-6
    columns = []
    for n in range(size):
        ends = [slopes(0.0, [side * small * (k == n) for k in range(size)], constants) for side in (1, -1)]
        columns.append((np.array(ends[0]) - np.array(ends[1])) / (2 * small))
    jacobian = np.array(columns).T
    slips = [*(clutch.name for clutch in layout.clutches), *(tyre.name for tyre in layout.tyres), "vehicle"]
    moving = [n for n, name in enumerate(slips) if not name.startswith(("brake", "vehicle"))]  # open ones move nothing
    keep = [*range(2 * program.freedoms), *(2 * program.freedoms + n for n in moving)]
    eigenvalues = np.linalg.eigvals(jacobian[np.ix_(keep, keep)])
    found = np.sort(np.abs(eigenvalues.imag[eigenvalues.imag > 1e-2]))
    expected = frequencies(these, holding=("clutch",))[0]
    assert found == pytest.approx(expected[expected > 1e-2], rel=1e-5)
