"""Laws that sources of unbalance must keep."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics import balance, balance_sources

SIZES = st.floats(1e-6, 1e-2)
MASSES = st.floats(1.0, 200.0)
SHARES = st.floats(0.05, 1.0)
SOURCES = st.dictionaries(st.sampled_from(["tube", "pilot", "cross", "spline", "weight"]), SIZES, min_size=1)


@given(mass=MASSES, share=SHARES, width=SIZES)
def test_equal_widths_off_centre_make_equal_unbalance(mass: float, share: float, width: float) -> None:
    """Half of a dial reading, of a clearance, of a play: one and the same offset."""
    of_mass = {"mass_kg": mass, "mass_share": share}
    runout = balance_sources.runout_unbalance_kg_m(runout_m=width, **of_mass)
    play = balance_sources.joint_play_unbalance_kg_m(end_play_m=width, **of_mass)
    spline = balance_sources.spline_unbalance_kg_m(clearance_m=width, **of_mass)
    pilot = balance_sources.pilot_unbalance_kg_m(pilot_runout_m=width, pilot_clearance_m=0.0, **of_mass)
    offset = balance.unbalance_from_runout_kg_m(mass_kg=mass * share, eccentricity_m=width / 2)
    assert [runout, play, spline, pilot] == pytest.approx([offset] * 4, rel=1e-12)


@given(sources=SOURCES)
def test_chance_angles_lie_between_the_greatest_source_and_the_worst_case(sources: dict[str, float]) -> None:
    found = balance_sources.combined_unbalance(sources_kg_m=sources)
    greatest = max(sources.values())
    assert sources[found.greatest] == greatest
    assert greatest * (1 - 1e-12) <= found.root_sum_square_kg_m <= found.worst_kg_m * (1 + 1e-12)
    assert found.worst_kg_m <= found.root_sum_square_kg_m * len(sources) ** 0.5 * (1 + 1e-12)


@given(unbalance=SIZES, mass=MASSES, speed=st.floats(10.0, 600.0), grade=st.floats(1e-3, 0.1))
def test_grade_and_ratio_turn_the_permissible_unbalance_round(
    unbalance: float, mass: float, speed: float, grade: float
) -> None:
    shaft = {"mass_kg": mass, "speed_rad_s": speed}
    own = balance_sources.grade_of_unbalance_m_s(unbalance_kg_m=unbalance, **shaft)
    assert balance.permissible_unbalance_kg_m(grade_m_s=own, **shaft) == pytest.approx(unbalance, rel=1e-12)
    ratio = balance_sources.ratio_to_permissible(unbalance_kg_m=unbalance, grade_m_s=grade, **shaft)
    allowed = balance.permissible_unbalance_kg_m(grade_m_s=grade, **shaft)
    assert ratio * allowed == pytest.approx(unbalance, rel=1e-12)


@given(unbalance=SIZES, speed=st.floats(0.0, 600.0), share=st.floats(0.0, 1.0))
def test_between_the_supports_they_share_the_whole_force(unbalance: float, speed: float, share: float) -> None:
    load = {"unbalance_kg_m": unbalance, "speed_rad_s": speed, "span_m": 1.5}
    near = balance_sources.support_force_n(position_m=1.5 * share, **load)
    far = balance_sources.support_force_n(position_m=1.5 * (1 - share), **load)
    whole = balance.unbalance_force_n(unbalance_kg_m=unbalance, speed_rad_s=speed)
    assert near + far == pytest.approx(whole, rel=1e-9, abs=1e-12)


def test_no_source_is_refused_and_a_bad_one_is_named() -> None:
    with pytest.raises(ValueError, match="sources_kg_m is empty; it must hold"):
        balance_sources.combined_unbalance(sources_kg_m={})
    with pytest.raises(ValueError, match="sources_kg_m of tube is -1; it must be"):
        balance_sources.combined_unbalance(sources_kg_m={"tube": -1.0})


def test_scalar_equals_array() -> None:
    widths = np.array([0.0, 1e-4, 3e-4])
    many = balance_sources.runout_unbalance_kg_m(mass_kg=30.0, runout_m=widths)
    one = [balance_sources.runout_unbalance_kg_m(mass_kg=30.0, runout_m=float(w)) for w in widths]
    assert all(isinstance(value, float) for value in one)
    assert many.tolist() == one
