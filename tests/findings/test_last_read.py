"""What a person can type must reach a sum: duty steps, case depth, straight teeth, beach marks, curve, seat, room."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass

import pytest

from beachmark.cases.assessment import compute
from beachmark.cases.case import Case
from beachmark.driveline import parts, vehicle
from beachmark.driveline.fields import about
from beachmark.findings.results import Sum
from beachmark.knowledge.model import Knowledge
from tests.conftest import ROOT

ReadCase = Callable[[str], Case]
CROSS = (
    "{arm_radius: 60 mm, trunnion_diameter: 33 mm, root_distance: 14 mm, needles: 36, needle_diameter: 3 mm, "
    "needle_length: 20 mm}"
)
BASE = f"""
vehicle:
  engine: {{peak_torque: 2000 N m, governed_speed: 2000 rpm}}
  gearbox: {{first_gear: 10, top_gear: 1, efficiency: 0.95}}
  axle: {{ratio: 4, load: 18 t, efficiency: 0.96}}
  tyre: {{rolling_radius: 0.5 m, grip: 0.7}}
  duty: {{cruise_torque: 1000 N m, distance: 200 000 km}}
driveline:
  shafts: [{{length: 1.5 m}}]
  joints: [{{angle: 4 deg, cross: {CROSS}}}, {{angle: 4 deg}}]
"""


def one(case: Case, knowledge: Knowledge, id: str) -> Sum:
    return next(found for found in compute(case, knowledge) if found.id == id and found.computed)


def nominal(found: Sum, words: str) -> float:
    return next(result.spread.nominal for result in found.results if words in result.words)


def test_every_field_of_the_installed_parts_is_asked_for_by_a_sum() -> None:
    """A field that nothing reads would be typed in vain; the former length tells a reader what stood there before."""
    read = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "src/beachmark").rglob("*.py"))
    read = read.replace((ROOT / "src/beachmark/driveline/usual.py").read_text(encoding="utf-8"), "")
    for module in (parts, vehicle):
        for kind in vars(module).values():
            if is_dataclass(kind) and getattr(kind, "__module__", "") == module.__name__:
                for of in fields(kind):
                    if about(of) and of.name != "former_length":
                        uses = read.count(f".{of.name}") + read.count(f'"{of.name}"')
                        assert uses >= 1, f"{kind.__name__}.{of.name} is read nowhere"


def test_joint_life_takes_the_steps_of_the_duty(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Mean by the exponent 10/3 (ISO 281), and Palmgren-Miner over the steps: the two must agree."""
    steps = ((500.0, 0.6), (1500.0, 0.3), (4000.0, 0.1))
    loads = ", ".join(f"{{torque: {torque} N m, share: {share}}}" for torque, share in steps)
    duty = case_of(BASE.replace("distance: 200 000 km", f"distance: 200 000 km, loads: [{loads}]"))
    found = nominal(one(duty, knowledge, "finding.joint_life"), "L10")
    lives = {
        torque: nominal(one(case_of(BASE.replace("1000 N m", f"{torque} N m")), knowledge, "finding.joint_life"), "L10")
        for torque, _ in steps
    }
    assert found == pytest.approx(1 / sum(share / lives[torque] for torque, share in steps), rel=1e-9)
    assert any(
        given.name == "vehicle.duty.loads[2].torque" for given in one(duty, knowledge, "finding.joint_life").inputs
    )


