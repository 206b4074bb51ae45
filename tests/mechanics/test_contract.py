"""What every public function of mechanics owes its reader, and what every literature test owes its source."""

import ast
import doctest
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from beachmark import mechanics
from beachmark.mechanics.fatigue import basquin_line
from beachmark.mechanics.spline import StraightSidedFit
from beachmark.mechanics.torsional import chain_train
from beachmark.mechanics.torsional_response import TorsionalDamping
from tests.mechanics import calls

MODULES = [
    importlib.import_module(f"{mechanics.__name__}.{info.name}")
    for info in pkgutil.iter_modules(mechanics.__path__)
    if not info.name.startswith("_")
]
FUNCTIONS: dict[str, Callable[..., Any]] = {
    f"{module.__name__.rsplit('.', 1)[1]}.{name}": function
    for module in MODULES
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if function.__module__ == module.__name__ and not name.startswith("_")
}
PARTS = ("Formula:", "Units:", "Range:", "Raises: ValueError", "Source:", ">>> ")
UNIT_WORD = re.compile(r"\b(rad|m|mm|N|Pa|kg|Hz|hours|dimensionless|count|periods|unit|none)\b")
UNIT_SUFFIX = re.compile(r"_(rad|rad_s|rad_s2|m|m_s|m_s2|n|nm|nm_rad|n_m|n_m2|pa|pa_sqrt_m|kg|kg_m|kg_m2|kg_m3|hz|si)$")
# Counts, ratios and factors: numbers without a unit, and the few arguments that are no numbers.
WITHOUT_UNIT = {
    "after", "application_factor", "arms", "axle_efficiency", "axle_ratio", "before", "below_endurance",
    "characteristic", "contact_modulus_pa", "cycles", "cylinders", "damage_per_start", "damping",
    "damping_ratio", "directions", "distribution_factor", "driving_yoke", "efficiency", "exponent",
    "fatigue_life_factor", "fit", "fluctuation", "from_rear", "front_axle_ratio", "geometry_ratio", "grip",
    "growth_exponent", "inner_race", "joined", "joint_springs", "knock_down", "kt", "life_ratio", "line",
    "lives", "locked", "minimum", "needle_count", "order", "poisson", "rating_factor", "ratio",
    "rear_axle_ratio", "reference_cycles", "reliability", "reversed_torque", "rolling_resistance", "series",
    "shape", "shape_factor", "shares", "slip_mismatch", "spring_ratios", "station", "station_ratios",
    "strength_fraction", "teeth", "torque_cycles", "torque_sense", "torsion", "train", "trains", "travels",
    "wear_factor",
}  # fmt: skip

LINE = basquin_line(ultimate_pa=620e6, endurance_pa=310e6, strength_fraction=0.86)
FIT = StraightSidedFit(teeth=10, tooth_height_share=0.095, small_diameter_share=0.81)
BEND = [[1.0, 0.0, 0.0], [1.0, 0.1, 0.0], [1.0, 0.1, 0.1]]
TUBE = {"outer_m": 0.1, "inner_m": 0.09}
NEEDLES = {"needle_diameter_m": 0.003, "needle_count": 38, "pitch_diameter_m": 0.0366}
SHOULDER = {"large_m": 0.038, "small_m": 0.032, "radius_m": 0.003}
WEIBULL = {"minimum": 0.02, "characteristic": 4.459, "shape": 1.483}
AXLE = {"tyre_radius_m": 0.5, "axle_ratio": 3.5, "axle_efficiency": 0.95}
SPLINE = {
    "torque_nm": 9e3, "pitch_diameter_m": 0.06, "teeth": 24, "engaged_length_m": 0.1,
    "application_factor": 1.2, "distribution_factor": 1.1,
}  # fmt: skip
GROWTH = {"growth_coefficient_si": 1e-30, "growth_exponent": 3.0}
TRAIN = chain_train(inertias_kg_m2=[5.0, 11.0, 22.0], stiffnesses_nm_rad=[1e5, 2e5])
DAMPED = {"train": TRAIN, "damping": TorsionalDamping(1e-4, 0.1)}
SPEEDS = {"order": 2.0, "least_speed_rad_s": 10.0, "greatest_speed_rad_s": 200.0}
SPECTRUM = {"ranges_pa": [4e8, 5e8], "means_pa": [1e8, -1e8], "ultimate_pa": 620e6}
CHAIN = {"angles_rad": [0.1, 0.05], "drive_yoke_angles_rad": [0.0, 1.5]}

