"""Every number that a function takes may be an array: the result is that of the loop over its values."""

import dataclasses
from typing import Any

import numpy as np
import pytest

from beachmark.mechanics import _domain, chain, fatigue, needle_bearing, spline, trunnion, tube, whirl
from tests.mechanics.test_contract import FUNCTIONS, SOUND_CALLS

# Arguments of which several values at once have no meaning, and why.
ONE_VALUE_ONLY = {
    "life_data.median_ranks.count": "the result is a list as long as it",
    "needle_load.needle_angles_rad.needle_count": "the result has an entry for each needle",
    "needle_load.needle_loads.needle_count": "the result has an entry for each needle",
    "sampling.sample_inputs.count": "the result is a list as long as it",
    "sampling.sample_inputs.seed": "a start of the sequence, no quantity",
    "sampling.sampled_output.count": "the number of draws behind one result",
    "sampling.sampled_output.seed": "a start of the sequence, no quantity",
    "torsional_response.engine_order_response.station": "a place in the list of stations, no quantity",
    "torsional_response.engine_order_response.order": "the result already runs over speeds and stations",
    "torsional_response.engine_order_response.torque_nm": "the response is proportional to it",
    "torsional_response.joint_order_response.mean_torque_nm": "the response is proportional to it",
    "torsional_orders.resonant_gears.order": "a list is one order for each gear",
    "torsional_orders.resonant_gears.least_speed_rad_s": "a list is one speed for each gear",
    "torsional_orders.resonant_gears.greatest_speed_rad_s": "a list is one speed for each gear",
}
# Functions of which the sound call has a list that broadcasts like a number: the values stand across it.
ACROSS = {
    "duty.damage_of_cycles",
    "duty.damage_of_history",
    "duty.reversed_amplitudes_pa",
    "torque_limits.drive_grip_torque",
    "torque_limits.grade_demand_torque",
    "torsional_orders.order_crossings",
    "travel.arc_path",
    "travel.four_link_path",
    "travel.table_path",
    "travel.travel_sweep",
}


def _is_number(value: Any) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool)


def _several(value: float) -> np.ndarray:
    """Five values about the sound one, or five multiples of a count."""
    if isinstance(value, int):
        return value * np.arange(1, 6)
    return value * np.linspace(0.99, 1.01, 5) if value else np.linspace(0.0, 0.01, 5)


def _stacked(results: list[Any]) -> Any:
    """The results of a loop, leaf by leaf in arrays with the loop along the first axis."""
    first = results[0]
    if dataclasses.is_dataclass(first):
        names = [field.name for field in dataclasses.fields(first)]
        return {name: _stacked([getattr(result, name) for result in results]) for name in names}
    if isinstance(first, tuple):
        return [_stacked(list(parts)) for parts in zip(*results, strict=True)]
    return np.stack([np.asarray(result) for result in results])


def _assert_same(found: Any, looped: Any) -> None:
    if isinstance(looped, dict):
        for name, part in looped.items():
            _assert_same(getattr(found, name), part)
    elif isinstance(looped, list):
        assert len(found) == len(looped)
        for one, part in zip(found, looped, strict=True):
            _assert_same(one, part)
    elif looped.dtype.kind in "biufc":
        # What does not depend on the argument may stay one value for all.
        wide = np.broadcast_to(np.asarray(found), looped.shape)
        np.testing.assert_allclose(wide, looped, rtol=1e-12, atol=0.0)
    else:
        assert np.broadcast_to(np.asarray(found), looped.shape).tolist() == looped.tolist()


CASES = [
    pytest.param(name, argument, id=f"{name}-{argument}")
    for name, call in SOUND_CALLS.items()
    for argument, value in call.items()
    if _is_number(value) and f"{name}.{argument}" not in ONE_VALUE_ONLY
]


@pytest.mark.parametrize(("name", "argument"), CASES)
def test_an_array_in_one_argument_equals_the_loop(name: str, argument: str) -> None:
    values = _several(SOUND_CALLS[name][argument])
    assert len(set(values.tolist())) == 5
    looped = _stacked([FUNCTIONS[name](**SOUND_CALLS[name] | {argument: value}) for value in values.tolist()])
    at_once = values[:, np.newaxis] if name in ACROSS else values
    _assert_same(FUNCTIONS[name](**SOUND_CALLS[name] | {argument: at_once}), looped)


def test_the_list_of_arguments_that_take_one_value_only_is_in_use() -> None:
    asked = {f"{name}.{argument}" for name, call in SOUND_CALLS.items() for argument in call}
    assert set(ONE_VALUE_ONLY) <= asked
    assert set(SOUND_CALLS) >= ACROSS


# Written for arrays from the start: of numbers they make NumPy's float, which is a Python float too.
NUMPY_FLOAT = {"duty", "torque_limits"}
SCALAR_CALLS = [
    name
    for name, call in SOUND_CALLS.items()
    if all(_is_number(value) or isinstance(value, bool) for value in call.values())
    and name.split(".")[0] not in NUMPY_FLOAT
]


