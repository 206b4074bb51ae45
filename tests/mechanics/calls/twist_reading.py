"""One sound call of every public function of mechanics.twist_reading."""

from typing import Any

from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import RoundSection

TUBE = {
    "length_m": 1.9, "shear_modulus_pa": 80e9, "shear_yield_pa": 260e6, "outer_m": 0.127, "inner_m": 0.1206,
    "hardening_ratio": 0.01,
}  # fmt: skip
CALLS: dict[str, dict[str, Any]] = {
    "twist_reading.torque_at_twist_nm": {"twist_rad": 0.2, **TUBE},
    "twist_reading.torque_from_residual_twist_nm": {"residual_twist_rad": 0.1, **TUBE},
    "twist_reading.torque_of_twist_nm": {
        "section": RoundSection(0.127, 0.1206), "residual_twist_rad": Band(0.1, 0.12, 0.14),
        "length_m": Band.exactly(1.9), "shear_modulus_pa": Band(79e9, 80e9, 81e9),
        "yield_pa": Band(450e6, 480e6, 520e6),
    },
}  # fmt: skip
WITHOUT_UNIT = {"hardening_ratio", "section"}
