"""Sound calls of hole_mouth."""

from beachmark.mechanics.fitting_corner import Sense, Yoke

CORNER = {"arms": ("G1", "A1"), "driving_yoke": Yoke.GEARBOX, "torque_sense": Sense.CLOCKWISE}
CALLS = {
    "hole_mouth.stress_around_hole_pa": {"first_pa": 1e8, "second_pa": -5e7, "around_rad": 0.4},
    "hole_mouth.mouth_extremes": {"first_pa": 1e8, "second_pa": -5e7},
    "hole_mouth.corner_stress_pa": {"nominal_pa": 2e8, **CORNER},
    "hole_mouth.fitting_hole_stress": {"nominal_pa": 2e8, "transverse_share": 0.2, **CORNER},
    "hole_mouth.drive_and_coast_range": {
        "drive_nominal_pa": 2e8, "coast_nominal_pa": 5e7, "arms": ("G1", "A1"), "rotation": Sense.CLOCKWISE,
    },
}  # fmt: skip
WITHOUT_UNIT = {"arms", "driving_yoke", "rotation", "torque_sense", "transverse_share"}
