"""Times rainflow counting of 1,000,000 points against the package ``rainflow`` and prints the ratio.

Processor time, the least of several runs, both sides in one process: same array in, all cycles as arrays out.
Nothing here is a test: machines are shared and noisy.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import rainflow

from beachmark.mechanics.rainflow import rainflow_cycles

POINTS = 1_000_000


def least_s(task: Callable[[], object], runs: int) -> float:
    """Least processor time of several runs."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        task()
        times.append(time.process_time() - start)
    return min(times)


def histories() -> dict[str, np.ndarray]:
    """Histories with few and many loops inside each other."""
    rng, place = np.random.default_rng(1), np.arange(POINTS)
    swing = np.where(place % 2 == 0, 1.0, -1.0)
    ringing = np.sin(np.arange(200) * 0.4) * np.exp(-np.arange(200) / 40)
    return {
        "noise": rng.normal(size=POINTS),
        "random walk": np.cumsum(rng.normal(size=POINTS)),
        "ringing, narrow band": np.convolve(rng.normal(size=POINTS), ringing, "same"),
        "18 equal levels": rng.integers(-9, 10, POINTS).astype(float),
        "slow swelling": np.sin(place * 0.4) * (1.2 + np.sin(place * 1e-3)),
        "one deep nest": swing * np.abs(place - POINTS / 2 + 0.25),
    }


def main() -> None:
    """Print one line a history."""
    print(f"{'history':<22}{'ours, ms':>10}{'package, ms':>13}{'ratio':>8}")
    for name, series in histories().items():
        ours = least_s(lambda series=series: rainflow_cycles(series=series), 9)  # type: ignore[misc]
        theirs = least_s(lambda series=series: np.array(list(rainflow.extract_cycles(series))), 3)  # type: ignore[misc]
        print(f"{name:<22}{ours * 1e3:>10.1f}{theirs * 1e3:>13.0f}{theirs / ours:>8.1f}")


if __name__ == "__main__":
    main()
