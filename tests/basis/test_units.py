"""Quantities as people type them: our parser against pint where pint reads them, and against definitions."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beachmark.basis.errors import InputError
from beachmark.basis.units import SPELLINGS, UNITS, parse_quantity, sense_of, show, split_range, thread

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
    "time": {"ms": "ms", "h": "hour", "s": "s", "min": "minute", "day": "day"},
    "temperature": {"K": "kelvin"},
    "stiffness": {"N/mm": "N/mm", "N/m": "N/m", "kN/mm": "kN/mm", "lbf/in": "lbf/inch"},
    "twist stiffness": {"N m/deg": "N*m/degree", "N m/rad": "N*m/radian", "kN m/rad": "kN*m/radian"},
    "inertia": {"kg m2": "kg*m**2", "kg m²": "kg*m**2", "lb in2": "lb*inch**2"},
    "unbalance": {"g mm": "g*mm", "g cm": "g*cm", "kg m": "kg*m", "oz in": "oz*inch"},
    "acceleration": {"rad/s²": "radian/s**2"},
    "frequency": {"Hz": "1/second"},
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
        ("1850 lbf ft", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("1850 lb-ft", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("1200 lb*ft", "torque", 1200 * 0.45359237 * 9.80665 * 0.3048),
        ("2.3 kNm", "torque", 2300.0),
        ("4°30'", "angle", math.radians(4.5)),
        ("-4°30'", "angle", -math.radians(4.5)),
        ("+4°30'", "angle", math.radians(4.5)),
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


# numbers and units as they are written in workshops of several countries; the value is read off the text
@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("4,5 mm", "length", 4.5e-3),
        (",5 mm", "length", 0.5e-3),
        ("0,234 mm", "length", 0.234e-3),
        ("1234,5 kg", "mass", 1234.5),
        ("1 234,5 kg", "mass", 1234.5),
        ("1\u2009234 kg", "mass", 1234.0),
        ("1\u202f234 kg", "mass", 1234.0),
        ("1\u00a0234\u00a0567 kg", "mass", 1234567.0),
        ("1,234.5 kg", "mass", 1234.5),
        ("1,234,567 kg", "mass", 1234567.0),
        ("1.234,5 kg", "mass", 1234.5),
        ("1.234.567 kg", "mass", 1234567.0),
        ("1.234 kg", "mass", 1.234),
        ("1,5e3 mm", "length", 1.5),
        ("11.7:1", "number", 11.7),
        ("11.7 : 1", "number", 11.7),
        ("11,7 : 1", "number", 11.7),
        ("0,95", "number", 0.95),
        ("4.5 MM", "length", 4.5e-3),
        ("4.5 Mm", "length", 4.5e-3),
        ("4 IN", "length", 0.1016),
        ('4"', "length", 0.1016),
        ("4”", "length", 0.1016),
        ("59½ in", "length", 59.5 * 0.0254),
        ("59 13/16 Inches", "length", (59 + 13 / 16) * 0.0254),
        ("5 FT 3 IN", "length", 63 * 0.0254),
        ("2300 Nm", "torque", 2300.0),
        ("2300 NM", "torque", 2300.0),
        ("2300 N.m", "torque", 2300.0),
        ("2300 N-m", "torque", 2300.0),
        ("2,3 KNM", "torque", 2300.0),
        ("1850 LB-FT", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("1850 ft.lbs", "torque", 1850 * 0.45359237 * 9.80665 * 0.3048),
        ("12 KN", "force", 12e3),
        ("2100 RPM", "rotation", 2100 * math.pi / 30),
        ("2100 1/min", "rotation", 2100 * math.pi / 30),
        ("2 100 1 / min", "rotation", 2100 * math.pi / 30),
        ("2100 min⁻¹", "rotation", 2100 * math.pi / 30),
        ("90 Km/H", "speed", 25.0),
        ("18 T", "mass", 18e3),
        ("350 N/MM2", "stress", 350e6),
        ("3°", "angle", math.radians(3)),
        ("3º", "angle", math.radians(3)),
        ("3 Degrees", "angle", math.radians(3)),
        ("3 DEG.", "angle", math.radians(3)),
        ("4° 30,6'", "angle", math.radians(4.51)),
        ("0", "angle", 0.0),
        ("0,0", "angle", 0.0),
        ("M12", "length", 12e-3),
        ("m 12", "length", 12e-3),
        ("M12 x 1.25", "length", 12e-3),
        ("M12×1,25", "length", 12e-3),
    ],
)
def test_numbers_as_people_write_them(text: str, dimension: str, si: float) -> None:
    read = parse_quantity(text, dimension)
    assert read.si == pytest.approx(si, rel=1e-12)
    assert read.typed == text, "what was typed is kept"


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("3° rear down", -3),
        ("rear down 3", -3),
        ("Rear Down: 3,5°", -3.5),
        ("rear end lower 3 deg", -3),
        ("3 rear up", 3),
        ("nose up 2°", -2),
        ("2° (nose up)", -2),
        ("2 deg, nose down", 2),
        ("front end high 2 deg", -2),
        ("3° falling to the rear", -3),
        ("3.0° rising to the rear", 3),
        ("3 deg down to the rear", -3),
        ("4°30' nose down", 4.5),
        ("2 to the left", -2),
        ("2 deg rear right", 2),
    ],
)
def test_slopes_with_their_sense_in_words(text: str, degrees: float) -> None:
    """Positive is the rear end higher, or further right: the glossary's convention."""
    assert parse_quantity(text, "angle").si == pytest.approx(math.radians(degrees), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "sense"),
    [
        ("3 deg", ""), ("4°30'", ""), ("0.05 rad", ""), ("-3 deg", "sign"), ("−3°", "sign"), ("+3 deg", "sign"),
        ("3° rear down", "height"), ("nose up 2", "height"), ("3 deg falling to the rear", "height"),
        ("2 deg to the right", "side"), ("rear left 2", "side"),
    ],
)  # fmt: skip
def test_how_a_sense_was_said(text: str, sense: str) -> None:
    assert sense_of(text) == sense


