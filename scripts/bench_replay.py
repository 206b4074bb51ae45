"""Times the event replay against other ways to solve the same equations on this machine, in one run, and prints ratios.

    python scripts/bench_replay.py

Nothing here is a test: machines are shared and noisy. Times are medians; single-threaded unless said otherwise.
"""

from __future__ import annotations

import collections
import functools
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before NumPy is loaded
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from tests.replay.trains import drawn, events, shaft_layout

from beachmark.findings.replay.reader import read_replay
from beachmark.findings.replay.record import to_bytes
from beachmark.findings.replay.running import Order, judge_record, replay_case
from beachmark.mechanics.replay import compiled, referee
from beachmark.mechanics.replay.equations import equations
from beachmark.mechanics.replay.kernel import Run, replay
from beachmark.mechanics.replay.natural import safe_step_s
from beachmark.mechanics.replay.source import LANES, Program
from beachmark.mechanics.replay.start import start_state
from beachmark.workflow.packaged import knowledge

DRAWS, SEED, RUNS = 1000, 20261125, 5
PEAK_CHAINS, PEAK_ROUNDS = 24, 40


def seconds(task: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of a task after one warm-up."""
    task()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def lanes_s(layout: Any, event: Any, folder: str, *, threads: int = 1) -> float:
    """Seconds for each draw of a whole replay (draws made ready, peaks told)."""
    these = drawn(layout, event, count=DRAWS, seed=SEED)
    whole = seconds(lambda: replay(draws=these, duration_s=event.duration_s, cache_folder=folder, threads=threads))
    return whole / DRAWS


def plain_s(layout: Any, event: Any) -> float:
    """Seconds for each draw by NumPy, carried over from a tenth of the steps."""
    these = drawn(layout, event, count=DRAWS, seed=SEED)
    step = safe_step_s(these)
    run = Run(draws=these, step_s=step, plain=True)
    tenth = round(event.duration_s / step / 10)
    return seconds(lambda: run.advance(tenth), runs=2) * 10 / DRAWS


def lsoda_s(layout: Any, event: Any, *, tolerance: float, with_numba: bool) -> float:
    """Seconds for each draw by SciPy's LSODA, the mean of two draws; only solved, no peaks looked for."""
    from scipy.integrate import solve_ivp

    program = Program(equations(layout))
    these = drawn(layout, event, count=DRAWS, seed=SEED)
    slopes: Any = numba_slopes(program) if with_numba else compiled.slopes(program)
    times = []
    for draw in (these.only(0), these.only(1)):
        constants = program.sheet.constant_rows(draw.columns)[:, 0]
        given = constants if with_numba else tuple(constants.tolist())
        start = np.concatenate([*(rows[:, 0] for rows in start_state(draw)), np.zeros(len(program.sheet.slips))])
        right: Any = (
            (lambda t, y, given=given: slopes(t, y, given))
            if with_numba
            else (lambda t, y, given=given: slopes(t, y.tolist(), given))
        )
        right(0.0, start)
        begin = time.perf_counter()
        # The greatest step keeps the solver from stepping over a blow of 10 ms after a time of rest.
        limits = referee.absolute_tolerances(program, tolerance)
        solve_ivp(right, (0.0, event.duration_s), start, method="LSODA", rtol=tolerance, atol=limits, max_step=0.02)
        times.append(time.perf_counter() - begin)
    return statistics.mean(times)


def greatest_deviations(layout: Any, event: Any, folder: str) -> tuple[float, float]:
    """Greatest deviation of a peak, of the replay and of LSODA at 1e-4, from LSODA at 1e-9; two draws."""
    these = drawn(layout, event, count=2, seed=SEED)
    ours = replay(draws=these, duration_s=event.duration_s, cache_folder=folder)
    truth = referee.judge(draws=these, outcome=ours, relative_tolerance=1e-9)
    coarse = referee.judge(draws=these, outcome=ours, relative_tolerance=1e-4)
    scale = np.maximum(truth.greatest, -truth.least).clip(min=1.0)
    apart = np.maximum(np.abs(coarse.greatest - truth.greatest), np.abs(coarse.least - truth.least))
    return float(truth.deviation.max()), float((apart / scale).max())


def numba_slopes(program: Program) -> Any:
    """The right-hand side compiled by Numba for one draw."""
    text = program.right_hand_side().partition("\ndef look")[0]
    head = program.kernel(cached=False).partition('@njit("void')[0]

    def unpacked(match: re.Match[str]) -> str:
        names = [name for name in match[1].split(", ") if name.strip(",")]
        return "\n".join(f"    {name.strip(',')} = {match[2]}[{n}]" for n, name in enumerate(names))

    text = re.sub(r"    ([\w, ]+) = ([yc])$", unpacked, text, flags=re.M)
    text = text.replace("return (", "return np.array((").rstrip() + ")\n"
    space: dict[str, Any] = {}
    exec(f"{head}\nimport numpy as np\n@njit(error_model='numpy')\n{text}", space)
    return space["slopes"]


def multiply_add_peak() -> float:
    """Multiply-adds of this core at full register width, in flop/s, by Numba."""
    head = Program(equations(shaft_layout(1))).kernel(cached=False).partition('@njit("void')[0]
    chains = range(PEAK_CHAINS)
    body = [f"a{k} = W[{k}, l]" for k in chains]
    body += [f"a{k} = a{k}*0.9999 + 0.0001" for _ in range(PEAK_ROUNDS) for k in chains]
    body += [f"W[{k}, l] = a{k}" for k in chains]
    lines = "\n            ".join(body)
    text = f"""{head}
import numpy as np
@njit("f8(i8)", error_model="numpy", fastmath={{"contract", "nsz"}})
def peak(n):
    wide()
    W = np.ones(({PEAK_CHAINS}, {LANES}))
    for i in range(n):
        for l in range({LANES}):
            {lines}
    return W.sum()
"""
    space: dict[str, Any] = {}
    exec(text, space)
    turns = 10_000
    return turns * LANES * PEAK_CHAINS * PEAK_ROUNDS * 2 / seconds(lambda: space["peak"](turns))


def step_work(layout: Any) -> tuple[int, int, str]:
    """Flops and vector instructions of one step of one draw, and the registers used: read from the machine code."""
    kernel: Any = compiled.compiled_kernel(Program(equations(layout)), None)
    code = next(iter(kernel.inspect_asm().values()))
    block = max(re.split(r"\n(?=\.L\w+:)", code), key=lambda part: len(re.findall(r"\tv(?:f|mul|max|min|sub)", part)))
    found = collections.Counter(re.findall(r"\t(v\w+)\s", block))
    width = "zmm" if block.count("%zmm") > block.count("%ymm") else "ymm" if "%ymm" in block else "xmm"
    passes = 1 if width == "zmm" else 2 if width == "ymm" else 4
    flops = sum(
        count * (2 if re.match(r"vf\w*m(add|sub)", name) else 1)
        for name, count in found.items()
        if re.match(r"v(f|mul|add|sub|div|max|min)\w*pd", name)
    )
    return flops, passes * sum(found.values()), {"zmm": "AVX-512", "ymm": "AVX2", "xmm": "SSE"}[width]


def first_result(folder: str) -> tuple[float, float]:
    """Wall seconds of a fresh process to a first result of 1000 draws, and its greatest memory in MB."""
    begin = time.perf_counter()
    done = subprocess.run(
        [sys.executable, __file__, "--first", folder],
        check=True,
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[1],
    )
    return time.perf_counter() - begin, float(done.stdout)


def first(folder: str) -> None:
    """What the fresh process does: the first event of the demo's tipper."""
    case = demo_case()
    order = Order(events=("clutch_dropped",), draws=DRAWS)
    replay_case(knowledge(), case.vehicle, case.installed(), order=order, cache_folder=folder, threads=2)
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def demo_case() -> Any:
    """The demo's first case."""
    from beachmark.workflow.loading import case_from_text
    from beachmark.workflow.packaged import demo_names, demo_text

    return case_from_text(demo_text(demo_names()[0]) or "", name="demo")


def whole_case(folder: str) -> None:
    """All events of the demo's tipper, 1000 draws each, and what the referee takes for it."""
    case = demo_case()
    how: dict[str, Any] = {"order": Order(draws=DRAWS), "cache_folder": folder}
    of = (knowledge(), case.vehicle, case.installed())
    one, two = (seconds(functools.partial(replay_case, *of, threads=threads, **how), runs=3) for threads in (1, 2))
    record = replay_case(*of, threads=2, **how)
    judging = seconds(lambda: judge_record(*of, record, cache_folder=folder), runs=1)
    reading = seconds(lambda: read_replay(*of, case.observations, record))
    print(
        f"\ndefault replay of a case, {len(record.events)} events of {DRAWS} draws, warm: {two:.2f} s with 2 threads, "
        f"{one:.2f} s with 1 ({one / two:.2f} times); referee {judging:.1f} s; reading {1e3 * reading:.0f} ms; "
        f"kept as {len(to_bytes(record)) / 1e6:.1f} MB"
    )


def main() -> None:
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    with tempfile.TemporaryDirectory() as folder:
        cold, kept = first_result(folder), first_result(folder)
        layout = shaft_layout(2)
        one_s: dict[str, float] = {}
        print(f"two shafts, {DRAWS} draws, 1 s of event; ms for each draw, and how many times slower than 1 thread")
        print(f"{'':16}{'1 thread':>10}{'2 threads':>16}{'NumPy':>16}{'LSODA 1e-4':>18}{'the same, Numba':>18}")
        for name, event in events(layout).items():
            one = one_s[name] = lanes_s(layout, event, folder)
            others = [
                lanes_s(layout, event, folder, threads=2),
                plain_s(layout, event),
                lsoda_s(layout, event, tolerance=1e-4, with_numba=False),
                lsoda_s(layout, event, tolerance=1e-4, with_numba=True),
            ]
            told = "".join(f"{1e3 * other:>9.3f} ({other / one:>5.{2 if other < 9 * one else 0}f})" for other in others)
            own, coarse = greatest_deviations(layout, event, folder)
            print(f"{name:16}{1e3 * one:>10.4f}{told}   peaks off by {own:.0e}, LSODA 1e-4 by {coarse:.0e}")
        kinds = {
            "one shaft": shaft_layout(1), "two shafts": layout,
            "three shafts, retarder": shaft_layout(3, retarder=True),
            "two axles, open": shaft_layout(2, axles=2), "converter": shaft_layout(2, converter=True),
        }  # fmt: skip
        peak = multiply_add_peak()
        print(f"\nmultiply-add peak of this core now: {peak / 1e9:.0f} Gflop/s")
        for name, kind in kinds.items():
            these = drawn(kind, events(kind)["clutch dropped"], count=DRAWS, seed=SEED)
            run = Run(draws=these, step_s=safe_step_s(these), cache_folder=folder)
            each = seconds(lambda run=run: run.advance(1000)) / 1000 / DRAWS  # type: ignore[misc]
            flops, instructions, registers = step_work(kind)
            print(
                f"{name:24}{1e9 * each:6.1f} ns a step and draw, {flops} flop, {instructions} vector instructions"
                f" for 8 draws, {registers}: {100 * flops / each / peak:.0f} % of peak"
            )
        these = drawn(layout, events(layout)["launch"], count=DRAWS, seed=SEED)
        least = step_work(layout)[0] / safe_step_s(these) / peak
        rival = lsoda_s(layout, events(layout)["launch"], tolerance=1e-4, with_numba=False)
        print(f"at the whole multiply-add peak a launch would be {rival / least:.0f} times LSODA 1e-4 in Python")
        whole_case(folder)
        print(f"\nfirst result, fresh process: cold {cold[0]:.2f} s, kept {kept[0]:.2f} s; memory {kept[1]:.0f} MB")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--first"]:
        first(sys.argv[2])
    else:
        main()
