"""Sound calls of yoke."""

JOINT = {"torque_nm": 1e4, "arm_radius_m": 0.075, "angle_rad": 0.1}
CALLS = {
    "yoke.ear_forces": {**JOINT, "drive_angle_rad": 0.7, "driven": True},
    "yoke.greatest_pull_n": {**JOINT, "driven": False},
    "yoke.curved_beam_stress": {"moment_nm": 500.0, "width_m": 0.07, "thickness_m": 0.03, "inner_radius_m": 0.02},
    "yoke.ear_root_stress": {
        "tangential_n": 6e4, "pull_n": 1e4, "ear_length_m": 0.045, "offset_m": 0.005, "width_m": 0.07,
        "thickness_m": 0.03, "inner_radius_m": 0.02,
    },
    "yoke.lug_stress": {
        "force_n": 1e4, "bore_m": 0.05, "width_m": 0.08, "thickness_m": 0.03, "edge_m": 0.04,
    },
    "yoke.weld_throat_shear_pa": {"torque_nm": 1e4, "weld_radius_m": 0.0635, "throat_m": 0.004},
}  # fmt: skip
WITHOUT_UNIT = {"driven"}
