"""Makes tests/references/data/ross_whirl.json: whirl speeds of given lines by ross-rotordynamics.

ross is a general rotordynamics library and no dependency of this project. To make the file again:

    python3 -m venv /tmp/ross-venv
    /tmp/ross-venv/bin/pip install "ross-rotordynamics==2.3.0" "plotly<6"
    /tmp/ross-venv/bin/python scripts/references/ross_whirl.py

Look at the difference before it is committed. Nothing of this project is imported here: the lines below are
plain numbers (SI), and the library's own elements, mesh, shear coefficient and solver make the speeds.
A joint is a coupling element, stiff against sideways motion and without stiffness against tilt.
"""

from __future__ import annotations

import itertools
import json
import math
import platform
from importlib.metadata import version
from pathlib import Path
from typing import Any

OUT = Path(__file__).parents[2] / "tests" / "references" / "data" / "ross_whirl.json"
MESH = 24  # elements of a shaft, at least
JOINT_N_M = 1e11  # sideways stiffness of a joint: a thousand times that of a shaft and more
PIN_N_M = 1e10  # stands for a rigid pin, here and in our own model alike
YOUNGS_PA, DENSITY_KG_M3, POISSON = 206e9, 7850.0, 0.3
MODES = 4
CRITICALS = 2  # found by repetition, so only the low ones that matter


def section(outer_m: float, inner_m: float, length_m: float) -> dict[str, float]:
    return {"outer_m": outer_m, "inner_m": inner_m, "length_m": length_m}


def spring(shaft: int, position_m: float, radial_n_m: float, mass_kg: float = 0.0) -> dict[str, float]:
    return {"shaft": shaft, "position_m": position_m, "radial_n_m": radial_n_m, "mass_kg": mass_kg}


def mass(shaft: int, position_m: float, mass_kg: float, transverse: float, polar: float) -> dict[str, float]:
    return {
        "shaft": shaft,
        "position_m": position_m,
        "mass_kg": mass_kg,
        "transverse_inertia_kg_m2": transverse,
        "polar_inertia_kg_m2": polar,
    }


TUBE_A = section(0.0889, 0.0889 - 2 * 0.00211, 1.524)
TUBE_B = section(0.127, 0.127 - 2 * 0.00635, 1.9)
FRONT = [section(0.1, 0.093, 1.05), section(0.055, 0.0, 0.15)]
REAR = [section(0.06, 0.0, 0.2), section(0.11, 0.102, 1.3)]
MIDDLE = [section(0.105, 0.098, 0.9), section(0.055, 0.0, 0.15)]

# A line is its shafts, supports and masses; "spin" is the one at which forward and backward whirl are compared.
LINES: dict[str, dict[str, Any]] = {
    "tube A on stiff pins": {
        "shafts": [[TUBE_A]],
        "supports": [spring(0, 0.0, PIN_N_M), spring(0, 1.524, PIN_N_M)],
        "masses": [],
        "spin_rad_s": 300.0,
    },
    "tube B on stiff pins": {
        "shafts": [[TUBE_B]],
        "supports": [spring(0, 0.0, PIN_N_M), spring(0, 1.9, PIN_N_M)],
        "masses": [],
        "spin_rad_s": 300.0,
    },
    "tube A, 6 kg ends on 2e7 N/m": {
        "shafts": [[TUBE_A]],
        "supports": [spring(0, 0.0, 2e7, 6.0), spring(0, 1.524, 2e7, 6.0)],
        "masses": [],
        "spin_rad_s": 300.0,
    },
    "tube B, 6 kg ends on 2e7 N/m": {
        "shafts": [[TUBE_B]],
        "supports": [spring(0, 0.0, 2e7, 6.0), spring(0, 1.9, 2e7, 6.0)],
        "masses": [],
        "spin_rad_s": 300.0,
    },
    "stepped shaft with yokes and a slip member": {
        "shafts": [[section(0.07, 0.0, 0.08), section(0.1, 0.092, 1.3), section(0.062, 0.02, 0.25)]],
        "supports": [spring(0, 0.0, 3e7, 8.0), spring(0, 1.63, 4e7, 12.0)],
        "masses": [mass(0, 0.05, 4.0, 0.008, 0.012), mass(0, 1.42, 6.0, 0.02, 0.01)],
        "spin_rad_s": 320.0,
    },
    "two shafts with a centre bearing on rubber": {
        "shafts": [FRONT, REAR],
        "supports": [spring(0, 0.0, 5e7), spring(0, 1.12, 6e5, 4.0), spring(1, 1.5, 3e7, 10.0)],
        "masses": [mass(0, 1.2, 5.0, 0.01, 0.015), mass(1, 0.0, 4.0, 0.008, 0.012)],
        "spin_rad_s": 320.0,
    },
    "three shafts with two centre bearings": {
        "shafts": [FRONT, MIDDLE, REAR],
        "supports": [
            spring(0, 0.0, 5e7),
            spring(0, 1.12, 6e5, 4.0),
            spring(1, 0.97, 4e5, 4.0),
            spring(2, 1.5, 3e7, 10.0),
        ],
        "masses": [mass(0, 1.2, 5.0, 0.01, 0.015), mass(1, 1.05, 5.0, 0.01, 0.015), mass(2, 0.0, 4.0, 0.008, 0.012)],
        "spin_rad_s": 320.0,
    },
    "shaft with an overhung brake drum": {
        "shafts": [[section(0.09, 0.08, 1.1)]],
        "supports": [spring(0, 0.0, 4e7), spring(0, 0.9, 2e7, 3.0)],
        "masses": [mass(0, 1.1, 25.0, 0.35, 0.6)],
        "spin_rad_s": 400.0,
    },
}


