"""Laws that a bracket of witnesses must keep, and what a band is."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.mechanics.band import Band
from beachmark.mechanics.torque_witness import Witness, bracket, torque_at_reference_nm

BANDS = st.lists(st.floats(1e3, 1e5), min_size=3, max_size=3).map(lambda ends: Band(*sorted(ends)))
RATIOS = st.lists(st.floats(0.2, 8.0), min_size=3, max_size=3).map(lambda ends: Band(*sorted(ends)))
KINDS = st.sampled_from(["at least", "at most", "about"])
LISTS = st.lists(st.tuples(KINDS, BANDS, RATIOS), min_size=1, max_size=6).map(
    lambda found: [Witness(f"part {n}", *one) for n, one in enumerate(found)]
)


@given(witnesses=LISTS)
def test_they_agree_exactly_if_low_does_not_exceed_high(witnesses: list[Witness]) -> None:
    found = bracket(witnesses=witnesses)
    assert found.agrees == (found.low_nm <= found.high_nm)


@given(witnesses=LISTS, kind=KINDS, torque=BANDS)
def test_one_more_witness_never_widens_the_bracket(witnesses: list[Witness], kind: Any, torque: Band) -> None:
    before = bracket(witnesses=witnesses)
    after = bracket(witnesses=[*witnesses, Witness("one more", kind, torque)])
    assert after.low_nm >= before.low_nm
    assert after.high_nm <= before.high_nm
    assert set(after.contradictions) >= set(before.contradictions)


@given(witnesses=LISTS)
def test_the_order_of_the_witnesses_does_not_count(witnesses: list[Witness]) -> None:
    one, other = bracket(witnesses=witnesses), bracket(witnesses=witnesses[::-1])
    assert (one.low_nm, one.high_nm) == (other.low_nm, other.high_nm)
    assert {frozenset(pair) for pair in one.contradictions} == {frozenset(pair) for pair in other.contradictions}


@given(witnesses=LISTS)
def test_whoever_sets_a_side_says_so_itself(witnesses: list[Witness]) -> None:
    found = bracket(witnesses=witnesses)
    by_name = {w.name: w for w in witnesses}
    if found.low_by is not None:
        assert by_name[found.low_by].kind != "at most"
        assert torque_at_reference_nm(witness=by_name[found.low_by]).low == found.low_nm
    if found.high_by is not None:
        assert by_name[found.high_by].kind != "at least"
        assert torque_at_reference_nm(witness=by_name[found.high_by]).high == found.high_nm
    assert (found.high_by is None) == all(w.kind == "at least" for w in witnesses)


def test_open_sides_have_no_setter() -> None:
    found = bracket(witnesses=[Witness("tube", "at least", Band(1e3, 2e3, 3e3))])
    assert (found.high_nm, found.high_by, found.low_by) == (math.inf, None, "tube")
    found = bracket(witnesses=[Witness("tube", "at most", Band(1e3, 2e3, 3e3))])
    assert (found.low_nm, found.low_by, found.high_by) == (0.0, None, "tube")


def test_contradiction_and_strain_are_told_apart() -> None:
    tube = Witness("tube", "at least", Band(18e3, 20e3, 22e3))
    spline = Witness("spline", "at most", Band(10e3, 12e3, 14e3))
    cross = Witness("cross", "at most", Band(15e3, 17e3, 21e3))
    found = bracket(witnesses=[tube, spline, cross])
    assert found.contradictions == (("tube", "spline"),)
    assert found.strained == (("tube", "cross"),)
    assert not found.agrees


def test_two_sure_witnesses_at_one_torque_agree() -> None:
    found = bracket(witnesses=[
        Witness("a", "at least", Band.exactly(5e3)), Witness("b", "at most", Band.exactly(5e3)),
    ])  # fmt: skip
    assert found.agrees
    assert found.low_nm == found.high_nm == 5e3


@pytest.mark.parametrize(
    ("act", "message"),
    [
        (lambda: bracket(witnesses=[]), "witnesses is empty; it must hold"),
        (lambda: bracket(witnesses=[Witness("a", "about", Band.exactly(1.0))] * 2), "witnesses has a twice; each must"),
        (lambda: Witness("a", "maybe", Band.exactly(1.0)), "kind of a is 'maybe'; it must be one of"),  # type: ignore[arg-type]
        (lambda: Witness("a", "about", Band(0.0, 1.0, 2.0)), r"torque_nm of a \(low end\) is 0; it must be"),
        (
            lambda: Witness("a", "about", Band.exactly(1.0), Band(-1.0, 1.0, 2.0)),
            r"torque_ratio of a \(low end\) is -1; it must be",
        ),
        (lambda: Band(3.0, 2.0, 4.0), r"nominal is 2; it must be from low \(3\) to high \(4\)"),
        (lambda: Band(1.0, math.nan, 4.0), "nominal is nan; it must be a finite number"),
        (lambda: Band.spread(1.0, 1.0), "share is 1; it must be from 0 to below 1"),
        (lambda: Band.exactly(1.0).scaled(-1.0), "factor is -1; it must be"),
    ],
)
def test_nonsense_is_refused_by_name(act: Any, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        act()


@given(band=BANDS, factor=st.floats(0.0, 10.0))
def test_a_scaled_band_holds_its_scaled_values(band: Band, factor: float) -> None:
    assert all(band.scaled(factor).holds(value * factor) for value in band.corners)