# One sound call of every public function; each number in it is then spoilt in turn.
SOUND_CALLS: dict[str, dict[str, Any]] = {
    "balance.permissible_eccentricity_m": {"grade_m_s": 0.016, "speed_rad_s": 260.0},
    "balance.permissible_unbalance_kg_m": {"mass_kg": 60.0, "grade_m_s": 0.016, "speed_rad_s": 260.0},
    "balance.plane_shares_kg_m": {"unbalance_kg_m": 0.004, "distance_a_m": 1.0, "distance_b_m": 2.0},
    "balance.unbalance_force_n": {"unbalance_kg_m": 0.003, "speed_rad_s": 300.0},
    "balance.unbalance_from_runout_kg_m": {"mass_kg": 30.0, "eccentricity_m": 1e-4},
    "chain.allowed_rear_angle": {"front_angle_rad": 0.05, "speed_rad_s": 150.0, "limit_rad_s2": 400.0},
    "chain.bend_planes": {"directions": BEND},
    "chain.direction": {"slope_rad": 0.1, "plan_rad": 0.2},
    "chain.drive_yoke_angles": {"phases_rad": [0.1], "bend_plane_rad": [0.0, 0.2]},
    "chain.equivalent_angle": CHAIN,
    "chain.exact_chain_motion": {"directions": BEND, "phases_rad": [0.1], "input_angles_rad": [0.0, 1.0]},
    "chain.joint_angle": {"before": [1.0, 0.0, 0.0], "after": [1.0, 0.1, 0.0]},
    "chain.joint_angles": {"directions": BEND},
    "chain.partial_phasors": CHAIN,
    "chain.shaft_accelerations": {**CHAIN, "speed_rad_s": 100.0, "from_rear": False},
    "chain.torsional_acceleration": {"equivalent_angle_rad": 0.1, "speed_rad_s": 150.0},
    "duty.damage_of_cycles": {**SPECTRUM, "line": LINE, "cycles": [10.0, 20.0]},
    "duty.damage_of_history": {"line": LINE, "stresses_pa": [0.0, 3e8, -1e8], "ultimate_pa": 620e6},
    "duty.distance_to_crack_start_m": {"damage_per_start": 1e-5, "starts_per_m": 1e-3},
    "duty.equivalent_torque": {
        "torques_nm": [3e3, 4e3], "cycles": [10.0, 5.0], "exponent": 5.0, "reference_cycles": 10.0,
    },
    "duty.lives_at": {"line": LINE, "amplitudes_pa": [4e8, 1e8]},
    "duty.reversed_amplitudes_pa": SPECTRUM,
    "fatigue.basquin_line": {"ultimate_pa": 620e6, "endurance_pa": 310e6, "strength_fraction": 0.86},
    "fatigue.critical_crack_m": {"toughness_pa_sqrt_m": 6e7, "stress_pa": 3e8, "shape_factor": 0.73},
    "fatigue.cycles_at": {"line": LINE, "amplitude_pa": 4e8},
    "fatigue.goodman_amplitude_pa": {"amplitude_pa": 1e8, "mean_pa": 2e8, "ultimate_pa": 7e8},
    "fatigue.intensity_range_from_spacing": {"spacing_m": 2e-7, **GROWTH},
    "fatigue.lefm_size_m": {"stress_intensity_pa_sqrt_m": 6e7, "yield_pa": 6e8},
    "fatigue.miner_damage": {"cycles": [10.0, 20.0], "lives": [1e3, 1e4]},
    "fatigue.miner_life": {"shares": [0.5, 0.5], "lives": [1e3, 1e4]},
    "fatigue.paris_life": {
        **GROWTH, "stress_range_pa": 1e8, "shape_factor": 1.0, "first_crack_m": 0.002, "last_crack_m": 0.02,
    },
    "fatigue.strength_at": {"line": LINE, "cycles": 1e4},
    "fatigue.stress_intensity_pa_sqrt_m": {"stress_pa": 1e8, "crack_m": 0.01, "shape_factor": 1.0},
    "fitting_corner.closing_corners": {"driving_yoke": "gearbox", "torque_sense": "clockwise"},
    "fitting_corner.corner_state": {
        "arms": ("G1", "A1"), "driving_yoke": "gearbox", "torque_sense": "clockwise",
    },
    "hooke.angle_for_fluctuation": {"fluctuation": 0.1},
    "hooke.arm_force_n": {"torque_nm": 1e4, "arm_radius_m": 0.07, "angle_rad": 0.1},
    "hooke.drive_angle_of_greatest_acceleration": {"angle_rad": 0.1},
    "hooke.drive_angle_of_unit_ratio": {"angle_rad": 0.1},
    "hooke.driven_acceleration": {"angle_rad": 0.1, "drive_angle_rad": 1.0, "speed_rad_s": 100.0},
    "hooke.driven_angle": {"angle_rad": 0.1, "drive_angle_rad": 1.0},
    "hooke.greatest_acceleration": {"angle_rad": 0.1, "speed_rad_s": 100.0},
    "hooke.greatest_ratio": {"angle_rad": 0.1},
    "hooke.lag_harmonic": {"angle_rad": 0.1, "order": 2},
    "hooke.least_ratio": {"angle_rad": 0.1},
    "hooke.non_uniformity": {"angle_rad": 0.1},
    "hooke.secondary_couple": {"torque_nm": 1e3, "angle_rad": 0.1},
    "hooke.speed_ratio": {"angle_rad": 0.1, "drive_angle_rad": 1.0},
    "needle_bearing.contact_modulus_pa": {"youngs_pa": 2e11, "poisson": 0.3},
    "needle_bearing.dynamic_rating_n": {**NEEDLES, "needle_length_m": 0.02, "rating_factor": 1.1},
    "needle_bearing.equivalent_turn_speed": {"speed_rad_s": 150.0, "joint_angle_rad": 0.1},
    "needle_bearing.full_overlap_amplitude_rad": {**NEEDLES, "inner_race": True},
    "needle_bearing.geometry_factor": {"geometry_ratio": 0.08},
    "needle_bearing.line_contact_pressure": {
        "line_load_n_m": 5e4, "needle_diameter_m": 0.003, "raceway_diameter_m": 0.0336,
        "contact_modulus_pa": 1.1e11,
    },
    "needle_bearing.mean_load": {"loads_n": [1.0, 2.0], "travels": [1.0, 1.0], "exponent": 3.0},
    "needle_bearing.oscillating_life_h": {
        "speed_rad_s": 150.0, "joint_angle_rad": 0.1, "rating_n": 5e4, "force_n": 1e4,
    },
    "needle_bearing.required_rating_n": {
        **WEIBULL, "force_n": 1e3, "life_ratio": 500.0, "exponent": 3.0, "reliability": 0.9,
    },
    "needle_bearing.static_rating_n": {**NEEDLES, "needle_length_m": 0.02},
    "needle_bearing.weibull_reliability": {**WEIBULL, "life_ratio": 1.0},
    "orders.firing_order": {"cylinders": 6},
    "orders.order_frequency_hz": {"speed_rad_s": 150.0, "order": 2.0},
    "orders.order_of_frequency": {"frequency_hz": 60.0, "speed_rad_s": 150.0},
    "orders.shaft_speed_rad_s": {"road_speed_m_s": 22.0, "tyre_radius_m": 0.5, "axle_ratio": 3.5},
    "rainflow.rainflow_cycles": {"series": [0.0, 2.0, -1.0]},
    "rainflow.turning_points": {"series": [0.0, 2.0, -1.0]},
    "spline.fatigue_factor": {"torque_cycles": 1e5, "reversed_torque": True},
    "spline.pitch_line_shear_pa": {**SPLINE, "tooth_thickness_m": 0.004, "fatigue_life_factor": 0.5},
    "spline.root_shear_pa": {
        "torque_nm": 9e3, "root_diameter_m": 0.055, "bore_m": 0.02, "application_factor": 1.2,
        "fatigue_life_factor": 0.5,
    },
    "spline.side_pressure_pa": {**SPLINE, "tooth_height_m": 0.0025, "wear_factor": 1.0},
    "spline.straight_sided_torque_nm": {
        "fit": FIT, "large_diameter_m": 0.05, "length_m": 0.1, "side_pressure_pa": 7e6,
    },
    "torque_limits.axle_slip_mismatch": {
        "front_radius_m": 0.5, "rear_radius_m": 0.49, "front_axle_ratio": 4.0, "rear_axle_ratio": 4.1,
    },
    "torque_limits.brake_lock_torque": {
        "shaft_speed_rad_s": 50.0, "stiffness_nm_rad": 3e4, "inertia_kg_m2": 2.0,
        "held_wheel_torque_nm": 2e4, "axle_ratio": 4.0, "axle_efficiency": 0.95,
    },
    "torque_limits.coast_grip_torque": {**AXLE, "grip": 0.7, "axle_load_n": 1.8e5},
    "torque_limits.curve_slip_mismatch": {"track_m": 2.0, "curve_radius_m": 15.0},
    "torque_limits.differential_torque": {"branch_limits_nm": [2e3, 9e3], "shares": [0.5, 0.5], "locked": False},
    "torque_limits.drive_grip_torque": {**AXLE, "grip": [0.7, 0.2], "axle_load_n": 1.8e5},
    "torque_limits.governing_of": {"torques_nm": {"engine": 2e4, "tyres": [1e4, 3e4]}},
    "torque_limits.grade_demand_torque": {
        **AXLE, "mass_kg": [2e4, 4e4], "grade_rad": 0.1, "rolling_resistance": 0.01,
    },
    "torque_limits.retarder_shaft_torque": {"retarder_torque_nm": 2e3, "ratio": 2.0, "efficiency": 0.95},
    "torque_limits.wind_up_torque": {
        "slip_mismatch": 0.02, "first_slip_stiffness_n": 8e5, "second_slip_stiffness_n": 9e5, "grip": 0.7,
        "first_load_n": 9e4, "second_load_n": 1e5, "tyre_radius_m": 0.5, "axle_ratio": 4.0,
    },
    "torque_path.engine_path_torque": {"engine_torque_nm": 2300.0, "ratio": 11.7, "efficiency": 0.9},
    "torque_path.flywheel_dump_torque": {
        "speed_difference_rad_s": 20.0, "stiffness_nm_rad": 3e4, "inertia_kg_m2": 2.0,
    },
    "torque_path.grade_torque": {**AXLE, "mass_kg": 4e4, "grade_rad": 0.1, "rolling_resistance": 0.01},
    "torque_path.grip_limit_torque": {**AXLE, "grip": 0.7, "axle_load_n": 1.8e5},
    "torque_path.lash_peak_factor": {"torque_nm": 5e3, "stiffness_nm_rad": 3e4, "lash_rad": 0.05},
    "torque_path.step_load_factor": {"damping_ratio": 0.1},
    "torsional.chain_train": {"inertias_kg_m2": [5.0, 11.0], "stiffnesses_nm_rad": [1e5]},
    "torsional.holzer_residual": {"train": TRAIN, "frequencies_rad_s": [1.0, 2.0]},
    "torsional.natural_frequencies": {"train": TRAIN},
    "torsional.reduced_train": {
        "inertias_kg_m2": [5.0, 11.0, 22.0], "stiffnesses_nm_rad": [1e5, 2e5], "station_ratios": [1.0, 1.0, 0.5],
        "spring_ratios": [1.0, 0.5], "joined": [[0, 1], [1, 2]],
    },
    "torsional_orders.order_crossings": {**SPEEDS, "frequencies_rad_s": [100.0, 200.0]},
    "torsional_orders.resonant_gears": {**SPEEDS, "trains": (TRAIN,)},
    "torsional_response.engine_order_response": {
        **DAMPED, "station": 0, "order": 3.0, "torque_nm": 500.0, "speeds_rad_s": [50.0, 60.0],
    },
    "torsional_response.forced_response": {
        **DAMPED, "excitation_nm": [1.0, 0.0, 0.0], "frequencies_rad_s": [50.0, 60.0],
    },
    "torsional_response.joint_order_response": {
        **DAMPED, "joint_springs": [0, 1], "angles_rad": [0.1, 0.05], "drive_yoke_angles_rad": [0.0, 1.5],
        "speeds_rad_s": [50.0, 60.0], "mean_torque_nm": 900.0,
    },
    "trunnion.arm_root_bending_pa": {"force_n": 6e4, "arm_m": 0.012, "diameter_m": 0.033, "bore_m": 0.006},
    "trunnion.arm_root_shear_pa": {"force_n": 6e4, "diameter_m": 0.033, "bore_m": 0.006},
    "trunnion.neuber_root_m": {"ultimate_pa": 7e8, "torsion": False},
    "trunnion.notch_sensitivity_kf": {"kt": 1.6, "radius_m": 0.003, "ultimate_pa": 7e8, "torsion": False},
    "trunnion.shoulder_fillet_bending_kt": SHOULDER,
    "trunnion.shoulder_fillet_bending_kt_peterson": SHOULDER,
    "trunnion.shoulder_fillet_torsion_kt": SHOULDER,
    "trunnion.transverse_hole_torsion_kt": {"hole_m": 0.002, "outer_m": 0.02, "inner_m": 0.004},
    "tube.buckling_stress_long_tube_pa": {"outer_m": 0.1, "wall_m": 0.003, "youngs_pa": 2e11, "poisson": 0.3},
    "tube.buckling_stress_sp_8007_pa": {
        "outer_m": 0.1, "wall_m": 0.003, "length_m": 1.5, "youngs_pa": 2e11, "knock_down": 0.67,
    },
    "tube.elastic_core_radius_m": {"torque_nm": 4600.0, "shear_yield_pa": 150e6, "outer_m": 0.05},
    "tube.plastic_torque_nm": {**TUBE, "shear_yield_pa": 2.6e8},
    "tube.polar_moment_m4": TUBE,
    "tube.shear_stress_pa": {**TUBE, "torque_nm": 1e3},
    "tube.shear_yield_pa": {"yield_pa": 4.5e8},
    "tube.torsional_stiffness_nm_rad": {**TUBE, "length_m": 1.5, "shear_modulus_pa": 8e10},
    "tube.twist_rad": {**TUBE, "torque_nm": 1e3, "length_m": 1.5, "shear_modulus_pa": 8e10},
    "tube.yield_torque_nm": {**TUBE, "shear_yield_pa": 2.6e8},
    "tube.yielded_twist_rad": {
        "shear_yield_pa": 2.6e8, "length_m": 1.5, "shear_modulus_pa": 8e10, "elastic_radius_m": 0.04,
    },
    "whirl.bounce_speed": {"stiffness_n_m": 4e5, "mass_kg": 10.0},
    "whirl.dunkerley_speed": {"speeds_rad_s": [300.0, 400.0]},
    "whirl.equivalent_centre_load": {"load_n": 35.0, "position_m": 0.3, "length_m": 1.0},
    "whirl.flexural_rigidity_n_m2": {**TUBE, "youngs_pa": 2e11},
    "whirl.influence_coefficient": {
        "load_at_m": 0.3, "seen_at_m": 0.5, "length_m": 1.0, "rigidity_n_m2": 1e5,
    },
    "whirl.pinned_tube_critical_speed": {
        **TUBE, "length_m": 1.5, "youngs_pa": 2e11, "density_kg_m3": 7850.0,
    },
    "whirl.rayleigh_speed": {"loads_n": [100.0], "deflections_m": [1e-4], "gravity_m_s2": 9.81},
    "whirl.shaft_with_masses": {
        "masses_kg": [1.0], "positions_m": [0.3], "length_m": 1.0, "rigidity_n_m2": 1e5,
        "mass_per_length_kg_m": 2.0,
    },
    "whirl.speed_from_deflection": {"deflection_m": 1e-4, "gravity_m_s2": 9.81},
}  # fmt: skip

