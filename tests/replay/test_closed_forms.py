"""Limits of the replay that have a closed form, and the kinematics and frequencies that other modules know."""

import itertools
from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike

from beachmark.mechanics import chain, hooke, torsional
from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.kernel import replay
from beachmark.mechanics.replay.natural import frequencies, frequency_bound
from beachmark.mechanics.replay.parameters import Draws, draws
from beachmark.mechanics.replay.source import Program
from beachmark.mechanics.replay.start import start_state
from beachmark.mechanics.replay.train import Coupling, FrictionClutch, Layout, OuterTorque, Station, Tyre, Vehicle
from tests.replay.trains import drawn, events, nominal, shaft_layout, spread

WALL_KG_M2 = 1e12
PUSHED = (OuterTorque(name="push", station="a"),)


def two(*, lash: bool = False, jointed: bool = False) -> Layout:
    coupling = Coupling(name="spring", driving="a", driven=("b",), lash=lash, jointed=jointed)
    return Layout(stations=(Station(name="a"), Station(name="b")), couplings=(coupling,), outer_torques=PUSHED)


def test_a_step_of_load_twists_a_spring_twice_as_far_as_it_rests() -> None:
    # Undamped one-freedom response to a step, e.g. Thomson, Theory of Vibration, ch. 4 (from memory).
    near, far = np.array([1.0, 2.0, 5.0]), np.array([3.0, 1.0, 0.5])
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": near, "b.inertia_kg_m2": far, "spring.stiffness_nm_rad": 2e4, "push.torque_nm": 100.0,
    }  # fmt: skip
    found = replay(draws=draws(layout=two(), values=values, count=3), duration_s=0.2, plain=True)
    assert found.greatest[:, 0] == pytest.approx(2 * 100.0 * far / (near + far), rel=1e-4)
    assert found.least[:, 0] == pytest.approx(0.0, abs=1e-3)


def test_lash_adds_its_blow_to_a_step_of_load() -> None:
    # Energy: T (gap + x) = k x^2 / 2 at the greatest twist x, so k x / T = 1 + sqrt(1 + 2 k gap / T).
    gap, stiffness, torque = np.array([1e-6, 0.01, 0.04, 0.1]), 2e4, 150.0
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": 2.0, "b.inertia_kg_m2": WALL_KG_M2, "spring.stiffness_nm_rad": stiffness,
        "push.torque_nm": torque, "spring.half_gap_rad": gap / 2, "spring.start_rad": -gap / 2,
    }  # fmt: skip
    found = replay(draws=draws(layout=two(lash=True), values=values, count=4), duration_s=0.3, plain=True)
    assert found.greatest[:, 0] == pytest.approx(torque * (1 + np.sqrt(1 + 2 * stiffness * gap / torque)), rel=2e-4)


def test_a_clutch_that_drops_on_a_spinning_engine_gives_speed_times_root_of_stiffness_and_inertia() -> None:
    # Energy: J w^2 / 2 = T^2 / (2 k) without damping; here the damping is 0.2 % of critical.
    layout = Layout(
        stations=(Station(name="engine"), Station(name="wall")),
        couplings=(),
        clutches=(FrictionClutch(name="clutch", driving="engine", driven="wall"),),
    )
    inertia, stiffness, speed = np.array([2.0, 3.6, 6.0]), 3e3, 120.0
    values: dict[str, ArrayLike] = {
        "engine.inertia_kg_m2": inertia, "wall.inertia_kg_m2": WALL_KG_M2, "engine.start_speed_rad_s": speed,
        "clutch.stiffness_nm_rad": stiffness, "clutch.damping_nm_s_rad": 2 * 0.002 * np.sqrt(stiffness * inertia),
        "clutch.capacity_nm": 1e9,
    }  # fmt: skip
    found = replay(draws=draws(layout=layout, values=values, count=3), duration_s=0.15, plain=True)
    assert found.greatest[:, 0] == pytest.approx(speed * np.sqrt(stiffness * inertia), rel=4e-3)


