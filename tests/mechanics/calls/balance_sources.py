"""One sound call of every public function of mechanics.balance_sources."""

from typing import Any

SHAFT = {"unbalance_kg_m": 0.003, "mass_kg": 60.0, "speed_rad_s": 260.0}
CALLS: dict[str, dict[str, Any]] = {
    "balance_sources.combined_unbalance": {"sources_kg_m": {"runout": 0.003, "lost weight": 0.002}},
    "balance_sources.grade_of_unbalance_m_s": SHAFT,
    "balance_sources.joint_play_unbalance_kg_m": {"mass_kg": 40.0, "mass_share": 0.5, "end_play_m": 1e-4},
    "balance_sources.lost_weight_unbalance_kg_m": {"weight_kg": 0.03, "radius_m": 0.065},
    "balance_sources.pilot_unbalance_kg_m": {
        "mass_kg": 40.0, "mass_share": 0.5, "pilot_runout_m": 4e-5, "pilot_clearance_m": 6e-5,
    },
    "balance_sources.ratio_to_permissible": {**SHAFT, "grade_m_s": 0.016},
    "balance_sources.runout_unbalance_kg_m": {"mass_kg": 30.0, "runout_m": 2e-4, "mass_share": 0.8},
    "balance_sources.spline_unbalance_kg_m": {"mass_kg": 50.0, "mass_share": 0.4, "clearance_m": 2e-4},
    "balance_sources.support_force_n": {
        "unbalance_kg_m": 0.003, "speed_rad_s": 300.0, "position_m": 0.5, "span_m": 1.5,
    },
}  # fmt: skip
WITHOUT_UNIT = {"mass_share"}
