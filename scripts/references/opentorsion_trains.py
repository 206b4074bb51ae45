"""Makes tests/references/data/opentorsion.json: torsional frequencies and responses by opentorsion.

opentorsion is a general library for torsional vibration and no dependency of this project. To make the file
again:

    python3 -m venv /tmp/opentorsion-venv
    /tmp/opentorsion-venv/bin/pip install "opentorsion==0.3.2"
    /tmp/opentorsion-venv/bin/python scripts/references/opentorsion_trains.py

Look at the difference before it is committed. Nothing of this project is imported here. The library gets the
real elements with real gear pairs between them; our own side reduces everything to one shaft beforehand, so
that the reduction is checked as well. All trains are invented; plain numbers in SI.
"""

from __future__ import annotations

import json
import platform
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

OUT = Path(__file__).parents[2] / "tests" / "references" / "data" / "opentorsion.json"
LOW_GEAR, AXLE = 12.3, 4.3  # gear and axle ratio
SHAFT, ENGINE, WHEEL = 1.0, LOW_GEAR, 1 / AXLE  # speed of an element over that of the propeller shaft


def station(inertia_kg_m2: float, ratio: float) -> dict[str, float]:
    return {"inertia_kg_m2": inertia_kg_m2, "ratio": ratio}


def spring(first: int, second: int, stiffness_nm_rad: float, ratio: float) -> dict[str, float]:
    return {"first": first, "second": second, "stiffness_nm_rad": stiffness_nm_rad, "ratio": ratio}


# The spring of a gearbox or an axle turns at the shaft's speed; the gear pair is at its end.
TIPPER: dict[str, Any] = {
    "stations": [
        station(3.6, ENGINE),
        station(0.28, ENGINE),
        station(0.22, SHAFT),
        station(0.14, SHAFT),
        station(0.16, SHAFT),
        station(0.12, SHAFT),
        station(2.4, WHEEL),
        station(120.0, WHEEL),
        station(26_000 * 0.5**2, WHEEL),
    ],
    "springs": [
        spring(0, 1, 28_000, ENGINE),
        spring(1, 2, 160_000, SHAFT),
        spring(2, 3, 240_000, SHAFT),
        spring(3, 4, 220_000, SHAFT),
        spring(4, 5, 320_000, SHAFT),
        spring(5, 6, 150_000, SHAFT),
        spring(6, 7, 200_000, WHEEL),
        spring(7, 8, 22 * 186_000 * 0.5**2, WHEEL),
    ],
}
# The front axle of a pair sits on the way to the rear one: a tree with two ends at the wheels.
TANDEM: dict[str, Any] = {
    "stations": [
        station(3.6, ENGINE),
        station(0.5, SHAFT),
        station(0.15, SHAFT),
        station(0.14, SHAFT),
        station(61.2, WHEEL),
        station(0.12, SHAFT),
        station(58.0, WHEEL),
    ],
    "springs": [
        spring(0, 1, 150_000, SHAFT),
        spring(1, 2, 240_000, SHAFT),
        spring(2, 3, 310_000, SHAFT),
        spring(3, 4, 110_000, WHEEL),
        spring(3, 5, 420_000, SHAFT),
        spring(5, 6, 95_000, WHEEL),
    ],
}
# Without gears, for the response: damping of each spring k x 1e-4 s, drag of each station J x 0.5 1/s.
DAMPED: dict[str, Any] = {
    "stations": [station(j, SHAFT) for j in (10.0, 0.5, 0.2, 0.3, 6.0)],
    "springs": [spring(n, n + 1, k, SHAFT) for n, k in enumerate((90_000, 210_000, 180_000, 60_000))],
    "spring_time_s": 1e-4,
    "station_rate_per_s": 0.5,
    "excitation_nm": [300.0, 0.0, -40.0, 0.0, 0.0],
    "frequencies_rad_s": [20.0, 90.0, 130.0, 400.0, 900.0, 1500.0],
}
# Two driven axles down to the road, where both meet in the vehicle (mass times radius squared): a ring, no tree.
ROAD: dict[str, Any] = {
    "stations": [
        station(3.4, ENGINE),
        station(0.3, ENGINE),
        station(0.25, SHAFT),
        station(0.15, SHAFT),
        station(0.2, SHAFT),
        station(0.11, SHAFT),
        station(0.13, SHAFT),
        station(2.2, WHEEL),
        station(58.0, WHEEL),
        station(2.5, WHEEL),
        station(64.0, WHEEL),
        station(25_000 * 0.5**2, WHEEL),
    ],
    "springs": [
        spring(0, 1, 27_000, ENGINE),
        spring(1, 2, 170_000, SHAFT),
        spring(2, 3, 230_000, SHAFT),
        spring(3, 4, 250_000, SHAFT),
        spring(4, 5, 410_000, SHAFT),
        spring(4, 6, 290_000, SHAFT),
        spring(5, 7, 160_000, SHAFT),
        spring(6, 9, 140_000, SHAFT),
        spring(7, 8, 190_000, WHEEL),
        spring(9, 10, 210_000, WHEEL),
        spring(8, 11, 22 * 95_000 * 0.5**2, WHEEL),
        spring(10, 11, 21 * 91_000 * 0.5**2, WHEEL),
    ],
}
RINGS = {"two axles to the road": ROAD}
TRAINS = {"tipper in a low gear": TIPPER, "pair of axles": TANDEM, "damped chain": DAMPED}


