"""The same drawing in words: for screen readers, for a fax, and as the name of every part one can follow."""

from __future__ import annotations

from beachmark.basis.values import Value
from beachmark.driveline.parts import End, Shaft
from beachmark.driveline.phase import stated_phase, teeth_words
from beachmark.driveline.positions import Address
from beachmark.driveline.train import Train, with_slopes_from_points
from beachmark.report.drawing.angles import (
    Bend,
    bends,
    degrees,
    millimetres,
    phase_words,
    plan_words,
    slope_words,
)

Row = tuple[str, str, str]
MISSING = "missing"


def driveline_table(train: Train) -> list[Row]:
    """Every part from the gearbox to the axle: part, what is known, how (measured, assumed, missing ...)."""
    train = with_slopes_from_points(train)
    rows = _end_rows("Gearbox", train.gearbox_end)
    for k, bend in enumerate(bends(train), start=1):
        rows += _joint_rows(f"Joint {k}", bend)
        if k <= len(train.shafts):
            rows += _shaft_rows(f"Shaft {k}", train.shaft(k))
        if k < len(train.shafts):
            rows.append(_support_row(k, train))
    return rows + _end_rows("Axle", train.axle_end)


def part_in_words(address: Address, rows: list[Row]) -> str:
    """The rows of one drawn part as a sentence: its accessible name."""
    name = _row_name(address)
    told = [f"{what} ({how})" for part, what, how in rows if part == name]
    return f"{name}: {', '.join(told)}" if told else name


def _row_name(address: Address) -> str:
    if address.part == "slip":
        return f"Shaft {address.number} slip"
    unit = "Centre bearing" if address.unit == "support" else address.unit.capitalize()
    return f"{unit} {address.number}" if address.number else unit


def _row(part: str, what: str, value: Value | None, told: str) -> Row:
    if value is None:
        return part, f"{what} not known", MISSING
    return part, f"{what} {told}", str(value.known)


def _direction_rows(part: str, piece: End | Shaft) -> list[Row]:
    slope = slope_words(piece.slope.si) if piece.slope else ""
    plan = plan_words(piece.plan.si) if piece.plan else ""
    return [_row(part, "slope", piece.slope, slope), _row(part, "plan angle", piece.plan, plan)]


def _end_rows(part: str, end: End) -> list[Row]:
    return _direction_rows(part, end)


def _joint_rows(part: str, bend: Bend) -> list[Row]:
    how = "measured at the joint" if bend.measured_at_joint else "computed from the slopes"
    how = "assumed" if bend.assumed and bend.measured_at_joint else how
    how += ", some assumed" if bend.assumed and not bend.measured_at_joint else ""
    rows = [_angle_row(part, "working angle", bend.combined, how)]
    computed = "computed from the slopes"
    rows.append(_angle_row(part, "seen from the side", bend.side, computed))
    rows.append(_angle_row(part, "seen from above", bend.plan, computed))
    if bend.disagrees and bend.from_slopes is not None:
        rows.append((part, f"the slopes give {degrees(bend.from_slopes)}", f"{computed}; measure again"))
    return rows


def _angle_row(part: str, what: str, angle: float | None, how: str) -> Row:
    return (part, f"{what} not known", MISSING) if angle is None else (part, f"{what} {degrees(angle)}", how)


def _shaft_rows(part: str, shaft: Shaft) -> list[Row]:
    def size(value: Value | None) -> str:
        return millimetres(value.si) if value else ""

    return [
        _row(part, "length between joints", shaft.length, size(shaft.length)),
        *_direction_rows(part, shaft),
        _phase_row(part, shaft),
        _row(part, "tube outside diameter", shaft.tube.outer_diameter, size(shaft.tube.outer_diameter)),
        _row(part, "tube wall", shaft.tube.wall, size(shaft.tube.wall)),
        _slip_row(f"{part} slip", shaft),
    ]


def _phase_row(part: str, shaft: Shaft) -> Row:
    what, told, phase = "rear yoke against front yoke", phase_words(shaft), stated_phase(shaft)
    if phase is None and told:
        return part, f"{what} turned by an unknown angle, {told}", "stated"
    return _row(part, what, phase, told)


def _slip_row(part: str, shaft: Shaft) -> Row:
    if shaft.slip is None and not shaft.slip_size:
        return part, "not recorded", MISSING
    engaged = shaft.slip.engaged_length if shaft.slip else None
    what, how, known = _row(part, "engaged length", engaged, millimetres(engaged.si) if engaged else "")
    teeth = teeth_words(shaft)
    return (what, f"{teeth}, {how}", known if engaged else "stated") if teeth else (what, how, known)


def _support_row(number: int, train: Train) -> Row:
    part = f"Centre bearing {number}"
    if train.shaft(number).support:
        return part, f"at the rear end of shaft {number}", "stated"
    return part, "not recorded", MISSING
