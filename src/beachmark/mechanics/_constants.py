"""Constants that several mechanics modules share."""

STANDARD_GRAVITY_M_S2 = 9.80665  # ISO 80000-3
STEEL_YOUNGS_PA = 206e9
STEEL_DENSITY_KG_M3 = 7850.0
