"""How far off the peaks of the replay are: every event on random trains, against LSODA, and LSODA against Radau.

    .venv/bin/python -m tests.replay.accuracy          20 trains for each event; a few minutes
    .venv/bin/python -m tests.replay.accuracy --radau  LSODA's peaks against those of Radau too; a quarter of an hour

The tests run a part of the same. Seeds were fixed before the first run. Each train is replayed alone, with the step
that the program chooses for it, once as it is and once with finite capacities, so that peaks stand still at a fracture.
Every peak beyond 1e-3 is listed, with what is left of its error at a half and a quarter of the step.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.kernel import replay
from beachmark.mechanics.replay.outcome import Outcome
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.referee import Verdict, judge
from tests.replay.trains import LAYOUTS, drawn, events

SEED, TRAINS = 20261125, 20
EVENTS = tuple(dict.fromkeys(name for layout in LAYOUTS.values() for name in events(layout)))
MEDIAN, NEARLY_ALL = 1e-4, 1e-3
"""What is claimed of the deviations: their median, and their 99th percentile."""


@dataclass(frozen=True)
class Judged:
    """One train in one event, and what the referee says of its replay."""

    layout: str
    event: str
    number: int
    draws: Draws
    outcome: Outcome
    verdict: Verdict

    @property
    def of_clutch(self) -> FloatArray:
        """Deviation of the clutch's own torque: its peak is often a corner, where slip ends."""
        return self._of([name == "clutch" for name in self.outcome.loads])

    @property
    def of_others(self) -> FloatArray:
        """Deviation of every other load that came."""
        return self._of([name != "clutch" for name in self.outcome.loads])

    def _of(self, chosen: list[bool]) -> FloatArray:
        came = np.maximum(self.verdict.greatest, -self.verdict.least)[0] > 0
        found: FloatArray = self.verdict.deviation[0, came & np.array(chosen)]
        return found

    @property
    def unaccounted(self) -> float:
        """What the account of energy lacks, over the work done and all that was lost."""
        energy = self.outcome.energy
        lost = sum(np.abs(slipped) for slipped in energy.slipped_j.values()) + energy.damped_j
        return float((np.abs(energy.missing_j) / (np.abs(energy.work_j) + lost))[0])

    @property
    def broke(self) -> bool:
        """Whether a load came over its capacity."""
        return bool(self.outcome.broken[0] >= 0)


def train(event: str, number: int) -> tuple[str, Draws, float]:
    """One of the random trains of an event: the name of its layout, the draw, and how long it is followed."""
    fitting = [name for name, layout in LAYOUTS.items() if event in events(layout)]
    name = fitting[(number + EVENTS.index(event)) % len(fitting)]
    what = events(LAYOUTS[name])[event]
    return name, drawn(LAYOUTS[name], what, seed=_seed(event, number)), what.duration_s


def judged(event: str, number: int, folder: str, *, weak: bool = False) -> Judged:
    """Replay an event on one of its trains and have it judged; weak: with capacities near the peaks."""
    name, these, duration_s = train(event, number)
    found = replay(draws=these, duration_s=duration_s, cache_folder=folder)
    if weak:
        these = weakened(these, found, _seed(event, number))
        found = replay(draws=these, duration_s=duration_s, cache_folder=folder)
    return Judged(name, event, number, these, found, judge(draws=these, outcome=found, cache_folder=folder))


def _seed(event: str, number: int) -> int:
    return SEED + 100 * EVENTS.index(event) + number


def weakened(these: Draws, free: Outcome, seed: int) -> Draws:
    """The same train, each coupling with a capacity between half and one and a half of what it carried."""
    rows, rng = these.rows.copy(), np.random.default_rng(seed)
    for part in these.layout.couplings:
        share = rng.uniform(0.5, 1.5)
        rows[0, these.names.index(f"{part.name}.capacity_nm")] = share * free.peak[0, free.loads.index(part.name)]
    return replace(these, rows=rows)


