"""Sound calls of centre_bearing_force."""

from typing import Any

LINE: dict[str, Any] = {
    "torque_nm": 1e3,
    "directions": [[1.0, 0.0, 0.0], [1.0, 0.0, -0.05], [1.0, 0.05, -0.1], [1.0, 0.0, -0.05]],
    "phases_rad": [0.0, 0.1],
    "front_span_m": 0.6,
    "overhang_m": 0.15,
    "rear_length_m": 1.2,
}
CALLS = {
    "centre_bearing_force.joint_couples": {"torque_nm": 1e3, "angle_rad": 0.1, "drive_angle_rad": 0.7},
    "centre_bearing_force.couple_parts": {"torque_nm": 1e3, "angle_rad": 0.1},
    "centre_bearing_force.bearing_force": {
        "couple_nm": [0.0, 100.0, 50.0], "shaft_direction": [1.0, 0.0, 0.1], "span_m": 0.5,
    },
    "centre_bearing_force.two_piece_bearing_force": {**LINE, "input_angles_rad": [0.0, 1.0]},
    "centre_bearing_force.two_piece_bearing_parts": LINE,
}  # fmt: skip
WITHOUT_UNIT = {"shaft_direction"}
