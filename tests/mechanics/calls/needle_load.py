"""Sound calls of needle_load."""

CALLS = {
    "needle_load.needle_stiffness_si": {"needle_length_m": 0.02},
    "needle_load.needle_angles_rad": {"needle_count": 38, "between_needles": True},
    "needle_load.needle_loads": {
        "force_n": 6e4, "needle_count": 38, "needle_length_m": 0.02, "clearance_m": 3e-5, "between_needles": False,
    },
    "needle_load.load_zone_integral": {"zone_share": 0.4, "exponent": 1.1},
    "needle_load.peak_pressure_pa": {
        "heaviest_n": 6e3, "needle_length_m": 0.02, "needle_diameter_m": 0.003, "trunnion_diameter_m": 0.0336,
        "youngs_pa": 2e11,
    },
    "needle_load.brinelling_margin": {"static_rating_n": 9e4, "force_n": 6e4, "static_safety": 1.5},
    "needle_load.load_band_from_dent": {"depth_m": 1e-6, "needle_diameter_m": 0.003, "static_rating_n": 9e4},
    "needle_load.overlap_share": {
        "joint_angle_rad": 0.1, "needle_count": 38, "needle_diameter_m": 0.003, "pitch_diameter_m": 0.0366,
        "inner_race": False,
    },
    "needle_load.greasing_use": {"run_m": 6e7, "interval_m": 4e7, "run_h": 500.0, "interval_h": 1e3},
}  # fmt: skip
WITHOUT_UNIT = {"between_needles", "interval_h", "run_h", "static_safety", "zone_share"}