for _info in pkgutil.iter_modules(calls.__path__):
    _module = importlib.import_module(f"{calls.__name__}.{_info.name}")
    SOUND_CALLS |= _module.CALLS
    WITHOUT_UNIT |= getattr(_module, "WITHOUT_UNIT", set())


def test_no_public_function_of_mechanics_is_left_out_of_these_checks() -> None:
    assert set(SOUND_CALLS) == set(FUNCTIONS)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_docstring_has_formula_units_range_errors_source_and_example(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name]) or ""
    missing = [part for part in PARTS if part not in text]
    assert not missing, f"{name} lacks {missing}"
    units = text.split("Units:")[1].split("Range:")[0]
    assert UNIT_WORD.search(units), f"{name}: no unit named in {units!r}"
    source = text.split("Source:")[1].split(">>>")[0].strip()
    assert len(source) >= len("definition."), f"{name}: empty source"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_arguments_are_keyword_only_and_carry_their_unit(name: str) -> None:
    for argument in inspect.signature(FUNCTIONS[name]).parameters.values():
        assert argument.kind is inspect.Parameter.KEYWORD_ONLY
        assert UNIT_SUFFIX.search(argument.name) or argument.name in WITHOUT_UNIT, argument.name


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_the_examples_in_the_docstrings_run(module: Any) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("name", SOUND_CALLS)
def test_the_sound_call_is_accepted(name: str) -> None:
    FUNCTIONS[name](**SOUND_CALLS[name])


