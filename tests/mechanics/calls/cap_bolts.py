"""Sound calls of cap_bolts."""

CLOSED = {"preload_n": 4e4, "pull_n": 6e3, "load_share": 0.25}
THREAD = {"diameter_m": 0.012, "pitch_m": 0.00125}
CALLS = {
    "cap_bolts.preload_band": {
        "torque_nm": 90.0, "diameter_m": 0.012, "least_nut_factor": 0.15, "nominal_nut_factor": 0.2,
        "greatest_nut_factor": 0.3,
    },
    "cap_bolts.tightening_torque_nm": {
        "preload_n": 4e4, **THREAD, "head_bearing_m": 0.015, "thread_friction": 0.12, "head_friction": 0.14,
    },
    "cap_bolts.stress_area_m2": THREAD,
    "cap_bolts.tightening_stress_pa": {"preload_n": 4e4, **THREAD, "thread_friction": 0.12},
    "cap_bolts.bolt_stress_pa": {**CLOSED, **THREAD},
    "cap_bolts.clamp_left_n": CLOSED,
    "cap_bolts.separation_margin": CLOSED,
    "cap_bolts.slip_margin": {**CLOSED, "transverse_n": 3e3, "friction": 0.15},
}  # fmt: skip
WITHOUT_UNIT = {
    "friction", "greatest_nut_factor", "head_friction", "least_nut_factor", "load_share", "nominal_nut_factor",
    "thread_friction",
}  # fmt: skip
