"""One sound call of every public function of mechanics.fracture_reading."""

from typing import Any

from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import RoundSection

CALLS: dict[str, dict[str, Any]] = {
    "fracture_reading.bar_shape_factor": {"depth_ratio": 0.3, "loading": "bending", "front": "curved"},
    "fracture_reading.final_zone_load": {
        "section": RoundSection(0.05, 0.01), "loading": "torsion", "zone": "one side",
        "final_share": Band(0.4, 0.5, 0.6), "toughness_pa_sqrt_m": Band(60e6, 80e6, 120e6),
        "yield_pa": Band(400e6, 450e6, 500e6), "ultimate_pa": Band(600e6, 650e6, 700e6),
    },
    "fracture_reading.intensity_range_of_striations_pa_sqrt_m": {
        "spacing_m": Band(2e-7, 3e-7, 4e-7), "steel": "martensitic",
    },
    "fracture_reading.stress_range_ratio": {
        "spacing_ratio": 2.0, "crack_ratio": 1.5, "growth_exponent": 3.0, "cycles_ratio": 1.1, "shape_ratio": 0.9,
    },
    "fracture_reading.stress_range_ratio_of_marks": {
        "spacing_ratio": Band(1.8, 2.0, 2.2), "crack_ratio": Band(1.4, 1.5, 1.6),
    },
}  # fmt: skip
WITHOUT_UNIT = {
    "crack_ratio", "cycles_ratio", "depth_ratio", "final_share", "front", "loading", "section", "shape_ratio",
    "spacing_ratio", "steel", "zone",
}  # fmt: skip
