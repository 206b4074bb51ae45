"""One sound call of every public function of mechanics.travel."""

from typing import Any

from beachmark.mechanics.travel import arc_path

HEIGHTS = {"ride_heights_m": [0.25, 0.3], "design_height_m": 0.28}
LINE: dict[str, Any] = {
    "path": arc_path(**HEIGHTS, arm_m=1.0, arm_angle_rad=0.1),
    "input_direction": [1.0, 0.0, -0.05],
    "frame_joints_m": [[0.0, 0.0, 0.0], [1.2, 0.02, -0.08]],
    "rear_joint_m": [2.6, 0.0, -0.3],
    "path_point_m": [3.0, 0.0, -0.32],
    "pinion_direction": [1.0, 0.0, -0.04],
}
CALLS: dict[str, dict[str, Any]] = {
    "travel.arc_path": {**HEIGHTS, "arm_m": 0.7, "arm_angle_rad": 0.1, "turn_share": 0.5},
    "travel.directions_over_travel": LINE,
    "travel.four_link_path": {
        **HEIGHTS, "lower_length_m": 0.6, "lower_angle_rad": 0.05, "upper_length_m": 0.5, "upper_angle_rad": -0.1,
        "axle_pivots_apart_m": 0.25, "axle_pivots_lean_rad": 0.1,
    },
    "travel.table_path": {
        **HEIGHTS, "table_heights_m": [0.2, 0.35], "table_pinion_slopes_rad": [0.05, 0.02],
        "table_rises_m": [0.08, -0.07],
    },
    "travel.travel_sweep": {**LINE, "phases_rad": [0.0, 0.1], "speed_rad_s": 150.0, "least_angle_rad": 0.01},
}  # fmt: skip
WITHOUT_UNIT = {"input_direction", "path", "pinion_direction", "turn_share"}
