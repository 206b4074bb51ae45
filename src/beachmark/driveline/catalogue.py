"""Part sizes by name, from the user's own file, laid under what the case itself states."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import TypeVar

from beachmark.driveline.parts import Cross, Joint, Shaft, Slip, Tube
from beachmark.driveline.train import Train

Part = TypeVar("Part", Cross, Tube, Slip)


@dataclass(frozen=True)
class Catalogue:
    """Named sizes. Values carry `known = from a table` and the catalogue's name as source."""

    name: str = ""
    joints: Mapping[str, Cross] = field(default_factory=dict)
    tubes: Mapping[str, Tube] = field(default_factory=dict)
    slips: Mapping[str, Slip] = field(default_factory=dict)


def with_sizes(train: Train, catalogue: Catalogue) -> Train:
    """The same train with every size that it names filled in; what the case states stands above the table.

    Raises `KeyError` naming the size when the catalogue does not have it.
    """
    joints = tuple(_joint(joint, catalogue) for joint in train.joints)
    shafts = tuple(_shaft(shaft, catalogue) for shaft in train.shafts)
    return replace(train, joints=joints, shafts=shafts)


def _joint(joint: Joint, catalogue: Catalogue) -> Joint:
    if not joint.size:
        return joint
    return replace(joint, cross=_laid_under(joint.cross, catalogue.joints[joint.size]))


def _shaft(shaft: Shaft, catalogue: Catalogue) -> Shaft:
    if shaft.tube_size:
        shaft = replace(shaft, tube=_laid_under(shaft.tube, catalogue.tubes[shaft.tube_size]))
    if shaft.slip_size:
        shaft = replace(shaft, slip=_laid_under(shaft.slip or Slip(), catalogue.slips[shaft.slip_size]))
    return shaft


def _laid_under(stated: Part, table: Part) -> Part:
    missing = {f.name: getattr(table, f.name) for f in fields(stated) if getattr(stated, f.name) in (None, "")}
    return replace(stated, **missing)
