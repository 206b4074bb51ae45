"""What follows from several observations by pure rules.

A sign is stated only when what was seen settles it; half a joint looked at settles nothing that the
other half could overturn. Each sign names the observations it came from.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from beachmark.driveline.positions import Address
from beachmark.evidence.records import Observation

Seen = Sequence[Observation]
_DRY = frozenset({"dry", "dried"})
_GREASED = frozenset({"clean", "old_dark", "milky", "gritty"})
_OLD = {
    "cross.face": {"lined_smooth", "mixed"},
    "cross.face_age": {"part_dark", "all_dark", "oil_in_crack"},
    "cross.smooth_share": {"under_quarter", "quarter_to_half", "over_half"},
}
_FRESH = {"cross.face": {"grainy_even"}, "cross.face_age": {"all_bright"}, "cross.smooth_share": {"none"}}
_SET = {
    "slip.twist": ({"slight", "strong", "both_ways"}, {"straight"}),
    "yoke.ears": ({"twisted", "spread"}, {"in_line"}),
    "cross.bent": ({"bent_one_way", "bent_mixed"}, {"true"}),
    "tube.state": ({"spiral_buckle"}, {"straight"}),
}
_DRY_PATTERNS = {
    "none": "none",
    "two_opposite": "one_axis",
    "one": "some",
    "two_adjacent": "some",
    "three": "some",
    "all": "all",
}


@dataclass(frozen=True)
class Sign:
    """One derived answer at one place, with the observations that it follows from."""

    id: str
    answer: str
    at: Address | None
    basis: tuple[Observation, ...]


def read_signs(observations: Iterable[Observation]) -> tuple[Sign, ...]:
    """Every sign that the observations settle, joint by joint and then for the whole train."""
    seen = [observation for observation in observations if observation.speaks]
    by_joint: dict[Address | None, list[Observation]] = defaultdict(list)
    for observation in seen:
        holder = observation.at.holder if observation.at and observation.at.unit == "joint" else None
        by_joint[holder].append(observation)
    signs = [
        Sign(sign, answer, joint, basis)
        for joint, part in by_joint.items()
        for sign, rule in JOINT_RULES.items()
        for answer, basis in [rule(part)]
        if answer
    ]
    answer, basis = train_set(seen)
    return (*signs, Sign("sign.train_set", answer, None, basis)) if answer else tuple(signs)


def dry_caps(seen: Seen) -> tuple[str, tuple[Observation, ...]]:
    """Which caps of one joint are dry: from the four caps one by one, else from the pattern as told."""
    grease = _by_arm(seen, "cap.grease")
    if len(grease) == 4:
        dry = {arm for arm, (answers, _) in grease.items() if answers & _DRY}
        return _pattern(dry), tuple(observation for _, observation in grease.values())
    told = [observation for observation in seen if observation.see == "cap.dry_pattern"]
    if told and told[-1].answers[0] in _DRY_PATTERNS:
        return _DRY_PATTERNS[told[-1].answers[0]], (told[-1],)
    return "", ()


def _pattern(dry: set[str]) -> str:
    if not dry:
        return "none"
    if len(dry) == 4:
        return "all"
    return "one_axis" if dry in ({"G1", "G2"}, {"A1", "A2"}) else "some"


def arm_faces(seen: Seen) -> tuple[str, tuple[Observation, ...]]:
    """Old and fresh faces among the broken arms of one joint; the old one leads."""
    old: dict[str, Observation] = {}
    fresh: dict[str, Observation] = {}
    for observation in seen:
        if observation.at is None or observation.at.kind != "trunnion":
            continue
        if _OLD.get(observation.see, set()) & set(observation.answers):
            old.setdefault(observation.at.part, observation)
        if _FRESH.get(observation.see, set()) & set(observation.answers):
            fresh.setdefault(observation.at.part, observation)
    only_fresh = {part: seen_there for part, seen_there in fresh.items() if part not in old}
    basis = (*old.values(), *only_fresh.values())
    if old and only_fresh:
        return "old_and_fresh", basis
    if old:
        return ("all_progressive", basis) if len(old) > 1 else ("", ())
    return ("all_fresh", basis) if only_fresh else ("", ())


def train_set(seen: Seen) -> tuple[str, tuple[Observation, ...]]:
    """Did any part in line take a permanent set, as one great torque would leave it?"""
    taken = [o for o in seen if o.see in _SET and _SET[o.see][0] & set(o.answers)]
    sound = [o for o in seen if o.see in _SET and _SET[o.see][1] & set(o.answers)]
    if taken:
        return "seen", tuple(taken)
    return ("none_seen", tuple(sound)) if len({o.see for o in sound}) >= 2 else ("", ())


def caps_differ(seen: Seen) -> tuple[str, tuple[Observation, ...]]:
    """Do the caps of one joint tell different stories, although all carry the same force?"""
    grease = _by_arm(seen, "cap.grease")
    told = [o for o in seen if o.see == "cap.dry_pattern"]
    if len(grease) == 4:
        kinds = {frozenset(answers & _DRY) != frozenset() for answers, _ in grease.values()}
        return ("differ" if len(kinds) > 1 else "alike"), tuple(o for _, o in grease.values())
    if told:
        alike = told[-1].answers[0] in ("none", "all")
        return ("alike" if alike else "differ"), (told[-1],)
    return "", ()


def _by_arm(seen: Seen, question: str) -> dict[str, tuple[set[str], Observation]]:
    found: dict[str, tuple[set[str], Observation]] = {}
    for observation in seen:
        if observation.see == question and observation.at and observation.at.kind == "cap":
            found[observation.at.part.split("-")[1]] = (set(observation.answers), observation)
    return found


JOINT_RULES: Mapping[str, Callable[[Seen], tuple[str, tuple[Observation, ...]]]] = {
    "sign.dry_caps": dry_caps,
    "sign.arm_faces": arm_faces,
    "sign.caps_differ": caps_differ,
}
SIGN_IDS = (*JOINT_RULES, "sign.train_set")
