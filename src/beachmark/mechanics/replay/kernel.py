"""Replays an event on many draws of a train at once: the peaks of every load, what breaks first, where energy went.

Compiled by Numba with eight draws side by side and one thread for each core; without Numba the same equations run
in NumPy. Same draws, same step, same result, however many threads.
"""

import functools
import itertools
import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.natural import safe_step_s
from beachmark.mechanics.replay.outcome import Energy, Outcome, outcome
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.source import LANES, Program
from beachmark.mechanics.replay.start import start_state
from beachmark.mechanics.replay.state import Account, account, at_full_step
from beachmark.mechanics.replay.train import Layout

_PIECES_PER_THREAD = 4


@functools.lru_cache(maxsize=16)
def program_of(layout: Layout) -> Program:
    """The program of a layout: it never changes, and many runs take the same."""
    return Program(equations(layout))


class Run:
    """Draws on their way through an event; ``advance`` carries them on, ``outcome`` tells how they fared so far."""

    def __init__(
        self,
        *,
        draws: Draws,
        step_s: float,
        cache_folder: str | None = None,
        threads: int = 1,
        plain: bool = False,
    ) -> None:
        """Set the draws at their start. plain: NumPy, even where Numba is there."""
        self.draws, self.step_s, self.steps = draws, step_s, 0
        self.program = program_of(draws.layout)
        self.constants = self.program.sheet.constant_rows(draws.columns)
        self._plain = plain or not compiled.can_compile()
        self._threads = threads
        self._plain_kernel = compiled.plain_kernel(self.program)
        start = self._start()
        self._at_start = self._account(start)
        if self._plain:
            self._state, self._given = start, self.constants
        else:
            self._compiled = compiled.compiled_kernel(self.program, cache_folder)
            self._state, self._given = _in_blocks(start), _in_blocks(self.constants)

    @property
    def state(self) -> FloatArray:
        """Rows that the steps carry on (see ``source.Program.rows``), for all draws."""
        if self._plain:
            return self._state
        return self._state.transpose(1, 0, 2).reshape(self._state.shape[1], -1)[:, : len(self.draws)]

    def advance(self, steps: int) -> None:
        """Carry all draws on by a number of steps."""
        first, last = self.steps, self.steps + steps
        with np.errstate(over="ignore", invalid="ignore"):  # a draw that went astray is told of in the outcome
            if self._plain:
                self._plain_kernel(self._given, self._state, first, last, self.step_s)
            else:
                self._advance_blocks(first, last)
        self.steps = last

    def outcome(self) -> Outcome:
        """How the draws fared so far."""
        state = self.state
        with np.errstate(over="ignore", invalid="ignore"):
            energy = self._energy(state)
        return outcome(self.program, self.constants, state, energy, (self.step_s, self.steps))

    def full_state(self) -> FloatArray:
        """Angles, speeds and slip states at the last step, one row each."""
        return at_full_step(self.program, self.state, self.step_s)

    def _account(self, state: FloatArray) -> Account:
        """Energy held and powers now."""
        full = at_full_step(self.program, state, self.step_s)
        return account(self.program, self.draws, self.constants, (self.steps * self.step_s, full))

    def _energy(self, state: FloatArray) -> Energy:
        """Account of energy since the start; the powers of both ends count half (trapezoidal rule)."""
        now, rows, losses = self._account(state), self.program.rows, self.program.sheet.losses
        sums = state[rows["work"] : rows["work"] + 2 + len(losses)]
        work, damped, *slipped = sums + 0.5 * self.step_s * (now.powers_w - self._at_start.powers_w)
        gained = now.held_j - self._at_start.held_j
        return Energy(work, gained, damped, dict(zip(losses, slipped, strict=True)))

    def _advance_blocks(self, first: int, last: int) -> None:
        """Carry the blocks on, shared among the threads."""
        pieces = min(len(self._state), self._threads * _PIECES_PER_THREAD if self._threads > 1 else 1)
        cuts = np.linspace(0, len(self._state), pieces + 1).astype(int).tolist()
        spans = [slice(low, high) for low, high in itertools.pairwise(cuts)]

        def work(span: slice) -> None:
            room = _aligned(self.program.room)
            self._compiled(self._given[span], self._state[span], room, first, last, self.step_s)

        if self._threads == 1:
            work(slice(None))
            return
        with ThreadPoolExecutor(self._threads) as pool:
            list(pool.map(work, spans))

    def _start(self) -> FloatArray:
        """Rows at the start: a step of no length tells the accelerations, by which speeds go back half a step."""
        rows, count = self.program.rows, self.program.freedoms
        state = np.zeros((len(rows), len(self.draws)))
        angles, speeds = start_state(self.draws)
        state[rows["q0"] : rows["q0"] + count] = angles
        state[rows["v0"] : rows["v0"] + count] = speeds
        self._plain_kernel(self.constants, state, 0, 1, 0.0)
        accelerations = state[rows["b0"] : rows["b0"] + count]
        state[rows["v0"] : rows["v0"] + count] = speeds - 0.5 * self.step_s * accelerations
        return state


def replay(
    *,
    draws: Draws,
    duration_s: float,
    step_s: float | None = None,
    cache_folder: str | None = None,
    threads: int = 1,
    plain: bool = False,
) -> Outcome:
    """Replay an event of some duration; the step comes from the stiffest draw unless it is given."""
    steps = max(1, math.ceil(duration_s / (step_s or safe_step_s(draws)) - 1e-9))
    run = Run(draws=draws, step_s=duration_s / steps, cache_folder=cache_folder, threads=threads, plain=plain)
    run.advance(steps)
    return run.outcome()


def _in_blocks(rows: FloatArray) -> FloatArray:
    """Return rows over draws as blocks of eight lanes; the last draw fills up the last block."""
    missing = -rows.shape[1] % LANES
    full = np.pad(rows, ((0, 0), (0, missing)), mode="edge")
    return np.ascontiguousarray(full.reshape(len(rows), -1, LANES).transpose(1, 0, 2))


def _aligned(rows: int) -> FloatArray:
    """Room for rows of eight lanes that starts at a line of the cache: no row then lies across two lines."""
    line = 8 * LANES
    room = np.empty((rows + 1) * LANES)
    start = -room.ctypes.data % line // 8
    return room[start : start + rows * LANES]
