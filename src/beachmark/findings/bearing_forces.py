"""Force that 1 N m puts on the centre bearing of a two-piece line, with the ranges of slopes, phases and lengths."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from beachmark.basis.draws import COUNT
from beachmark.basis.values import Spread, Value
from beachmark.driveline.train import Train
from beachmark.findings.angles import joint_bends, pieces
from beachmark.findings.asking import Asking
from beachmark.findings.phase import shaft_phases
from beachmark.findings.ranges import of_sample
from beachmark.findings.results import Missing
from beachmark.mechanics.centre_bearing_force import two_piece_bearing_force

Reals = npt.NDArray[np.float64]
_SHAFTS = 2
_HALF_TURN = np.arange(8) * np.pi / 8  # only even orders occur, so half a turn says all; order 14 is the first to blur


@dataclass(frozen=True)
class ForcePerTorque:
    """Force on the bearing for 1 N m [N]: steady part along x, y and z, and greatest size of the second order."""

    steady_parts: dict[str, Spread]
    second: Spread


def force_per_torque(asking: Asking, train: Train, number: int) -> ForcePerTorque | None:
    """The force on the centre bearing behind shaft `number`, or None with what is missing noted."""
    if len(train.shafts) != _SHAFTS:
        asking.missing.append(Missing("driveline.shafts", "a line of two shafts: the force is computed for no other"))
        return None
    lengths = _lengths(asking, train, number)
    directions = _directions(asking, train)
    if lengths is None or directions is None:
        return None
    phases = shaft_phases(asking, train)
    rows = np.concatenate([directions, phases.rows, lengths], axis=1)  # nominal first, draws below
    return _parts(_along_lines(_force, rows), certain=bool(np.all(rows == rows[0])))


def _lengths(asking: Asking, train: Train, number: int) -> Reals | None:
    """Rows of front length, place of the bearing before the joint behind it, rear length."""
    front, rear = (f"driveline.shafts[{i}]" for i in (number - 1, number))
    place = train.shaft(number).centre_bearing.position
    words = "centre bearing before the joint behind it"
    asked = [
        asking.need(f"{front}.length", f"length of shaft {number}", train.shaft(number).length),
        asking.need(f"{front}.centre_bearing.position", words, place, "centre_bearing_position"),
        asking.need(f"{rear}.length", f"length of shaft {number + 1}", train.shaft(number + 1).length),
    ]
    found = [value for value in asked if value is not None]
    if len(found) < len(asked):
        return None
    if found[1].high >= found[0].low:
        asking.missing.append(Missing(f"{front}.centre_bearing.position", "a place on the shaft that it carries"))
        return None
    return np.stack([_column(value) for value in found], axis=1)


def _column(value: Value) -> Reals:
    return np.concatenate([[value.si], np.full(COUNT, value.si) if value.sample is None else value.sample])


def _directions(asking: Asking, train: Train) -> Reals | None:
    """Rows of y/x and z/x of gearbox, both shafts and axle; known from slopes only."""
    missing = [
        Missing(f"{name}.slope", f"slope of the {words} in side view")
        for name, words, piece in pieces(train)
        if piece.slope is None
    ]
    bends = None if missing else joint_bends(asking, train)
    if bends is None or bends.directions is None:
        asking.missing += missing
        return None
    found: Reals = (bends.directions[..., 1:] / bends.directions[..., :1]).reshape(len(bends.directions), -1)
    return found


def _force(row: Reals) -> Reals:
    """Force for 1 N m over half a turn, (angles, 3), of one row of directions, phases and lengths."""
    sides, phases, (front, place, rear) = row[:8].reshape(4, 2), row[8:10], row[10:]
    return two_piece_bearing_force(
        torque_nm=1.0,
        directions=np.column_stack([np.ones(4), sides]),
        phases_rad=phases,
        front_span_m=front - place,
        overhang_m=place,
        rear_length_m=rear,
        input_angles_rad=_HALF_TURN,
    )


def _along_lines(function: Callable[[Reals], Reals], rows: Reals) -> Reals:
    """`function` of every row, from its values at the ends of each column alone.

    Between them run straight lines, and the columns' effects add: couples are nearly proportional to the angles.
    """
    nominal = function(rows[0])
    found = np.broadcast_to(nominal, (len(rows), *nominal.shape)).copy()
    for i in range(rows.shape[1]):
        shift = rows[:, i] - rows[0, i]
        for end in (shift.min(), shift.max()):
            if end != 0.0:
                moved = rows[0].copy()
                moved[i] += end
                share = np.where(np.sign(shift) == np.sign(end), shift / end, 0.0)
                found += share[:, None, None] * (function(moved) - nominal)
    return found


def _parts(forces: Reals, *, certain: bool) -> ForcePerTorque:
    """Mean over a turn, and the greatest size that the twice-a-turn part reaches (its tip runs on an ellipse)."""
    steady = forces.mean(axis=1)
    turning = np.exp(-2j * _HALF_TURN)
    second = 2 * np.einsum("rax,a->rx", forces, turning) / len(_HALF_TURN)
    size = np.sqrt((np.sum(np.abs(second) ** 2, axis=1) + np.abs(np.sum(second**2, axis=1))) / 2)

    def spread_of(column: Reals) -> Spread:
        nominal = float(column[0])
        return Spread(nominal, nominal, nominal) if certain else of_sample(nominal, column[1:])

    return ForcePerTorque({axis: spread_of(steady[:, i]) for i, axis in enumerate("xyz")}, spread_of(size))
