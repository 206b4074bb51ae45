"""Torque limits and unbalance against printed relations and values. Tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import balance, torque_path

RPM = math.pi / 30
GRAM_MM = 1e-6  # kg m


def test_grip_limit_torque__gillespie_ch_2_wong_ch_3_relation() -> None:
    """mu 0.7, 19 000 kg, r 0.505 m, i 3.58, eta 0.95: 19 373 N m.

    Source: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Wong, Theory of Ground Vehicles, ch. 3.
    Known: derived (relation from memory; 0.7 x 186 390 x 0.505 / 3.401 by hand).
    """
    torque = torque_path.grip_limit_torque(
        grip=0.7, axle_load_n=19_000 * 9.81, tyre_radius_m=0.505, axle_ratio=3.58, axle_efficiency=0.95
    )
    assert torque == pytest.approx(19_373, abs=1)  # whole N m


def test_permissible_eccentricity__iso_21940_11_cl_6_g_6_3_3000_rpm() -> None:
    """G 6.3 at 3000 rpm: 20.05 um.

    Source: ISO 21940-11, clause 6, e w = G.
    Known: read (relation).
    """
    offset = balance.permissible_eccentricity_m(grade_m_s=6.3e-3, speed_rad_s=3000 * RPM)
    assert offset == pytest.approx(20.05e-6, abs=0.005e-6)  # two decimals


def test_permissible_unbalance__iso_1940_1_annex_rotor_3600_kg() -> None:
    """3600 kg, G 2.5, 3000 rpm: 28.6e3 g mm, of which 10.7e3 at A (1500 mm off) and 17.9e3 at B (900 mm).

    Source: ISO 1940-1:2003 / ISO 21940-11, annex example.
    Known: from memory.
    """
    whole = balance.permissible_unbalance_kg_m(mass_kg=3600.0, grade_m_s=2.5e-3, speed_rad_s=3000 * RPM)
    at_a, at_b = balance.plane_shares_kg_m(unbalance_kg_m=whole, distance_a_m=1.5, distance_b_m=0.9)
    # Three printed digits, each rounded from the one before: one unit of the last.
    assert whole / GRAM_MM == pytest.approx(28.6e3, abs=100)
    assert at_a / GRAM_MM == pytest.approx(10.7e3, abs=100)
    assert at_b / GRAM_MM == pytest.approx(17.9e3, abs=100)


@pytest.mark.parametrize(("grade_mm_s", "printed"), [(16, 3667), (40, 9167)])
def test_permissible_unbalance__iso_21940_11_table_drive_shaft_grades(grade_mm_s: float, printed: float) -> None:
    """60 kg at 2500 rpm: 3667 g mm at G 16 and 9167 g mm at G 40.

    Source: ISO 1940-1 / ISO 21940-11, table of grades (G 16 and G 40 name drive shafts) and clause 6.
    Known: derived (table and relation read; 60 x 16 / 261.799 by hand).
    """
    allowed = balance.permissible_unbalance_kg_m(mass_kg=60.0, grade_m_s=grade_mm_s * 1e-3, speed_rad_s=2500 * RPM)
    assert allowed / GRAM_MM == pytest.approx(printed, abs=0.5)  # whole g mm
