"""The torque that broken, twisted and unmarked parts leave between them, by what each of them bears."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from beachmark.basis.values import Spread
from beachmark.driveline.positions import Address
from beachmark.evidence.states import Seen, State
from beachmark.findings.more_strength import kilo
from beachmark.findings.replay.record import PartRecord, Reals, Record
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.topics import Topic
from beachmark.mechanics.band import Band
from beachmark.mechanics.torque_witness import Bracket, Witness, bracket

ID, TITLE = "sum.replay_bracket", "Torque between what was set and what was not"
_METHOD = (
    "a part that was twisted or bent saw at least what makes it yield, one that was looked at and shows no mark saw "
    "less; what broke first is no witness: how weak it had become before is not known"
)
_VALIDITY = (
    "one event, one sense of torque, the same torque all along a plain driveline; a part that nobody looked at is no "
    "witness; sound material but for the part that broke"
)


def bracket_of(record: Record, states: Sequence[Seen]) -> Sum | None:
    """What set and unmarked parts allow; None while none was looked at."""
    parts = {(part.kind, part.at): part for part in record.parts}
    found = [(parts[key], one.state) for one in states if (key := (one.kind, str(one.at))) in parts]
    witnesses = [_witness(part, state) for part, state in found if state is not State.BROKEN]
    if not witnesses:
        return None
    left = bracket(witnesses=witnesses)
    ends = {"at least": (left.low_nm, left.low_by), "at most": (left.high_nm, left.high_by)}
    results = [
        Quantity(f"torque, {side}, by the {by}", Spread(torque, torque, torque), "torque")
        for side, (torque, by) in ends.items()
        if by is not None and math.isfinite(torque)
    ]
    return Sum(
        id=ID,
        title=TITLE,
        at=Address("train"),
        results=tuple(results),
        sentence=_said(left, [part for part, _ in found if part.words in (left.low_by, left.high_by)]),
        method=_METHOD,
        source="intersection of intervals, derived",
        valid=left.agrees,
        validity=("" if left.agrees else "no torque fits all of them; ") + _VALIDITY,
        topic=Topic.REPLAY,
    )


def proved_nm(record: Record, states: Sequence[Seen]) -> float:
    """Least torque that parts of known strength which are set prove, N m; 0 where there are none."""
    parts = {(part.kind, part.at): part for part in record.parts}
    found = [parts.get((one.kind, str(one.at))) for one in states if one.state is State.SET]
    return max((_band(part.yields_nm).low for part in found if part is not None and part.known), default=0.0)


def _witness(part: PartRecord, state: State) -> Witness:
    return Witness(part.words, "at least" if state is State.SET else "at most", _band(part.yields_nm))


def _band(bears: Reals) -> Band:
    low, high = np.quantile(bears, (0.025, 0.975))
    nominal = float(np.clip(bears[0], low, high))
    return Band(float(low), nominal, float(high))


def _said(left: Bracket, by: Sequence[PartRecord]) -> str:
    if not left.agrees:
        pairs = "; ".join(f"the {first} and the {second}" for first, second in left.contradictions)
        return f"The parts contradict each other ({pairs}): not one event, a weaker material, or a wrong reading."
    ends = [f"at least {kilo(left.low_nm)}"] if left.low_by is not None else []
    ends += [f"at most {kilo(left.high_nm)}"] if left.high_by is not None else []
    assumed = dict.fromkeys(f"what the {part.words} bears is assumed" for part in by if not part.known)
    proves = "would allow" if assumed else "prove"
    return f"The parts {proves} {' and '.join(ends)}{'; ' + ', '.join(assumed) if assumed else ''}."
