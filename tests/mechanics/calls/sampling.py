"""One sound call of every public function of mechanics.sampling."""

from typing import Any

import numpy as np

from beachmark.mechanics.sampling import UncertainInput

INPUTS = {"wall_m": UncertainInput(0.003, 0.004, 0.005), "factor": UncertainInput(0.9, 1.0, 1.1, "uniform")}
CALLS: dict[str, dict[str, Any]] = {
    "sampling.sample_inputs": {"inputs": INPUTS, "count": 128, "seed": 3},
    "sampling.sampled_output": {
        "function": lambda wall_m, factor: wall_m * factor, "inputs": INPUTS, "count": 128, "seed": 3,
    },
    "sampling.variance_shares": {
        "drawn": {"wall_m": np.linspace(0.0, 1.0, 64)}, "output": [float(place) for place in range(64)],
    },
}  # fmt: skip
WITHOUT_UNIT = {"count", "drawn", "function", "inputs", "output", "seed"}
