"""Loads over time of a few draws, for a picture of what an event does."""

import math
from dataclasses import dataclass

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.kernel import Run
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.state import loads_of


@dataclass(frozen=True)
class Trace:
    """Loads at times [s]: draws by loads by times (couplings at their driven side [N m], tyres as force [N])."""

    loads: tuple[str, ...]
    times_s: FloatArray
    values: FloatArray


def trace(*, draws: Draws, duration_s: float, step_s: float, every: int = 5, cache_folder: str | None = None) -> Trace:
    """Follow the loads of some draws, looking at every so-manieth step. Nothing stops at a fracture."""
    run = Run(draws=draws, step_s=step_s, cache_folder=cache_folder)
    states = [run.full_state()]
    for _ in range(math.floor(duration_s / (every * step_s) + 1e-9)):
        run.advance(every)
        states.append(run.full_state())
    times: FloatArray = np.arange(len(states), dtype=np.float64) * (every * step_s)
    full = np.array(states).transpose(1, 2, 0)  # rows, draws, times
    values = [loads_of(run.program, run.constants[:, n], times, full[:, n]) for n in range(len(draws))]
    return Trace(tuple(run.program.sheet.loads), times, np.array(values))
