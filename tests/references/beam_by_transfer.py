"""The same line solved another way: by transfer along the shaft, exact for each piece, without elements.

State: deflection w, slope t, bending moment M, shear force V, with w' = t + V / (kappa G A), t' = M / (E I),
M' = -V - w^2 rho I (1 - 2 / order) t, V = -w^2 rho A w'. Source: transfer matrices of Prohl, J. Appl. Mech. 12
(1945), and Myklestad, J. Aeronaut. Sci. 11 (1944) (from memory), here with spread mass.
"""

import itertools
import math
from collections.abc import Callable

import numpy as np
from scipy.linalg import expm
from scipy.optimize import brentq

from beachmark.mechanics.beam import BeamLine, Section


def speeds_by_transfer(line: BeamLine, lowest: float, highest: float, gyroscopic: float = 0.0) -> list[float]:
    """Whirl speeds between two bounds; ``gyroscopic`` is spin over whirl speed (1: forward critical speed)."""
    grid = np.geomspace(lowest, highest, 400)
    rest = _rest(line, gyroscopic)
    values = [rest(speed) for speed in grid]
    crossings = [i for i in range(len(grid) - 1) if values[i] * values[i + 1] < 0]
    return [float(brentq(rest, grid[i], grid[i + 1], xtol=1e-9, rtol=1e-12)) for i in crossings]


def _rest(line: BeamLine, gyroscopic: float) -> Callable[[float], float]:
    """Determinant of what must vanish: the moment in each joint, moment and shear at the rear end."""

    def rest(speed: float) -> float:
        unknowns = len(line.shafts) + 1  # deflection and slope at the front, the bend of each joint
        state = np.zeros((4, unknowns))
        state[0, 0] = state[1, 1] = 1.0
        rows = []
        for shaft in range(len(line.shafts)):
            if shaft:
                rows.append(state[2].copy())
                state[1, shaft + 1] += 1.0
            state = _along(line, shaft, state, speed, gyroscopic)
        matrix = np.array([*rows, state[2], state[3]])
        return float(np.linalg.det(matrix / np.abs(matrix).max(axis=1, keepdims=True)))

    return rest


def _along(line: BeamLine, shaft: int, state: np.ndarray, speed: float, gyroscopic: float) -> np.ndarray:
    """State behind a shaft from the state in front of it."""
    ends = np.concatenate([[0.0], np.cumsum([section.length_m for section in line.shafts[shaft]])])
    places = sorted({*ends.tolist(), *(item.position_m for item in line.attached if item.shaft == shaft)})
    state = _across(line, shaft, places[0], state, speed, gyroscopic)
    for front, rear in itertools.pairwise(places):
        section = line.shafts[shaft][int(np.searchsorted(ends, (front + rear) / 2)) - 1]
        state = expm(_field(section, speed, gyroscopic) * (rear - front)) @ state
        state = _across(line, shaft, rear, state, speed, gyroscopic)
    return state


def _field(section: Section, speed: float, gyroscopic: float) -> np.ndarray:
    """Derivative of the state along a section, with Cowper's coefficient written out anew."""
    r = section.inner_m / section.outer_m
    v = section.poisson
    kappa = 6 * (1 + v) * (1 + r**2) ** 2 / ((7 + 6 * v) * (1 + r**2) ** 2 + (20 + 12 * v) * r**2)
    area = math.pi * (section.outer_m**2 - section.inner_m**2) / 4
    second = math.pi * (section.outer_m**4 - section.inner_m**4) / 64
    field = np.zeros((4, 4))
    field[0, 1] = 1.0
    field[0, 3] = 1 / (kappa * section.youngs_pa / (2 + 2 * v) * area)
    field[1, 2] = 1 / (section.youngs_pa * second)
    field[2, 3] = -1.0
    field[2, 1] = -(speed**2) * section.density_kg_m3 * second * (1 - 2 * gyroscopic)
    field[3, 0] = -(speed**2) * section.density_kg_m3 * area
    return field


def _across(line: BeamLine, shaft: int, place: float, state: np.ndarray, speed: float, gyroscopic: float) -> np.ndarray:
    """State behind the masses and supports that sit at a place."""
    state = state.copy()
    for mass in line.masses:
        if mass.shaft == shaft and mass.position_m == place:
            tilt = mass.transverse_inertia_kg_m2 - gyroscopic * mass.polar_inertia_kg_m2
            state[3] -= speed**2 * mass.mass_kg * state[0]
            state[2] -= speed**2 * tilt * state[1]
    for support in line.supports:
        if support.shaft == shaft and support.position_m == place:
            state[3] += (support.radial_n_m - speed**2 * support.mass_kg) * state[0]
            state[2] += support.angular_nm_rad * state[1]
    return state
