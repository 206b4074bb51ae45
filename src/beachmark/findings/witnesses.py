"""What the parts themselves prove of the torque: each mark by itself, and the bracket that all of them leave."""

from __future__ import annotations

import math
from collections.abc import Sequence

from beachmark.basis.values import Spread, Value
from beachmark.driveline.parts import Joint, Shaft
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing
from beachmark.findings.more_strength import kilo
from beachmark.findings.readings import Read, Reading, last_zone, marks
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.strength import peak_torque
from beachmark.findings.torque import governing_torque
from beachmark.knowledge.model import Knowledge, Limit
from beachmark.mechanics.band import Band
from beachmark.mechanics.torque_witness import Bracket, Witness, bracket

_PEAK = "peak torque of ordinary hard use"
_TWIST, _DENT, _ZONE, _PROOF = "sum.witness_twist", "sum.witness_dent", "sum.witness_fracture", "sum.witness_proof"
_TITLES = {
    _TWIST: "Torque that the twist left in a part speaks of",
    _DENT: "Torque that the dents of the needles speak of",
    _ZONE: "Torque at the last moment of a broken arm",
    _PROOF: "Torque that a part bore in a proof test",
}
_METHODS = {
    _TWIST: (
        "elastic, then plastic torsion with a little hardening: the torque whose twist, less the spring-back "
        "T L / (G J), is what was left; no twist left: the torque that leaves the least twist that is seen"
    ),
    _DENT: "cap force from the depth of the dent, about its third power at the static rating, times 2 R",
    _ZONE: (
        "bending that the rest of the arm bore at the last: its toughness where the size rule 2.5 (K / S)² holds, else "
        "its plastic limit; torque = 2 R M / l"
    ),
    _PROOF: "the test itself",
}
_SOURCES = {
    _TWIST: "Beer & Johnston, Mechanics of Materials, chapter 3, elastoplastic torsion (from memory)",
    _DENT: "ISO 76 (1e-4 of the needle at its static rating, read); third power after Palmgren (from memory)",
    _ZONE: "ASTM E399 size rule, limit analysis (from memory); bar crack factors from memory",
    _PROOF: "definition of a proof test",
}
_BRACKET, _BRACKET_TITLE = "sum.torque_bracket", "Torque that all marks together allow"


