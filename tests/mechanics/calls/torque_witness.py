"""One sound call of every public function of mechanics.torque_witness."""

from typing import Any

from beachmark.mechanics.band import Band
from beachmark.mechanics.torque_witness import Witness

TUBE = Witness("tube", "at least", Band(18e3, 20e3, 22e3))
HALF_SHAFT = Witness("half shaft", "at most", Band(50e3, 55e3, 60e3), Band(1.9, 2.0, 2.1))
CALLS: dict[str, dict[str, Any]] = {
    "torque_witness.bracket": {"witnesses": (TUBE, HALF_SHAFT)},
    "torque_witness.torque_at_reference_nm": {"witness": HALF_SHAFT},
}
WITHOUT_UNIT = {"witness", "witnesses"}
