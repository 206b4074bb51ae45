"""Sources of unbalance against printed values. Tolerance argued beside each."""

import math

import pytest

from beachmark.mechanics import balance_sources

RPM = math.pi / 30


def test_grade_of_a_turbine_rotor__iso_1940_1_annex() -> None:
    """3600 kg at 3000 rpm with 28.6e3 g mm: G 2.5; supports at 1500 and 900 mm share it 10.7 to 17.9.

    Source: ISO 1940-1:2003 / ISO 21940-11, annex example.
    Known: from memory.
    """
    grade = balance_sources.grade_of_unbalance_m_s(unbalance_kg_m=28.6e-3, mass_kg=3600.0, speed_rad_s=3000 * RPM)
    assert grade * 1e3 == pytest.approx(2.5, rel=0.005)  # three printed digits
    rotor = {"unbalance_kg_m": 28.6e-3, "speed_rad_s": 3000 * RPM, "span_m": 2.4}
    far = balance_sources.support_force_n(position_m=1.5, **rotor)
    near = balance_sources.support_force_n(position_m=0.9, **rotor)
    assert far / near == pytest.approx(10.7 / 17.9, rel=0.01)  # three printed digits each


def test_force_of_a_tube_that_runs_out__hand_sum() -> None:
    """30 kg that reads 0.2 mm on the dial, 3000 rpm: 30 x 0.1e-3 x 314.16^2 = 296 N, half on each end.

    Source: F = m e w^2, elementary dynamics.
    Known: derived (by hand, three digits).
    """
    unbalance = balance_sources.runout_unbalance_kg_m(mass_kg=30.0, runout_m=2e-4)
    force = balance_sources.support_force_n(
        unbalance_kg_m=unbalance, speed_rad_s=3000 * RPM, position_m=0.7, span_m=1.4
    )
    assert force == pytest.approx(296.1 / 2, rel=0.001)


def test_permissible_of_a_drive_shaft__g16_and_g40() -> None:
    """60 kg at 2500 rpm: G 16 allows 3667 g mm and G 40 9167 g mm.

    Source: ISO 21940-11, cl. 6 (relation read), 1000 x 16 / 261.8 um x 60 kg.
    Known: derived (by hand).
    """
    shaft = {"mass_kg": 60.0, "speed_rad_s": 2500 * RPM}
    for printed, grade in ((3667e-6, 0.016), (9167e-6, 0.040)):
        ratio = balance_sources.ratio_to_permissible(unbalance_kg_m=printed, grade_m_s=grade, **shaft)
        assert ratio == pytest.approx(1.0, rel=2e-4)  # four printed digits


def test_force_of_a_lost_weight__hand_sum() -> None:
    """30 g at 65 mm: 1950 g mm; at 3000 rpm 1.95e-3 x 314.16^2 = 192.5 N.

    Source: U = m r, F = U w^2, elementary dynamics.
    Known: derived (by hand, four digits).
    """
    unbalance = balance_sources.lost_weight_unbalance_kg_m(weight_kg=0.030, radius_m=0.065)
    force = balance_sources.support_force_n(
        unbalance_kg_m=unbalance, speed_rad_s=3000 * RPM, position_m=0.0, span_m=1.4
    )
    assert force == pytest.approx(192.5, abs=0.05)
