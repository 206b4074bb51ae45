"""The train of a case: what it states is used, what it does not say is usual and marked so."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from beachmark.basis.values import Value
from beachmark.cases.case import Case
from beachmark.driveline.parts import Joint, Shaft
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.replay.driving import driven, vehicle_order
from beachmark.findings.replay.numbers import ROWS
from beachmark.findings.replay.vehicle import GRAVITY, plant_of
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics import chain, hooke
from tests.replay_vehicles import VEHICLES

Cases = Callable[[str], Case]


@pytest.mark.parametrize("name", VEHICLES)
def test_every_kind_of_vehicle_becomes_a_train_in_all_events_that_it_can_meet(
    knowledge: Knowledge, vehicle_case: Cases, name: str
) -> None:
    case = vehicle_case(name)
    plant = plant_of(knowledge, case.vehicle, case.installed())
    events = [event for event in knowledge.events.values() if plant.has.issuperset(event.needs)]
    assert len(events) >= 7
    for event in events:
        assert len(driven(plant, event, count=16, seed=1).draws) == 16


def test_what_the_case_states_is_used_and_what_it_does_not_say_is_marked(
    knowledge: Knowledge, vehicle_case: Cases
) -> None:
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    assert plant.numbers["peak"] == pytest.approx(np.full(ROWS, 2200.0))
    assert plant.values["tyre.load_n"][0] == pytest.approx(19000 * GRAVITY)
    assert plant.values["pinion gear.ratio"] == pytest.approx(np.full(ROWS, 4.3))
    by_name = {one.name: one.value for one in plant.inputs}
    assert not by_name["vehicle.engine.peak_torque"].is_assumed
    assert by_name["vehicle.axle.lash"].is_assumed
    assert all(one.value.source for one in plant.inputs if one.value.is_assumed)


def test_an_empty_case_can_be_replayed_and_knows_that_it_knows_nothing(knowledge: Knowledge) -> None:
    train = Train(shafts=(Shaft(),), joints=(Joint(), Joint()))
    plant = plant_of(knowledge, Vehicle(), train)
    assert not any(part.known for part in plant.parts)
    assert all(part.because for part in plant.parts)
    assert all(one.value.is_assumed for one in plant.inputs)
    assert any("class of vehicle" in note for note in plant.notes)


def test_four_shafts_give_five_joints_in_a_row(knowledge: Knowledge) -> None:
    train = Train(shafts=(Shaft(),) * 4, joints=(Joint(),) * 5)
    layout = plant_of(knowledge, Vehicle(kind="tipper"), train).layout
    line = [part for part in layout.couplings if part.jointed]
    assert [part.driven[0] for part in line] == ["shaft 1", "shaft 2", "shaft 3", "shaft 4", "pinion"]


def test_what_is_mounted_on_a_joint_adds_to_the_inertia_there(knowledge: Knowledge, vehicle_case: Cases) -> None:
    plain, with_drum = (
        plant_of(knowledge, case.vehicle, case.installed())
        for case in (vehicle_case("plain two-piece"), vehicle_case("retarder on the shaft"))
    )
    more = with_drum.values["shaft 1.inertia_kg_m2"][0] + with_drum.values["output.inertia_kg_m2"][0]
    less = plain.values["shaft 1.inertia_kg_m2"][0] + plain.values["output.inertia_kg_m2"][0]
    retarder = knowledge.usual("tipper", "retarder_inertia")
    assert retarder is not None
    assert more - less == pytest.approx(1.2 + retarder.si)


def test_a_tube_of_the_case_is_as_stiff_as_its_formula_says(knowledge: Knowledge, vehicle_case: Cases) -> None:
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    shear, joint = (knowledge.usual("tipper", id) for id in ("steel_shear_modulus", "joint_stiffness"))
    assert shear is not None
    assert joint is not None
    polar = np.pi / 32 * (0.114**4 - 0.104**4)
    expected = 1 / (1 / (shear.si * polar / 1.15) + 1 / joint.si)
    assert plant.values["joint 1.stiffness_nm_rad"][0] == pytest.approx(expected)


def test_the_yokes_of_a_line_turn_as_its_kinematics_say(knowledge: Knowledge, vehicle_case: Cases) -> None:
    """The speed over a turn, angle by angle, swings as the one joint does that stands for the whole chain."""
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    angles = np.array([plant.values[f"joint {n}.angle_rad"][0] for n in (1, 2, 3)])
    yokes = np.array([plant.values[f"joint {n}.yoke_rad"][0] for n in (1, 2, 3)])
    turn = np.linspace(0.0, 2 * np.pi, 49)
    through = turn
    for angle, yoke in zip(angles, yokes, strict=True):
        through = np.asarray(hooke.driven_angle(angle_rad=angle, drive_angle_rad=through + yoke)) - yoke
    ratios = np.gradient(through, turn)
    equivalent = chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes)
    assert (ratios.max() - ratios.min()) / 2 == pytest.approx(equivalent**2 / 2, rel=0.05)


def test_a_wall_that_does_not_fit_is_refused(knowledge: Knowledge, vehicle_case: Cases) -> None:
    case = vehicle_case("plain two-piece")
    train = case.installed()
    thick = replace(train.shaft(1), tube=replace(train.shaft(1).tube, wall=Value.exact(0.06, "length")))
    with pytest.raises(ValueError, match="wall"):
        plant_of(knowledge, case.vehicle, replace(train, shafts=(thick, train.shaft(2))))


def test_a_strength_that_nobody_measured_is_not_known(knowledge: Knowledge, vehicle_case: Cases) -> None:
    case = vehicle_case("plain two-piece")
    train = case.installed()
    joint = replace(train.joint(2), cross=replace(train.joint(2).cross, yield_stress=None))
    parts = {
        part.id: part
        for part in plant_of(
            knowledge, case.vehicle, replace(train, joints=(train.joint(1), joint, train.joint(3)))
        ).parts
    }
    assert parts["cross@joint-1"].known
    assert not parts["cross@joint-2"].known
    assert "hardness" in parts["cross@joint-2"].because


# ---- draws ----------------------------------------------------------------------------------------------------


def test_every_event_meets_the_same_vehicles_and_the_first_is_the_nominal_one(
    knowledge: Knowledge, vehicle_case: Cases
) -> None:
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    one, other = (
        driven(plant, knowledge.events[id], count=64, seed=9) for id in ("clutch_dropped", "hard_brake_engaged")
    )
    assert one.draws["tyre.load_n"] == pytest.approx(other.draws["tyre.load_n"])
    assert one.draws["tyre.load_n"][0] == plant.values["tyre.load_n"][0]
    assert len(set(one.order.tolist())) == 64


def test_more_draws_than_rows_take_rows_again_with_other_drivers(knowledge: Knowledge, vehicle_case: Cases) -> None:
    order = vehicle_order(2500, 1)
    assert order.max() == ROWS - 1
    assert np.bincount(order)[1:].max() == 3


def test_an_event_that_keeps_the_drive_engaged_starts_with_speeds_that_fit(
    knowledge: Knowledge, vehicle_case: Cases
) -> None:
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    made = driven(plant, knowledge.events["hard_brake_engaged"], count=32, seed=2).draws
    turned = made["vehicle.start_speed_m_s"] / made["tyre.radius_m"] * made["pinion gear.ratio"] * made["gearbox.ratio"]
    assert made["engine.start_speed_rad_s"] == pytest.approx(turned)


def test_reverse_turns_the_shaft_backward(knowledge: Knowledge, vehicle_case: Cases) -> None:
    case = vehicle_case("plain two-piece")
    plant = plant_of(knowledge, case.vehicle, case.installed())
    made = driven(plant, knowledge.events["reverse_dropped"], count=8, seed=2)
    assert made.gear == pytest.approx(np.full(8, -11.2))


def test_a_gear_between_is_the_nearest_known_one(knowledge: Knowledge, case_of: Callable[..., Case]) -> None:
    text = VEHICLES["plain two-piece"].replace("top_gear: 0.8,", "top_gear: 0.8, gears: [{ratio: 9.0}, {ratio: 3.0}],")
    case = case_of(text)
    plant = plant_of(knowledge, case.vehicle, case.installed())
    made = driven(plant, knowledge.events["spin_then_grip"], count=200, seed=2)
    assert set(made.gear.round(6)) <= {12.3, 9.0, 3.0, 0.8}
    assert len(set(made.gear.round(6))) >= 2


def test_what_is_known_at_the_pinion_is_felt_there(knowledge: Knowledge, case_of: Callable[..., Case]) -> None:
    """With the wheels held, the pinion turns by its whole play, and by torque over the stiffness at the pinion."""
    text = VEHICLES["plain two-piece"].replace("axle: {ratio: 4.3,", "axle: {ratio: 4.3, lash: 6 deg,")
    case = case_of(text)
    values = plant_of(knowledge, case.vehicle, case.installed()).values
    ratio = values["pinion gear.ratio"][0]
    # the coupling's twist is angle of the pinion / ratio; its torque on the pinion is that behind the gear / ratio
    assert 2 * values["pinion gear.half_gap_rad"][0] * ratio == pytest.approx(np.radians(6.0))
    usual = knowledge.usual("tipper", "mesh_stiffness")
    assert usual is not None
    assert values["pinion gear.stiffness_nm_rad"][0] / ratio**2 == pytest.approx(usual.si)


def test_a_cross_bears_less_torque_the_more_its_joint_bends(knowledge: Knowledge, case_of: Callable[..., Case]) -> None:
    straight, bent = (
        plant_of(knowledge, case.vehicle, case.installed()).parts[0]
        for case in (
            case_of(VEHICLES["plain two-piece"].replace("slope: -3 deg", f"slope: {x} deg")) for x in (-3.5, 16.5)
        )
    )
    assert bent.yields_nm[0] / straight.yields_nm[0] == pytest.approx(np.cos(np.radians(20.0)), rel=1e-6)
