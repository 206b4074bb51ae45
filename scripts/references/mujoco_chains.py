"""Makes tests/references/data/mujoco_chains.json: the motion of chains of universal joints by MuJoCo.

MuJoCo is a general engine for bodies and joints and no dependency of this project. To make the file again:

    python3 -m venv /tmp/mujoco-venv
    /tmp/mujoco-venv/bin/pip install "mujoco==VERSION"     (the version stands in the file)
    /tmp/mujoco-venv/bin/python scripts/references/mujoco_chains.py

Look at the difference before it is committed. Nothing of this project is imported here: a chain is its shaft
directions and yoke phases, built as bodies. The first and the last shaft turn on hinges. Each cross turns on a
hinge in the yoke before it, and carries the next shaft on a hinge along its other pin. Between two shafts in the
middle a ball holds the centre of the joint, as a centre bearing does. The last cross is closed onto the last
yoke by its centre and one end of its pin. The engine's solver finds the motion; the first shaft is driven slowly.
"""

from __future__ import annotations

import json
import math
import platform
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

OUT = Path(__file__).parents[2] / "tests" / "references" / "data" / "mujoco_chains.json"
STEP_S = 5e-4
INPUT_RAD_S = 1.0
SETTLE_S = 0.5
SAMPLES = 72
ARM_M = 0.2  # long pins, so that the closing of the last joint is stiff against turning
SHAFT_M = 1.0

# Slope in side view and plan angle of each shaft [deg], phase of each middle shaft [deg], and where the first
# driving yoke stands [deg] when the input is at zero, from the direction to the right (y).
CHAINS: dict[str, dict[str, Any]] = {
    "two joints in one plane, yokes in line": {
        "slopes_deg": [0.0, 6.0, 1.0], "plans_deg": [0.0, 0.0, 0.0], "phases_deg": [0.0], "first_pin_deg": 0.0,
    },
    "two joints in space, yokes in line": {
        "slopes_deg": [-3.0, 5.0, 2.0], "plans_deg": [0.0, 7.0, -4.0], "phases_deg": [0.0], "first_pin_deg": 20.0,
    },
    "two joints in space, 27 deg out of line": {
        "slopes_deg": [-3.0, 5.0, 2.0], "plans_deg": [0.0, 7.0, -4.0], "phases_deg": [27.0], "first_pin_deg": 0.0,
    },
    "two steep joints in space, a quarter turn out": {
        "slopes_deg": [0.0, 20.0, -5.0], "plans_deg": [0.0, 12.0, 25.0], "phases_deg": [90.0], "first_pin_deg": 0.0,
    },
    "three joints in space, yokes in line": {
        "slopes_deg": [-4.0, 1.0, 7.0, -2.0], "plans_deg": [0.0, 3.0, -5.0, 0.0], "phases_deg": [0.0, 0.0],
        "first_pin_deg": 0.0,
    },
    "three joints in space, odd phases": {
        "slopes_deg": [-4.0, 1.0, 7.0, -2.0], "plans_deg": [0.0, 3.0, -5.0, 0.0], "phases_deg": [17.0, -33.0],
        "first_pin_deg": 50.0,
    },
    "three steep joints in space, odd phases": {
        "slopes_deg": [0.0, 18.0, -4.0, 15.0], "plans_deg": [0.0, -12.0, 9.0, 25.0], "phases_deg": [-75.0, 140.0],
        "first_pin_deg": 0.0,
    },
}  # fmt: skip


