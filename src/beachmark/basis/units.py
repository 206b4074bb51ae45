"""Quantities as people type them, into SI and back. The only module that knows millimetres or degrees.

Shop notation is read strictly: `8.6 in`, `59 13/16 in`, `5 ft 3 in`, `1850 lbf ft`, `4°30'`,
`3.2 deg nose down`. What cannot be read for certain is refused with the units that are allowed.
Factors are exact by definition (international yard and pound, 1959; standard gravity 9.80665 m/s²,
3rd CGPM 1901): NIST Special Publication 811, appendix B.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from beachmark.basis.errors import refuse

_INCH = 0.0254
_POUND = 0.45359237
_GRAVITY = 9.80665
_POUND_FORCE = _POUND * _GRAVITY
_TURN = 2.0 * math.pi
_DEGREE = math.pi / 180.0

# dimension -> unit as typed -> SI factor; the first unit of each dimension is the one shown by default
UNITS: dict[str, dict[str, float]] = {
    "length": {"mm": 1e-3, "m": 1.0, "cm": 1e-2, "in": _INCH, "ft": 12 * _INCH, "µm": 1e-6, "um": 1e-6},
    "distance": {"km": 1e3, "m": 1.0, "mi": 5280 * 12 * _INCH},
    "angle": {"deg": _DEGREE, "rad": 1.0, "°": _DEGREE},
    "torque": {
        "N m": 1.0,
        "kN m": 1e3,
        "lbf ft": _POUND_FORCE * 12 * _INCH,
        "lbf in": _POUND_FORCE * _INCH,
        "kgf m": _GRAVITY,
    },
    "force": {"N": 1.0, "kN": 1e3, "lbf": _POUND_FORCE, "kgf": _GRAVITY},
    "mass": {"kg": 1.0, "t": 1e3, "g": 1e-3, "lb": _POUND},
    "speed": {"km/h": 1 / 3.6, "m/s": 1.0, "mph": 5280 * 12 * _INCH / 3600},
    "rotation": {"rpm": _TURN / 60, "rad/s": 1.0, "Hz": _TURN},
    "stress": {"MPa": 1e6, "GPa": 1e9, "kPa": 1e3, "Pa": 1.0, "psi": _POUND_FORCE / _INCH**2, "bar": 1e5},
    "density": {"kg/m3": 1.0, "kg/m³": 1.0},
    "time": {"h": 3600.0, "s": 1.0, "min": 60.0, "day": 86400.0},
    "temperature": {"K": 1.0},
    "number": {"": 1.0, "%": 0.01},
}

# other spellings met on plates and in workshops; each maps to one unit above
SPELLINGS: dict[str, str] = {
    "Nm": "N m", "N·m": "N m", "N*m": "N m", "newton metre": "N m",
    "kNm": "kN m", "kN·m": "kN m", "kN*m": "kN m",
    "lb ft": "lbf ft", "ft lb": "lbf ft", "ft lbf": "lbf ft", "lb-ft": "lbf ft", "lbf-ft": "lbf ft",
    "ft-lb": "lbf ft", "lbf·ft": "lbf ft", "lb*ft": "lbf ft", "lbf*ft": "lbf ft",
    "lb in": "lbf in", "in lb": "lbf in", "in lbf": "lbf in", "lbf·in": "lbf in", "lb-in": "lbf in",
    '"': "in", "inch": "in", "inches": "in", "'": "ft", "foot": "ft", "feet": "ft",
    "degree": "deg", "degrees": "deg", "r/min": "rpm", "1/min": "rpm", "min-1": "rpm",
    "kph": "km/h", "kmh": "km/h", "mile": "mi", "miles": "mi", "lbs": "lb", "tonne": "t", "N/mm2": "MPa",
    "N/mm²": "MPa", "percent": "%", "hours": "h", "days": "day",
}  # fmt: skip

_NUMBER = r"[-+]?(?:[0-9]{1,3}(?:[ ,\u202f\u00a0][0-9]{3})+(?![0-9])|[0-9]+)?(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?"
_PLAIN = re.compile(rf"\A(?P<number>{_NUMBER})\s*(?P<unit>[^0-9\s].*)?\Z")
_FRACTION = re.compile(
    r"\A(?P<sign>-?)(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)\s*(?P<unit>in|inch|\")\Z"
)
_FEET_INCHES = re.compile(
    r"\A(?P<feet>[0-9]+)\s*(?:ft|')\s*(?P<inches>[0-9]+(?:\.[0-9]+)?)"
    r"(?:[ -](?P<top>[0-9]+)/(?P<bottom>[0-9]+))?\s*(?:in|\")\Z"
)
_ARC = re.compile(
    r"\A(?P<sign>-?)(?P<degrees>[0-9]+)\s*(?:°|deg)\s*(?P<minutes>[0-9]+(?:\.[0-9]+)?)\s*(?:'|′|min)"
    r"(?:\s*(?P<seconds>[0-9]+(?:\.[0-9]+)?)\s*(?:\"|″|sec))?\Z"
)
# nose up: the forward end of the part stands higher than its rear end
_SENSES = {
    "nose up": -1.0,
    "nose down": 1.0,
    "rear low": -1.0,
    "rear high": 1.0,
    "to the right": 1.0,
    "to the left": -1.0,
}


LONGEST = 60  # letters; no quantity that a person types is longer


@dataclass(frozen=True)
class Quantity:
    """A number in SI with what was typed."""

    si: float
    dimension: str
    typed: str


def parse_quantity(text: object, dimension: str, *, where: str = "input", field: str = "") -> Quantity:
    """Read a quantity of one dimension.

    `text` may be a string with a unit, or a plain number where the dimension is `number`. Slopes and
    plan angles may end in a sense (`nose up`, `nose down`, `to the right`, `to the left`); positive is
    the rear end higher, and the rear end further right. Raises `InputError` naming what is allowed.
    """
    if dimension not in UNITS:
        raise ValueError(f"unknown dimension {dimension!r}")
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise refuse(where, field, f"{text!r} is not a quantity", _allowed(dimension))
    typed = " ".join(str(text).replace("−", "-").replace("’", "'").split())
    if len(typed) > LONGEST:
        raise refuse(where, field, f"{typed[:20]!r}... is {len(typed)} letters long", _allowed(dimension))
    si = _parse(typed, dimension, where, field)
    if not math.isfinite(si):
        raise refuse(where, field, f"{typed!r} is not a finite number", _allowed(dimension))
    return Quantity(si=si, dimension=dimension, typed=typed)


def _parse(typed: str, dimension: str, where: str, field: str) -> float:
    sense = 1.0
    if dimension == "angle":
        typed, sense = _without_sense(typed, where, field)
    special = _shop_notation(typed, dimension)
    if special is not None:
        return sense * special
    match = _PLAIN.match(typed)
    if not match or not re.search("[0-9]", match["number"]):
        raise refuse(where, field, f"{typed!r} cannot be read as a quantity", _allowed(dimension))
    unit = _unit(match["unit"] or "", dimension)
    if unit is None:
        raise refuse(where, field, _unit_fault(typed, match["unit"] or "", dimension), _allowed(dimension))
    return sense * float(re.sub("[ ,\u202f\u00a0]", "", match["number"])) * UNITS[dimension][unit]


def _without_sense(typed: str, where: str, field: str) -> tuple[str, float]:
    for words, sign in _SENSES.items():
        if typed.endswith(words):
            bare = typed[: -len(words)].rstrip(" ,")
            if bare.startswith("-"):
                wrong = f"{typed!r} carries a sign and a sense"
                raise refuse(where, field, wrong, "either a sign or the words, not both")
            return bare, sign
    return typed, 1.0


def _shop_notation(typed: str, dimension: str) -> float | None:
    if dimension == "length":
        return _fraction_inches(typed) or _feet_and_inches(typed)
    if dimension == "angle":
        return _degrees_and_minutes(typed)
    return None


def _fraction_inches(typed: str) -> float | None:
    match = _FRACTION.match(typed)
    if not match or int(match["bottom"]) == 0:
        return None
    inches = int(match["whole"] or 0) + int(match["top"]) / int(match["bottom"])
    return (-inches if match["sign"] else inches) * _INCH


def _feet_and_inches(typed: str) -> float | None:
    match = _FEET_INCHES.match(typed)
    if not match or (match["bottom"] and int(match["bottom"]) == 0):
        return None
    part = int(match["top"]) / int(match["bottom"]) if match["top"] else 0.0
    return (12 * int(match["feet"]) + float(match["inches"]) + part) * _INCH


def _degrees_and_minutes(typed: str) -> float | None:
    match = _ARC.match(typed)
    if not match or float(match["minutes"]) >= 60 or float(match["seconds"] or 0) >= 60:
        return None
    degrees = int(match["degrees"]) + float(match["minutes"]) / 60 + float(match["seconds"] or 0) / 3600
    return (-degrees if match["sign"] else degrees) * _DEGREE


def _unit(typed: str, dimension: str) -> str | None:
    typed = typed.strip()
    for candidate in (typed, SPELLINGS.get(typed, ""), typed.rstrip(".")):
        if candidate in UNITS[dimension] and (candidate or not typed):
            return candidate
    return None


def _unit_fault(typed: str, unit: str, dimension: str) -> str:
    if not unit:
        return f"{typed!r} has no unit"
    other = next((name for name, units in UNITS.items() if SPELLINGS.get(unit, unit) in units), None)
    return f"{typed!r} is {_a(other)}, not {_a(dimension)}" if other else f"the unit {unit!r} is not known"


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _allowed(dimension: str) -> str:
    units = [unit or "a plain number" for unit in UNITS[dimension] if unit not in ("um", "kg/m³", "°")]
    extra = {"length": ", fractions of an inch", "angle": ", 4°30', nose up or nose down"}.get(dimension, "")
    return f"{_a(dimension)} in " + ", ".join(units) + extra


def show(si: float, dimension: str, unit: str = "", digits: int = 4) -> str:
    """Print an SI number in `unit` (the dimension's first unit by default) with `digits` significant."""
    unit = unit or next(iter(UNITS[dimension]))
    return f"{tidy(si / UNITS[dimension][unit], digits)} {unit}".strip()


def tidy(number: float, digits: int = 4) -> str:
    """A number with `digits` significant digits, no exponent, thin spaces between thousands."""
    if number == 0 or not math.isfinite(number):
        return "0" if number == 0 else str(number)
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    rounded = round(number, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{rounded:,.{decimals}f}" if abs(rounded) >= 10_000 else f"{rounded:.{decimals}f}"
    text = text.replace(",", "\u202f")
    return text.rstrip("0").rstrip(".") if "." in text else text
