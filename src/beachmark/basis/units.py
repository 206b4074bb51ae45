"""Quantities as people type them, into SI and back. The only module that knows millimetres or degrees.

Numbers and units are read as people write them: `8.6 in`, `59 13/16 in`, `5 ft 3 in`, `1850 LB-FT`,
`4,5 mm`, `1 200 mm`, `11.7:1`, `4°30'`, `3.2° nose down`, `rear down 3`, `M12 x 1.25`. What can be read in two
ways (`1,234`), or not for certain, is refused with what to write instead.
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
    "time": {"ms": 1e-3, "s": 1.0, "min": 60.0, "h": 3600.0, "day": 86400.0},
    "temperature": {"K": 1.0},
    "stiffness": {"N/mm": 1e3, "N/m": 1.0, "kN/mm": 1e6, "lbf/in": _POUND_FORCE / _INCH},
    "twist stiffness": {"N m/deg": 180.0 / math.pi, "N m/rad": 1.0, "kN m/rad": 1e3},
    "inertia": {"kg m2": 1.0, "kg m²": 1.0, "lb in2": _POUND * _INCH**2},
    "unbalance": {"g mm": 1e-6, "g cm": 1e-5, "kg m": 1.0, "oz in": _POUND / 16 * _INCH},
    "acceleration": {"rad/s²": 1.0},
    "frequency": {"Hz": 1.0},
    "number": {"": 1.0, "%": 0.01},
}

# other spellings met on plates and in workshops; each maps to one unit above
SPELLINGS: dict[str, str] = {
    "Nm": "N m", "N·m": "N m", "N*m": "N m", "newton metre": "N m",
    "kNm": "kN m", "kN·m": "kN m", "kN*m": "kN m",
    "lb ft": "lbf ft", "ft lb": "lbf ft", "ft lbf": "lbf ft", "lb-ft": "lbf ft", "lbf-ft": "lbf ft",
    "ft-lb": "lbf ft", "lbf·ft": "lbf ft", "lb*ft": "lbf ft", "lbf*ft": "lbf ft",
    "ft lbs": "lbf ft", "lbs ft": "lbf ft", "foot pounds": "lbf ft", "pound feet": "lbf ft",
    "lb in": "lbf in", "in lb": "lbf in", "in lbf": "lbf in", "lbf·in": "lbf in", "lb-in": "lbf in",
    "in lbs": "lbf in", "lbs in": "lbf in", "newton metres": "N m", "newton meters": "N m",
    '"': "in", "inch": "in", "inches": "in", "'": "ft", "foot": "ft", "feet": "ft",
    "degree": "deg", "degrees": "deg", "r/min": "rpm", "rev/min": "rpm", "1/min": "rpm", "min-1": "rpm",
    "min⁻¹": "rpm",
    "kph": "km/h", "kmh": "km/h", "mile": "mi", "miles": "mi", "lbs": "lb", "tonne": "t", "N/mm2": "MPa",
    "N/mm²": "MPa", "percent": "%", "hours": "h", "days": "day",
}  # fmt: skip

_PLAIN = re.compile(
    r"\A(?P<sign>[-+]?)\s*(?P<number>[0-9.,][0-9., ]*?)(?P<power>[eE][-+]?[0-9]+)?"
    r"\s*(?P<unit>(?<= )1 ?/ ?[mM][iI][nN]|[^0-9.,\s].*)?\Z"
)
_SPACED = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?\Z")  # 1 234 567,8
_COMMAS = re.compile(r"[0-9]{1,3}(?:(?:,[0-9]{3})+\.[0-9]+|(?:,[0-9]{3}){2,})\Z")  # 1,234.5 and 1,234,567
_DOTS = re.compile(r"[0-9]{1,3}(?:(?:\.[0-9]{3})+,[0-9]+|(?:\.[0-9]{3}){2,})\Z")  # 1.234,5 and 1.234.567
_TWO_WAYS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}\Z")  # 1,234: a thousand and more, or one and a bit
_DECIMAL = re.compile(r"(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)\Z")
_RATIO = re.compile(r"\A(?P<left>[0-9., ]+?)\s*:\s*(?P<right>[0-9., ]+)\Z")
_FRACTION = re.compile(
    r"\A(?P<sign>-?)(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)\s*(?:in|inch|inches|\")\Z", re.I
)
_FEET_INCHES = re.compile(
    r"\A(?P<feet>[0-9]+)\s*(?:ft|')\s*(?P<inches>[0-9]+(?:[.,][0-9]+)?)"
    r"(?:[ -](?P<top>[0-9]+)/(?P<bottom>[0-9]+))?\s*(?:in|inch|inches|\")\Z",
    re.I,
)
_ARC = re.compile(
    r"\A(?P<sign>[-+]?)(?P<degrees>[0-9]+)\s*(?:°|deg)\s*(?P<minutes>[0-9]+(?:[.,][0-9]+)?)\s*(?:'|min)"
    r"(?:\s*(?P<seconds>[0-9]+(?:[.,][0-9]+)?)\s*(?:\"|sec))?\Z",
    re.I,
)
_THREAD = re.compile(  # the metric screw thread: M, its outside diameter in mm, and its pitch where it is a fine one
    r"\AM\s?(?P<diameter>[0-9]{1,2}(?:[.,][0-9])?)(?:\s*[x×*]\s*(?P<pitch>[0-9](?:[.,][0-9]{1,2})?)(?:\s*mm)?)?\Z", re.I
)
_BARE_ZERO = re.compile(r"[-+]?0+(?:[.,]0+)?\Z")
# `2250 to 2350 N m`: what stands before the numbers, the numbers, and what stands behind each
_RANGE = re.compile(
    r"\A(?P<front>\D*?)(?P<one>[-+]?[0-9][0-9., ]*?)\s*(?P<unit>(?<= )1 ?/ ?min|[^0-9., ].*?)?\s+to\s+"
    r"(?P<other>[-+]?[0-9][0-9., ]*?)\s*(?P<tail>(?<= )1 ?/ ?min|[^0-9., ].*)?\Z",
    re.I,
)
# nose up: the forward end of the part stands higher than its rear end
_SENSE = (
    r"(?P<end>nose|front|rear)(?: end)? (?P<way>up|down|high|higher|low|lower)"
    r"|(?P<course>rising|falling|up|down) (?:to|toward|towards) the rear"
    r"|(?:rear (?:end )?)?(?:to the )?(?P<side>right|left)"
)
_BEFORE = re.compile(rf"\A(?:{_SENSE})\b[ ,:]*(?P<bare>.*)\Z", re.I)
_BEHIND = re.compile(rf"\A(?P<bare>.*?)[ ,:(]*\b(?:{_SENSE})\)?\Z", re.I)
_HALF_SENSE = re.compile(r"\A(?:up|down|high|low)\b|\b(?:up|down|high|low)\Z", re.I)
# what keyboards and phones make of a minus, an apostrophe, an inch mark, a degree sign and a fraction
_WRITTEN = str.maketrans(
    {"−": "-", "–": "-", "’": "'", "‘": "'", "′": "'", "”": '"', "“": '"', "″": '"', "º": "°", "˚": "°"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)


LONGEST = 60  # letters; no quantity that a person types is longer


def _folded(unit: str) -> str:
    """A unit without capitals, spaces, dots and hyphens: `KN·m`, `kN m` and `knm` are one."""
    return re.sub(r"[\s.·⋅*-]", "", unit).casefold()


# dimension -> folded spelling -> unit of that dimension
_FOLDED: dict[str, dict[str, str]] = {
    dimension: {_folded(spelt): unit for spelt, unit in SPELLINGS.items() if unit in units}
    | {_folded(unit): unit for unit in units}
    for dimension, units in UNITS.items()
}


@dataclass(frozen=True)
class Quantity:
    """A number in SI with what was typed."""

    si: float
    dimension: str
    typed: str


def parse_quantity(text: object, dimension: str, *, where: str = "input", field: str = "") -> Quantity:
    """Read a quantity of one dimension.

    `text` may be a string with a unit, or a plain number where the dimension is `number`. Slopes and plan
    angles may carry a sense in words (`nose up`, `rear down`, `to the right`), before or behind the number,
    which then counts as degrees if it has no unit; positive is the rear end higher, and the rear end further
    right. `typed` keeps the text as it came. Raises `InputError` naming what is allowed.
    """
    if dimension not in UNITS:
        raise ValueError(f"unknown dimension {dimension!r}")
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise refuse(where, field, f"{text!r} is not a quantity", _allowed(dimension))
    typed = _tidied(str(text))
    if len(typed) > LONGEST:
        raise refuse(where, field, f"{typed[:20]!r}... is {len(typed)} letters long", _allowed(dimension))
    try:
        si = _parse(typed, dimension)
    except _UnreadableError as fault:
        raise refuse(where, field, fault.wrong, fault.allowed or _allowed(dimension)) from None
    if not math.isfinite(si):
        raise refuse(where, field, f"{typed!r} is not a finite number", _allowed(dimension))
    return Quantity(si=si, dimension=dimension, typed=str(text).strip())


@dataclass(frozen=True)
class Thread:
    """A metric screw thread as it is called; without `pitch_m` it is the coarse one, which is not looked up."""

    diameter_m: float
    pitch_m: float | None


def thread(text: str) -> Thread | None:
    """Read `M12` or `M12 x 1.25` (designation of metric screw threads, ISO 965-1, from memory); else None."""
    match = _THREAD.match(_tidied(text))
    if not match:
        return None
    return Thread(_plain(match["diameter"]) / 1e3, _plain(match["pitch"]) / 1e3 if match["pitch"] else None)


def split_range(text: str, dimension: str) -> tuple[str, str, str] | None:
    """Middle, low and high of `2250 to 2350 N m`, each as a text with its unit; None for what is no range.

    The unit, and the words of a slope's sense, may stand once, behind or before both numbers. Raises
    `InputError` where an end cannot be read, and for `0.83 to 1`, which may be a range and may be a ratio.
    """
    match = _RANGE.match(_tidied(text)) if len(text) <= 2 * LONGEST else None
    if not match:
        return None
    front, unit, tail = match["front"], (match["unit"] or "").strip(), (match["tail"] or "").strip()
    if unit and not tail.casefold().startswith(unit.casefold()):
        return None  # two units: which one the middle should have is not for certain
    numbers = [parse_quantity(match[key], "number").si for key in ("one", "other")]
    if dimension == "number" and numbers[1] == 1.0 and not tail:
        allowed = f"{match['one']}:1 for a ratio, {sum(numbers) / 2:.10g} ± {abs(1 - numbers[0]) / 2:.10g} for a range"
        raise refuse("input", "", f"{text!r} can be read in two ways, as a ratio and as a range", allowed)
    ends = [f"{front}{match[key].strip()} {tail}".strip() for key in ("one", "other")]
    low, high = sorted(ends, key=lambda end: parse_quantity(end, dimension).si)
    return f"{front}{sum(numbers) / 2:.10g} {tail}".strip(), low, high


class _UnreadableError(ValueError):
    """Why a text cannot be read, and what to write instead where that is more than the units."""

    def __init__(self, wrong: str, allowed: str = ""):
        super().__init__(wrong)
        self.wrong, self.allowed = wrong, allowed


def _tidied(text: str) -> str:
    """The text with one kind of blank, minus, apostrophe, inch mark and degree sign."""
    return " ".join(text.translate(_WRITTEN).split())


def _parse(typed: str, dimension: str) -> float:
    sense = 1.0
    if dimension == "angle":
        typed, sense = _without_sense(typed)
    special = _shop_notation(typed, dimension)
    if special is not None:
        return sense * special
    match = _PLAIN.match(typed)
    if not match:
        raise _UnreadableError(f"{typed!r} cannot be read as a quantity")
    unit = _unit(match["unit"] or "", dimension)
    if unit is None:
        raise _UnreadableError(_unit_fault(typed, match["unit"] or "", dimension))
    number = float(_decimal(match["number"], typed) + (match["power"] or ""))
    return (-sense if match["sign"] == "-" else sense) * number * UNITS[dimension][unit]


def _decimal(number: str, typed: str) -> str:
    """Digits with one decimal point and nothing between thousands, for `float`."""
    number = number.strip()
    if _TWO_WAYS.match(number):
        whole, point = number.replace(",", ""), number.replace(",", ".")
        wrong = f"{typed!r} can be read in two ways, as {whole} and as {point}"
        allowed = f"{whole} or {whole[:-3]} {whole[-3:]} for the large one, {point} for the small one"
        raise _UnreadableError(wrong, allowed)
    if _COMMAS.match(number):
        return number.replace(",", "")
    if _DOTS.match(number):
        return number.replace(".", "").replace(",", ".")
    if _SPACED.match(number) or _DECIMAL.match(number):
        return number.replace(" ", "").replace(",", ".")
    raise _UnreadableError(f"{typed!r} cannot be read as a quantity")


def sense_of(text: str) -> str:
    """How a typed angle says its sense: `height` (nose up), `side` (to the right), `sign`, or empty for not at all."""
    typed = _tidied(text)
    match = _sense_words(typed)
    if match:
        return "side" if match["side"] else "height"
    return "sign" if typed.startswith(("-", "+")) else ""


def _sense_words(typed: str) -> re.Match[str] | None:
    return _BEFORE.match(typed) or _BEHIND.match(typed)


def _without_sense(typed: str) -> tuple[str, float]:
    """The bare angle, and the sign that its words give it."""
    match = _sense_words(typed)
    if not match:
        if _HALF_SENSE.search(typed):
            raise _UnreadableError(f"{typed!r} does not say which end", "nose up, nose down, rear up or rear down")
        return typed, 1.0
    bare = match["bare"].strip()
    if bare.startswith(("-", "+")):
        raise _UnreadableError(f"{typed!r} carries a sign and a sense", "either a sign or the words, not both")
    rises = (match["way"] or match["course"] or match["side"]).lower() in ("up", "high", "higher", "rising", "right")
    forward = (match["end"] or "").lower() in ("nose", "front")
    # with words there is no doubt that an angle is meant, and nobody types a slope in radians
    return (f"{bare} deg" if re.fullmatch("[0-9., ]+", bare) else bare), 1.0 if rises != forward else -1.0


def _shop_notation(typed: str, dimension: str) -> float | None:
    if dimension == "length":
        called = thread(typed)
        return called.diameter_m if called else _fraction_inches(typed) or _feet_and_inches(typed)
    if dimension == "angle":  # zero is zero in every unit of it
        return 0.0 if _BARE_ZERO.match(typed) else _degrees_and_minutes(typed)
    return _ratio_to_one(typed) if dimension == "number" else None


def _ratio_to_one(typed: str) -> float | None:
    match = _RATIO.match(typed)
    if not match:
        return None
    if match["right"] != "1":
        raise _UnreadableError(f"{typed!r} is not a ratio to one", "a ratio as 4.1 or 4.1:1")
    return float(_decimal(match["left"], typed))


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
    return (12 * int(match["feet"]) + _plain(match["inches"]) + part) * _INCH


def _degrees_and_minutes(typed: str) -> float | None:
    match = _ARC.match(typed)
    if not match:
        return None
    minutes, seconds = _plain(match["minutes"]), _plain(match["seconds"] or "0")
    if minutes >= 60 or seconds >= 60:
        return None
    degrees = int(match["degrees"]) + minutes / 60 + seconds / 3600
    return (-degrees if match["sign"] == "-" else degrees) * _DEGREE


def _plain(number: str) -> float:
    return float(number.replace(",", "."))


def _unit(typed: str, dimension: str) -> str | None:
    """The unit that is meant; the exact spelling first, since capitals tell some apart."""
    typed = typed.strip()
    if typed in UNITS[dimension]:
        return typed
    return _FOLDED[dimension].get(_folded(typed)) if _folded(typed) else None


def _unit_fault(typed: str, unit: str, dimension: str) -> str:
    if not unit:
        return f"{typed!r} has no unit"
    other = next((name for name in UNITS if _unit(unit, name)), None)
    return f"{typed!r} is {_a(other)}, not {_a(dimension)}" if other else f"the unit {unit!r} is not known"


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _allowed(dimension: str) -> str:
    units = [unit or "a plain number" for unit in UNITS[dimension] if unit not in ("um", "kg/m³", "°")]
    extra = {"length": ", fractions of an inch", "angle": ", 4°30', nose up or rear down"}.get(dimension, "")
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
