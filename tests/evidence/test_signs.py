"""Signs are stated only when what was seen settles them."""

from __future__ import annotations

import pytest

from beachmark.driveline.positions import ARMS, Address
from beachmark.evidence.records import Observation
from beachmark.evidence.signs import read_signs


def caps(*states: str, joint: int = 1) -> list[Observation]:
    """One grease observation for each of the four caps, or fewer."""
    return [
        Observation("cap.grease", (state,), Address("joint", joint, f"cap-{arm}"))
        for arm, state in zip(ARMS, states, strict=False)
    ]


def sign(seen: list[Observation], id: str, joint: int | None = 1) -> str:
    at = Address("joint", joint) if joint else None
    found = [one.answer for one in read_signs(seen) if one.id == id and one.at == at]
    return found[0] if found else ""


@pytest.mark.parametrize(
    ("states", "pattern"),
    [
        (("dry", "dried", "clean", "clean"), "one_axis"),
        (("clean", "clean", "dry", "dry"), "one_axis"),
        (("dry", "clean", "dry", "clean"), "some"),
        (("dry", "dry", "dry", "clean"), "some"),
        (("dry", "dry", "dried", "dry"), "all"),
        (("clean", "old_dark", "milky", "clean"), "none"),
        (("dry", "dry"), ""),  # half a joint settles nothing
        (("dry", "dry", "clean", "not_looked"), ""),
    ],
)
def test_dry_caps(states: tuple[str, ...], pattern: str) -> None:
    assert sign(caps(*states), "sign.dry_caps") == pattern


def test_dry_caps_as_told_when_the_caps_were_not_listed() -> None:
    told = [Observation("cap.dry_pattern", ("two_opposite",), Address("joint", 2))]
    assert sign(told, "sign.dry_caps", joint=2) == "one_axis"


def faces(**answers: str) -> list[Observation]:
    return [
        Observation("cross.face", (answer,), Address("joint", 1, f"trunnion-{arm}")) for arm, answer in answers.items()
    ]


@pytest.mark.parametrize(
    ("seen", "answer"),
    [
        (faces(A1="mixed", A2="grainy_even"), "old_and_fresh"),
        (faces(A1="grainy_even", A2="grainy_even"), "all_fresh"),
        (faces(A1="mixed", A2="lined_smooth"), "all_progressive"),
        (faces(A1="mixed"), ""),  # one old face alone: the other was not looked at
        (faces(A1="smeared", A2="rusted_over"), ""),
    ],
)
def test_arm_faces(seen: list[Observation], answer: str) -> None:
    assert sign(seen, "sign.arm_faces") == answer


def test_joints_are_read_apart() -> None:
    seen = caps("dry", "dry", "clean", "clean") + caps("dry", "dry", "dry", "dry", joint=2)
    assert sign(seen, "sign.dry_caps", 1) == "one_axis"
    assert sign(seen, "sign.dry_caps", 2) == "all"
    assert sign(seen, "sign.caps_differ", 1) == "differ"
    assert sign(seen, "sign.caps_differ", 2) == "alike"


def test_a_set_in_line_is_seen_or_cleared_by_two_parts() -> None:
    straight = Observation("slip.twist", ("straight",))
    in_line = Observation("yoke.ears", ("in_line",), Address("joint", 1))
    twisted = Observation("yoke.ears", ("twisted",), Address("joint", 2, "yoke-rear"))
    assert sign([straight], "sign.train_set", None) == ""
    assert sign([straight, in_line], "sign.train_set", None) == "none_seen"
    assert sign([straight, in_line, twisted], "sign.train_set", None) == "seen"
    basis = next(one.basis for one in read_signs([straight, in_line, twisted]) if one.id == "sign.train_set")
    assert basis == (twisted,)