@pytest.mark.parametrize(
    ("text", "dimension", "middle", "low", "high"),
    [
        ("2250 to 2350 N m", "torque", 2300, 2250, 2350),
        ("2\u202f250 to 2\u202f350\u00a0N m", "torque", 2300, 2250, 2350),
        ("2350 to 2250 N m", "torque", 2300, 2250, 2350),
        ("2.2 kN m to 2.4 kN m", "torque", 2300, 2200, 2400),
        ("3,2 to 3,4 mm", "length", 3.3e-3, 3.2e-3, 3.4e-3),
        ("2000 to 2100 1/min", "rotation", 2050 * math.pi / 30, 2000 * math.pi / 30, 2100 * math.pi / 30),
        ("-3 deg to -2 deg", "angle", math.radians(-2.5), math.radians(-3), math.radians(-2)),
        ("2 to 3 deg nose up", "angle", math.radians(-2.5), math.radians(-3), math.radians(-2)),
        ("2 deg to 3 deg rear down", "angle", math.radians(-2.5), math.radians(-3), math.radians(-2)),
        ("rear down 2 to 3 deg", "angle", math.radians(-2.5), math.radians(-3), math.radians(-2)),
        ("4.1 to 4.3", "number", 4.2, 4.1, 4.3),
    ],
)
def test_a_range_has_its_middle_and_its_ends(text: str, dimension: str, middle: float, low: float, high: float) -> None:
    found = split_range(text, dimension)
    assert found is not None
    assert [parse_quantity(part, dimension).si for part in found] == pytest.approx([middle, low, high])


@pytest.mark.parametrize(
    "text", ["2300 N m", "2 deg to the right", "3° rising to the rear", "900 mm to 1 m", "3.4 ± 0.2 mm", "to", "9 to x"]
)
def test_what_is_no_range(text: str) -> None:
    assert split_range(text, "angle") is None


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [("4.1 to 1", "number", "two ways, as a ratio and as a range"), ("3 to 4 kg", "length", "is a mass, not a length")],
)
def test_ranges_that_are_refused(text: str, dimension: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        split_range(text, dimension)
    assert says in refused.value.faults[0].wrong


def test_a_thread_says_its_diameter_and_perhaps_its_pitch() -> None:
    fine, coarse = thread("M12 x 1.25"), thread("M12")
    assert fine is not None
    assert coarse is not None
    assert (fine.diameter_m, fine.pitch_m) == pytest.approx((12e-3, 1.25e-3))
    assert (coarse.diameter_m, coarse.pitch_m) == (pytest.approx(12e-3), None)
    assert thread("12 mm") is None


@pytest.mark.parametrize("dimension", UNITS)
def test_no_two_units_of_a_dimension_differ_by_capitals_alone(dimension: str) -> None:
    """What the reader takes as one spelling must be one unit, or capitals would change a value silently."""
    factors: dict[str, set[float]] = {}
    spelt = {unit: unit for unit in UNITS[dimension]} | {s: u for s, u in SPELLINGS.items() if u in UNITS[dimension]}
    for text, unit in spelt.items():
        key = "".join(c for c in text.casefold() if c not in " .·*-")
        factors.setdefault(key, set()).add(UNITS[dimension][unit])
        written = parse_quantity(f"2 {text.upper()}", dimension).si
        assert written == pytest.approx(2 * UNITS[dimension][unit], rel=1e-12)
    assert all(len(found) == 1 for found in factors.values()), factors


@pytest.mark.parametrize(
    ("text", "dimension", "small", "large"),
    [
        ("1,234 mm", "length", "1.234", "1 234"),
        ("4,100", "number", "4.100", "4 100"),
        ("12,500:1", "number", "12.5", "12 500"),
    ],
)
def test_what_can_be_read_in_two_ways_says_how_to_write_each(text: str, dimension: str, small: str, large: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_quantity(text, dimension)
    fault = refused.value.faults[0]
    assert "two ways" in fault.wrong
    assert text in fault.wrong
    assert small in fault.allowed
    assert large in fault.allowed


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("8.6", "length", "has no unit"),
        ("0", "length", "has no unit"),
        ("3", "angle", "has no unit"),
        ("M12 x", "length", "cannot be read"),
        ("M12", "torque", "cannot be read"),
        ("1,23,4 mm", "length", "cannot be read"),
        ("1.2.3 mm", "length", "cannot be read"),
        ("1 23 mm", "length", "cannot be read"),
        ("12 3456 mm", "length", "cannot be read"),
        ("21001/min", "rotation", "not known"),
        ("1:11.7", "number", "not a ratio to one"),
        ("41:10", "number", "not a ratio to one"),
        ("3° down", "angle", "which end"),
        ("up 3 deg", "angle", "which end"),
        ("+3 deg nose up", "angle", "carries a sign and a sense"),
        ("nose up -3", "angle", "carries a sign and a sense"),
        ("rear down 3 nose up", "angle", "not known"),
        ("8.6 kg", "length", "is a mass, not a length"),
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
