"""The hole of the grease fitting: whether its corner of the cross opens or closes, and what that makes of its mouth."""

from __future__ import annotations

import re
from typing import Any

from beachmark.basis.values import Spread, Value
from beachmark.driveline.parts import Cross
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.informing import informing
from beachmark.findings.ranges import ratio, spread
from beachmark.findings.results import Missing, Quantity, Sum
from beachmark.findings.torque import governing_torque
from beachmark.knowledge.model import Knowledge, Limit
from beachmark.mechanics.fitting_corner import CornerState, Sense, Yoke, corner_state
from beachmark.mechanics.hole_mouth import drive_and_coast_range, fitting_hole_stress
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.trunnion import arm_root_bending_pa

Arms = tuple[str, str]

_ID, _TITLE = "sum.hole_mouth", "Hole of the grease fitting in its corner of the cross"
_FORWARD = Sense.CLOCKWISE  # the usual sense of a vehicle's driveline in a forward gear, seen from the gearbox
_ALLOWED = "two arms, one of G1, G2 and one of A1, A2, such as G1 A1"
_MOST_LETTERS = 20
_FACTORS = (
    "tension at the edge of a small round hole: 3 times the stress along a corner that opens, once that of a corner "
    "that closes; "
)
_SIGN = "pulls in drive come from the gearbox yoke, on overrun from the axle yoke"


