"""How far a replay is, on the terminal; Ctrl-C asks it to stop."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import typer

from beachmark.workflow.loading import Loaded
from beachmark.workflow.replaying import Order, Progress, StoppedError, replay_now

STOPPED = 128 + 2  # what a shell expects of a program that was stopped by Ctrl-C


def run_watched(loaded: Loaded, order: Order, *, home: Path | None, referee: bool) -> Loaded:
    """Replay a case and return it with its replay; stops the program with a sentence when a person says stop."""
    try:
        with _stopping() as stopped, _shown() as show:

            def watch(progress: Progress) -> bool:
                show(progress)
                return not stopped()

            return replace(loaded, replay=replay_now(loaded, order, watch, home=home, referee=referee))
    except StoppedError:
        kept = " What was kept before is still there." if loaded.number else ""
        typer.echo(f"Stopped before the replay was complete: nothing of it was kept.{kept}", err=True)
        raise typer.Exit(STOPPED) from None


@contextmanager
def _stopping() -> Iterator[Callable[[], bool]]:
    """Whether Ctrl-C was pressed. The second time it stops the program where it is."""
    asked = False

    def ask(_signal: int, _frame: object) -> None:
        nonlocal asked
        asked = True
        signal.signal(signal.SIGINT, before)
        typer.echo("\nStopping at the next step (Ctrl-C again stops at once) ...", err=True)

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield lambda: asked
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _shown() -> Iterator[Callable[[Progress], None]]:
    """A bar on the terminal; nothing where the messages go into a file."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, TaskProgressColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (BarColumn(), TaskProgressColumn(), TextColumn("{task.description}", markup=False))
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)
        yield lambda progress: bar.update(task, completed=progress.share, description=progress.words)
