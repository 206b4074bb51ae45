"""Events in the replay that a formula of a textbook settles: shocks on a spring, a clutch that slips, locked wheels."""

import math

import numpy as np
import pytest
from numpy.typing import ArrayLike

from beachmark.mechanics.replay import (
    Coupling,
    Course,
    Event,
    FrictionClutch,
    Layout,
    OuterTorque,
    Ramp,
    Station,
    Tyre,
    Vehicle,
    draws,
    event_values,
    judge,
    replay,
    trace,
)
from tests.replay.trains import nominal, shaft_layout, spread

WALL_KG_M2 = 1e12


def _two(*, lash: bool = False) -> Layout:
    coupling = Coupling(name="spring", driving="a", driven=("b",), lash=lash)
    pushed = (OuterTorque(name="push", station="a"),)
    return Layout(stations=(Station(name="a"), Station(name="b")), couplings=(coupling,), outer_torques=pushed)


def _clutched() -> Layout:
    clutch = FrictionClutch(name="clutch", driving="engine", driven="rest")
    return Layout(stations=(Station(name="engine"), Station(name="rest")), couplings=(), clutches=(clutch,))


def test_a_step_of_load_twists_a_spring_twice_as_far_as_it_rests__thomson_ch_4() -> None:
    """100 N m at once on an inertia before a wall: 200 N m; on two free inertias twice the share of the far one.

    Source: Thomson, Theory of Vibration with Applications, ch. 4, step response: factor 1 - cos, at most 2.
    Known: from memory.
    """
    near, far = np.array([1.0, 2.0, 5.0, 2.0]), np.array([3.0, 1.0, 0.5, WALL_KG_M2])
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": near, "b.inertia_kg_m2": far, "spring.stiffness_nm_rad": 2e4, "push.torque_nm": 100.0,
    }  # fmt: skip
    these = draws(layout=_two(), values=values, count=4)
    found = replay(draws=these, duration_s=0.2, plain=True)
    assert found.greatest[:, 0] == pytest.approx(2 * 100.0 * far / (near + far), rel=1e-4)
    assert found.greatest[3, 0] == pytest.approx(200.0, rel=1e-4)
    assert found.least[:, 0] == pytest.approx(0.0, abs=1e-3)
    assert judge(draws=these, outcome=found).greatest[:, 0] == pytest.approx(200.0 * far / (near + far), rel=2e-6)


def test_the_spring_follows_one_minus_cosine__thomson_ch_4() -> None:
    """2 kg m^2 on 2e4 N m/rad: 100 rad/s, so 100 N m (1 - cos 100 t).

    Source: Thomson, Theory of Vibration with Applications, ch. 4.
    Known: from memory.
    """
    values = {"a.inertia_kg_m2": 2.0, "b.inertia_kg_m2": WALL_KG_M2, "spring.stiffness_nm_rad": 2e4}
    these = draws(layout=_two(), values={**values, "push.torque_nm": 100.0}, count=1)
    shown = trace(draws=these, duration_s=0.1, step_s=5e-5, every=10)
    assert shown.times_s == pytest.approx(np.arange(201) * 5e-4)
    # Leapfrog runs ahead by (w h)^2 / 24 of the phase, here 1e-5 rad after 10 rad.
    assert shown.values[0, 0] == pytest.approx(100 * (1 - np.cos(100 * shown.times_s)), abs=2e-3)


def test_a_ramp_of_load_overshoots_by_the_sine_of_half_its_length__thomson_ch_4() -> None:
    """A load that grows over t1: factor 1 + |sin(w t1 / 2)| / (w t1 / 2); 1.9589 at w t1 = 1, 1.6366 at pi, 1 at 2 pi.

    Source: Thomson, Theory of Vibration with Applications, ch. 4, step with a rise time.
    Known: from memory (the formula; the figures by hand).
    """
    angle = np.array([1.0, math.pi, 2 * math.pi])
    ramp = Ramp(start_s=0.01, takes_s=angle / 100, change=100.0)
    event = Event(duration_s=0.3, courses={"push.torque": Course(value=0.0, ramps=(ramp,))})
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": 2.0, "b.inertia_kg_m2": WALL_KG_M2, "spring.stiffness_nm_rad": 2e4, **event_values(event),
    }  # fmt: skip
    these = draws(layout=_two(), values=values, count=3)
    found = replay(draws=these, duration_s=event.duration_s, step_s=1e-4, plain=True)
    assert found.greatest[:, 0] / 100 == pytest.approx([1.95885, 1.63662, 1.0], abs=2e-4)
    assert judge(draws=these, outcome=found).greatest[:, 0] / 100 == pytest.approx([1.95885, 1.63662, 1.0], abs=5e-6)


