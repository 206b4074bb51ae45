"""One sound call of every public function of mechanics.measured_strength."""

from typing import Any

from beachmark.mechanics.band import Band

STRENGTH = Band(450e6, 500e6, 550e6)
CASE = Band(900e6, 1000e6, 1100e6)
CALLS: dict[str, dict[str, Any]] = {
    "measured_strength.case_yield": {
        "outer_m": Band.exactly(0.05), "case_depth_m": Band(0.0018, 0.002, 0.0022), "case_shear_yield_pa": CASE,
        "core_shear_yield_pa": STRENGTH, "bore_m": Band.exactly(0.01),
    },
    "measured_strength.case_yield_torque_nm": {
        "outer_m": 0.05, "case_depth_m": 0.002, "case_shear_yield_pa": 1e9, "core_shear_yield_pa": 5e8,
        "inner_m": 0.01,
    },
    "measured_strength.endurance_from_tensile_pa": {"tensile_pa": STRENGTH, "finish": "machined"},
    "measured_strength.least_case_depth_m": {
        "outer_m": 0.05, "case_shear_yield_pa": 1e9, "core_shear_yield_pa": 5e8,
    },
    "measured_strength.raised_by_proof": {"strength": STRENGTH, "proved": Band.exactly(480e6)},
    "measured_strength.shear_yield_band_pa": {"yield_pa": STRENGTH},
    "measured_strength.strength_from_coupons_pa": {"strengths_pa": [500e6, 520e6]},
    "measured_strength.strength_used": {"tabulated_pa": STRENGTH, "measured_pa": Band(4e8, 4.2e8, 4.4e8)},
    "measured_strength.surface_factor": {"tensile_pa": 600e6, "finish": "as forged"},
    "measured_strength.tensile_from_hardness_pa": {"hardness": Band(28.0, 30.0, 32.0), "scale": "HRC"},
    "measured_strength.vickers_from_hardness": {"hardness": Band(280.0, 290.0, 300.0), "scale": "HB"},
    "measured_strength.yield_from_tensile_pa": {"tensile_pa": STRENGTH, "steel": "drawn tube"},
}  # fmt: skip
WITHOUT_UNIT = {"finish", "hardness", "place_share", "proved", "scale", "steel", "strength"}
