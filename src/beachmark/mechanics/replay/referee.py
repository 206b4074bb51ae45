"""The same event on single draws, solved again by SciPy at tight tolerance: how far off the peaks of the replay are.

Another method of integration with its own choice of step; the equations are the same (the tests hold them against
others, written separately). SciPy is loaded only when the referee is called.
"""

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.outcome import Outcome
from beachmark.mechanics.replay.parameters import RAMPS, Draws
from beachmark.mechanics.replay.source import Program
from beachmark.mechanics.replay.start import start_state
from beachmark.mechanics.replay.state import loads_of

_LOOKED_AT_EVERY_S = 2.5e-5
_LOOKED_AT_TOGETHER_S = 0.25
_TIDY_S = 1e-9
_ASIDE = 1e-7


@dataclass(frozen=True)
class Verdict:
    """Peaks by the referee in both senses, draws by loads, and how far the replay's peaks are off.

    deviation: difference of peaks over the referee's greatest magnitude of that load; where that is below the share
    ``negligible`` of the greatest over all draws that were judged, over that share instead.
    """

    loads: tuple[str, ...]
    greatest: FloatArray
    least: FloatArray
    deviation: FloatArray


def judge(
    *,
    draws: Draws,
    outcome: Outcome,
    method: Literal["LSODA", "Radau"] = "LSODA",
    relative_tolerance: float = 1e-8,
    negligible: float = 0.01,
) -> Verdict:
    """Solve each of these draws again over the time of their outcome, and compare the peaks.

    The outcome must be that of just these draws; peaks that stood still after a fracture are compared as far.
    """
    last = np.full(len(draws), outcome.seen_until_s)
    broken = outcome.broken >= 0
    last[broken] = outcome.used_at_s[broken]
    solved = [
        peaks(draws=draws.only(n), duration_s=float(last[n]), method=method, relative_tolerance=relative_tolerance)
        for n in range(len(draws))
    ]
    greatest, least = (np.array([peak[side] for peak in solved]) for side in (0, 1))
    magnitude = np.maximum(greatest, -least)
    scale = np.maximum(magnitude, negligible * magnitude.max(axis=0, initial=0.0))
    apart = np.maximum(np.abs(outcome.greatest - greatest), np.abs(outcome.least - least))
    deviation = np.divide(apart, scale, out=np.zeros_like(apart), where=scale > 0)
    return Verdict(outcome.loads, greatest, least, deviation)


def peaks(
    *, draws: Draws, duration_s: float, method: str = "LSODA", relative_tolerance: float = 1e-8
) -> tuple[FloatArray, FloatArray]:
    """Greatest and least of each load of the first draw (0 if it never came in that sense)."""
    from scipy.integrate import solve_ivp

    program = Program(equations(draws.layout))
    constants = program.sheet.constant_rows(draws.only(0).columns)[:, 0]
    slopes, given = compiled.slopes(program), tuple(constants.tolist())
    state = np.concatenate([*(rows[:, 0] for rows in start_state(draws.only(0))), np.zeros(len(program.sheet.slips))])
    greatest = np.zeros(len(program.sheet.loads))
    least = greatest.copy()
    corners = _corners(draws, duration_s)
    for begin, end in itertools.pairwise(corners):
        solved: Any = solve_ivp(
            lambda t, y: slopes(t, y.tolist(), given),
            (begin, end),
            state,
            method=method,
            rtol=relative_tolerance,
            atol=absolute_tolerances(program, relative_tolerance),
            **({"jac": _jacobian(program, constants)} if method == "Radau" else {}),
            dense_output=True,
        )
        if not solved.success:
            raise ArithmeticError(f"the referee did not get through: {solved.message}")
        state = solved.y[:, -1]
        times = np.linspace(begin, end, max(2, round((end - begin) / _LOOKED_AT_EVERY_S) + 1))
        seen = loads_of(program, constants, times, solved.sol(times))
        greatest, least = np.maximum(greatest, seen.max(axis=1)), np.minimum(least, seen.min(axis=1))
    return greatest, least


def _jacobian(program: Program, constants: FloatArray) -> Callable[[float, FloatArray], FloatArray]:
    """Derivatives of the right-hand side by central differences, all at once."""
    slopes = compiled.slopes_of_many(program)

    def jacobian(t: float, y: FloatArray) -> FloatArray:
        aside = _ASIDE * np.concatenate((np.eye(y.size), -np.eye(y.size)), axis=1)
        rows = [np.broadcast_to(row, 2 * y.size) for row in slopes(t, y[:, None] + aside, constants[:, None])]
        ahead, behind = np.split(np.array(rows), 2, axis=1)
        derivatives: FloatArray = (ahead - behind) / (2 * _ASIDE)
        return derivatives

    return jacobian


def absolute_tolerances(program: Program, relative: float) -> FloatArray:
    """Absolute tolerances: of angles and slips as if they were 0.1 rad or m, of speeds as if 10 rad/s or m/s."""
    small = np.full(2 * program.freedoms + len(program.sheet.slips), 0.1 * relative)
    small[program.freedoms : 2 * program.freedoms] = 10.0 * relative
    return small


def _corners(draws: Draws, duration_s: float) -> Sequence[float]:
    """Times at which a course of time has a corner (a solver must not step over one), and some between."""
    found = {0.0, duration_s, *np.arange(_LOOKED_AT_TOGETHER_S, duration_s, _LOOKED_AT_TOGETHER_S).tolist()}
    span = float(draws["repeat_s"][0])
    turns = np.arange(0.0, duration_s, span) if span > 0 else np.zeros(1)
    for name in draws.names:
        if name.endswith(tuple(f"_ramp_{number}_start_s" for number in range(1, RAMPS + 1))):
            start = float(draws[name][0])
            for turn in turns.tolist():
                found |= {turn, turn + start, turn + start + float(draws[name.replace("_start_s", "_takes_s")][0])}
    inside = sorted(time for time in found if 0 <= time <= duration_s)
    kept = [time for time, after in itertools.pairwise(inside) if after - time > _TIDY_S]
    return [*kept, duration_s]