def model_of(chain: dict[str, Any]) -> Any:
    """Build the chain as bodies, put together at the input's zero."""
    import mujoco

    axes = [direction(s, p) for s, p in zip(chain["slopes_deg"], chain["plans_deg"], strict=True)]
    spec = mujoco.MjSpec()
    spec.option.timestep = STEP_S
    spec.option.gravity = [0.0, 0.0, 0.0]
    spec.option.integrator = mujoco.mjtIntegrator.mjINT_IMPLICITFAST
    spec.option.tolerance = 1e-16
    spec.option.iterations = 200
    spec.compiler.degree = False

    right = np.array([0.0, 1.0, 0.0])
    pin = turned(unit(right - (right @ axes[0]) * axes[0]), axes[0], math.radians(chain["first_pin_deg"]))
    body = piece(spec.worldbody, "shaft0", np.zeros(3))
    hinge(body, "input", axes[0])
    centre = SHAFT_M * axes[0]  # of the joint in question, in the world
    at = centre  # the same in the frame of the body before it
    last = len(axes) - 1
    for joint in range(1, last + 1):
        driven = unit(np.cross(axes[joint], pin))
        cross = piece(body, f"cross{joint}", at)
        hinge(cross, f"driving{joint}", pin)
        close(spec, f"cross{joint}", "world", np.zeros(3))
        if joint < last:
            body = piece(cross, f"shaft{joint}", np.zeros(3))
            hinge(body, f"driven{joint}", driven)
            pin = turned(driven, axes[joint], math.radians(chain["phases_deg"][joint - 1]))
            at = SHAFT_M * axes[joint]
            centre = centre + at
    output = piece(spec.worldbody, f"shaft{last}", centre)
    hinge(output, "output", axes[last])
    close(spec, f"cross{last}", f"shaft{last}", ARM_M * driven)
    drive = spec.add_actuator(name="drive", target="input", trntype=mujoco.mjtTrn.mjTRN_JOINT)
    drive.set_to_velocity(kv=100.0)
    return spec.compile()


def piece(parent: Any, name: str, place: Any) -> Any:
    """A body whose frame lies along the world's; round masses, as inertia must not matter here."""
    body = parent.add_body(name=name, pos=place)
    body.mass, body.inertia, body.explicitinertial = 1.0, [0.01, 0.01, 0.01], True
    return body


def hinge(body: Any, name: str, axis: Any) -> None:
    import mujoco

    body.add_joint(name=name, type=mujoco.mjtJoint.mjJNT_HINGE, axis=axis, damping=0.02)


def close(spec: Any, first: str, second: str, in_first: Any) -> None:
    """Hold a point of one body where another body has it now: stiffly, but not so that the solver trembles."""
    import mujoco

    held = spec.add_equality(type=mujoco.mjtEq.mjEQ_CONNECT, name1=first, name2=second)
    held.objtype = mujoco.mjtObj.mjOBJ_BODY
    held.data[:3] = in_first
    held.solref = [10.0 * STEP_S, 1.0]
    held.solimp = [0.9999, 0.9999, 0.001, 0.5, 2.0]


def motion(chain: dict[str, Any]) -> dict[str, Any]:
    """Angles and speed ratio over one turn of the input, and how far the held points moved at most."""
    import mujoco

    model = model_of(chain)
    data = mujoco.MjData(model)
    input_at, output_at = (model.joint(name).qposadr[0] for name in ("input", "output"))
    data.ctrl[0] = INPUT_RAD_S
    rows: list[tuple[float, ...]] = []
    apart = 0.0
    while len(rows) < SAMPLES:
        mujoco.mj_step(model, data)
        if data.qpos[input_at] >= INPUT_RAD_S * SETTLE_S + len(rows) * 2 * math.pi / SAMPLES:
            speed = data.qvel[input_at]
            # The engine's speeds are those of the step just made, so they belong half a step back.
            half_back = data.qpos[input_at] - speed * STEP_S / 2
            rows.append((data.qpos[input_at], data.qpos[output_at], half_back, data.qvel[output_at] / speed))
            apart = max(apart, float(np.abs(data.efc_pos[: data.nefc]).max()))
    names = ("input_rad", "output_rad", "ratio_at_input_rad", "speed_ratio")
    columns = ([round(float(x), 12) for x in column] for column in zip(*rows, strict=True))
    return dict(zip(names, columns, strict=True)) | {"farthest_apart_m": apart}


def direction(slope_deg: float, plan_deg: float) -> Any:
    return unit(np.array([1.0, math.tan(math.radians(plan_deg)), math.tan(math.radians(slope_deg))]))


def unit(vector: Any) -> Any:
    return vector / np.linalg.norm(vector)


def turned(vector: Any, axis: Any, angle_rad: float) -> Any:
    """A vector square to an axis, turned about it by the right-hand rule."""
    return math.cos(angle_rad) * vector + math.sin(angle_rad) * np.cross(axis, vector)


def main() -> None:
    made = {
        "made_with": {name: version(name) for name in ("mujoco", "numpy")},
        "python": platform.python_version(),
        "how_to_make_again": "scripts/references/mujoco_chains.py (see its head)",
        "chains": {name: chain | {"mujoco": motion(chain)} for name, chain in CHAINS.items()},
    }
    OUT.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