@pytest.mark.parametrize("name", SCALAR_CALLS)
def test_numbers_give_a_python_number(name: str) -> None:
    result = FUNCTIONS[name](**SOUND_CALLS[name])
    assert not isinstance(result, np.generic)
    assert not (isinstance(result, np.ndarray) and result.ndim == 0)


def _loop(function: Any, name: str, values: list[float], **others: Any) -> list[Any]:
    return [function(**others, **{name: value}) for value in values]


LINE = fatigue.basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
SHOULDER = {"large_m": 0.1, "small_m": 0.05}
# Calls whose formula has a branch, with values on both sides of it and on it.
BRANCHES: dict[str, tuple[Any, str, list[float], dict[str, Any]]] = {
    "fillet, Roark": (trunnion.shoulder_fillet_bending_kt, "radius_m", [0.006, 0.0125, 0.02, 0.09], SHOULDER),
    "fillet, Pilkey": (trunnion.shoulder_fillet_bending_kt_peterson, "radius_m", [0.006, 0.0125, 0.02], SHOULDER),
    "Neuber's length gone": (trunnion.neuber_root_m, "ultimate_pa", [1.5e9, 1.59e9, 1.7e9], {"torsion": True}),
    "table of a spline": (
        spline.fatigue_factor, "torque_cycles", [1.0, 1e3, 1.1e3, 1e5, 1e7], {"reversed_torque": False},
    ),
    "endless life": (fatigue.cycles_at, "amplitude_pa", [0.0, 310e6, 311e6, 500e6], {"line": LINE}),
    "logarithmic growth": (
        fatigue.paris_life, "growth_exponent", [1.9, 2.0, 3.0],
        {
            "growth_coefficient_si": 1e-30, "stress_range_pa": 1e8, "shape_factor": 1.0, "first_crack_m": 0.002,
            "last_crack_m": 0.02,
        },
    ),
    "guaranteed life": (
        needle_bearing.weibull_reliability, "life_ratio", [0.0, 0.01, 0.02, 1.0],
        {"minimum": 0.02, "characteristic": 4.459, "shape": 1.483},
    ),
    "core gone": (
        tube.elastic_core_radius_m, "torque_nm", [3682.0, 4000.0, 4908.0], {"shear_yield_pa": 150e6, "outer_m": 0.05},
    ),
    "both sides of the load": (
        whirl.influence_coefficient, "load_at_m", [0.0, 0.4, 0.5, 0.6, 1.0],
        {"seen_at_m": 0.5, "length_m": 1.0, "rigidity_n_m2": 1.0},
    ),
    "shaft without mass": (
        whirl.shaft_with_masses, "mass_per_length_kg_m", [0.0, 1.0, 5.0],
        {"masses_kg": [1.0, 2.0], "positions_m": [0.3, 0.5], "length_m": 1.0, "rigidity_n_m2": 1e5},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BRANCHES)
def test_an_array_across_a_branch_equals_the_loop(name: str) -> None:
    function, argument, values, others = BRANCHES[name]
    looped = _stacked(_loop(function, argument, values, **others))
    _assert_same(function(**others, **{argument: np.array(values)}), looped)


def _many_chains() -> tuple[np.ndarray, np.ndarray]:
    """Directions (3, 4, shafts, xyz), some of them straight or along y, and phases (4, intermediate shafts)."""
    random = np.random.default_rng(7)
    directions = np.concatenate((np.ones((3, 4, 5, 1)), random.uniform(-0.2, 0.2, (3, 4, 5, 2))), axis=-1)
    directions[0, 1, 2] = 3 * directions[0, 1, 1]  # a straight joint
    directions[1, 2] = directions[1, 2][:, [1, 0, 2]]  # a shaft across: another first axis
    return directions, random.uniform(-3.0, 3.0, (4, 3))


def test_many_chains_at_once_equal_one_after_the_other() -> None:
    directions, phases = _many_chains()
    turned = np.linspace(0.0, 6.0, 7)
    angles = chain.joint_angles(directions=directions)
    planes = chain.bend_planes(directions=directions)
    yokes = chain.drive_yoke_angles(phases_rad=phases, bend_plane_rad=planes)
    equivalent = np.asarray(chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes))
    given = {"angles_rad": angles, "drive_yoke_angles_rad": yokes}
    shafts = chain.shaft_accelerations(**given, speed_rad_s=np.array([1.0, 2.0, 3.0, 4.0]), from_rear=True)
    motion = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=turned)
    assert motion.shape == (3, 4, 7)
    for row, column in np.ndindex(3, 4):
        one, phase, at = directions[row, column], phases[column], (row, column)
        found_angles = chain.joint_angles(directions=one)
        found_yokes = chain.drive_yoke_angles(phases_rad=phase, bend_plane_rad=chain.bend_planes(directions=one))
        one_given = {"angles_rad": found_angles, "drive_yoke_angles_rad": found_yokes}
        np.testing.assert_allclose(angles[at], found_angles, rtol=1e-12)
        np.testing.assert_allclose(yokes[at], found_yokes, rtol=1e-9, atol=1e-9)
        assert equivalent[at] == pytest.approx(chain.equivalent_angle(**one_given), rel=1e-9)
        alone = chain.shaft_accelerations(**one_given, speed_rad_s=column + 1.0, from_rear=True)
        np.testing.assert_allclose(shafts[at], alone, rtol=1e-9)
        moved = chain.exact_chain_motion(directions=one, phases_rad=phase, input_angles_rad=turned)
        np.testing.assert_allclose(motion[at], moved, atol=1e-12)


