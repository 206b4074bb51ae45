"""Sound calls of centre_bearing."""

CALLS = {
    "centre_bearing.wobble_rad": {"face_runout_m": 1e-4, "diameter_m": 0.1},
    "centre_bearing.misalignment": {"static_rad": 0.02, "wobble_rad": 0.01},
    "centre_bearing.axial_use": {
        "movement_m": [0.004, 0.0, 0.003], "shaft_direction": [1.0, 0.0, 0.1], "set_offset_m": 0.002,
        "free_travel_m": 0.006,
    },
    "centre_bearing.rubber_deflection_m": {"force_n": 500.0, "stiffness_n_m": 3e5},
    "centre_bearing.bounce_shaft_speed_rad_s": {"stiffness_n_m": 3e5, "mass_kg": 12.0, "order": 2.0},
    "centre_bearing.transmitted_ratio": {"excitation_rad_s": 300.0, "bounce_rad_s": 200.0, "loss_factor": 0.15},
    "centre_bearing.equivalent_ball_load_n": {
        "radial_n": 800.0, "axial_n": 500.0, "radial_factor": 0.56, "axial_factor": 1.6,
    },
    "centre_bearing.ball_life_h": {"rating_n": 2e4, "load_n": 1e3, "speed_rad_s": 150.0},
}  # fmt: skip
WITHOUT_UNIT = {"axial_factor", "loss_factor", "radial_factor", "shaft_direction"}
