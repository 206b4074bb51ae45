"""Replay of an event on a whole train, from engine to road, many draws at once: what every part had to carry.

==============  ====================================================================================
module          what it does, in the order the data passes
==============  ====================================================================================
``train``       the layout as data: stations, couplings, clutches, converter, tyres, engine, vehicle
``drive``       an event as data: courses of throttle, clutch, brakes, friction; gear; speeds
``parameters``  every number by name, one flat vector for each draw; ``draws`` refuses what cannot be
``sheet``       the equations of a layout as lines of text, with their constants
``equations``   writes them: couplings with gear, joint and lash, then the modules below
``joint``       a Cardan joint in polynomials
``courses``     a course of time
``slipping``    friction clutch and brake, converter, tyre
``sources``     engine, other torques, grade, hole, kerb, vehicle brake
``source``      programs made of the lines: one step of all draws, or a plain right-hand side
``compiled``    the programs made to run: by Numba, kept in the caller's folder, or by NumPy
``start``       angles and speeds that fit together
``natural``     natural frequencies, and the step that they allow
``kernel``      ``replay``, ``Run``: the draws go through the event, in threads
``state``       loads and energies out of what the steps carried on
``outcome``     what a replay tells: peaks, first fracture, energies
``trace``       loads over time
``referee``     the same by SciPy at tight tolerance, and how far off the peaks are
==============  ====================================================================================

Conventions in force
    SI, plain floats; angles count from the start, joints by ``yoke_rad`` = ``chain.drive_yoke_angles``. Torque of a
    coupling is that on its driven side, positive in drive. No clock, no chance: draws come from the caller. The
    result is a computed load under the assumptions of the draws, not a proof of what happened.

A load that comes at once twists a spring twice as far as it would at rest:

>>> layout = Layout(
...     stations=(Station(name="hub"), Station(name="wall")),
...     couplings=(Coupling(name="shaft", driving="hub", driven=("wall",)),),
...     outer_torques=(OuterTorque(name="push", station="hub"),),
... )
>>> values = {"hub.inertia_kg_m2": 2.0, "wall.inertia_kg_m2": 1e12, "shaft.stiffness_nm_rad": 2e4}
>>> found = replay(
...     draws=draws(layout=layout, values={**values, "push.torque_nm": [100.0, 300.0]}, count=2),
...     duration_s=0.1,
...     plain=True,
... )
>>> found.loads, found.greatest.round(1).tolist()
(('shaft',), [[200.0], [600.0]])
"""

from beachmark.mechanics.replay.drive import Course, Event, Ramp, event_values
from beachmark.mechanics.replay.kernel import Run, replay
from beachmark.mechanics.replay.natural import frequencies, frequency_bound, safe_step_s, safe_steps_s
from beachmark.mechanics.replay.outcome import Energy, Outcome
from beachmark.mechanics.replay.parameters import Draws, Parameter, draws, parameters
from beachmark.mechanics.replay.referee import Verdict, judge
from beachmark.mechanics.replay.trace import Trace, trace
from beachmark.mechanics.replay.train import (
    Converter,
    Coupling,
    Engine,
    FrictionClutch,
    Layout,
    OuterTorque,
    Station,
    Tyre,
    Vehicle,
)

__all__ = [
    "Converter",
    "Coupling",
    "Course",
    "Draws",
    "Energy",
    "Engine",
    "Event",
    "FrictionClutch",
    "Layout",
    "Outcome",
    "OuterTorque",
    "Parameter",
    "Ramp",
    "Run",
    "Station",
    "Trace",
    "Tyre",
    "Vehicle",
    "Verdict",
    "draws",
    "event_values",
    "frequencies",
    "frequency_bound",
    "judge",
    "parameters",
    "replay",
    "safe_step_s",
    "safe_steps_s",
    "trace",
]