def test_one_input_angle_gives_one_output_angle() -> None:
    directions, phases = _many_chains()
    listed = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=[1.0])
    single = chain.exact_chain_motion(directions=directions, phases_rad=phases, input_angles_rad=1.0)
    assert single == pytest.approx(listed[..., 0], abs=1e-15)


def test_direction_and_joint_angle_broadcast() -> None:
    slopes, plans = np.array([[0.1], [0.2], [0.0]]), np.array([0.0, -0.1])
    rows = chain.direction(slope_rad=slopes, plan_rad=plans)
    assert rows.shape == (3, 2, 3)
    assert rows[1, 1] == pytest.approx(chain.direction(slope_rad=0.2, plan_rad=-0.1), rel=1e-12)
    angles = np.asarray(chain.joint_angle(before=[1.0, 0.0, 0.0], after=rows))
    assert angles[1, 1] == pytest.approx(chain.joint_angle(before=[1.0, 0.0, 0.0], after=rows[1, 1]), rel=1e-12)


def test_lists_of_lists_are_summed_along_the_last_axis() -> None:
    speeds = np.array([[300.0, 400.0], [200.0, 900.0], [50.0, 60.0]])
    found = np.asarray(whirl.dunkerley_speed(speeds_rad_s=speeds))
    assert found.tolist() == [whirl.dunkerley_speed(speeds_rad_s=row) for row in speeds]
    damages = np.asarray(fatigue.miner_damage(cycles=[10.0, 20.0], lives=[[1e3, np.inf], [1e4, 1e5]]))
    assert damages == pytest.approx([0.01, 0.0012], rel=1e-12)
    lives = np.asarray(fatigue.miner_life(shares=[0.5, 0.5], lives=[[np.inf, np.inf], [1e3, 3e3]]))
    assert lives == pytest.approx([np.inf, 1500.0], rel=1e-12)
    masses = {"masses_kg": [[1.0], [2.0]], "positions_m": [0.3], "rigidity_n_m2": 1e5, "mass_per_length_kg_m": 2.0}
    both = whirl.shaft_with_masses(**masses, length_m=np.array([1.0, 2.0]))
    second = whirl.shaft_with_masses(**masses | {"masses_kg": [2.0]}, length_m=2.0)
    assert np.asarray(both.rayleigh_rad_s)[1] == pytest.approx(second.rayleigh_rad_s, rel=1e-12)
    assert np.asarray(both.dunkerley_rad_s)[1] == pytest.approx(second.dunkerley_rad_s, rel=1e-12)


def test_the_first_unsound_element_is_named_with_its_own_bound() -> None:
    with pytest.raises(ValueError, match=r"^inner_m is 0\.3; it must be smaller than outer_m \(0\.2\)\.$"):
        tube.polar_moment_m4(outer_m=np.array([0.1, 0.2, 0.3]), inner_m=np.array([0.05, 0.3, 0.4]))
    with pytest.raises(ValueError, match=r"^load_at_m is 0\.9; it must be from 0 to length_m \(0\.5\)\.$"):
        whirl.influence_coefficient(
            load_at_m=np.array([0.1, 0.9]), seen_at_m=0.2, length_m=np.array([1.0, 0.5]), rigidity_n_m2=1.0
        )
    with pytest.raises(ValueError, match=r"^outer_m is nan; it must be a finite number greater than 0\.$"):
        tube.polar_moment_m4(outer_m=np.array([0.1, np.nan]))
    with pytest.raises(ValueError, match=r"^phases_rad has shape \(2, 2\); it must hold one phase"):
        chain.drive_yoke_angles(phases_rad=np.zeros((2, 2)), bend_plane_rad=np.zeros((2, 2)))


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf, -1.0])
def test_one_unsound_element_among_many_is_enough(bad: float) -> None:
    values = np.ones(1000)
    _domain.non_negative(anything=values)
    values[777] = bad
    with pytest.raises(ValueError, match="anything is"):
        _domain.non_negative(anything=values)
