"""Peaks of the replay against SciPy's LSODA at 1e-8: all events of the knowledge, four layouts, random trains.

Every draw is a train of its own (masses, springs, gaps, angles, tyres) with a driver of its own; seeds are fixed. Run
it with: .venv/bin/python scripts/replay_accuracy.py [TRAINS]. Radau judges the first draw of each event once more.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.replay_vehicles import VEHICLES

from beachmark.cases.codec import read_case
from beachmark.findings.replay.driving import driven
from beachmark.findings.replay.stepping import shortening, whole_step_s
from beachmark.findings.replay.vehicle import plant_of
from beachmark.mechanics.replay import Run, judge, safe_step_s
from beachmark.workflow.packaged import knowledge

SEED = 20261125
LISTED = 1e-3
PILOT = 64


def judged(job: tuple[str, str, int]) -> list[tuple[str, str, int, str, float, float, float]]:
    """Vehicle, event, draw, load, deviation, missing energy share, deviation of LSODA from Radau (first draw only)."""
    vehicle, event_id, trains = job
    case = read_case(f"beachmark_case: 1\ntitle: {vehicle}\n{VEHICLES[vehicle]}", name="x.yaml", knowledge=knowledge())
    plant = plant_of(knowledge(), case.vehicle, case.installed())
    event = knowledge().events[event_id]
    made = driven(plant, event, count=trains + 1, seed=SEED)
    found = []
    with tempfile.TemporaryDirectory() as folder:
        pilot = driven(plant, event, count=PILOT, seed=SEED + 1)  # other trains choose the step
        factor = shortening(pilot.draws, pilot.duration_s, cache_folder=folder)
        for number in range(1, trains + 1):
            draw = made.draws.only([number])
            step_s = whole_step_s(made.duration_s, factor * safe_step_s(draw))
            run = Run(draws=draw, step_s=step_s, cache_folder=folder)
            run.advance(round(made.duration_s / step_s))
            outcome = run.outcome()
            verdict = judge(draws=draw, outcome=outcome)
            energy = outcome.energy
            turned = abs(energy.work_j) + abs(energy.gained_j) + abs(energy.damped_j)
            turned = turned + sum(abs(one) for one in energy.slipped_j.values())
            missing = float(abs(energy.missing_j[0]) / max(float(turned[0]), 1.0))
            between = math.nan
            if number == 1:
                radau = judge(draws=draw, outcome=outcome, method="Radau")
                apart = np.abs(radau.greatest - verdict.greatest) + np.abs(radau.least - verdict.least)
                scale = np.maximum(np.maximum(verdict.greatest, -verdict.least), 1.0)
                between = float((apart / scale).max())
            for load, deviation in zip(verdict.loads, verdict.deviation[0], strict=True):
                found.append((vehicle, event_id, number, load, float(deviation), missing, between))
    return found


def jobs(trains: int) -> Iterator[tuple[str, str, int]]:
    """Every event that a vehicle can meet."""
    for vehicle, event in product(VEHICLES, knowledge().events.values()):
        text = f"beachmark_case: 1\ntitle: {vehicle}\n{VEHICLES[vehicle]}"
        case = read_case(text, name="x.yaml", knowledge=knowledge())
        if plant_of(knowledge(), case.vehicle, case.installed()).has.issuperset(event.needs):
            yield vehicle, event.id, trains


def main() -> None:
    """Print median, 99th percentile, and everything beyond 1e-3."""
    trains = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    with ProcessPoolExecutor(2) as pool:
        rows = [row for rows in pool.map(judged, jobs(trains)) for row in rows]
    moved = [row for row in rows if row[4] > 0.0]
    for name, chosen in (("all loads", moved), ("without the clutch", [row for row in moved if row[3] != "clutch"])):
        errors = np.array([row[4] for row in chosen])
        median, high, most = np.quantile(errors, (0.5, 0.99, 1.0))
        print(f"{name}: {len(errors)} peaks, median {median:.1e}, 99 % {high:.1e}, greatest {most:.1e}")
    print(f"energy missing, share of what was turned over: greatest {max(row[5] for row in rows):.1e}")
    print(f"LSODA against Radau, first draws: greatest {np.nanmax([row[6] for row in rows]):.1e}")
    for row in sorted((row for row in moved if row[4] > LISTED), key=lambda row: -row[4]):
        print(f"  {row[4]:.1e}  {row[0]}, {row[1]}, train {row[2]}, {row[3]}")


if __name__ == "__main__":
    main()
