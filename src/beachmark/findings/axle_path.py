"""How the driven axle moves over the travel of its suspension: as it was measured, or on its arms."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt

from beachmark.basis.values import Value
from beachmark.driveline.vehicle import RideHeight, Suspension
from beachmark.findings.asking import Asking
from beachmark.findings.results import Missing
from beachmark.mechanics.travel import AxlePath, arc_path, four_link_path, table_path

_POINTS = 25

Reals = npt.NDArray[np.float64]
PathOf = Callable[[Mapping[str, float]], tuple[Reals, AxlePath]]


def axle_path(asking: Asking, suspension: Suspension) -> tuple[dict[str, Value], PathOf] | None:
    """How the axle moves: as measured where two heights or more are, else on its arms."""
    measured = [one for one in suspension.measured if one.height is not None and one.pinion_slope is not None]
    return _as_measured(asking, measured) if len(measured) >= 2 else _on_arms(asking, suspension)


def _as_measured(asking: Asking, measured: list[RideHeight]) -> tuple[dict[str, Value], PathOf] | None:
    values: dict[str, Value] = {}
    for i, one in enumerate(measured):
        name = f"vehicle.suspension.measured[{i}]"
        for key, words, value in (
            ("height", "height of the axle", one.height),
            ("pinion_slope", "slope of the pinion", one.pinion_slope),
        ):
            taken = asking.take(f"{name}.{key}", f"{words}, reading {i + 1}", value)
            if taken is not None:
                values[f"{key}{i}"] = taken
    order = sorted(range(len(measured)), key=lambda i: values[f"height{i}"].si)
    ends = [values[f"height{i}"] for i in order]
    apart = all(below.high < above.low for below, above in itertools.pairwise(ends))
    if not apart or not ends[0].high <= 0 <= ends[-1].low:
        allowed = "heights that differ by more than their errors and lie on both sides of ride height (which is 0)"
        asking.missing.append(Missing("vehicle.suspension.measured", allowed))
        return None

    def path(si: Mapping[str, float]) -> tuple[Reals, AxlePath]:
        heights = np.array([si[f"height{i}"] for i in order])
        slopes = np.array([si[f"pinion_slope{i}"] for i in order])
        rows = _grid(heights[0], heights[-1])
        # ride height is the frame above the axle: it grows as the axle drops
        return rows, table_path(
            ride_heights_m=-rows,
            design_height_m=0.0,
            table_heights_m=-heights[::-1],
            table_pinion_slopes_rad=slopes[::-1],
            table_rises_m=heights[::-1],
        )

    return values, path


def _grid(low: float, high: float) -> Reals:
    """Heights over the travel, ride height among them."""
    return np.unique(np.concatenate([np.linspace(low, high, _POINTS), [0.0]]))


def _on_arms(asking: Asking, suspension: Suspension) -> tuple[dict[str, Value], PathOf] | None:
    name = "vehicle.suspension"
    arms = {
        "bump": asking.need(f"{name}.bump", "axle travel upward", suspension.bump),
        "droop": asking.need(f"{name}.droop", "axle travel downward", suspension.droop),
        "arm": asking.need(f"{name}.arm_length", "length of the lower arm or half spring", suspension.arm_length),
        "arm_slope": asking.need(f"{name}.arm_slope", "slope of that arm", suspension.arm_slope),
    }
    second = {
        "second": asking.take(f"{name}.second_arm_length", "length of the upper arm", suspension.second_arm_length),
        "second_slope": asking.take(f"{name}.second_arm_slope", "slope of it", suspension.second_arm_slope),
        "apart": asking.take(f"{name}.arm_distance", "upper above lower arm at the axle", suspension.arm_distance),
    }
    linked = all(value is not None for value in second.values())
    turns = suspension.turn_share
    if not linked:
        second = {"share": asking.need(f"{name}.turn_share", "how far the axle turns", turns, "axle_turn_share")}
    asked = arms | second
    values = {key: value for key, value in asked.items() if value is not None}
    if len(values) < len(asked):
        return None
    return values, _linked_path if linked else _arc_path


def _linked_path(si: Mapping[str, float]) -> tuple[Reals, AxlePath]:
    rows = _grid(-si["droop"], si["bump"])
    return rows, four_link_path(
        ride_heights_m=-rows,
        design_height_m=0.0,
        lower_length_m=si["arm"],
        lower_angle_rad=si["arm_slope"],
        upper_length_m=si["second"],
        upper_angle_rad=si["second_slope"],
        axle_pivots_apart_m=si["apart"],
    )


def _arc_path(si: Mapping[str, float]) -> tuple[Reals, AxlePath]:
    rows = _grid(-si["droop"], si["bump"])
    return rows, arc_path(
        ride_heights_m=-rows,
        design_height_m=0.0,
        arm_m=si["arm"],
        arm_angle_rad=si["arm_slope"],
        turn_share=si["share"],
    )
