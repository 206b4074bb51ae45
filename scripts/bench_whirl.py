"""Times the whirl of a whole driveline here and in ross-rotordynamics, on the same line and mesh, and prints the ratio.

    python scripts/bench_whirl.py /tmp/ross-venv/bin/python

The argument is the Python of an environment that has the library (see scripts/references/ross_whirl.py); without it
only our own times are printed. Nothing here is a test: machines are shared and noisy. Both sides use one thread.
"""

from __future__ import annotations

import itertools
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before NumPy is loaded, and for the other process as well

import numpy as np

REFERENCES = Path(__file__).parent / "references"
STORED = Path(__file__).parents[1] / "tests" / "references" / "data" / "ross_whirl.json"
LINE = "three shafts with two centre bearings"
SPINS = [float(spin) for spin in np.linspace(10.0, 600.0, 15)]
MODES = 6


def median_s(task: Callable[[], object], runs: int) -> float:
    """Median wall time of a task after one warm-up."""
    task()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def own() -> dict[str, float]:
    """Seconds of each step here; the line is built anew in each."""
    from beachmark.mechanics import beam

    stored = json.loads(STORED.read_text(encoding="utf-8"))
    given, material = stored["lines"][LINE], stored["material"]

    def line() -> Any:
        return beam.BeamLine(
            shafts=tuple(tuple(beam.Section(**piece, **material) for piece in shaft) for shaft in given["shafts"]),
            supports=tuple(beam.Spring(**support) for support in given["supports"]),
            masses=tuple(beam.PointMass(**mass) for mass in given["masses"]),
            elements_per_shaft=24,
        )

    steps: dict[str, Callable[[], object]] = {
        "build, whirl speeds still": lambda: beam.whirl_modes(line=line(), count=MODES),
        "build, whirl speeds at one spin": lambda: beam.whirl_modes(line=line(), spin_rad_s=320.0, count=MODES),
        "the same, ross built before": lambda: beam.whirl_modes(line=line(), spin_rad_s=320.0, count=MODES),
        "build, critical speeds": lambda: beam.critical_speeds(line=line(), count=MODES),
        "build, diagram of 15 spins": lambda: beam.speed_diagram(line=line(), spins_rad_s=SPINS, count=MODES),
    }
    return {name: median_s(task, 15) for name, task in steps.items()}


def by_ross() -> dict[str, float]:
    """Seconds of each step in the library, by its own functions and defaults; the line is built anew in each."""
    sys.path.insert(0, str(REFERENCES))
    import ross_whirl

    def model() -> Any:
        return ross_whirl.rotor(ross_whirl.LINES[LINE])

    ready, fresh = model(), itertools.count(320)  # a new spin each time, as the library remembers its answers
    steps: dict[str, tuple[Callable[[], object], int]] = {
        # Twice as many values as whirl speeds of one plane, and both signs of each.
        "build, whirl speeds still": (lambda: model().run_modal(0.0, num_modes=4 * MODES), 3),
        "build, whirl speeds at one spin": (lambda: model().run_modal(320.0, num_modes=4 * MODES), 5),
        "the same, ross built before": (lambda: ready.run_modal(float(next(fresh)), num_modes=4 * MODES), 5),
        "build, critical speeds": (lambda: model().run_critical_speed(num_modes=4 * MODES), 1),
        "build, diagram of 15 spins": (lambda: model().run_campbell(SPINS, frequencies=2 * MODES), 1),
    }
    return {name: median_s(task, runs) for name, (task, runs) in steps.items()}


def main() -> None:
    if sys.argv[1:] == ["--by-ross"]:
        print("TIMES " + json.dumps(by_ross()))
        return
    ours = own()
    theirs: dict[str, float] = {}
    if len(sys.argv) > 1:
        command = [sys.argv[1], __file__, "--by-ross"]
        told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        theirs = json.loads(told[told.rindex("TIMES ") + 6 :])
    for name, seconds in ours.items():
        ratio = f"{theirs[name] * 1e3:>10.1f} ms ross {theirs[name] / seconds:>8.0f} x" if theirs else ""
        print(f"{name:<34}{seconds * 1e3:>9.2f} ms {ratio}")


if __name__ == "__main__":
    main()
