"""How a line whirls at a given spin: speeds, shapes, and which part each of them lives in."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from beachmark.mechanics import _domain
from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.beam.assembly import Matrices, assemble, node_at
from beachmark.mechanics.beam.eigen import lowest, with_spin
from beachmark.mechanics.beam.line import BeamLine

# Still modes kept beyond those asked for when the spin is added: a few parts in 100 000 of a whirl speed, tested
# against critical speeds, which are solved with all of them.
_SPARE = 18


@dataclass(frozen=True)
class Part:
    """A part of the line: a shaft or a support by its place in the line's list (``free``: no part is strained)."""

    kind: Literal["shaft", "support", "free"]
    index: int


@dataclass(frozen=True)
class WhirlModes:
    """Whirl speeds, lowest first, and what the line does in each.

    ``shapes`` has a row a mode: deflection at the places ``positions_m`` (from the line's front joint; a joint
    stands there twice, once for each shaft), the greatest being 1. The shares are of the energy of bending,
    shear and springs: they tell where the mode lives, and ``dominant`` is the part with the most.
    """

    speeds_rad_s: FloatArray
    positions_m: FloatArray
    shapes: FloatArray
    shaft_shares: FloatArray
    support_shares: FloatArray
    dominant: tuple[Part, ...]


def whirl_modes(*, line: BeamLine, spin_rad_s: float = 0.0, count: int = 6, forward: bool = True) -> WhirlModes:
    """Speeds and shapes in which the line whirls while its shafts spin.

    Formula: (K + w spin G - w^2 M) q = 0; w > 0 forward, w < 0 backward whirl; 0 is a line free to move off.
    Units: rad/s; a count of modes; result rad/s, m.
    Range: small angles between the shafts, one mean spin for all, supports equal in all radial directions, no damping.
    Raises: ValueError if an argument is not finite or out of range.
    Source: Friswell, Penny, Garvey and Lees, Dynamics of Rotating Machines (2010), ch. 5-6 (from memory).

    >>> from beachmark.mechanics.beam.line import Section, Spring
    >>> tube = Section(outer_m=0.0889, inner_m=0.08468, length_m=1.524)
    >>> ends = tuple(Spring(shaft=0, position_m=place, radial_n_m=float("inf")) for place in (0.0, 1.524))
    >>> modes = whirl_modes(line=BeamLine(shafts=((tube,),), supports=ends), count=1)
    >>> round(modes.speeds_rad_s[0]), modes.dominant[0].kind
    (660, 'shaft')
    """
    _domain.non_negative(spin_rad_s=spin_rad_s)
    at_least_one(count)
    matrices = assemble(line)
    if spin_rad_s == 0:
        speeds, motions = lowest(matrices.stiffness, matrices.mass, matrices.mass, count)
    else:
        speeds, motions = _spinning(matrices, spin_rad_s, count, forward)
    return described(line, matrices, speeds, motions)


def at_least_one(count: int) -> None:
    """Refuse a count of modes below one."""
    _domain.between(1, 1000, "from 1 to 1000", count=count)


def still_modes(matrices: Matrices, count: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return speeds and motions (of unit modal mass) without spin, and the gyroscopic matrix between them."""
    speeds, motions = lowest(matrices.stiffness, matrices.mass, matrices.mass, count + _SPARE)
    motions = motions / np.sqrt(np.sum(motions * (matrices.mass @ motions), axis=0))
    return speeds, motions, motions.T @ matrices.gyroscopic @ motions


def described(line: BeamLine, matrices: Matrices, speeds: FloatArray, motions: FloatArray) -> WhirlModes:
    """Return the modes with shapes and shares; the motions are columns over the free motions."""
    whole = np.zeros((len(speeds), matrices.motions))
    whole[:, matrices.free] = motions.T
    mesh = matrices.mesh
    shapes = whole[:, mesh.deflection]
    greatest = np.take_along_axis(shapes, np.argmax(np.abs(shapes), axis=1)[:, None], axis=1)
    energies = np.hstack([_shaft_energies(line, matrices, whole), _support_energies(line, matrices, whole)])
    strained = (speeds > 0)[:, None] * energies
    total = strained.sum(axis=1, keepdims=True)
    shares = strained / np.where(total > 0, total, 1.0)
    split = len(line.shafts)
    dominant = tuple(_most(row, split) for row in shares)
    return WhirlModes(speeds, mesh.positions_m, shapes / greatest, shares[:, :split], shares[:, split:], dominant)


def _spinning(matrices: Matrices, spin: float, count: int, forward: bool) -> tuple[FloatArray, FloatArray]:
    """Return speeds and motions of the forward or the backward modes at one spin."""
    still, motions, gyroscopic = still_modes(matrices, count)
    values, shares = with_spin(still, gyroscopic, np.array([spin]))
    size = len(still)
    order = np.arange(size, 2 * size) if forward else np.arange(size - 1, -1, -1)
    chosen = order[:count]
    speeds: FloatArray = np.abs(values[0, chosen])
    return speeds, motions @ shares[0][:, chosen]


def _shaft_energies(line: BeamLine, matrices: Matrices, whole: FloatArray) -> FloatArray:
    """Return twice the strain energy of each shaft (columns) in each mode (rows)."""
    moved = whole[:, matrices.element_motions]
    energy = np.einsum("mei,eij,mej->me", moved, matrices.element_stiffness, moved, optimize=True)
    members: FloatArray = matrices.mesh.element_shaft[:, None] == np.arange(len(line.shafts))
    result: FloatArray = energy @ members
    return result


def _support_energies(line: BeamLine, matrices: Matrices, whole: FloatArray) -> FloatArray:
    """Return twice the energy in each support (columns) in each mode (rows); a rigid one takes none."""
    energies = np.zeros((len(whole), len(line.supports)))
    for column, item in enumerate(line.supports):
        node = node_at(line, matrices.mesh, item)
        for motion, value in (
            (matrices.mesh.deflection[node], item.radial_n_m),
            (matrices.mesh.slope[node], item.angular_nm_rad),
        ):
            if np.isfinite(value):
                energies[:, column] += value * whole[:, motion] ** 2
    return energies


def _most(shares: FloatArray, shafts: int) -> Part:
    """Return the part with the greatest share of a mode; of equal ones the first (rounding must not choose)."""
    most = int(np.argmax(np.round(shares, 6)))
    if shares[most] == 0:
        return Part("free", 0)
    return Part("shaft", most) if most < shafts else Part("support", most - shafts)