def every(trains: int, folder: str, *, weak: bool) -> Iterator[Judged]:
    """Every event on so many of its trains."""
    for event in EVENTS:
        for number in range(trains):
            yield judged(event, number, folder, weak=weak)


def beyond(one: Judged, folder: str) -> Iterator[str]:
    """Yield a line for each peak beyond the 99th percentile's bound, with its error at finer steps."""
    bad = np.flatnonzero(one.verdict.deviation[0] > NEARLY_ALL)
    if not bad.size:
        return
    finer = [_finer(one, parts, folder).deviation[0] for parts in (2, 4)]
    for load in bad.tolist():
        errors = ", ".join(f"{error[load]:.1e}" for error in (one.verdict.deviation[0], *finer))
        frozen = f", stood still when {one.outcome.loads[one.outcome.broken[0]]} broke" if one.broke else ""
        yield f"{one.layout}, {one.event}, train {one.number}, {one.outcome.loads[load]}: {errors}{frozen}"


def _finer(one: Judged, parts: int, folder: str) -> Verdict:
    """The same train judged at a part of the step, over the same time as far as the steps allow."""
    outcome = one.outcome
    seen_s = outcome.used_at_s[0] if one.broke else outcome.seen_until_s
    steps = round(seen_s / outcome.step_s) * parts + 1
    free = replace(one.draws, rows=one.draws.rows.copy())
    for part in free.layout.couplings:
        free.rows[0, free.names.index(f"{part.name}.capacity_nm")] = np.inf
    step = outcome.step_s / parts
    found = replay(draws=free, duration_s=steps * step, step_s=step, cache_folder=folder)
    return judge(draws=free, outcome=found, cache_folder=folder)


def told(deviations: FloatArray) -> str:
    """Figures of many deviations."""
    median, nearly_all = np.median(deviations), np.quantile(deviations, 0.99)
    return f"{deviations.size} peaks: median {median:.1e}, 99 % {nearly_all:.1e}, greatest {deviations.max():.1e}"


def _against_radau(found: list[Judged], folder: str) -> None:
    """Print how far LSODA's peaks are from those of Radau."""
    apart = []
    for one in found:
        verdict = judge(draws=one.draws, outcome=one.outcome, method="Radau", cache_folder=folder)
        magnitude = np.maximum(verdict.greatest, -verdict.least)
        scale = np.maximum(magnitude, 1.0)
        difference = np.maximum(abs(verdict.greatest - one.verdict.greatest), abs(verdict.least - one.verdict.least))
        apart.append((difference / scale)[magnitude > 0])
        if apart[-1].max() > 1e-5:
            print(f"  {one.layout}, {one.event}, train {one.number}: LSODA and Radau differ by {apart[-1].max():.1e}")
    print("LSODA against Radau:", told(np.concatenate(apart)), flush=True)


def main() -> None:
    """Judge everything and print what was found."""
    with tempfile.TemporaryDirectory() as folder:
        for weak in (False, True):
            began = time.perf_counter()
            found = list(every(TRAINS, folder, weak=weak))
            took = time.perf_counter() - began
            what = "finite capacities" if weak else "as they are"
            print(f"\n{len(found)} replays, {what}: {sum(one.broke for one in found)} broke; {took:.0f} s")
            print(told(np.concatenate([one.of_clutch for one in found] + [one.of_others for one in found])))
            print("the clutch's own torque:", told(np.concatenate([one.of_clutch for one in found])))
            print("all others:", told(np.concatenate([one.of_others for one in found])))
            print(f"energy: {max(one.unaccounted for one in found):.1e} of work and losses not accounted for at most")
            wrong = [one for one in found if one.broke and one.verdict.foremost[0] != one.outcome.broken[0]]
            print(f"another part first by the referee: {len(wrong)}")
            print("beyond 1e-3, with what is left at a half and a quarter of the step:")
            for one in found:
                for line in beyond(one, folder):
                    print(f"  {line}", flush=True)
            if "--radau" in sys.argv and not weak:
                _against_radau(found, folder)


if __name__ == "__main__":
    main()
