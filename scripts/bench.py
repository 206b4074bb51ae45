"""Times the main steps on this machine and prints them. Nothing here is a test: machines are shared and noisy.

Each line gives the median of several runs, and its ratio to a fixed NumPy task measured in the same run, so
that two machines, or two days, can be compared.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parent.parent


def median_s(task: Callable[[], object], runs: int) -> float:
    """Median wall time of a task after one warm-up."""
    task()
    return statistics.median(timed(task) for _ in range(runs))


def timed(task: Callable[[], object]) -> float:
    start = time.perf_counter()
    task()
    return time.perf_counter() - start


def yardstick() -> None:
    """A fixed piece of NumPy work: 40 products of 200 x 200 matrices."""
    matrix = np.full((200, 200), 0.5)
    for _ in range(40):
        matrix = matrix @ matrix / 100.0


def main() -> None:
    """Print one line a step: what, median, goal, ratio to the yardstick."""
    os.environ["BEACHMARK_HOME"] = tempfile.mkdtemp(prefix="beachmark-bench-")
    from starlette.testclient import TestClient

    from beachmark.cases.codec import read_case
    from beachmark.findings.sums import all_sums
    from beachmark.web.app import create_app
    from beachmark.workflow import demo, loading, reporting, working
    from beachmark.workflow.home import home_folder, open_store
    from beachmark.workflow.packaged import demo_text, knowledge

    unit = median_s(yardstick, 9)
    rows: list[tuple[str, float, str]] = []

    def step(what: str, task: Callable[[], object], goal: str, runs: int = 15) -> None:
        rows.append((what, median_s(task, runs), goal))

    store = open_store(home_folder())
    cases = demo.load_demo(store)
    store.close()
    first = cases[0]
    text = demo_text("1-tipper-two-arms.yaml") or ""
    step(
        "read the case file",
        lambda: read_case(text, name="x", knowledge=knowledge(), catalogue_text=loading.packaged_catalogue),
        "",
    )
    case = first.case
    step("all sums of a case", lambda: all_sums(knowledge(), case.vehicle, case.installed(), case.fleet), "500 ms", 5)
    step("the same after an observation", lambda: working.sums(first), "1 ms")
    sums = working.sums(first)
    step("weigh a case, sums given", lambda: _weigh(first, sums), "20 ms")
    step("report as PDF, warm", lambda: reporting.report_pdf(first), "2 s", runs=5)
    with TestClient(create_app(home_folder()), base_url="http://127.0.0.1") as client:
        for page in ("/", "/case/1", "/case/1?at=joint-2", "/case/1/sums", "/case/1/causes", "/case/1/facts"):
            step(f"page {page}", lambda page=page: client.get(page).raise_for_status(), "100 ms")  # type: ignore[misc]
    command = [sys.executable, "-m", "beachmark.cli.main"]
    step("beachmark --help", lambda: subprocess.run([*command, "--help"], capture_output=True, check=True), "0.4 s", 7)
    pdf = str(Path(os.environ["BEACHMARK_HOME"]) / "x.pdf")
    report = [*command, "report", str(ROOT / "examples" / "tide-and-fresh.yaml"), "-o", pdf]
    step("beachmark report, cold process", lambda: subprocess.run(report, capture_output=True, check=True), "2 s", 3)
    for what, seconds, goal in rows:
        print(f"{what:<34}{seconds * 1e3:>10.1f} ms   goal {goal or '-':<8} {seconds / unit:>8.2f} x yardstick")


def _weigh(loaded: object, sums: object) -> object:
    from beachmark.diagnosis.opinion import diagnose
    from beachmark.workflow.loading import Loaded
    from beachmark.workflow.packaged import knowledge

    assert isinstance(loaded, Loaded)
    case = loaded.case
    return diagnose(knowledge(), case.installed().layout, case.observations, sums)  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
