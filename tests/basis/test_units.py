"""Quantities as people type them: our parser against pint where pint reads them, and against definitions."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.basis.errors import InputError
from beachmark.basis.units import UNITS, parse_quantity, show

REGISTRY = pint.UnitRegistry()
PINT_NAMES = {
    "length": {"mm": "mm", "m": "m", "cm": "cm", "in": "inch", "ft": "foot", "µm": "micrometer", "um": "micrometer"},
    "distance": {"km": "km", "m": "m", "mi": "mile"},
    "angle": {"deg": "degree", "rad": "radian", "°": "degree"},
    "torque": {
        "N m": "N*m",
        "kN m": "kN*m",
        "lbf ft": "lbf*foot",
        "lbf in": "lbf*inch",
        "kgf m": "kilogram_force*meter",
    },
    "force": {"N": "N", "kN": "kN", "lbf": "lbf", "kgf": "kilogram_force"},
    "mass": {"kg": "kg", "t": "metric_ton", "g": "g", "lb": "pound"},
    "speed": {"km/h": "km/hour", "m/s": "m/s", "mph": "mile/hour"},
    "rotation": {"rpm": "revolution/minute", "rad/s": "radian/s", "Hz": "revolution/s"},
    "stress": {"MPa": "MPa", "GPa": "GPa", "kPa": "kPa", "Pa": "Pa", "psi": "psi", "bar": "bar"},
    "density": {"kg/m3": "kg/m**3", "kg/m³": "kg/m**3"},
    "time": {"h": "hour", "s": "s", "min": "minute", "day": "day"},
    "temperature": {"K": "kelvin"},
}
ALL_UNITS = [(dimension, unit) for dimension, units in PINT_NAMES.items() for unit in units]


def test_every_unit_has_a_reference() -> None:
    assert {(d, u) for d, units in UNITS.items() for u in units if d != "number"} == set(ALL_UNITS)


@pytest.mark.parametrize(("dimension", "unit"), ALL_UNITS)
def test_factor_agrees_with_pint(dimension: str, unit: str) -> None:
    """Reference: pint, a general-purpose unit library."""
    reference = REGISTRY.Quantity(1.0, PINT_NAMES[dimension][unit]).to_base_units().magnitude
    assert UNITS[dimension][unit] == pytest.approx(reference, rel=1e-12)


# by the definitions of NIST Special Publication 811, appendix B (inch 25.4 mm, pound 0.45359237 kg,
# standard gravity 9.80665 m/s2); shop notation that a general-purpose parser misreads
@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("8.6 in", "length", 8.6 * 0.0254),
        ("59 13/16 in", "length", (59 + 13 / 16) * 0.0254),
        ("13/16 in", "length", 13 / 16 * 0.0254),
        ('59 13/16"', "length", (59 + 13 / 16) * 0.0254),
        ("5 ft 3 in", "length", 63 * 0.0254),
        ("5' 3 1/2\"", "length", 63.5 * 0.0254),
        ("1 200 mm", "length", 1.2),
        ("1,200 mm", "length", 1.2),
        ("1850 lbf ft", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("1850 lb-ft", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("1200 lb*ft", "torque", 1200 * 0.45359237 * 9.80665 * 0.3048),
        ("2.3 kNm", "torque", 2300.0),
        ("4°30'", "angle", math.radians(4.5)),
        ("-4°30'", "angle", -math.radians(4.5)),
        ("4°30'36\"", "angle", math.radians(4.51)),
        ("3.2 deg nose down", "angle", math.radians(3.2)),
        ("3.2 deg nose up", "angle", -math.radians(3.2)),
        ("2 deg to the right", "angle", math.radians(2)),
        ("−2 deg", "angle", -math.radians(2)),
        ("412 000 km", "distance", 4.12e8),
        ("118 km/h", "speed", 118 / 3.6),
        ("2100 rpm", "rotation", 2100 * math.pi / 30),
        (11.7, "number", 11.7),
        ("95 %", "number", 0.95),
        ("1e3 mm", "length", 1.0),
    ],
)
def test_shop_notation(text: str | float, dimension: str, si: float) -> None:
    assert parse_quantity(text, dimension).si == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("8.6", "length", "has no unit"),
        ("8.6 kg", "length", "is a mass, not a length"),
        ("1,5 mm", "length", "not known"),
        ("59 13/0 in", "length", ""),
        ("3 deg 75'", "angle", ""),
        ("-3 deg nose up", "angle", "carries a sign and a sense"),
        ("nan mm", "length", "cannot be read"),
        ("inf mm", "length", "cannot be read"),
        ("1e999 mm", "length", "not a finite number"),
        ("", "length", "cannot be read"),
        ("mm", "length", "cannot be read"),
        ("12 mm mm", "length", "not known"),
        ("0x10 mm", "length", "not known"),
        (True, "number", "not a quantity"),
        ([1], "length", "not a quantity"),
        ("5 furlongs", "length", "not known"),
    ],
)
def test_refusals_name_value_and_what_is_allowed(text: object, dimension: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_quantity(text, dimension, where="form", field="some.field")
    fault = refused.value.faults[0]
    assert says in fault.wrong
    assert fault.field == "some.field"
    assert fault.allowed


@given(
    st.floats(allow_nan=False, allow_infinity=False, min_value=-1e9, max_value=1e9).filter(
        lambda x: x == 0 or abs(x) > 1e-9  # nothing smaller is typed or printed
    ),
    st.sampled_from(ALL_UNITS),
)
def test_what_is_printed_is_read_back(number: float, chosen: tuple[str, str]) -> None:
    dimension, unit = chosen
    read = parse_quantity(f"{number!r} {unit}", dimension)
    assert read.si == pytest.approx(number * UNITS[dimension][unit], rel=1e-12, abs=1e-300)
    shown = parse_quantity(show(read.si, dimension, unit, digits=6), dimension)
    assert shown.si == pytest.approx(read.si, rel=2e-5, abs=1e-12)


@given(st.text(max_size=30), st.sampled_from(sorted(UNITS)))
def test_any_text_is_read_or_refused_never_worse(text: str, dimension: str) -> None:
    try:
        read = parse_quantity(text, dimension)
    except InputError as error:
        refused = error
    else:
        assert math.isfinite(read.si)
        return
    assert refused.faults[0].allowed
