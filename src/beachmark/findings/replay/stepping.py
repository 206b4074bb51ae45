"""How long a step an event bears: the stiffest mode bounds it, and a few draws run twice tell whether that is enough.

Where teeth rattle in their lash, or tyres slip and grip, the peaks need shorter steps than the stiffness asks for. So a
few draws run with a step and with half of it. The method is of second order: the peaks are off by about four thirds of
what the two differ, and the step is shortened until nearly all of them are within the aim.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from beachmark.findings.replay.numbers import Reals
from beachmark.mechanics.replay import Draws, Run, safe_steps_s

AIM = 1e-3  # of a peak, for the share of peaks below: the aim over all events is 1e-3
_SHARE = 0.98
_PILOT = 32  # draws
_SHORTEST = 0.25  # of the step that the stiffness allows
_NEGLIGIBLE = 0.01  # of the greatest load of its kind: smaller peaks are not looked at
_CUTS = (0.02, 0.15, 0.5)  # of the draws, stiffest first: each group takes the step of its stiffest
_MOST_STEPS = 100_000  # of one event; the usual is 10 000


def groups(draws: Draws, duration_s: float, shortening: float) -> list[tuple[npt.NDArray[np.intp], float]]:
    """Draws by the step that they allow, stiffest first; a step divides the duration into whole steps.

    Raises ValueError if an event would take too many of them.
    """
    safe = safe_steps_s(draws)
    steps = np.minimum(safe, np.maximum(safe * shortening, duration_s / _MOST_STEPS))
    order = np.argsort(steps)
    cuts = [0, *(int(share * len(order)) for share in _CUTS), len(order)]
    spans = [order[low:high] for low, high in itertools.pairwise(cuts) if high > low]
    return [(numbers, whole_step_s(duration_s, float(steps[numbers].min()))) for numbers in spans]


def whole_step_s(duration_s: float, step_s: float) -> float:
    """The nearest shorter step that divides the duration. Raises ValueError if there would be too many."""
    if not step_s * _MOST_STEPS >= duration_s:
        raise ValueError(
            f"its stiffest spring against its lightest inertia asks for steps of {step_s:.1e} s, too short to be run: "
            "look at the inertias and stiffnesses that are stated."
        )
    return duration_s / math.ceil(duration_s / step_s)


def shortening(draws: Draws, duration_s: float, *, cache_folder: str | None, threads: int = 1) -> float:
    """Share of the step that the stiffness allows, so that nearly all peaks come within the aim: `_SHORTEST` to 1."""
    some = draws.only(np.arange(min(_PILOT, len(draws))))
    step_s = whole_step_s(duration_s, float(safe_steps_s(some).min()))
    how = (cache_folder, threads)
    whole, half = (_pilot(some, duration_s, step, how) for step in (step_s, step_s / 2))
    scale = np.maximum(half, _NEGLIGIBLE * half.max(axis=0, initial=0.0))
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.abs(whole - half) / scale * 4 / 3
    seen = off[np.isfinite(off)]
    worst = float(np.quantile(seen, _SHARE)) if seen.size else 0.0
    return min(1.0, max(_SHORTEST, math.sqrt(AIM / worst))) if worst > 0.0 else 1.0


def _pilot(draws: Draws, duration_s: float, step_s: float, how: tuple[str | None, int]) -> Reals:
    """Peaks of the springs along the driveline, (draws, loads); how: cache folder and threads."""
    run = Run(draws=draws, step_s=step_s, cache_folder=how[0], threads=how[1])
    run.advance(round(duration_s / step_s))
    outcome = run.outcome()
    line = [outcome.loads.index(part.name) for part in draws.layout.couplings]
    return np.where(outcome.sound[:, None], outcome.peak[:, line], np.nan)


def carried(run: Run, steps: int, at_once: int) -> Iterator[float]:
    """Carry a run on to its end, so many steps at once; yields the share that is done before each go."""
    slices = max(1, -(-steps // max(1, at_once)))
    cuts = np.linspace(0, steps, slices + 1).astype(int).tolist()
    for low, high in itertools.pairwise(cuts):
        yield low / steps
        run.advance(high - low)
