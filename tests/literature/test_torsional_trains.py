"""Natural frequencies in torsion against printed values. The source's own digits; tolerance argued beside each."""

import math

import numpy as np
import pytest

from beachmark.mechanics.torsional import chain_train, holzer_residual, natural_frequencies


def _frequencies(inertias: list[float], stiffnesses: list[float]) -> list[float]:
    train = chain_train(inertias_kg_m2=inertias, stiffnesses_nm_rad=stiffnesses)
    return [float(w) for w in natural_frequencies(train=train).frequencies_rad_s]


def test_three_discs_by_holzer__thomson_sec_12_4_example() -> None:
    """J 5, 11, 22 kg m^2, k 1e5 and 2e5 N m/rad, free ends: 0, 123.666 and 202.658 rad/s.

    Source: Thomson, Theory of Vibration with Applications, sec. 12.4, example of Holzer's method.
    Known: from memory (the numbers; the section itself was read).
    """
    found = _frequencies([5.0, 11.0, 22.0], [1e5, 2e5])
    assert found == pytest.approx([0.0, 123.666, 202.658], abs=0.0005)  # three decimals
    train = chain_train(inertias_kg_m2=[5.0, 11.0, 22.0], stiffnesses_nm_rad=[1e5, 2e5])
    # Holzer's table changes sign between the neighbours of the last printed digit.
    for printed in (123.666, 202.658):
        below, above = holzer_residual(train=train, frequencies_rad_s=[printed - 0.0005, printed + 0.0005])
        assert below * above < 0


def test_three_equal_discs__den_hartog_mechanical_vibrations() -> None:
    """Three equal discs on two equal springs: 0, 1 and sqrt 3 times sqrt(k / J).

    Source: Den Hartog, Mechanical Vibrations.
    Known: from memory.
    """
    stiffness, inertia = 7.3e4, 0.61
    found = np.array(_frequencies([inertia] * 3, [stiffness] * 2)) / math.sqrt(stiffness / inertia)
    assert found == pytest.approx([0.0, 1.0, math.sqrt(3)], abs=1e-9)


def test_three_discs_10_5_1__characteristic_equation() -> None:
    """J 10, 5, 1 kg m^2, both k 1e6 N m/rad: 507.5 and 1114.6 rad/s.

    w^4 - 1.5e6 w^2 + 3.2e11 = 0, so w^2 = 7.5e5 -+ 4.92443e5 by hand.
    Source: exercise of a vibration course; its printed solution is wrong, so the equation was solved by hand.
    Known: derived.
    """
    found = _frequencies([10.0, 5.0, 1.0], [1e6, 1e6])
    assert found[1:] == pytest.approx([507.5, 1114.6], abs=0.05)  # one decimal


def test_two_free_discs__any_vibration_text() -> None:
    """Two free discs: w^2 = k (1/J1 + 1/J2), the node divides the shaft in the ratio of the inertias.

    Source: two-disc system, e.g. Thomson, Theory of Vibration with Applications, ch. 2 and 5.
    Known: derived.
    """
    first, second, stiffness = 3.6, 0.45, 2.2e5
    train = chain_train(inertias_kg_m2=[first, second], stiffnesses_nm_rad=[stiffness])
    modes = natural_frequencies(train=train)
    assert modes.frequencies_rad_s[1] == pytest.approx(math.sqrt(stiffness * (1 / first + 1 / second)), rel=1e-14)
    assert modes.shapes[0, 1] / modes.shapes[1, 1] == pytest.approx(-second / first, rel=1e-12)
