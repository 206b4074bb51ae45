"""Notch factors of an arm's root: by its fillet where it was measured and is on the chart, else typical."""

from __future__ import annotations

from typing import Any

import numpy as np

from beachmark.basis.values import Spread, Value
from beachmark.driveline.train import Train
from beachmark.findings.asking import Asking
from beachmark.findings.measured import core_tensile
from beachmark.findings.ranges import spread, value_of
from beachmark.findings.results import Missing
from beachmark.mechanics.trunnion import (
    NOTCH_STRENGTH_RANGE_PA,
    PILKEY_BENDING_RANGE,
    notch_sensitivity_kf,
    shoulder_fillet_bending_kt_peterson,
)


def fatigue_notch(asking: Asking, train: Train, number: int) -> Spread | None:
    """Fatigue notch factor of an arm's root in bending; what a typical value stands in for is not missing."""
    if train.joint(number).cross.fillet_radius is not None:
        own = asking.part()
        factors = fillet_factors(own, train, number)
        if factors is not None:
            asking.inputs |= own.inputs
            return factors[1]
    value = asking.need("arm_root_notch", "fatigue notch factor of the arm root", None, "arm_root_notch")
    return value.spread if value else None


def fillet_factors(asking: Asking, train: Train, number: int) -> tuple[Spread, Spread] | None:
    """Elastic and fatigue notch factor of the arm's fillet in bending; what is missing is noted."""
    cross, name = train.joint(number).cross, f"driveline.joints[{number - 1}].cross"
    arm = asking.need(f"{name}.trunnion_diameter", "arm diameter", cross.trunnion_diameter)
    radius = asking.need(f"{name}.fillet_radius", "radius at the arm root", cross.fillet_radius)
    words = "diameter of the shoulder behind the arm"
    shoulder = asking.need(f"{name}.shoulder_diameter", words, cross.shoulder_diameter)
    chart = asking.need("notch_chart", "scatter of the notch charts", None, "notch_chart")
    tensile = core_tensile(asking, train, number)
    if arm is None or radius is None or shoulder is None or chart is None or tensile is None:
        return None
    if not _on_the_chart(asking, name, arm, radius, shoulder):
        return None
    kt = spread(_kt, arm=arm, radius=radius, shoulder=shoulder, chart=chart)
    return kt, spread(_kf, kt=value_of(kt, "number"), radius=radius, tensile=tensile)


def _on_the_chart(asking: Asking, name: str, arm: Value, radius: Value, shoulder: Value) -> bool:
    """Whether the notch chart holds over the whole range of the sizes; if not, what it needs is noted."""
    if shoulder.low <= arm.high:
        asking.missing.append(Missing(f"{name}.shoulder_diameter", "a shoulder larger than the arm"))
        return False
    low, high = PILKEY_BENDING_RANGE
    least = (shoulder.low - arm.high) / 2 / radius.high
    most = (shoulder.high - arm.low) / 2 / radius.low if radius.low > 0 else np.inf
    if low <= least and most <= high:
        return True
    words = f"a fillet that the notch charts hold for: shoulder height {low:g} to {high:g} times its radius"
    asking.missing.append(Missing(f"{name}.fillet_radius", words))
    return False


def _kt(*, arm: Any, radius: Any, shoulder: Any, chart: Any) -> Any:
    found = shoulder_fillet_bending_kt_peterson(large_m=shoulder, small_m=arm, radius_m=radius)
    return np.maximum(found * chart, 1.0)


def _kf(*, kt: Any, radius: Any, tensile: Any) -> Any:
    # beyond the fit's strengths its ends hold: the factor hardly changes there
    return notch_sensitivity_kf(kt=kt, radius_m=radius, ultimate_pa=np.clip(tensile, *NOTCH_STRENGTH_RANGE_PA))
