"""Whirl of a whole driveline: stepped shafts, joints, yoke masses, centre bearings and soft ends as one beam model.

==============  ====================================================================================
module          what it does, in the order the data passes
==============  ====================================================================================
``line``        the driveline as data: ``Section``, ``PointMass``, ``Spring``, ``BeamLine``
``elements``    stiffness and inertia of one beam element with shear and tilting sections
``assembly``    nodes, numbered motions, and the matrices of the whole line
``eigen``       the lowest solutions, still and with spin
``modes``       ``whirl_modes``: speeds, shapes, and the shaft or support each mode lives in
``critical``    ``critical_speeds``, ``half_critical``, ``speed_diagram``, ``margins``
==============  ====================================================================================

Conventions in force
    SI, places in m from a shaft's front joint, all arguments by keyword. A joint carries force, no moment.
    All shafts turn with one mean spin and lie nearly in line; supports are alike in all radial directions;
    no damping. The result is a computed speed, not an allowed one.

>>> tube = Section(outer_m=0.1, inner_m=0.093, length_m=1.2)
>>> pin = float("inf")
>>> line = BeamLine(
...     shafts=((tube,), (tube,)),
...     supports=(
...         Spring(shaft=0, position_m=0.0, radial_n_m=pin),
...         Spring(shaft=0, position_m=1.1, radial_n_m=4e5, mass_kg=5.0),
...         Spring(shaft=1, position_m=1.2, radial_n_m=pin),
...     ),
... )
>>> found = critical_speeds(line=line, count=2)
>>> [part.kind for part in found.modes.dominant]
['support', 'shaft']
"""

from beachmark.mechanics.beam.critical import (
    CriticalSpeeds,
    Margin,
    SpeedDiagram,
    critical_speeds,
    half_critical,
    margins,
    speed_diagram,
)
from beachmark.mechanics.beam.line import BeamLine, PointMass, Section, Spring, cowper_shear_coefficient
from beachmark.mechanics.beam.modes import Part, WhirlModes, whirl_modes

__all__ = [
    "BeamLine",
    "CriticalSpeeds",
    "Margin",
    "Part",
    "PointMass",
    "Section",
    "SpeedDiagram",
    "Spring",
    "WhirlModes",
    "cowper_shear_coefficient",
    "critical_speeds",
    "half_critical",
    "margins",
    "speed_diagram",
    "whirl_modes",
]
