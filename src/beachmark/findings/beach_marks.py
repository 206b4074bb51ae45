"""What the spacing of beach marks says: how the stress range changed while the crack grew, and nothing of its size."""

from __future__ import annotations

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing, side
from beachmark.findings.results import Quantity, Sum
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.band import Band
from beachmark.mechanics.fracture_reading import stress_range_ratio_of_marks

ID = "sum.beach_marks"
TITLE = "Stress range at the last beach marks over that at the first"


def beach_mark_sums(knowledge: Knowledge, train: Train) -> list[Sum]:
    """Every broken arm whose marks were measured."""
    return [
        _marks(knowledge, train, number)
        for number, joint in enumerate(train.joints, start=1)
        if joint.cross.mark_spacing is not None or joint.cross.mark_depth is not None
    ]


def _marks(knowledge: Knowledge, train: Train, number: int) -> Sum:
    asking, at = Asking(knowledge), Address("joint", number)
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    spacing = asking.need(f"{name}.mark_spacing", "spacing of the last marks over the first", cross.mark_spacing)
    depth = asking.need(f"{name}.mark_depth", "crack depth at the last marks over the first", cross.mark_depth)
    if spacing is None or depth is None:
        return asking.lacking(ID, TITLE, at)
    found = stress_range_ratio_of_marks(spacing_ratio=_band(spacing), crack_ratio=_band(depth))
    change = Spread(found.band.nominal, found.band.low, found.band.high)
    return informing(
        asking,
        id=ID,
        title=TITLE,
        at=at,
        results=[Quantity("stress range, last over first", change, "number")],
        sentence=side(
            change,
            1.0,
            below="The load fell while the crack grew.",
            above="The load rose while the crack grew.",
            between="The marks leave open whether the load changed: a crack alone spaces its marks wider as it grows.",
        ),
        method="growth a stretch of marks in proportion to (stress range × root of depth) to the growth exponent",
        source="Paris rule; exponents after Barsom & Rolfe (from memory)",
        validity="; ".join(found.assumptions),
    )


def _band(value: Value) -> Band:
    return Band(value.low, value.si, value.high)
