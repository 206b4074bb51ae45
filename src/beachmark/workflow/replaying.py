"""The events of a case replayed: as a job of the server beside its pages, or at once for the command line.

A finished replay is stored with its case before the referee checks it, so that nothing is lost when somebody stops
the referee or the server. A job lives as long as the process; what it stored lives as long as the case.
"""

from __future__ import annotations

import logging
import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from beachmark.basis.errors import BeachmarkError, refuse
from beachmark.findings.replay.record import Record
from beachmark.findings.replay.running import (
    LEAST_DRAWS,
    MOST_DRAWS,
    Order,
    Progress,
    StoppedError,
    events_for,
    judge_record,
    replay_case,
)
from beachmark.knowledge.events import EventKind
from beachmark.workflow.home import home_folder, open_store
from beachmark.workflow.kept_replay import keep_record
from beachmark.workflow.loading import Loaded, from_store
from beachmark.workflow.packaged import knowledge

if TYPE_CHECKING:
    from beachmark.store.database import Store

Watch = Callable[[Progress], bool]
CACHE = "compiled"  # in the data folder, made for its owner alone: what stands there is run
log = logging.getLogger(__name__)


class State(StrEnum):
    """Where a job is."""

    WAITING = "waiting"
    RUNNING = "running"
    JUDGING = "judging"  # the replay is kept already; the referee solves its typical and worst draws again
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


ENDED = frozenset({State.DONE, State.FAILED, State.CANCELLED})


@dataclass(frozen=True)
class Job:
    """One replay that was asked for, as it is now. `share`, 0 to 1, is of the state that it is in."""

    number: int  # of the case
    order: Order
    state: State = State.WAITING
    share: float = 0.0
    words: str = "waiting for another replay to end"
    error: str = ""  # what went wrong, in a sentence
    kept: bool = False  # its replay is stored with the case

    @property
    def ended(self) -> bool:
        """True when nothing more will happen."""
        return self.state in ENDED


# ---- what pages need ------------------------------------------------------------------------------------------


def events_of(loaded: Loaded) -> tuple[EventKind, ...]:
    """The events that the vehicle of a case can meet. Raises `InputError` when its numbers cannot be computed with."""
    case = loaded.case
    try:
        return events_for(knowledge(), case.vehicle, case.installed())
    except (ValueError, ArithmeticError) as refusal:
        raise refuse("replay", "vehicle", f"a number cannot be computed with: {refusal}") from refusal


def start(store: Store, number: int, order: Order) -> Job:
    """Replay a stored case beside the pages. While one of this case waits or runs, that one is returned.

    One runs at a time; others wait. Raises `NotFoundError`.
    """
    store.get(number)
    key = (store.home, number)
    with _lock:
        task = _tasks.get(key)
        if task is None or task.job.ended:
            task = _tasks[key] = _Task(store, Job(number, order))
            _pool.submit(task.work)
        return task.job


def job_of(store: Store, number: int) -> Job | None:
    """The last job of a case in this process, if there was one."""
    task = _tasks.get((store.home, number))
    return task.job if task else None


def cancel(store: Store, number: int) -> Job | None:
    """Stop the job of a case: at once while it waits, else when it next tells how far it is."""
    task = _tasks.get((store.home, number))
    if task is None:
        return None
    task.stop()
    return task.job


def cache_folder(home: Path) -> Path | None:
    """The folder for the compiled equations, in the data folder: its owner's alone, because what stands there is run.

    One that cannot be made so is not used.
    """
    folder = home / CACHE
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        log.warning("%s cannot be used, equations are compiled anew every time: %s", folder, error.strerror)
        return None
    return folder


def _cache(home: Path) -> str | None:
    folder = cache_folder(home)
    return None if folder is None else str(folder)


# ---- at once --------------------------------------------------------------------------------------------------


def replay_now(loaded: Loaded, order: Order, watch: Watch, *, home: Path | None = None, referee: bool = True) -> Record:
    """Replay a case and wait for it: a stored one keeps its replay, that of a file is kept nowhere.

    Raises `InputError`, `StoreError`; `StoppedError` when `watch` says stop before the replay is complete. Once it is,
    a stop only leaves out the referee.
    """
    folder = home_folder(home)
    record = _replayed(loaded, order, watch, folder)
    mark = _keep(loaded, folder, record)
    if not referee:
        return record
    try:
        judged = _judged(loaded, record, watch, folder)
    except StoppedError:
        return record
    _keep(loaded, folder, judged, instead_of=mark)
    return judged