def assembly(train: dict[str, Any]) -> Any:
    """The train in the library's own elements; a gear pair wherever a spring and its station differ in speed."""
    from opentorsion.assembly import Assembly
    from opentorsion.elements.disk_element import Disk
    from opentorsion.elements.gear_element import Gear
    from opentorsion.elements.shaft_element import Shaft

    drag, time = train.get("station_rate_per_s", 0.0), train.get("spring_time_s", 0.0)
    stations = train["stations"]
    disks = [Disk(n, I=s["inertia_kg_m2"], c=drag * s["inertia_kg_m2"]) for n, s in enumerate(stations)]
    shafts, gears, nodes = [], [], len(stations)
    for one in train["springs"]:
        ends = []
        for end in (one["first"], one["second"]):
            if stations[end]["ratio"] != one["ratio"]:
                wheel = Gear(end, I=0.0, R=one["ratio"])  # radii go inversely with speed
                gears += [wheel, Gear(nodes, I=0.0, R=stations[end]["ratio"], parent=wheel)]
                end, nodes = nodes, nodes + 1
            ends.append(end)
        stiffness = one["stiffness_nm_rad"]
        # The library wants the last node never at the left end.
        shafts.append(Shaft(min(ends), max(ends), k=stiffness, I=0.0, c=time * stiffness))
    return Assembly(shafts, disk_elements=disks, gear_elements=gears or None)


def results(train: dict[str, Any]) -> dict[str, Any]:
    """Natural frequencies without the turning as one, and the response where a load is given."""
    built = assembly(train)
    squares = np.sort(np.real(built.undamped_modal_analysis()[0]))
    found: dict[str, Any] = {"natural_frequencies_rad_s": np.sqrt(squares[1:]).tolist()}
    if "excitation_nm" in train:
        frequencies = np.array(train["frequencies_rad_s"])
        loads = np.repeat(np.array(train["excitation_nm"])[:, None], frequencies.size, axis=1)
        angles, _ = built.ss_response(loads, frequencies)
        found |= {"angles_real_rad": angles.real.T.tolist(), "angles_imag_rad": angles.imag.T.tolist()}
    return found


def main() -> None:
    """Write the file."""
    made = {
        "made_by": "scripts/references/opentorsion_trains.py",
        "versions": {
            "python": platform.python_version(),
            "numpy": version("numpy"),
            "scipy": version("scipy"),
            "opentorsion": version("opentorsion"),
        },
        "trains": {name: {"given": train, "found": results(train)} for name, train in TRAINS.items()},
        "rings": {name: {"given": train, "found": results(train)} for name, train in RINGS.items()},
    }
    OUT.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