def test_a_measured_case_moves_first_yield_to_where_it_ends(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Bending stress is linear over the section: at depth e below the surface of a bar D it is 1 - 2 e / D of it."""
    deep = case_of(BASE.replace("root_distance", "case_depth: 1.5 mm, root_distance"))
    found, plain = (one(case, knowledge, "finding.trunnion_static") for case in (deep, case_of(BASE)))
    share = nominal(found, "load over capacity") / nominal(plain, "load over capacity")
    assert share == pytest.approx(1 - 2 * 1.5 / 33)


def test_straight_teeth_are_crushed_at_the_printed_relation(case_of: ReadCase, knowledge: Knowledge) -> None:
    """T = p N R h L with R = (D + d) / 4 (Mott, SAE straight splines, from memory)."""
    slip = (
        "slip: {straight_sides: true, teeth: 10, outer_diameter: 60 mm, root_diameter: 48 mm, pitch_diameter: 54 mm, "
        "engaged_length: 100 mm, yield_stress: 600 MPa}"
    )
    case = case_of(BASE.replace("length: 1.5 m", f"length: 1.5 m, {slip}"))
    typical = knowledge.typical
    height = typical["spline_contact_share"].si * 0.006
    bears = 600e6 * 10 * 0.027 * height * 0.1 / typical["spline_distribution"].si
    assert nominal(one(case, knowledge, "sum.spline_teeth"), "begin to be crushed") == pytest.approx(bears)


def test_beach_marks_that_only_follow_the_depth_leave_the_load_open(case_of: ReadCase, knowledge: Knowledge) -> None:
    """At the exponent 3, marks eight times as wide at four times the depth need no change of load (Paris)."""
    case = case_of(BASE.replace("root_distance", "mark_spacing: 8, mark_depth: 4, root_distance"))
    found = one(case, knowledge, "sum.beach_marks")
    assert nominal(found, "last over first") == pytest.approx(1.0, abs=0.02)
    assert "leave open" in found.sentence
    lacking = case_of(BASE.replace("root_distance", "mark_spacing: 8, root_distance"))
    [missing] = [one for one in compute(lacking, knowledge) if one.id == "sum.beach_marks"]
    assert [lack.name for lack in missing.missing] == ["driveline.joints[0].cross.mark_depth"]


def test_a_locked_differential_winds_up_in_a_curve(case_of: ReadCase, knowledge: Knowledge) -> None:
    """Each wheel shares half of track / R; beyond grip it skids: mu W r for one side (balance of slip, derived)."""
    text = BASE.replace("ratio: 4,", "ratio: 4, track: 2 m,").replace("duty: {", "duty: {curve_radius: 12 m, ")
    wound = nominal(one(case_of(text), knowledge, "sum.torque_paths"), "wound up in a half shaft")
    half_axle = 500e3  # N for each unit of slip, half of the typical axle
    assert wound == pytest.approx(min(2 / 12 * half_axle / 2, 0.7 * 9000 * 9.80665) * 0.5)


def test_a_wobbling_seat_adds_to_a_skew_one(case_of: ReadCase, knowledge: Knowledge) -> None:
    held = "misalignment: 1 deg, allowed_misalignment: 2 deg, seat_runout: 0.5 mm, seat_diameter: 60 mm"
    shafts = f"[{{length: 1 m, support: true, centre_bearing: {{{held}}}}}, {{length: 1 m}}]"
    case = case_of(f"driveline: {{shafts: {shafts}, joints: [{{}}, {{}}, {{}}]}}")
    used = nominal(one(case, knowledge, "sum.centre_bearing"), "tilt of the seat")
    assert used == pytest.approx((math.radians(1) + math.atan(0.5 / 60)) / math.radians(2))


def test_a_slip_without_room_is_told(case_of: ReadCase, knowledge: Knowledge) -> None:
    text = """
vehicle:
  suspension: {bump: 100 mm, droop: 100 mm, arm_length: 0.8 m, arm_slope: 0 deg, turn_share: 0.000000001}
driveline:
  gearbox_end: {slope: 0 deg}
  shafts: [{length: 1.2 m, slope: "-6 deg", phase: 0 deg, slip: {room_in: ROOM, room_out: 80 mm}}]
  joints: [{}, {}]
  axle_end: {slope: 0 deg}
"""
    tight, ample = (
        one(case_of(text.replace("ROOM", room)), knowledge, "sum.ride_height") for room in ("2 mm", "60 mm")
    )
    x, z = 1.2 * math.cos(math.radians(6)), -1.2 * math.sin(math.radians(6))
    heights = [step / 1000 - 0.1 for step in range(201)]
    lengths = [math.hypot(x + math.sqrt(0.64 - h * h) - 0.8, z + h) for h in heights]
    assert nominal(tight, "toward closing") == pytest.approx(1.2 - min(lengths), rel=0.01)
    assert nominal(tight, "toward coming out") == pytest.approx(max(lengths) - 1.2, abs=1e-4)
    assert "The slip closes within the travel" in tight.sentence
    assert "slip" not in ample.sentence