def rotor(line: dict[str, Any], mesh: int = MESH) -> Any:
    """Build a line of the list above in the library."""
    import ross

    shear_pa = YOUNGS_PA / (2 * (1 + POISSON))
    steel = ross.Material(name="tube_steel", rho=DENSITY_KG_M3, E=YOUNGS_PA, G_s=shear_pa)
    shaft_elements: list[Any] = []
    node_of: dict[tuple[int, float], int] = {}
    for shaft, sections in enumerate(line["shafts"]):
        if shaft:
            joint = {"kt_x": JOINT_N_M, "kt_y": JOINT_N_M, "kt_z": JOINT_N_M, "kr_z": 1e7, "L": 1e-3, "o_d": 0.1}
            shaft_elements.append(ross.CouplingElement(m_l=0.0, m_r=0.0, Ip_l=0.0, Ip_r=0.0, **joint))
        node_of |= _shaft(ross, shaft_elements, sections, shaft, wanted(line, shaft), steel, mesh)
    discs = [
        ross.DiskElement(
            n=node_of[m["shaft"], m["position_m"]],
            m=m["mass_kg"],
            Id=m.get("transverse_inertia_kg_m2", 0.0),
            Ip=m.get("polar_inertia_kg_m2", 0.0),
        )
        for m in (*line["masses"], *line["supports"])
        if m["mass_kg"]
    ]
    bearings = [
        # A little stiffness along the axis keeps the line from sliding off; it does not act on bending.
        ross.BearingElement(
            n=node_of[s["shaft"], s["position_m"]], kxx=s["radial_n_m"], kyy=s["radial_n_m"], kzz=1e7, cxx=0.0
        )
        for s in line["supports"]
    ]
    return ross.Rotor(shaft_elements, discs, bearings)


def wanted(line: dict[str, Any], shaft: int) -> list[float]:
    """Places of a shaft that need a node."""
    return sorted({item["position_m"] for item in (*line["masses"], *line["supports"]) if item["shaft"] == shaft})


def _shaft(
    ross: Any,
    elements: list[Any],
    sections: list[dict[str, float]],
    shaft: int,
    places: list[float],
    steel: Any,
    mesh: int,
) -> dict[tuple[int, float], int]:
    """Append the elements of one shaft; return the node of each wanted place."""
    longest = sum(s["length_m"] for s in sections) / mesh
    nodes = {(shaft, 0.0): len(elements)}
    begin = 0.0
    for piece in sections:
        end = round(begin + piece["length_m"], 9)
        stations = [begin, *(p for p in places if begin < p < end), end]
        for front, rear in itertools.pairwise(stations):
            count = math.ceil((rear - front) / longest - 1e-6)
            elements.extend(
                ross.ShaftElement(L=(rear - front) / count, idl=piece["inner_m"], odl=piece["outer_m"], material=steel)
                for _ in range(count)
            )
            nodes[shaft, rear] = len(elements)
        begin = end
    return nodes


def speeds(model: Any, spin_rad_s: float) -> tuple[list[float], list[float]]:
    """Forward and backward whirl speeds at a spin above zero.

    The direction is that of the area swept by all nodes together. The library's own label is not used: it looks
    at single nodes, and errs where a node hardly moves.
    """
    modal = model.run_modal(spin_rad_s, num_modes=12 * MODES)
    forward: list[float] = []
    backward: list[float] = []
    for mode, shape in enumerate(modal.shapes):
        if shape.mode_type == "Lateral":
            x, y = (modal.evectors[axis : model.ndof : model.number_dof, mode] for axis in (0, 1))
            turns_forward = (x.conjugate() * y).imag.sum() < 0
            (forward if turns_forward else backward).append(float(modal.wn[mode]))
    return sorted(forward)[:MODES], sorted(backward)[:MODES]


def still_speeds(model: Any) -> list[float]:
    """Whirl speeds without spin; each stands there twice, once a plane."""
    modal = model.run_modal(0.0, num_modes=12 * MODES)
    pairs = zip(modal.shapes, modal.wn, strict=False)
    return sorted(float(speed) for shape, speed in pairs if shape.mode_type == "Lateral")[: 2 * MODES : 2]


def results(line: dict[str, Any]) -> dict[str, list[float]]:
    """Everything that is compared of one line."""
    model = rotor(line)
    forward, backward = speeds(model, line["spin_rad_s"])
    critical = [critical_speed(model, mode, start) for mode, start in enumerate(forward[:CRITICALS])]
    return {
        "still_rad_s": still_speeds(model),
        "forward_rad_s": forward,
        "backward_rad_s": backward,
        "critical_rad_s": critical,
    }


def critical_speed(model: Any, mode: int, start_rad_s: float) -> float:
    """Spin that equals the forward whirl speed of a mode, by repetition."""
    spin = start_rad_s
    for _ in range(60):
        forward, _backward = speeds(model, spin)
        if abs(forward[mode] - spin) < 1e-6 * spin:
            return forward[mode]
        spin = forward[mode]
    raise RuntimeError(f"mode {mode}: no critical speed found from {start_rad_s}")


def main() -> None:
    made = {
        "made_with": {name: version(name) for name in ("ross-rotordynamics", "numpy", "scipy", "plotly")},
        "python": platform.python_version(),
        "how_to_make_again": "scripts/references/ross_whirl.py (see its head)",
        "material": {"youngs_pa": YOUNGS_PA, "density_kg_m3": DENSITY_KG_M3, "poisson": POISSON},
        "lines": {name: line | {"ross": results(line)} for name, line in LINES.items()},
    }
    OUT.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
