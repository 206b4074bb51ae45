"""From a line to its matrices: nodes, numbered motions, stiffness, mass and gyroscopic action."""

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.beam.elements import element_mass, element_rotary_inertia, element_stiffness
from beachmark.mechanics.beam.line import SAME_PLACE, BeamLine, PointMass, Section, Spring

IntArray = NDArray[np.intp]


@dataclass(frozen=True)
class Mesh:
    """Nodes along the line; a joint has two, the rear end of one shaft and the front end of the next."""

    positions_m: FloatArray  # from the line's front joint
    shaft_of_node: IntArray
    deflection: IntArray  # number of each node's deflection; the two nodes of a joint share one
    slope: IntArray  # number of each node's slope, always its own
    element_front: IntArray  # node in front of each element
    element_shaft: IntArray


@dataclass(frozen=True)
class Matrices:
    """A line in numbers: K, M [SI] and the gyroscopic matrix per unit of spin, over the motions left free."""

    mesh: Mesh
    stiffness: FloatArray
    mass: FloatArray
    gyroscopic: FloatArray
    free: IntArray
    motions: int
    element_motions: IntArray
    element_stiffness: FloatArray


def assemble(line: BeamLine) -> Matrices:
    """Return mesh and matrices of a line; rigid pins and clamps are taken out of the motions."""
    mesh, lengths, sections = _mesh(line)
    front = mesh.element_front
    each = np.stack(
        [mesh.deflection[front], mesh.slope[front], mesh.deflection[front + 1], mesh.slope[front + 1]], axis=1
    )
    motions = int(mesh.slope[-1]) + 1
    local, own, tilt = _element_matrices(lengths, sections)
    mass = _summed(own + tilt, each, motions)
    gyroscopic = _summed(2 * tilt, each, motions)  # a round section's polar moment is twice the one about a diameter
    stiffness = _summed(local, each, motions)
    _add_masses(line, mesh, mass, gyroscopic)
    held = _add_supports(line, mesh, stiffness, mass)
    free = np.setdiff1d(np.arange(motions), held)
    square = np.ix_(free, free)
    return Matrices(mesh, stiffness[square], mass[square], gyroscopic[square], free, motions, each, local)


def node_at(line: BeamLine, mesh: Mesh, item: PointMass | Spring) -> int:
    """Return the node at which a mass or a support sits."""
    start = sum(line.length_of(shaft) for shaft in range(item.shaft))
    on_shaft = np.flatnonzero(mesh.shaft_of_node == item.shaft)
    nearest = np.argmin(np.abs(mesh.positions_m[on_shaft] - start - item.position_m))
    return int(on_shaft[nearest])


def _mesh(line: BeamLine) -> tuple[Mesh, FloatArray, list[Section]]:
    """Return the nodes of a line, and the length and section of each element."""
    lengths, sections, counts, places, start = [], [], [], [], 0.0
    for shaft in range(len(line.shafts)):
        stations, pieces = _elements_of_shaft(line, shaft)
        lengths.append(np.diff(stations))
        sections += pieces
        counts.append(len(pieces))
        places.append(start + stations)
        start += line.length_of(shaft)
    shafts = np.arange(len(counts))
    shaft_of_node = np.repeat(shafts, np.array(counts) + 1)
    nodes = np.arange(len(shaft_of_node))
    deflection = nodes - shaft_of_node  # each joint merges one deflection
    slope = int(deflection[-1]) + 1 + nodes
    element_shaft = np.repeat(shafts, counts)
    front = np.arange(len(element_shaft)) + element_shaft
    mesh = Mesh(np.concatenate(places), shaft_of_node, deflection, slope, front, element_shaft)
    return mesh, np.concatenate(lengths), sections


def _elements_of_shaft(line: BeamLine, shaft: int) -> tuple[FloatArray, list[Section]]:
    """Return the node places of one shaft from its front joint, and the section of each element."""
    length = line.length_of(shaft)
    wanted = [item.position_m for item in line.attached if item.shaft == shaft]
    places, sections, begin = [np.zeros(1)], [], 0.0
    for section in line.shafts[shaft]:
        end = begin + section.length_m
        stations = [begin, *_inside(wanted, begin, end, SAME_PLACE * length), end]
        for front, rear in itertools.pairwise(stations):
            # The small allowance keeps rounding from asking for one element more.
            count = max(1, math.ceil((rear - front) / length * line.elements_per_shaft - 1e-6))
            places.append(np.linspace(front, rear, count + 1)[1:])
            sections += [section] * count
        begin = end
    return np.concatenate(places), sections


def _inside(places: Iterable[float], begin: float, end: float, nearly: float) -> list[float]:
    """Return the places between two ends, in order and each once."""
    chosen: list[float] = []
    for place in sorted(places):
        if place - (chosen[-1] if chosen else begin) > nearly and end - place > nearly:
            chosen.append(place)
    return chosen


def _element_matrices(lengths: FloatArray, sections: list[Section]) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return stiffness, mass and rotary inertia of every element."""
    values = {
        id(s): (s.youngs_pa, s.density_kg_m3, s.area_m2, s.second_moment_m4, s.shear_rigidity_n) for s in sections
    }
    youngs, density, area, second, shear = np.array([values[id(s)] for s in sections]).T
    rigidity = youngs * second
    return (
        element_stiffness(rigidity_n_m2=rigidity, shear_rigidity_n=shear, length_m=lengths),
        element_mass(
            mass_per_length_kg_m=density * area, rigidity_n_m2=rigidity, shear_rigidity_n=shear, length_m=lengths
        ),
        element_rotary_inertia(
            inertia_per_length_kg_m=density * second, rigidity_n_m2=rigidity, shear_rigidity_n=shear, length_m=lengths
        ),
    )


def _summed(local: FloatArray, each: IntArray, motions: int) -> FloatArray:
    """Return the sum of all element matrices in the numbering of the line."""
    places = (each[:, :, None] * motions + each[:, None, :]).ravel()
    total: FloatArray = np.bincount(places, local.ravel(), motions * motions).astype(np.float64, copy=False)
    return total.reshape(motions, motions)


def _add_masses(line: BeamLine, mesh: Mesh, mass: FloatArray, gyroscopic: FloatArray) -> None:
    """Put the point masses into the matrices under construction."""
    for item in line.masses:
        node = node_at(line, mesh, item)
        move, tilt = mesh.deflection[node], mesh.slope[node]
        mass[move, move] += item.mass_kg
        mass[tilt, tilt] += item.transverse_inertia_kg_m2
        gyroscopic[tilt, tilt] += item.polar_inertia_kg_m2


def _add_supports(line: BeamLine, mesh: Mesh, stiffness: FloatArray, mass: FloatArray) -> list[int]:
    """Put the supports into the matrices under construction; return the motions that are held rigidly."""
    held: list[int] = []
    for item in line.supports:
        node = node_at(line, mesh, item)
        move = int(mesh.deflection[node])
        mass[move, move] += item.mass_kg
        for motion, value in ((move, item.radial_n_m), (int(mesh.slope[node]), item.angular_nm_rad)):
            if math.isinf(value):
                held.append(motion)
            else:
                stiffness[motion, motion] += value
    return held
