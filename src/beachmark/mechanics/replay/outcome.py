"""What a replay tells: peaks of every load in both senses, what was first over its capacity, where the energy went."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.source import Program


@dataclass(frozen=True)
class Energy:
    """Energies since the start [J], one value for each draw: done on the train, gained by it, lost in it."""

    work_j: FloatArray
    gained_j: FloatArray
    damped_j: FloatArray
    slipped_j: Mapping[str, FloatArray]

    @property
    def missing_j(self) -> FloatArray:
        """What the account lacks: work less gain less all losses."""
        slipped = sum(self.slipped_j.values(), np.zeros_like(self.work_j))
        missing: FloatArray = self.work_j - self.gained_j - self.damped_j - slipped
        return missing


@dataclass(frozen=True)
class Outcome:
    """Peaks up to the first fracture, draws by loads: couplings at their driven side [N m], tyres as force [N].

    A load that never came in a sense has peak 0 and time 0; times of peaks are known to half of ``source.SPAN`` steps.
    used, used_at_s: the greatest load over capacity, and when it came (to one step). broken: the load that was first
    over its capacity, -1 for none; the motion goes on as if nothing broke, but what is told stands still. sound: the
    draw did not go astray.
    """

    loads: tuple[str, ...]
    greatest: FloatArray
    least: FloatArray
    greatest_at_s: FloatArray
    least_at_s: FloatArray
    used: FloatArray
    used_at_s: FloatArray
    broken: NDArray[np.intp]
    sound: NDArray[np.bool_]
    energy: Energy
    step_s: float
    steps: int

    @property
    def seen_until_s(self) -> float:
        """Time of the last loads that were looked at: those at the beginning of the last step."""
        return self.step_s * (self.steps - 1)

    @property
    def peak(self) -> FloatArray:
        """Greatest magnitude of each load."""
        return np.maximum(self.greatest, -self.least)

    @property
    def peak_at_s(self) -> FloatArray:
        """When it came."""
        return np.where(self.greatest >= -self.least, self.greatest_at_s, self.least_at_s)


def outcome(
    program: Program, constants: FloatArray, state: FloatArray, energy: Energy, progress: tuple[float, int]
) -> Outcome:
    """Outcome of draws from the rows that the steps carried on (see ``source.Program.rows``); progress: step, steps."""
    rows, count = program.rows, len(program.sheet.loads)
    top, low, top_at, low_at = (state[rows["top0"] + n * count :][:count].T.copy() for n in range(4))
    used = _used(program, constants, np.maximum(top, -low))
    return Outcome(
        loads=tuple(program.sheet.loads),
        greatest=top,
        least=low,
        greatest_at_s=top_at,
        least_at_s=low_at,
        used=used.max(axis=1, initial=0.0),
        used_at_s=state[rows["tused"]].copy(),
        broken=np.where(used.max(axis=1, initial=0.0) >= 1.0, used.argmax(axis=1) if count else -1, -1),
        sound=np.isfinite(state.sum(axis=0)),
        energy=energy,
        step_s=progress[0],
        steps=progress[1],
    )


def _used(program: Program, constants: FloatArray, peaks: FloatArray) -> FloatArray:
    """Return each peak over capacity; peaks stood still when one came over 1, so no other is."""
    used = np.zeros_like(peaks)  # a draw that went astray has no peaks to judge
    for number, name in enumerate(program.sheet.loads):
        capacity = program.sheet.capacities.get(name)
        if capacity is not None:
            used[:, number] = np.nan_to_num(peaks[:, number], posinf=0.0) * constants[int(capacity[1:])]
    return used
