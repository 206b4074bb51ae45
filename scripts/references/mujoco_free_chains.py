"""Makes tests/references/data/mujoco_free_chains.json: two-joint chains that run free, by MuJoCo.

MuJoCo is a general engine for bodies and joints and no dependency of this project. To make the file again:

    python3 -m venv /tmp/mujoco-venv
    /tmp/mujoco-venv/bin/pip install "mujoco==VERSION"     (the version stands in the file)
    /tmp/mujoco-venv/bin/python scripts/references/mujoco_free_chains.py

Look at the difference before it is committed. The chains are those of mujoco_chains.py, which also builds them. Here
three heavy shafts are first brought up to speed by the first one and then let go: nothing drives or damps them, so
they exchange energy through the joints, and the first shaft turns unevenly too.
"""

from __future__ import annotations

import importlib.util
import json
import platform
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).parent
OUT = HERE.parents[1] / "tests" / "references" / "data" / "mujoco_free_chains.json"
STEP_S = 1e-4
SPEED_RAD_S = 20.0
SETTLE_S = 1.0
FOLLOWED_S = 0.7  # a little over two turns
SAMPLES = 70
LIGHT_KG_M2 = 1e-5  # a cross: it must not matter beside the shafts
FIRM = 1e-2  # what the engine takes for 1/mass when it softens a held point; its own guess goes by the light crosses
INERTIAS_KG_M2 = (0.9, 0.25, 0.6)  # of the shafts, about their own axes
NAMES = ("two joints in space, 27 deg out of line", "two steep joints in space, a quarter turn out")


def builder() -> Any:
    """The script that builds the chains."""
    spec = importlib.util.spec_from_file_location("mujoco_chains", HERE / "mujoco_chains.py")
    if spec is None or spec.loader is None:
        raise ImportError("mujoco_chains.py is not there")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def free_model(chain: dict[str, Any]) -> Any:
    """The chain with heavy shafts and light crosses, without damping."""
    import mujoco

    model = builder().model_of(chain)
    model.opt.timestep = STEP_S
    model.eq_solref[:] = [10.0 * STEP_S, 1.0]
    model.dof_damping[:] = 0.0
    model.body_ipos[:] = 0.0  # masses stand on the axes; where none is told the engine puts them elsewhere
    for number, inertia in enumerate(INERTIAS_KG_M2):
        model.body_inertia[model.body(f"shaft{number}").id] = inertia
    for number in range(1, len(INERTIAS_KG_M2)):
        model.body_inertia[model.body(f"cross{number}").id] = LIGHT_KG_M2
        model.body_mass[model.body(f"cross{number}").id] = LIGHT_KG_M2
    mujoco.mj_setConst(model, mujoco.MjData(model))
    model.body_invweight0[1:] = FIRM
    model.opt.integrator = mujoco.mjtIntegrator.mjINT_RK4
    return model


def motion(chain: dict[str, Any]) -> dict[str, Any]:
    """Angles and speeds of the first and the last shaft after they were let go, and how far held points moved."""
    import mujoco

    model = free_model(chain)
    data = mujoco.MjData(model)
    ends = [model.joint(name) for name in ("input", "output")]
    data.ctrl[0] = SPEED_RAD_S
    for _ in range(round(SETTLE_S / STEP_S)):
        mujoco.mj_step(model, data)
    model.actuator_gainprm[:], model.actuator_biasprm[:] = 0.0, 0.0
    rows, apart = [], 0.0
    for step in range(round(FOLLOWED_S / STEP_S) + 1):
        if step % round(FOLLOWED_S / SAMPLES / STEP_S) == 0:
            angles = [data.qpos[end.qposadr[0]] for end in ends]
            speeds = [data.qvel[end.dofadr[0]] for end in ends]
            rows.append((step * STEP_S, *angles, *speeds))
        mujoco.mj_step(model, data)
        apart = max(apart, float(np.abs(data.efc_pos[: data.nefc]).max()))
    names = ("time_s", "input_rad", "output_rad", "input_rad_s", "output_rad_s")
    columns = ([round(float(x), 12) for x in column] for column in zip(*rows, strict=True))
    return dict(zip(names, columns, strict=True)) | {"farthest_apart_m": apart}


def main() -> None:
    """Write the file."""
    chains = builder().CHAINS
    made = {
        "made_with": {name: version(name) for name in ("mujoco", "numpy")},
        "python": platform.python_version(),
        "how_to_make_again": "scripts/references/mujoco_free_chains.py (see its head)",
        "inertias_kg_m2": INERTIAS_KG_M2,
        "chains": {name: chains[name] | {"mujoco": motion(chains[name])} for name in NAMES},
    }
    OUT.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
