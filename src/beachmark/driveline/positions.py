"""Addresses of parts, from the gearbox rearward, and how two addresses relate.

`joint-2/trunnion-A1` is the first axle-side arm of the cross in the second joint. Arms are named by the
yoke that holds them: `G1`, `G2` on the gearbox side, `A1`, `A2` on the axle side (common practice, no
source). Joint k lies in front of shaft k; the last joint lies at the axle.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

ARMS = ("G1", "G2", "A1", "A2")
JOINT_PARTS = (
    *(f"{kind}-{arm}" for kind in ("trunnion", "cap") for arm in ARMS),
    "yoke-front",
    "yoke-rear",
    "fasteners",
)
SHAFT_PARTS = ("tube", "weld-front", "weld-rear", "slip")
WHOLE = ("case", "fleet", "engine", "clutch", "gearbox", "train", "suspension", "axle", "wheels")
MOST_SHAFTS = 6

_ADDRESS = re.compile(r"\A(joint|shaft|support)-([1-9][0-9]?)(?:/([A-Za-z0-9-]+))?\Z")


class Relation(StrEnum):
    """Where something was seen, relative to where a cause is supposed to sit."""

    HERE = "here"
    HOLDS = "holds"  # one address lies inside the other
    SAME_JOINT = "same_joint"
    UPSTREAM = "upstream"  # seen nearer to the gearbox
    DOWNSTREAM = "downstream"  # seen nearer to the axle
    CASE = "case"  # belongs to the whole vehicle
    UNPLACED = "unplaced"  # nobody said where


@dataclass(frozen=True, order=True)
class Address:
    """One part of one driveline. `unit` is joint, shaft, support or a whole (gearbox, axle, case...)."""

    unit: str
    number: int = 0
    part: str = ""

    def __str__(self) -> str:
        base = f"{self.unit}-{self.number}" if self.number else self.unit
        return f"{base}/{self.part}" if self.part else base

    @property
    def kind(self) -> str:
        """The kind of place: trunnion, cap, yoke, weld, slip, joint, shaft, support, axle..."""
        return self.part.split("-")[0] if self.part else self.unit

    @property
    def holder(self) -> Address:
        """The joint, shaft or support that this part belongs to; itself for these."""
        return Address(self.unit, self.number)

    @property
    def rank(self) -> float:
        """Place along the driveline: gearbox 0, joint k at 2k - 1, shaft k at 2k, axle at the end."""
        if self.unit == "joint":
            return 2.0 * self.number - 1.0
        if self.unit in ("shaft", "support"):
            return 2.0 * self.number + (0.5 if self.unit == "support" else 0.0)
        return {"engine": -2.0, "clutch": -1.0, "gearbox": 0.0}.get(self.unit, 99.0)

    def moved(self, joints: int) -> Address:
        """The same part `joints` further rearward (wholes stay where they are)."""
        return Address(self.unit, self.number + joints, self.part) if self.number else self


def parse_address(text: str) -> Address:
    """Read an address such as `joint-2/cap-A1`. Raises `ValueError` saying what is allowed."""
    if text in WHOLE:
        return Address(text)
    match = _ADDRESS.match(text)
    if not match:
        raise ValueError(f"{text!r} is not a place. Places: joint-2, joint-2/cap-A1, shaft-1/tube, support-1, axle...")
    unit, number, part = match[1], int(match[2]), match[3] or ""
    allowed = {"joint": JOINT_PARTS, "shaft": SHAFT_PARTS, "support": ()}[unit]
    if part and part not in allowed:
        raise ValueError(f"{unit}-{number} has no part {part!r}. Parts: {', '.join(allowed) or 'none'}")
    return Address(unit, number, part)


@dataclass(frozen=True)
class Layout:
    """Which addresses exist on a driveline of `shafts` shafts.

    `slips` and `supports` name the shafts that are known to have them; empty means not known, so any may.
    """

    shafts: int
    slips: tuple[int, ...] = ()
    supports: tuple[int, ...] = ()

    @property
    def joints(self) -> int:
        """Number of joints: one more than shafts."""
        return self.shafts + 1

    def holds(self, address: Address) -> bool:
        """True when this driveline has that part."""
        limit = {"joint": self.joints, "shaft": self.shafts, "support": self.shafts - 1}.get(address.unit)
        return limit is None or 1 <= address.number <= limit

    def places(self, kind: str) -> tuple[Address, ...]:
        """Every address of one kind of place, from the gearbox rearward."""
        joints = range(1, self.joints + 1)
        shafts = range(1, self.shafts + 1)
        if kind in ("trunnion", "cap"):
            return tuple(Address("joint", k, f"{kind}-{arm}") for k in joints for arm in ARMS)
        if kind == "yoke":
            return tuple(Address("joint", k, f"yoke-{side}") for k in joints for side in ("front", "rear"))
        if kind == "fasteners":
            return tuple(Address("joint", k, "fasteners") for k in joints)
        if kind == "joint":
            return tuple(Address("joint", k) for k in joints)
        if kind in ("shaft", "tube"):
            return tuple(Address("shaft", k) for k in shafts)
        if kind == "weld":
            return tuple(Address("shaft", k, f"weld-{end}") for k in shafts for end in ("front", "rear"))
        if kind == "slip":
            return tuple(Address("shaft", k, "slip") for k in self.slips or shafts)
        if kind == "support":
            return tuple(Address("support", k) for k in self.supports or range(1, self.shafts))
        return (Address(kind),)


def relation(seen: Address | None, origin: Address) -> Relation:
    """How the place where something was seen relates to the place `origin` of a supposed cause.

    Parts of neighbouring units that share a joint or a shaft end (a weld and the yoke on it) count as
    upstream or downstream: only a cause's own tables may say more.
    """
    if seen is None:
        return Relation.UNPLACED
    if not seen.number or not origin.number:
        return Relation.CASE
    if seen == origin:
        return Relation.HERE
    if seen.holder == origin.holder:
        return Relation.SAME_JOINT if _beside(seen.part, origin.part) else Relation.HOLDS
    if seen.rank == origin.rank:
        return Relation.CASE
    return Relation.UPSTREAM if seen.rank < origin.rank else Relation.DOWNSTREAM


def _beside(one: str, other: str) -> bool:
    """Two parts of one joint or shaft of which one cannot speak for the other: another arm, another yoke."""
    kind_one, _, detail_one = one.partition("-")
    kind_other, _, detail_other = other.partition("-")
    if not detail_one or not detail_other or detail_one == detail_other:
        return False
    on_arms = {"trunnion", "cap"}
    return kind_one == kind_other or {kind_one, kind_other} == on_arms


def in_words(address: Address | None) -> str:
    """An address in plain words: `joint 2, arm A1`."""
    if address is None:
        return "place not said"
    whole = {"case": "the case", "fleet": "sister vehicles", "train": "the whole driveline"}
    if not address.number:
        return whole.get(address.unit, f"the {address.unit}")
    unit = "centre bearing" if address.unit == "support" else address.unit
    if not address.part:
        return f"{unit} {address.number}"
    kind, _, detail = address.part.partition("-")
    words = {
        "trunnion": f"arm {detail}",
        "cap": f"cap {detail}",
        "yoke": f"{detail} yoke",
        "weld": f"{detail} weld",
    }
    return f"{unit} {address.number}, {words.get(kind, kind)}"
