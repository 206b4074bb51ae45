"""The lines of the stored reference results, as our own model."""

import json
from pathlib import Path
from typing import Any

from beachmark.mechanics.beam import BeamLine, PointMass, Section, Spring

STORED: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "ross_whirl.json").read_text(encoding="utf-8"))


def line_of(name: str, elements_per_shaft: int) -> BeamLine:
    """Our model of a stored line."""
    given, material = STORED["lines"][name], STORED["material"]
    return BeamLine(
        shafts=tuple(tuple(Section(**piece, **material) for piece in shaft) for shaft in given["shafts"]),
        supports=tuple(Spring(**support) for support in given["supports"]),
        masses=tuple(PointMass(**mass) for mass in given["masses"]),
        elements_per_shaft=elements_per_shaft,
    )