def hole_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint whose fitting was looked at."""
    return [
        _hole(knowledge, vehicle, train, number)
        for number, joint in enumerate(train.joints, start=1)
        if joint.cross.fitting_between or joint.cross.fitting_hole is not None
    ]


def arms_between(text: str) -> Arms | None:
    """The two arms that a fitting sits between, or None when the text does not name one of each yoke."""
    found = re.fullmatch(r"(?:(G[12])[ ,/-]+(A[12]))|(?:(A[12])[ ,/-]+(G[12]))", text.strip().upper())
    if not found:
        return None
    first, second = (arm for arm in found.groups() if arm)
    return first, second


def _hole(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, asking = Address("joint", number), Asking(knowledge)
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    hole = asking.take(f"{name}.fitting_hole", "hole of the grease fitting", cross.fitting_hole)
    arms = arms_between(cross.fitting_between)
    if arms is None:
        asking.missing.append(Missing(f"{name}.fitting_between", _not_read(cross.fitting_between)))
        return asking.lacking(_ID, _TITLE, at)
    size = _size(asking, name, cross, hole)
    limit = knowledge.limits["small_hole"]
    small = size is None or size.spread.nominal <= limit.value.high
    # the factors are those of a small hole: of a larger one only the sign is told
    factors = _factors(arms) if small else []
    stresses = _stresses(asking, vehicle, name, cross, arms) if small else []
    return informing(
        asking,
        id=_ID,
        title=_TITLE,
        at=at,
        results=[*factors, *([size] if size else []), *stresses],
        sentence=_sentence(arms, small=small),
        method=(_FACTORS if small else "") + _SIGN,
        source="Kirsch 1898 (equations read in a public reprint) on the statics of the cross (derived)",
        valid=small,
        validity=_validity(size, limit, small=small),
    )


def _not_read(text: str) -> str:
    if not text:
        return f"which arms the fitting sits between: {_ALLOWED}"
    return f"{_ALLOWED}, where “{text[:_MOST_LETTERS]}” was written"


def _state(arms: Arms, driving: Yoke) -> CornerState:
    return corner_state(arms=arms, driving_yoke=driving, torque_sense=_FORWARD)


def _sentence(arms: Arms, *, small: bool) -> str:
    pulled = "is pulled with three times the stress along the corner" if small else "is pulled (by how much is open)"
    told = f"The fitting sits between {' and '.join(arms)}, on a corner that"
    if _state(arms, Yoke.GEARBOX) is CornerState.OPENS:
        return f"{told} opens in drive: its mouth {pulled}. On overrun and in reverse the corner closes."
    return (
        f"{told} closes in drive: its mouth is pressed there. On overrun and in reverse the corner opens and the mouth "
        f"{pulled}."
    )


def _factors(arms: Arms) -> list[Quantity]:
    """Tension at the mouth for a stress of one along the corner."""
    found = []
    for words, driving in (("in drive", Yoke.GEARBOX), ("on overrun", Yoke.AXLE)):
        factor = fitting_hole_stress(nominal_pa=1.0, arms=arms, driving_yoke=driving, torque_sense=_FORWARD).greatest_pa
        spread_of = Spread(factor, factor, factor)
        found.append(Quantity(f"tension at the mouth over the stress along the corner, {words}", spread_of, "number"))
    return found


def _size(asking: Asking, name: str, cross: Cross, hole: Value | None) -> Quantity | None:
    if hole is None or cross.trunnion_diameter is None:
        return None
    arm = asking.take(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    if arm is None:
        return None
    return Quantity("hole over arm diameter", ratio(hole.spread, arm), "number")


def _stresses(asking: Asking, vehicle: Vehicle, name: str, cross: Cross, arms: Arms) -> list[Quantity]:
    """Tension at the mouth at the steady cap, and its swing to a retarder's pull, were the corner stressed like the
    arm root; nothing without the sizes of the arm and a torque."""
    part = asking.part()
    per_nm = _root_stress_per_nm(part, name, cross)
    torque = governing_torque(part, vehicle) if per_nm else None
    if per_nm is None or torque is None:
        return []
    asking.inputs |= part.inputs
    asking.only_a_bound = part.only_a_bound
    drive = spread(lambda torque, per_nm: torque * per_nm, torque=torque, per_nm=per_nm)
    results = [
        Quantity(
            "tension at the mouth in drive, steady cap, if the corner is stressed like the arm root",
            spread(lambda nominal: _mouth(nominal, arms, Yoke.GEARBOX), nominal=drive),
            "stress",
        )
    ]
    words = "greatest torque of a retarder"
    slowed = asking.take("vehicle.gearbox.retarder_torque", words, vehicle.gearbox.retarder_torque)
    if slowed is None:
        return results
    coast = spread(lambda torque, per_nm: torque * per_nm, torque=slowed, per_nm=per_nm)
    swing = spread(lambda drive, coast: _swing(drive, coast, arms), drive=drive, coast=coast)
    return [*results, Quantity("stress that alternates at the mouth's side, drive to retarder", swing, "stress")]


def _root_stress_per_nm(asking: Asking, name: str, cross: Cross) -> Spread | None:
    radius = asking.take(f"{name}.arm_radius", "joint centre to the middle of the cap force", cross.arm_radius)
    diameter = asking.take(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    arm = asking.take(f"{name}.root_distance", "cap force to the arm root", cross.root_distance)
    bore = asking.take(f"{name}.grease_bore", "grease hole along the arm", cross.grease_bore)
    if radius is None or diameter is None or arm is None or (bore is not None and bore.high >= diameter.low):
        return None
    return spread(
        lambda radius, arm, diameter, bore: arm_root_bending_pa(
            force_n=arm_force_n(torque_nm=1.0, arm_radius_m=radius), arm_m=arm, diameter_m=diameter, bore_m=bore
        ),
        radius=radius,
        arm=arm,
        diameter=diameter,
        bore=bore or Value.exact(0.0, "length"),
    )


def _mouth(nominal: Any, arms: Arms, driving: Yoke) -> Any:
    return fitting_hole_stress(nominal_pa=nominal, arms=arms, driving_yoke=driving, torque_sense=_FORWARD).greatest_pa


def _swing(drive: Any, coast: Any, arms: Arms) -> Any:
    return drive_and_coast_range(
        drive_nominal_pa=drive, coast_nominal_pa=coast, arms=arms, rotation=_FORWARD
    ).amplitude_pa


def _validity(size: Quantity | None, limit: Limit, *, small: bool) -> str:
    hole = "the size of the hole was not compared with the arm"
    if size is not None:
        share = size.spread.nominal
        hole = f"the hole is {share:.2f} of the arm, the method is for holes up to {limit.value.high:.1f}"
        if not small:
            hole = f"outside the range of the method: {hole}; the sign holds, the factor does not"
    return (
        f"{hole}; forward torque taken as clockwise seen from the gearbox looking rearward, arms counted G1, A1, G2, "
        "A2 clockwise the same way: prove both on the part; no formula gives the stress along the corner itself: the "
        "nominal bending at the arm root stands in for it, for its size only, and is held against nothing"
    )
