"""Lines for courses of time: a value and the ramps that change it (``drive.Course``)."""

from beachmark.mechanics.replay.parameters import RAMPS
from beachmark.mechanics.replay.sheet import Sheet, inverse_of, inverse_or_zero, quotient


def add_courses(sheet: Sheet) -> None:
    """Write the time since the last repeat; without repeat it is the time itself."""
    span = sheet.constant("repeat_s")
    per = sheet.constant("1/repeat_s", lambda values: inverse_or_zero(values["repeat_s"]))
    # Whole spans gone by; the small addition keeps the start of a span from counting as the end of the last.
    sheet.rates.append(f"tc = t - {span}*rint(t*{per} - 0.499999999)")


def course(sheet: Sheet, name: str, unit: str) -> str:
    """Write the value of one course at the time, and return its symbol."""
    terms = [sheet.constant(f"{name}{unit}")]
    for ramp in (f"{name}_ramp_{number}" for number in range(1, RAMPS + 1)):
        start, takes = f"{ramp}_start_s", f"{ramp}_takes_s"
        per = sheet.constant(f"1/{takes}", inverse_of(takes))
        before = sheet.constant(f"{start}/{takes}", quotient(start, takes))
        terms.append(f"{sheet.constant(f'{ramp}_change{unit}')}*hi(0.0, lo(1.0, tc*{per} - {before}))")
    return sheet.line(" + ".join(terms))
