"""The numbers of one vehicle for its replay: what the case states, else what is usual for its class; each drawn.

Every number is a row of one plus `COUNT` values: the nominal one first, its draws behind it. An input has the same
draws wherever the replay uses it, so that what load and capacity share cancels.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.findings.asking import Asking
from beachmark.knowledge.model import Knowledge

Reals = npt.NDArray[np.float64]
ROWS = COUNT + 1


@dataclass
class Numbers:
    """Asks for the numbers of one vehicle and keeps which were asked for."""

    knowledge: Knowledge
    kind: str
    asking: Asking = field(init=False)

    def __post_init__(self) -> None:
        self.asking = Asking(self.knowledge)

    def of(self, name: str, words: str, stated: Value | None, usual: str) -> Reals:
        """A number as stated, else as usual for the class of vehicle. Raises KeyError if no usual value is there."""
        value = stated if stated is not None else self.knowledge.usual(self.kind, usual)
        if value is None:
            raise KeyError(usual)
        taken = self.asking.take(name, words, value)
        return row(taken if taken is not None else value)

    def usual(self, usual: str, words: str) -> Reals:
        """A number that a case never states."""
        return self.of(usual, words, None, usual)


def row(value: Value | Spread) -> Reals:
    """The nominal value, then its draws."""
    nominal = value.si if isinstance(value, Value) else value.nominal
    sample = value.sample if value.low < value.high else None
    return np.concatenate([[nominal], np.full(COUNT, nominal) if sample is None else sample[:COUNT]])


@dataclass(frozen=True)
class ReplayPart:
    """A part whose load is followed: by the load of the layout that it carries, and what it bears."""

    id: str  # cross@joint-1
    kind: str  # cross, tube, slip
    at: Address
    words: str  # the cross of joint 1
    load: str  # name of the coupling that it is part of
    yields_nm: Reals  # (ROWS,) torque at which it first yields
    breaks_nm: Reals  # (ROWS,) torque at which it breaks
    known: bool  # its sizes and its steel are known of this vehicle, not taken as usual
    because: str  # what would make it known, in words; empty when it is