def test_lash_is_a_weight_that_falls_on_a_spring__timoshenko_strength_of_materials() -> None:
    """150 N m through 0.04 rad of lash onto 2e4 N m/rad: factor 1 + sqrt(1 + 2 h / d), d = T / k: 4.41565.

    Source: Timoshenko, Strength of Materials, impact of a falling weight; here the lash is the height h.
    Known: from memory (the formula; the figure by hand).
    """
    gap, stiffness, torque = np.array([1e-6, 0.01, 0.04, 0.1]), 2e4, 150.0
    values: dict[str, ArrayLike] = {
        "a.inertia_kg_m2": 2.0, "b.inertia_kg_m2": WALL_KG_M2, "spring.stiffness_nm_rad": stiffness,
        "push.torque_nm": torque, "spring.half_gap_rad": gap / 2, "spring.start_rad": -gap / 2,
    }  # fmt: skip
    these = draws(layout=_two(lash=True), values=values, count=4)
    found = replay(draws=these, duration_s=0.3, plain=True)
    factor = 1 + np.sqrt(1 + 2 * stiffness * gap / torque)
    assert factor[2] == pytest.approx(4.41565, abs=5e-6)
    assert found.greatest[:, 0] / torque == pytest.approx(factor, rel=2e-4)
    assert judge(draws=these, outcome=found).greatest[:, 0] / torque == pytest.approx(factor, rel=2e-6)


def test_a_flywheel_caught_by_a_spring__energy() -> None:
    """2 kg m^2 at 20 rad/s caught by 3e4 N m/rad: w sqrt(k J) = 4898.98 N m.

    Source: J w^2 / 2 = T^2 / (2 k), derived here; damping of 0.1 % of critical takes 0.16 % of it.
    Known: derived.
    """
    inertia, stiffness, speed = np.array([2.0, 3.6, 6.0]), 3e4, 20.0
    values: dict[str, ArrayLike] = {
        "engine.inertia_kg_m2": inertia, "rest.inertia_kg_m2": WALL_KG_M2, "engine.start_speed_rad_s": speed,
        "clutch.stiffness_nm_rad": stiffness, "clutch.damping_nm_s_rad": 2 * 0.001 * np.sqrt(stiffness * inertia),
        "clutch.capacity_nm": 1e9,
    }  # fmt: skip
    found = replay(draws=draws(layout=_clutched(), values=values, count=3), duration_s=0.05, plain=True)
    assert found.greatest[0, 0] == pytest.approx(4898.98, rel=2e-3)
    assert found.greatest[:, 0] == pytest.approx(speed * np.sqrt(stiffness * inertia), rel=2e-3)


def test_a_slipping_clutch__shigley_sec_16_7() -> None:
    """3 and 6 kg m^2, 100 rad/s apart, 1000 N m: together after 0.2 s, 10 kJ lost: J1 J2 / (J1 + J2) = 2 kg m^2.

    Source: Shigley's Mechanical Engineering Design, sec. on energy considerations of clutches (16-7 in the 9th ed.).
    Known: from memory.
    """
    values: dict[str, ArrayLike] = {
        "engine.inertia_kg_m2": 3.0, "rest.inertia_kg_m2": 6.0, "engine.start_speed_rad_s": 100.0,
        "clutch.stiffness_nm_rad": 3e4, "clutch.damping_nm_s_rad": 150.0, "clutch.capacity_nm": 1000.0,
    }  # fmt: skip
    these = draws(layout=_clutched(), values=values, count=1)
    found = replay(draws=these, duration_s=2.0, plain=True)
    assert found.greatest[0, 0] == pytest.approx(1000.0, rel=1e-12)
    assert found.energy.slipped_j["clutch"][0] == pytest.approx(10e3, rel=1e-3)
    assert found.energy.gained_j[0] == pytest.approx(-10e3, rel=1e-3)
    shown = trace(draws=these, duration_s=0.3, step_s=1e-4, every=1)
    last = shown.times_s[np.flatnonzero(shown.values[0, 0] >= 1000.0 * (1 - 1e-9))[-1]]
    # The spring of the clutch, 0.033 rad of 10 rad of slip, and its damper, 1000 / 150 rad/s, end it a little sooner.
    assert last == pytest.approx(0.2, abs=0.015)


@pytest.mark.parametrize("mass_kg", [5e3, 2e4])
def test_locked_wheels_slide_at_friction_times_weight__coulomb(mass_kg: float) -> None:
    """20 m/s on locked wheels at friction 0.3 for 2 s: 40 - 0.3 g 2^2 / 2 = 34.116 m, whatever the mass.

    Source: Coulomb's law of sliding friction, any textbook of mechanics; standard gravity 9.80665 m/s^2.
    Known: from memory.
    """
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
    assert travelled == pytest.approx(34.116 - give, rel=2e-4)


@pytest.mark.parametrize("shafts", [1, 2, 3, 4])
@pytest.mark.parametrize("two_axles", [False, True])
def test_a_train_at_rest_carries_no_torque__newton(shafts: int, two_axles: bool) -> None:
    """Nothing turns and nothing drives: every spring keeps the length it has.

    Source: Newton's first law.
    Known: derived.
    """
    layout = shaft_layout(shafts, axles=2 if two_axles else 1)
    values = spread(nominal(layout), count=6, seed=20 + shafts)
    found = replay(draws=draws(layout=layout, values=values, count=6), duration_s=0.1, plain=True)
    assert found.peak.max() < 1e-6
