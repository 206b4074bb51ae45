"""Sizes that no heavy driveline has are asked back; those of real and invented cases are left alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from beachmark.basis.errors import InputError
from beachmark.basis.units import show
from beachmark.cases.case import Case
from beachmark.driveline import parts, vehicle
from beachmark.driveline.fields import about
from beachmark.driveline.usual import USUAL, asked_back, usual
from beachmark.workflow.loading import from_file
from tests.conftest import EXAMPLES, ROOT

ReadCase = Callable[[str], Case]
CASES = [*sorted(EXAMPLES.rglob("*.yaml")), *sorted((ROOT / "src/beachmark/workflow/demo").glob("[0-9]*.yaml"))]
KINDS = [
    kind
    for module in (parts, vehicle)
    for kind in vars(module).values()
    if isinstance(kind, type) and is_dataclass(kind) and kind.__module__ == module.__name__
]
DAMAGE = "records damage or wear: any size of it may be true"
ANY = "every value is possible"
WITHOUT_BAND = {
    "Tube.twist_left": DAMAGE, "Tube.runout": DAMAGE, "Slip.clearance": DAMAGE, "Slip.twist_left": DAMAGE,
    "Slip.room_in": DAMAGE, "Slip.room_out": DAMAGE, "Cross.radial_clearance": DAMAGE, "Cross.end_play": DAMAGE,
    "Cross.dent_depth": DAMAGE, "Cross.final_share": DAMAGE, "CentreBearing.misalignment": DAMAGE,
    "CentreBearing.axial_offset": DAMAGE, "Joint.bend_plane": ANY, "Shaft.phase": ANY, "DutyLoad.share": ANY,
    "Duty.starts_per_km": ANY, "Duty.since_greased": ANY, "RideHeight.height": ANY,
    "RideHeight.pinion_slope": ANY, "Suspension.turn_share": ANY,
    "Cross.mark_spacing": DAMAGE, "Cross.mark_depth": DAMAGE, "CentreBearing.seat_runout": DAMAGE,
    "Axle.lash": DAMAGE,
}  # fmt: skip


def questions(case: Case) -> dict[str, str]:
    return {one.name: one.question for one in asked_back(case.vehicle, case.installed())}


def test_every_quantity_has_a_band_or_a_reason_to_have_none() -> None:
    """A new field needs one or the other."""
    every = {f"{kind.__name__}.{of.name}" for kind in KINDS for of in fields(kind) if about(of)}
    banded = {f"{kind.__name__}.{key}" for kind, bands in USUAL.items() for key in bands}
    assert banded <= every, "a band of a field that is not there"
    assert not banded & WITHOUT_BAND.keys()
    assert every - banded == WITHOUT_BAND.keys() & every


def test_bands_are_bands_inside_what_the_case_file_takes() -> None:
    for kind, bands in USUAL.items():
        for key in bands:
            band = usual(kind, key)
            described = about(next(of for of in fields(kind) if of.name == key))
            assert band is not None
            assert described is not None
            assert band.low < band.high, (kind, key)
            assert band.source == "common practice, no source"
            assert described.most is None or band.high <= described.most, (kind, key)
            assert described.least is None or band.high > described.least, (kind, key)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_no_example_is_asked_back(path: Path) -> None:
    """Published failures and invented cases hold ordinary sizes: a band that doubts them is too narrow."""
    assert questions(from_file(path).case) == {}


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        ("driveline: {shafts: [{tube: {wall: 40 mm}}]}", "driveline.shafts[0].tube.wall",
         "Wall thickness 40 mm: usual is 1.6 to 10 mm. Keep it if measured."),
        ("driveline: {shafts: [{tube: {wall: 0.2 mm}}]}", "driveline.shafts[0].tube.wall", "Wall thickness 0.2 mm"),
        ("driveline: {shafts: [{tube: {outer_diameter: 0.9 m}}]}", "driveline.shafts[0].tube.outer_diameter",
         "Outside diameter 900 mm"),
        ("driveline: {shafts: [{}], joints: [{cross: {trunnion_diameter: 5 mm}}, {}]}",
         "driveline.joints[0].cross.trunnion_diameter", "Arm diameter 5 mm"),
        ("driveline: {shafts: [{}], joints: [{yoke: {bore: 5 mm}}, {}]}", "driveline.joints[0].yoke.bore", "5 mm"),
        ("vehicle: {axle: {ratio: 29}}", "vehicle.axle.ratio", "Axle ratio 29: usual is 1.5 to 25."),
        ("vehicle: {tyre: {rolling_radius: 1.9 m}}", "vehicle.tyre.rolling_radius", "Rolling radius 1900 mm"),
        ("vehicle: {engine: {peak_torque: 23 N m}}", "vehicle.engine.peak_torque", "Greatest engine torque 23 N m"),
        ("vehicle: {duty: {cruise_speed: 800 km/h}}", "vehicle.duty.cruise_speed", "Usual road speed 800 km/h"),
    ],
)  # fmt: skip
def test_what_no_heavy_driveline_has_is_asked_back(text: str, name: str, says: str, case_of: ReadCase) -> None:
    asked = questions(case_of(text))
    assert list(asked) == [name]
    assert says in asked[name]


def test_sizes_of_the_catalogue_are_asked_back_too(case_of: ReadCase) -> None:
    catalogue = "catalogue: {beachmark_catalogue: 1, name: Own, tubes: {a: {wall: 40 mm}}}"
    assert list(questions(case_of(f"{catalogue}\ndriveline: {{shafts: [{{tube_size: a}}]}}"))) == [
        "driveline.shafts[0].tube.wall"
    ]


@pytest.mark.parametrize(
    "text",
    [
        "driveline: {shafts: [{tube: {outer_diameter: 3 m}}]}",
        "vehicle: {axle: {ratio: 300}}",
        "vehicle: {tyre: {rolling_radius: 5 m}}",
    ],
)
def test_what_lies_beyond_the_limit_of_its_field_is_refused_with_that_limit(text: str, case_of: ReadCase) -> None:
    with pytest.raises(InputError) as refused:
        case_of(text)
    assert "at most" in refused.value.faults[0].allowed


@pytest.mark.parametrize(("kind", "key"), [(kind, key) for kind, bands in USUAL.items() for key in bands])
def test_the_ends_are_usual_and_just_beyond_them_is_not(kind: type, key: str) -> None:
    band, described = usual(kind, key), about(next(of for of in fields(kind) if of.name == key))
    assert band is not None
    assert described is not None
    width = band.high - band.low
    for end, beyond in ((band.low, band.low - 0.01 * width), (band.high, band.high + 0.01 * width)):
        assert band.question(end, described) == ""
        asked = band.question(beyond, described)
        assert show(beyond, described.dimension) in asked
        assert asked.endswith("Keep it if measured.")