def _keep(loaded: Loaded, folder: Path, record: Record, *, instead_of: str = "") -> str:
    if loaded.number is None:
        return ""
    store = open_store(folder)
    try:
        return _stored(store, loaded.number, record, instead_of=instead_of)
    finally:
        store.close()


def _stored(store: Store, number: int, record: Record, *, instead_of: str = "") -> str:
    """Keep a replay; with `instead_of` only while the one of that mark is still there: else a newer one was run."""
    return keep_record(store, number, record, instead_of=instead_of)


def _replayed(loaded: Loaded, order: Order, watch: Watch, home: Path) -> Record:
    case = loaded.case
    return replay_case(
        knowledge(),
        case.vehicle,
        case.installed(),
        order=order,
        cache_folder=_cache(home),
        threads=os.cpu_count() or 1,
        watch=watch,
    )


def _judged(loaded: Loaded, record: Record, watch: Watch, home: Path) -> Record:
    case = loaded.case
    try:
        folder = _cache(home)
        train = case.installed()
        return judge_record(knowledge(), case.vehicle, train, record, cache_folder=folder, watch=watch)
    except ArithmeticError as error:  # the replay stands without its check, and says so
        log.warning("%s: the referee stopped: %s", loaded.label, error)
        return replace(record, notes=(*record.notes, f"The peaks could not be checked by the referee: {error}."))


# ---- jobs -----------------------------------------------------------------------------------------------------


class _Task:
    """One job at work. Only its own thread and `stop` change `job`, each in one step."""

    def __init__(self, store: Store, job: Job):
        self.store, self.job = store, job
        self._stopped = threading.Event()
        self._lock = threading.Lock()

    def stop(self) -> None:
        """Ask it to stop."""
        self._stopped.set()
        with self._lock:
            if self.job.state is State.WAITING:
                self.job = replace(self.job, state=State.CANCELLED, words="stopped before it began")

    def work(self) -> None:
        """Run, keep, judge, keep again."""
        with self._lock:
            if self.job.ended:
                return
            self.job = replace(self.job, state=State.RUNNING, words="preparing the equations of this driveline")
        try:
            self._replay()
        except StoppedError:
            self._end(State.CANCELLED, "stopped")
        except BeachmarkError as error:
            self._end(State.FAILED, "it could not be run", str(error))
        except Exception as error:
            log.exception("the replay of case %s failed", self.job.number)
            self._end(State.FAILED, "it could not be run", _our_fault(error))

    def _replay(self) -> None:
        if not self._may_go_on():
            raise StoppedError
        number = self.job.number
        loaded = from_store(self.store, number)
        record = _replayed(loaded, self.job.order, self._watch, self.store.home)
        mark = _stored(self.store, number, record)
        words = "the referee solves again"
        self._set(lambda job: replace(job, state=State.JUDGING, share=0.0, words=words, kept=True))
        judged = _judged(loaded, record, self._watch, self.store.home)
        _stored(self.store, number, judged, instead_of=mark)
        self._set(lambda job: replace(job, state=State.DONE, share=1.0, words="done"))

    def _may_go_on(self) -> bool:
        return not (self._stopped.is_set() or self.store.closed)

    def _watch(self, progress: Progress) -> bool:
        self._set(lambda job: replace(job, share=progress.share, words=progress.words))
        return self._may_go_on()

    def _end(self, state: State, words: str, error: str = "") -> None:
        told = "the replay is kept, not checked" if self.job.kept else words
        self._set(lambda job: replace(job, state=state, words=told, error=error))

    def _set(self, changed: Callable[[Job], Job]) -> None:
        with self._lock:
            self.job = changed(self.job)


def _our_fault(error: Exception) -> str:
    kind = type(error).__name__
    return f"That is a fault of this program, not of yours ({kind}: {error}). The log of the server holds the details."


_pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="replay")
_tasks: dict[tuple[Path, int], _Task] = {}
_lock = threading.Lock()

__all__ = [
    "ENDED",
    "LEAST_DRAWS",
    "MOST_DRAWS",
    "EventKind",
    "Job",
    "Order",
    "Progress",
    "Record",
    "State",
    "StoppedError",
    "cache_folder",
    "cancel",
    "events_of",
    "job_of",
    "replay_now",
    "start",
]