def witness_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each mark that speaks of a torque, and each proof test, against the peak of ordinary hard use."""
    sums = [_mark(knowledge, vehicle, at, read) for at, read in marks(train)]
    for number, joint in enumerate(train.joints, start=1):
        if joint.cross.final_share is not None:
            sums.append(_fracture(knowledge, vehicle, train, number))
    proved: tuple[tuple[str, Sequence[Joint | Shaft]], ...] = (("joint", train.joints), ("shaft", train.shafts))
    return sums + [
        _proof(knowledge, vehicle, Address(unit, number), f"driveline.{unit}s[{number - 1}]", part.proved_torque)
        for unit, parts in proved
        for number, part in enumerate(parts, start=1)
        if part.proved_torque is not None
    ]


def _mark(knowledge: Knowledge, vehicle: Vehicle, at: Address, read: Read) -> Sum:
    asking, id = Asking(knowledge), _DENT if at.unit == "joint" else _TWIST
    found = read(asking)
    if found is None:
        return asking.lacking(id, _TITLES[id], at)
    return _witness(asking, vehicle, id, found)


def _fracture(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    asking, at = Asking(knowledge), Address("joint", number)
    found = last_zone(asking, train, number)
    return asking.lacking(_ZONE, _TITLES[_ZONE], at) if found is None else _witness(asking, vehicle, _ZONE, found)


def _witness(asking: Asking, vehicle: Vehicle, id: str, found: Reading) -> Sum:
    words = {"about": "torque that it speaks of", "at most": "torque that would have left a twist"}[found.kind]
    results = [Quantity(words, found.torque, "torque")]
    said = {"about": "speaks of about", "at most": "was not twisted: the torque stayed below"}[found.kind]
    said = "speak of about" if id == _DENT else said
    told = f"The {found.name} {said} {kilo(found.torque.nominal)}{_reach(found.torque)}{_supposed([found])}"
    return _against_peak(asking, vehicle, id, found.at, results, told, found.assumptions)


def _proof(knowledge: Knowledge, vehicle: Vehicle, at: Address, name: str, stated: Value) -> Sum:
    asking = Asking(knowledge)
    value = asking.take(f"{name}.proved_torque", "torque borne in a proof test", stated) or stated
    told = f"It bore {kilo(value.si)} in a test"
    results = [Quantity("torque that it bore in the test", value.spread, "torque")]
    assumptions = (
        "The part was found sound after the test and has not changed since.",
        "A test says what a part bears, not what the event was: it raises capacities and brackets nothing by itself.",
    )
    return _against_peak(asking, vehicle, _PROOF, at, results, told, assumptions)


def _against_peak(
    asking: Asking,
    vehicle: Vehicle,
    id: str,
    at: Address,
    results: list[Quantity],
    told: str,
    assumptions: Sequence[str],
) -> Sum:
    """The torque of a witness beside the peak of ordinary hard use, where that is known."""
    peak = _peak(asking, vehicle)
    if peak is not None:
        told += f"; ordinary hard use gives {kilo(peak.si)}"
    return informing(
        asking,
        id=id,
        title=_TITLES[id],
        at=at,
        results=results,
        limit=Limit("peak", peak, _PEAK) if peak is not None else None,
        sentence=f"{told}.",
        method=_METHODS[id],
        source=_SOURCES[id],
        validity=" ".join(assumptions),
    )


def _peak(asking: Asking, vehicle: Vehicle) -> Value | None:
    """The peak of hard use; where it is not known nothing is noted as missing, the witness stands without it."""
    part = asking.part()
    peak = peak_torque(part, vehicle)
    if peak is not None:
        asking.inputs |= part.inputs
    return peak


def _reach(found: Spread) -> str:
    return f" ({found.low / 1e3:.1f} to {found.high / 1e3:.1f})" if found.low < found.high else ""


# ---- all of them together -------------------------------------------------------------------------------------


def bracket_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """The torque between what yielded parts and parts without a mark allow; nothing where no mark can be read."""
    asking, found = Asking(knowledge), []
    for _, read in marks(train):
        part = asking.part()  # one sum: what two marks or the load share is drawn once
        reading = read(part)
        if reading is not None:
            found.append(reading)
            asking.inputs |= part.inputs
    return [_bracket(asking, vehicle, found)] if found else []


def _bracket(asking: Asking, vehicle: Vehicle, found: Sequence[Reading]) -> Sum:
    left = bracket(witnesses=[Witness(one.name, one.kind, _band(one.torque)) for one in found])
    peak, part = _peak(asking, vehicle), asking.part()
    cap = governing_torque(part, vehicle)
    results = _ends(left)
    results += [Quantity("torque that caps a steady pull", cap, "torque")] if cap is not None else []
    if peak is not None:
        results.append(Quantity(_PEAK, peak.spread, "torque"))
    return informing(
        asking,
        id=_BRACKET,
        title=_BRACKET_TITLE,
        at=Address("train"),
        results=results,
        limit=Limit("peak", peak, _PEAK) if peak is not None else None,
        sentence=_said(left, found, peak),
        method=(
            "what stayed twisted or dented had about the torque it speaks of, what was looked at and was not twisted "
            "had less than leaves a twist; the torque is the same at every shaft of a plain driveline"
        ),
        source="intersection of intervals, derived",
        valid=left.agrees,
        validity=("" if left.agrees else "no torque fits all marks; ") + _BRACKET_VALIDITY,
    )


_BRACKET_VALIDITY = (
    "the greatest torque since the parts were fitted, in one sense, the same event for all; not counted: a part that "
    "nobody found broken (it is not taken as a survivor), a broken arm (it tells of its last moment only), a proof "
    "test (it tells of strength)"
)


def _ends(left: Bracket) -> list[Quantity]:
    """The sides that somebody sets, and who."""
    ends = (("at least", left.low_nm, left.low_by), ("at most", left.high_nm, left.high_by))
    return [
        Quantity(f"torque, {side}, by the {by}", Spread(torque, torque, torque), "torque")
        for side, torque, by in ends
        if by is not None and math.isfinite(torque)
    ]


def _said(left: Bracket, found: Sequence[Reading], peak: Value | None) -> str:
    """The bracket in words; only what rests on a measured strength proves, all else would allow, and says if what."""
    if not left.agrees:
        pairs = "; ".join(f"the {first} and the {second}" for first, second in left.contradictions)
        told = f"The marks contradict each other ({pairs}): not one event, a part from elsewhere, or a wrong reading"
        told += _unless([one for one in found if any(one.name in pair for pair in left.contradictions)])
    else:
        supposed = _supposed([one for one in found if one.name in (left.low_by, left.high_by)])
        ends = [f"at least {kilo(left.low_nm)}"] if left.low_by is not None else []
        ends += [f"at most {kilo(left.high_nm)}"] if left.high_by is not None else []
        told = f"The parts {'would allow' if supposed else 'prove'} {' and '.join(ends)}{supposed}"
    told += f"; ordinary hard use gives {kilo(peak.si)}" if peak is not None else ""
    strained = "; ".join(f"the {first} and the {second}" for first, second in left.strained)
    return f"{told}." + (f" Only the wide ranges let {strained} agree." if strained else "")


def _supposed(found: Sequence[Reading]) -> str:
    """What must be so for these readings to hold, each thing once; nothing where their strengths were measured."""
    things = dict.fromkeys(one.supposing for one in found if one.supposing)
    return f", if {', and if '.join(things)}" if things else ""


def _unless(found: Sequence[Reading]) -> str:
    """A contradiction may lie in the steel, too, where nobody measured it."""
    return ", or a steel that is not the one supposed" if any(one.supposing for one in found) else ""


def _band(found: Spread) -> Band:
    return Band(found.low, found.nominal, found.high)