def _spoilt(value: Any, bad: float) -> Any:
    """The same value with its last number replaced."""
    if isinstance(value, list):
        return [*value[:-1], _spoilt(value[-1], bad)]
    return bad


NUMBERS = [
    (name, argument, bad)
    for name, call in SOUND_CALLS.items()
    for argument, value in call.items()
    for bad in (math.nan, math.inf, -math.inf)
    if isinstance(value, float | int | list)
    and not isinstance(value, bool)
    and not (argument == "lives" and bad == math.inf)  # an endless life is a sound answer
]


@pytest.mark.parametrize(("name", "argument", "bad"), NUMBERS)
def test_a_number_that_is_not_finite_is_refused_by_name(name: str, argument: str, bad: float) -> None:
    call = SOUND_CALLS[name] | {argument: _spoilt(SOUND_CALLS[name][argument], bad)}
    with pytest.raises(ValueError, match=r"^\w.* (is|has|holds) .*; .* must ") as refused:
        FUNCTIONS[name](**call)
    # A check on a ratio or a sum names the argument inside the name of that quantity.
    assert argument.removesuffix("_m") in str(refused.value)


def test_every_literature_test_names_its_source_and_how_it_is_known() -> None:
    literature = Path(__file__).parent.parent / "literature"
    found = 0
    for path in sorted(literature.glob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                text = ast.get_docstring(node) or ""
                found += 1
                assert "__" in node.name, f"{path.name}: {node.name} does not name its page"
                assert "Source:" in text, f"{path.name}: {node.name} names no source"
                assert re.search(r"Known: (read|from memory|derived)", text), f"{path.name}: {node.name}"
    assert found > 0
