"""Root of an arm beyond plain bending: its shear, and what the fillet adds."""

from __future__ import annotations

from beachmark.basis.values import Spread, Value
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train
from beachmark.driveline.vehicle import Vehicle
from beachmark.findings.asking import Asking
from beachmark.findings.fillet import fillet_factors
from beachmark.findings.informing import ACCUSES_NOTHING, informing, side
from beachmark.findings.measured import core_yield
from beachmark.findings.ranges import ratio, spread
from beachmark.findings.results import Quantity, Sum
from beachmark.findings.strength import arm_stress, peak_torque
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.hooke import arm_force_n
from beachmark.mechanics.trunnion import arm_root_shear_pa
from beachmark.mechanics.tube import shear_yield_pa

_TITLE = "Shear and notch at the arm root"


def arm_notch_sums(knowledge: Knowledge, vehicle: Vehicle, train: Train) -> list[Sum]:
    """Each joint whose fillet or shoulder was measured."""
    crosses = [joint.cross for joint in train.joints]
    known = [cross.fillet_radius is not None or cross.shoulder_diameter is not None for cross in crosses]
    return [_notch(knowledge, vehicle, train, number) for number, has in enumerate(known, start=1) if has]


def _notch(knowledge: Knowledge, vehicle: Vehicle, train: Train, number: int) -> Sum:
    at, id, asking = Address("joint", number), "sum.arm_notch", Asking(knowledge)
    torque, stress_of = peak_torque(asking, vehicle), arm_stress(asking, train, number)
    strength = core_yield(asking, train, number)
    factors = fillet_factors(asking, train, number)
    if torque is None or stress_of is None or strength is None or factors is None:
        return asking.lacking(id, _TITLE, at)
    (kt, kf), shear = factors, _shear(asking, number, torque)
    local = spread(lambda stress, kt: stress * kt, stress=stress_of(torque), kt=kt)
    bears = spread(lambda strength: shear_yield_pa(yield_pa=strength), strength=strength)
    used, limit = ratio(shear, bears), knowledge.limits["static_ratio"].si
    shears = _shears(used, limit, bound=asking.only_a_bound)
    return informing(
        asking,
        id=id,
        title=_TITLE,
        at=at,
        results=[
            Quantity("fatigue notch factor of the fillet", kf, "number"),
            Quantity("notch factor of the fillet", kt, "number"),
            Quantity("elastic stress at the fillet, peak", local, "stress"),
            Quantity("greatest shear at the arm root, peak", shear, "stress"),
            Quantity("shear yield of the core", bears, "stress"),
        ],
        sentence=f"{shears} {_notched(kt, kf, knowledge.typical['arm_root_notch'].si)}",
        method=(
            "shear 4 F / (3 A) with its share for the grease hole, against 0.577 of the core yield; fillet as a "
            "shoulder of a round bar in bending; notch sensitivity by Neuber's length"
        ),
        source=(
            "beam theory; Pilkey, Peterson's Stress Concentration Factors (numbers read, signs from memory); Shigley, "
            "9th edition, equations 6-32 to 6-35 (read)"
        ),
        validity=(
            "an arm is a short beam and its shoulder is no full disc; above yield the fillet flows and the elastic "
            "stress is only a measure; a hardened case is outside the notch formula, which takes the core"
        ),
    )


def _shear(asking: Asking, number: int, torque: Value) -> Spread:
    """Greatest shear at the root; its inputs were asked for with the bending."""
    name = f"driveline.joints[{number - 1}].cross"
    given = {key: asking.inputs[f"{name}.{key}"].value for key in ("arm_radius", "trunnion_diameter")}
    bore = asking.inputs.get(f"{name}.grease_bore")
    return spread(
        lambda torque, radius, diameter, bore: arm_root_shear_pa(
            force_n=arm_force_n(torque_nm=torque, arm_radius_m=radius), diameter_m=diameter, bore_m=bore
        ),
        torque=torque,
        radius=given["arm_radius"],
        diameter=given["trunnion_diameter"],
        bore=bore.value if bore else Value.exact(0.0, "length"),
    )


def _shears(used: Spread, limit: float, *, bound: bool) -> str:
    """What the load says of the root in shear; a load that is only an upper bound can clear it and no more."""
    if bound and used.high >= limit:
        return f"Of shear at the root: {ACCUSES_NOTHING}"
    return side(
        used,
        limit,
        below="Shear at the root stays below yield.",
        above="The root shears through at the peak torque.",
        between="The root may yield in shear at the peak torque.",
    )


def _notched(kt: Spread, kf: Spread, usual: float) -> str:
    """What the fillet does, which no load changes."""
    return (
        f"The fillet raises bending {kt.nominal:.2f} times; repeated pulls feel {kf.nominal:.2f} times "
        f"(where no fillet is known {usual:.1f} is taken)."
    )
