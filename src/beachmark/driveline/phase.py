"""How a shaft's rear yoke stands against its front yoke, from a stated angle or from teeth of its slip."""

from __future__ import annotations

import math

from beachmark.basis.values import Known, Value
from beachmark.driveline.parts import Shaft


def stated_phase(shaft: Shaft) -> Value | None:
    """The phase as stated, else from the teeth out: one tooth of n is a turn of 360/n degrees; else None.

    Teeth out without the number of teeth leave the turn unknown.
    """
    if shaft.phase is not None:
        return shaft.phase
    out = teeth_out(shaft)
    if out is None or not shaft.slip:
        return None
    if not out:
        return Value.exact(0.0, "angle", Known.COMPUTED, "no tooth out")
    if not shaft.slip.teeth:
        return None
    return Value.exact(2 * math.pi * out / shaft.slip.teeth, "angle", Known.COMPUTED, "360 degrees over the teeth")


def teeth_out(shaft: Shaft) -> int | None:
    """How many teeth off its mark the slip was put together, or None where nobody said."""
    return shaft.slip.teeth_out if shaft.slip else None


def teeth_words(shaft: Shaft) -> str:
    """`1 of 16 teeth out`; nothing while the slip is on its mark or nobody said."""
    out = teeth_out(shaft)
    if not out:
        return ""
    teeth = shaft.slip.teeth if shaft.slip else None
    return f"{out} of {teeth} teeth out" if teeth else f"{out} {'tooth' if abs(out) == 1 else 'teeth'} out"
