"""A small replay made by hand, as quick as a test wants it, and a replay engine that waits where it is told to."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from beachmark.findings.replay.record import EventRecord, History, InputRecord, PartRecord, Record
from beachmark.findings.replay.running import Order, Progress, StoppedError
from beachmark.workflow import replaying

DRAWS = 4
PATIENCE_S = 20.0


def a_record(*, seed: int = 1, digest: str = "made by hand", event: str = "clutch_dropped") -> Record:
    """One event, one part, draws in fours; the third of four breaks the part."""
    peaks = np.tile([10e3, 12e3, 30e3, 8e3], DRAWS // 4)
    yields = np.full(DRAWS, 16e3)
    happened = EventRecord(
        event=event,
        duration_s=1.0,
        step_s=1e-4,
        greatest=peaks[:, None],
        least=-0.25 * peaks[:, None],
        steady_nm=np.full(DRAWS, 8e3),
        gear=np.tile([10.0, 9.0, 11.0, 10.0], DRAWS // 4),
        friction=np.full(DRAWS, 0.8),
        sound=np.ones(DRAWS, dtype=bool),
        first=np.tile([-1, -1, 0, -1], DRAWS // 4),
        worst=2,
        history=History(np.array([0.0, 0.5, 1.0]), np.zeros((2, 1, 3))),
        deviation=np.full(2, np.nan),
    )
    part = PartRecord(
        "cross@joint-1", "cross", "joint-1", "cross of joint 1", "joint 1", yields, 1.6 * yields, True, ""
    )
    given = InputRecord(
        "vehicle.axle.ratio", "axle ratio", 4.3, 4.3, 4.3, "number", "stated", "plate", False, np.zeros(0)
    )
    return Record(
        seed=seed,
        draws=DRAWS,
        digest=digest,
        versions={"model": "1"},
        loads=("joint 1",),
        parts=(part,),
        inputs=(given,),
        notes=("made by hand",),
        of_events=1,
        events=(happened,),
    )


def judged(record: Record) -> Record:
    """The same with what a referee would add."""
    return replace(record, events=tuple(replace(one, deviation=np.array([0.001, 0.002])) for one in record.events))


@dataclass
class Engine:
    """Stands in for the replay and its referee: tells where it is and waits until it is let on."""

    fault: Exception | None = None
    fault_of_referee: Exception | None = None
    begun: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(0))
    on: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(0))
    ran: list[int] = field(default_factory=list)  # seeds, in their order
    at_once: int = 0
    most_at_once: int = 0

    def replay(self, *_: object, order: Order, watch: replaying.Watch, **how: object) -> Record:
        self.at_once += 1
        self.most_at_once = max(self.at_once, self.most_at_once)
        try:
            self._wait(watch, "clutch dropped")
            if self.fault:
                raise self.fault
            self.ran.append(order.seed)
            self.how = how
            return a_record(seed=order.seed)
        finally:
            self.at_once -= 1

    def judge(self, *given: object, watch: replaying.Watch, cache_folder: str) -> Record:
        assert cache_folder
        self._wait(watch, "the referee solves again")
        if self.fault_of_referee:
            raise self.fault_of_referee
        record = given[-1]
        assert isinstance(record, Record)
        return judged(record)

    def _wait(self, watch: replaying.Watch, words: str) -> None:
        watch(Progress(0.25, words))
        self.begun.release()
        assert self.on.acquire(timeout=PATIENCE_S)
        if not watch(Progress(0.5, words)):
            raise StoppedError

    def reached(self) -> None:
        """Wait until it stands at its next halt."""
        assert self.begun.acquire(timeout=PATIENCE_S)

    def let_on(self, halts: int = 1) -> None:
        """Let it go past so many halts."""
        for _ in range(halts):
            self.on.release()


def put_in(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> Engine:
    """Let the workflow run this engine."""
    monkeypatch.setattr(replaying, "replay_case", engine.replay)
    monkeypatch.setattr(replaying, "judge_record", engine.judge)
    return engine
