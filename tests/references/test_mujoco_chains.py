"""Chains of universal joints against stored motion by MuJoCo, a general engine for bodies and joints.

The engine is no dependency; scripts/references/mujoco_chains.py says how its results are made again. There the
joints are crosses on hinges, and a constraint solver finds the motion: no formula of a joint is in it.
"""

import importlib.util
import json
import math
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from beachmark.mechanics import chain

Array = NDArray[np.float64]
STORED: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "mujoco_chains.json").read_text(encoding="utf-8"))
SCRIPT = Path(__file__).parents[2] / "scripts" / "references" / "mujoco_chains.py"
NAMES = list(STORED["chains"])
# The phasor rule is one for small angles; the two steep chains are there for the exact motion.
NOT_STEEP = [name for name in NAMES if "steep" not in name]


def _directions(given: dict[str, Any]) -> Array:
    return chain.direction(slope_rad=np.radians(given["slopes_deg"]), plan_rad=np.radians(given["plans_deg"]))


def _output(given: dict[str, Any], input_rad: Array, *, phases_deg: list[float] | None = None) -> Array:
    """Our output angle, counted from the input's zero of the stored chain."""
    first_pin = math.radians(given["first_pin_deg"])
    phases = np.radians(given["phases_deg"] if phases_deg is None else phases_deg)
    turned = np.append(input_rad, 0.0) + first_pin
    output = chain.exact_chain_motion(directions=_directions(given), phases_rad=phases, input_angles_rad=turned)
    return output[:-1] - output[-1]


def _ratio(given: dict[str, Any], input_rad: Array, **others: Any) -> Array:
    step = 1e-5
    return (_output(given, input_rad + step, **others) - _output(given, input_rad - step, **others)) / (2 * step)


def _stored(name: str) -> tuple[dict[str, Any], dict[str, Array]]:
    given = STORED["chains"][name]
    return given, {what: np.array(values) for what, values in given["mujoco"].items()}


def test_enough_chains_are_stored_and_none_is_in_one_plane_only() -> None:
    assert sum(len(STORED["chains"][name]["phases_deg"]) == 1 for name in NAMES) >= 3
    assert sum(len(STORED["chains"][name]["phases_deg"]) == 2 for name in NAMES) >= 3
    out_of_plane = [name for name in NAMES if any(STORED["chains"][name]["plans_deg"])]
    oddly_phased = [name for name in NAMES if any(phase % 90 for phase in STORED["chains"][name]["phases_deg"])]
    assert len(out_of_plane) >= 5
    assert len(oddly_phased) >= 3
    assert STORED["made_with"]["mujoco"]


@pytest.mark.parametrize("name", NAMES)
def test_the_points_held_together_stayed_together(name: str) -> None:
    """Pins are 0.2 m and shafts 1 m long: 1e-6 m apart turn the last shaft by some 5e-6 rad at most."""
    assert STORED["chains"][name]["mujoco"]["farthest_apart_m"] < 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_output_angle_is_that_of_the_engine(name: str) -> None:
    given, found = _stored(name)
    own = _output(given, found["input_rad"])
    swing = np.ptp(own - found["input_rad"])
    assert swing > 1e-3
    # What the held points are apart is all that may part them.
    assert np.abs(own - found["output_rad"]).max() < 5e-6
    assert np.abs(own - found["output_rad"]).max() < 1e-4 * swing


@pytest.mark.parametrize("name", NAMES)
def test_speed_ratio_is_that_of_the_engine_within_a_ten_thousandth_of_its_fluctuation(name: str) -> None:
    given, found = _stored(name)
    own = _ratio(given, found["ratio_at_input_rad"])
    assert np.abs(own - found["speed_ratio"]).max() < 1e-4 * np.ptp(found["speed_ratio"])


@pytest.mark.parametrize("name", [name for name in NAMES if any(p % 90 for p in STORED["chains"][name]["phases_deg"])])
def test_a_wrong_sign_of_the_phase_would_show(name: str) -> None:
    given, found = _stored(name)
    mirrored = _ratio(given, found["ratio_at_input_rad"], phases_deg=[-phase for phase in given["phases_deg"]])
    assert np.abs(mirrored - found["speed_ratio"]).max() > 0.05 * np.ptp(found["speed_ratio"])


@pytest.mark.parametrize("name", NOT_STEEP)
def test_equivalent_angle_is_the_second_order_of_the_engine(name: str) -> None:
    """The second order of the lead is b_e^2 / 4; each joint's tan^2(b/2) exceeds its b^2/4 by b^4/24."""
    given, found = _stored(name)
    turned = found["input_rad"]
    orders = np.column_stack([wave(order * turned) for order in (2, 4, 6) for wave in (np.cos, np.sin)])
    parts = np.linalg.lstsq(np.column_stack((np.ones_like(turned), orders)), found["output_rad"] - turned)[0]
    directions = _directions(given)
    angles = chain.joint_angles(directions=directions)
    yokes = chain.drive_yoke_angles(
        phases_rad=np.radians(given["phases_deg"]), bend_plane_rad=chain.bend_planes(directions=directions)
    )
    equivalent = chain.equivalent_angle(angles_rad=angles, drive_yoke_angles_rad=yokes)
    assert math.hypot(parts[1], parts[2]) == pytest.approx(equivalent**2 / 4, abs=float(np.sum(angles**4)) / 24)


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("mujoco_chains", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.skipif(
    importlib.util.find_spec("mujoco") is None,
    reason="MuJoCo is not installed here (no dependency): only its stored motion is compared",
)
@pytest.mark.parametrize("name", NAMES)
def test_the_engine_gives_the_stored_motion(name: str) -> None:
    script = _script()
    given, found = _stored(name)
    assert {key: value for key, value in given.items() if key != "mujoco"} == script.CHAINS[name]
    again = script.motion(given)
    for what in ("input_rad", "output_rad", "speed_ratio"):
        assert again[what] == pytest.approx(found[what], abs=1e-6), what
