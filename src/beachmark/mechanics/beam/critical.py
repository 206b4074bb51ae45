"""Where the spin meets a whirl speed, and how far the speeds that are reached stay from it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.beam.assembly import assemble
from beachmark.mechanics.beam.eigen import lowest, with_spin
from beachmark.mechanics.beam.line import BeamLine
from beachmark.mechanics.beam.modes import WhirlModes, at_least_one, described, still_modes


@dataclass(frozen=True)
class CriticalSpeeds:
    """Spins of the shafts at which they excite a whirl [rad/s], lowest first, with the whirl that is met."""

    spins_rad_s: FloatArray
    modes: WhirlModes


@dataclass(frozen=True)
class SpeedDiagram:
    """Whirl speeds over spin [rad/s]: a row a spin, a column a mode, lowest first."""

    spins_rad_s: FloatArray
    forward_rad_s: FloatArray
    backward_rad_s: FloatArray


@dataclass(frozen=True)
class Margin:
    """One speed that is reached, as a share of the lowest critical speed, and its neighbourhood [rad/s]."""

    reached_rad_s: float
    share_of_lowest: float
    nearest_critical_rad_s: float
    criticals_passed: int  # critical speeds at or below the speed reached


def critical_speeds(*, line: BeamLine, order: float = 1.0, forward: bool = True, count: int = 6) -> CriticalSpeeds:
    """Spins at which an excitation of so many cycles a turn meets a whirl of the line, gyroscopic action included.

    Formula: order x spin = w in (K + w spin G - w^2 M) q = 0, so K q = w^2 (M - G / order) q forward and
    K q = w^2 (M + G / order) q backward: solved at once, not by search along the spin.
    Units: cycles a turn without unit, a count of modes; result rad/s.
    Range: order > 0; as for whirl_modes; a whirl that outruns the spin for good has no critical speed and is left out.
    Raises: ValueError if an argument is not finite or out of range, or the line is held too loosely.
    Source: Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (2010), sec. 6.8 (from memory).

    >>> from beachmark.mechanics.beam.line import Section, Spring
    >>> tube = Section(outer_m=0.0889, inner_m=0.08468, length_m=1.524)
    >>> ends = tuple(Spring(shaft=0, position_m=place, radial_n_m=float("inf")) for place in (0.0, 1.524))
    >>> found = critical_speeds(line=BeamLine(shafts=((tube,),), supports=ends), count=1)
    >>> round(found.spins_rad_s[0])
    663
    """
    _domain.positive(order=order)
    at_least_one(count)
    matrices = assemble(line)
    action = matrices.gyroscopic / order
    inertia = matrices.mass - action if forward else matrices.mass + action
    # Motions of a body free to move off have no speed: ask for so many more, then leave them out.
    loose = 2 * len(line.shafts)
    speeds, motions = lowest(matrices.stiffness, matrices.mass, inertia, count + loose)
    real = np.flatnonzero(speeds > 0)[:count]
    return CriticalSpeeds(speeds[real] / order, described(line, matrices, speeds[real], motions[:, real]))


def half_critical(*, line: BeamLine, forward: bool = True, count: int = 6) -> CriticalSpeeds:
    """Spins at which twice the spin meets a whirl: second-order couples of the joints and weight excite there.

    Formula: critical speeds of order 2; near half the critical speed.
    Units: a count of modes; result rad/s.
    Range: as for critical_speeds.
    Raises: ValueError if count is out of range, or the line is held too loosely.
    Source: Rosenberg, On the dynamical behavior of rotating shafts driven by universal (Hooke) couplings, J. Appl.
    Mech. 25 (1958) (from memory).

    >>> from beachmark.mechanics.beam.line import Section, Spring
    >>> tube = Section(outer_m=0.0889, inner_m=0.08468, length_m=1.524)
    >>> ends = tuple(Spring(shaft=0, position_m=place, radial_n_m=float("inf")) for place in (0.0, 1.524))
    >>> round(half_critical(line=BeamLine(shafts=((tube,),), supports=ends), count=1).spins_rad_s[0])
    331
    """
    return critical_speeds(line=line, order=2.0, forward=forward, count=count)


def speed_diagram(*, line: BeamLine, spins_rad_s: ArrayLike, count: int = 6) -> SpeedDiagram:
    """Whirl speeds of the line over the spin of its shafts, forward and backward.

    Formula: (K + w spin G - w^2 M) q = 0 at each spin.
    Units: rad/s; a count of modes; result rad/s.
    Range: as for whirl_modes; the spins at least 0.
    Raises: ValueError if an argument is not finite or out of range, or no spin is given.
    Source: Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (2010), sec. 6.5 (from memory).

    >>> from beachmark.mechanics.beam.line import Section, Spring
    >>> tube = Section(outer_m=0.0889, inner_m=0.08468, length_m=1.524)
    >>> ends = tuple(Spring(shaft=0, position_m=place, radial_n_m=float("inf")) for place in (0.0, 1.524))
    >>> line = BeamLine(shafts=((tube,),), supports=ends)
    >>> speed_diagram(line=line, spins_rad_s=[0.0, 300.0], count=1).forward_rad_s.round().tolist()
    [[660.0], [662.0]]
    """
    spins = _domain.as_list(spins_rad_s)
    _domain.same_length(spins_rad_s=spins)
    _domain.non_negative(spins_rad_s=spins)
    at_least_one(count)
    still, _, gyroscopic = still_modes(assemble(line), count)
    values, _ = with_spin(still, gyroscopic, spins)
    size = len(still)
    return SpeedDiagram(spins, values[:, size : size + count], -values[:, size - 1 :: -1][:, :count])


def margins(*, critical_rad_s: ArrayLike, reached_rad_s: ArrayLike) -> tuple[Margin, ...]:
    """How the speeds that are reached (top shaft speed of each gear, an overspeed) lie to the critical speeds.

    Formula: reached / lowest critical; the nearest critical by distance.
    Units: rad/s, in any order; result rad/s and a share without unit.
    Range: critical speeds > 0, reached speeds >= 0. What share is allowed is not said here.
    Raises: ValueError if a speed is not finite or out of range, or a list is empty.
    Source: definition.

    >>> margins(critical_rad_s=[400.0, 900.0], reached_rad_s=[300.0])[0].share_of_lowest
    0.75
    """
    critical, reached = _domain.as_list(critical_rad_s), _domain.as_list(reached_rad_s)
    _domain.same_length(critical_rad_s=critical)
    _domain.same_length(reached_rad_s=reached)
    _domain.positive(critical_rad_s=critical)
    _domain.non_negative(reached_rad_s=reached)
    return tuple(
        Margin(
            reached_rad_s=float(speed),
            share_of_lowest=float(speed / critical.min()),
            nearest_critical_rad_s=float(critical[np.argmin(np.abs(critical - speed))]),
            criticals_passed=int(np.sum(critical <= speed)),
        )
        for speed in reached
    )