def test_a_slipping_clutch_passes_just_its_capacity_and_burns_what_two_free_inertias_lose() -> None:
    # Two free inertias that come to one speed lose J1 J2 / (J1 + J2) w^2 / 2; the spring keeps T^2 / 2k.
    layout = Layout(
        stations=(Station(name="engine"), Station(name="rest")),
        couplings=(),
        clutches=(FrictionClutch(name="clutch", driving="engine", driven="rest"),),
    )
    values: dict[str, ArrayLike] = {
        "engine.inertia_kg_m2": 3.0, "rest.inertia_kg_m2": 6.0, "engine.start_speed_rad_s": 100.0,
        "clutch.stiffness_nm_rad": 3e4, "clutch.damping_nm_s_rad": 150.0, "clutch.capacity_nm": 1000.0,
    }  # fmt: skip
    found = replay(draws=draws(layout=layout, values=values, count=1), duration_s=2.0, plain=True)
    assert found.greatest[0, 0] == pytest.approx(1000.0, rel=1e-12)
    assert found.energy.slipped_j["clutch"][0] == pytest.approx(0.5 * 2.0 * 100.0**2, rel=1e-3)


@pytest.mark.parametrize("mass_kg", [5e3, 2e4])
def test_a_braked_wheel_slides_at_friction_times_load(mass_kg: float) -> None:
    # Coulomb: on locked wheels a vehicle slows by friction x load / mass, whatever its speed.
    layout = Layout(
        stations=(Station(name="wheel"),),
        couplings=(),
        clutches=(FrictionClutch(name="brake", driving="wheel"),),
        tyres=(Tyre(name="tyre", wheel="wheel"),),
        vehicle=Vehicle(),
    )
    values: dict[str, ArrayLike] = {
        "wheel.inertia_kg_m2": 20.0, "brake.stiffness_nm_rad": 1e5, "brake.damping_nm_s_rad": 500.0,
        "brake.capacity_nm": 1e6, "tyre.load_n": 9.80665 * mass_kg, "tyre.radius_m": 0.5, "tyre.friction": 0.3,
        "tyre.stiffness_per_m": 22.0, "tyre.damping_s_m": 0.25, "tyre.rolling_per_m": 0.0,
        "vehicle.mass_kg": mass_kg, "vehicle.start_speed_m_s": 20.0,
    }  # fmt: skip
    found = replay(draws=draws(layout=layout, values=values, count=1), duration_s=2.0, plain=True)
    travelled = found.energy.slipped_j["tyre"][0] / (0.3 * 9.80665 * mass_kg)
    give = 0.3 * 9.80665 * mass_kg * 0.5**2 / 1e5  # by as much the wheel rolls until the brake's spring is wound up
    assert travelled == pytest.approx(20.0 * 2.0 - 0.5 * 0.3 * 9.80665 * 2.0**2 - give, rel=2e-4)


@pytest.mark.parametrize("shafts", [1, 2, 3, 4])
@pytest.mark.parametrize("two_axles", [False, True])
def test_a_train_at_rest_carries_no_torque(shafts: int, two_axles: bool) -> None:
    layout = shaft_layout(shafts, axles=2 if two_axles else 1)
    values = spread(nominal(layout), count=6, seed=20 + shafts)
    found = replay(draws=draws(layout=layout, values=values, count=6), duration_s=0.1, plain=True)
    assert found.peak.max() < 1e-6


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
        "spring.angle_rad": angle, "spring.yoke_rad": 0.4, "push.torque_nm": 0.0, "a.start_angle_rad": turned,
    }  # fmt: skip
    these = draws(layout=two(jointed=True), values=values, count=turned.size)
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


def test_frequencies_are_those_of_the_equations_of_motion() -> None:
    layout = shaft_layout(2)
    values = dict(nominal(layout)) | {
        "clutch.capacity_nm": 1e6,
        "tyre.damping_s_m": 0.0,
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
    keep = [n for n in range(size) if n not in (size - 1, size - 3)]  # the open brakes' springs move nothing
    eigenvalues = np.linalg.eigvals(jacobian[np.ix_(keep, keep)])
    found = np.sort(np.abs(eigenvalues.imag[eigenvalues.imag > 1e-2]))
    expected = frequencies(these, holding=("clutch",))[0]
    assert found == pytest.approx(expected[expected > 1e-2], rel=1e-5)
