"""How the yokes of each shaft stand to each other: as an input of other sums, and as evidence of its own."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from beachmark.basis.values import Known, Spread, Value
from beachmark.driveline.parts import Shaft
from beachmark.driveline.phase import stated_phase, teeth_out, teeth_words
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.findings.angles import LEVEL, Reals, rows_of
from beachmark.findings.asking import Asking, chances_by_limits, judged
from beachmark.findings.ranges import of_sample
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge

_IN_LINE = 1e-6  # smaller is what a sum leaves of half a turn


@dataclass(frozen=True)
class Phases:
    """Phase of each shaft's rear yoke: the nominal ones in the first row, the draws below it."""

    rows: Reals  # (1 + draws, shafts)
    certain: bool

    @property
    def in_line(self) -> Phases:
        """The same shafts with every rear yoke in line with its front yoke."""
        return Phases(np.zeros_like(self.rows), True)

    @property
    def out_of_line(self) -> bool:
        """True when any yoke stands, or may stand, out of line; half a turn is in line again."""
        return bool(np.any(np.abs(np.sin(self.rows)) > _IN_LINE))


def shaft_phases(asking: Asking, train: Train) -> Phases:
    """Phase of each shaft's rear yoke; one tooth out of n is a turn of 360/n degrees, not known is in line."""
    values = [_taken(asking, i, shaft) or LEVEL for i, shaft in enumerate(train.shafts)]
    return Phases(rows_of(values), all(value.low >= value.high for value in values))


def unmeasured_phases(train: Train) -> list[str]:
    """Which yokes are taken as in line though nobody measured them, in words; nothing when all were measured."""
    unknown = [str(i + 1) for i, shaft in enumerate(train.shafts) if stated_phase(shaft) is None]
    return [f"the yokes of shaft {', '.join(unknown)} are taken as in line, which nobody measured"] if unknown else []


def _taken(asking: Asking, index: int, shaft: Shaft) -> Value | None:
    name = f"driveline.shafts[{index}]"
    if shaft.phase is not None:
        return asking.take(f"{name}.phase", f"phase of shaft {index + 1}", shaft.phase)
    words = f"slip of shaft {index + 1}: {_teeth_told(shaft)}"
    return asking.take(f"{name}.slip.teeth_out", words, stated_phase(shaft))


def _teeth_told(shaft: Shaft) -> str:
    return teeth_words(shaft) or "no tooth out"


def phase_sums(knowledge: Knowledge, train: Train) -> list[Sum]:
    """What the phase or the teeth out of each shaft say by themselves; nothing where nobody stated them."""
    found = [_phase_sum(knowledge, number, shaft) for number, shaft in enumerate(train.shafts, start=1)]
    return [one for one in found if one is not None]


def _phase_sum(knowledge: Knowledge, number: int, shaft: Shaft) -> Sum | None:
    asking, at = Asking(knowledge), Address("shaft", number)
    value = _taken(asking, number - 1, shaft)
    if value is None:
        return _teeth_alone(knowledge, asking, at, shaft)
    out = _out_of_line(value)
    found = _stated(knowledge, asking, at, [Quantity("rear yoke out of line", out, "angle")], out)
    return _assumed(found) if value.is_assumed else found


def _out_of_line(phase: Value) -> Spread:
    """How far from line, 0 to a quarter turn; half a turn is in line again."""
    rows = np.arcsin(np.abs(np.sin(rows_of([phase])[:, 0])))
    nominal = float(rows[0])
    return Spread(nominal, nominal, nominal) if phase.low >= phase.high else of_sample(nominal, rows[1:])


def _stated(knowledge: Knowledge, asking: Asking, at: Address, results: list[Quantity], out: Spread) -> Sum:
    reading = knowledge.limits["phase_reading"]
    return judged(
        knowledge,
        asking,
        id="finding.phase",
        at=at,
        results=results,
        chances=chances_by_limits(out, ("in_line", "out"), (reading.si,)),
        limit=reading,
        method="as stated, or teeth out times 360 degrees over the number of teeth; half a turn is in line again",
        source="geometry; limit: common practice, no source",
        validity="a shaft built out of line on purpose looks the same: the build record decides",
    )


def _assumed(found: Sum) -> Sum:
    """A phase that was assumed informs, but is no evidence."""
    return replace(found, chances={}, speaks="neither", sentence="Speaks for nothing: the phase was assumed.")


def _teeth_alone(knowledge: Knowledge, asking: Asking, at: Address, shaft: Shaft) -> Sum | None:
    """Teeth out of a slip whose number of teeth nobody counted: out of line, by an unknown angle."""
    out = teeth_out(shaft)
    if out is None:
        return None
    count = Value.exact(float(abs(out)), "number", Known.STATED)
    asking.take(f"driveline.shafts[{at.number - 1}].slip.teeth_out", f"teeth out, slip of shaft {at.number}", count)
    quarter = math.pi / 2 if out else 0.0
    results = [Quantity("teeth that the slip is out", Spread(count.si, count.si, count.si), "number")]
    return _stated(knowledge, asking, at, results, Spread(quarter, quarter, quarter))
