"""A frictionless cross and a two-piece line as free bodies: unknown forces, solved from balance alone."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
X, Y, Z = np.eye(3)


@dataclass(frozen=True)
class Cross:
    """Directions of both shafts and both pins, and the force of each yoke on the arm at +pin for a given torque."""

    before: Array
    after: Array
    driving_pin: Array
    driven_pin: Array
    on_driving_arm: Array
    on_driven_arm: Array

    def couple_on_driving_shaft(self, radius: float) -> Array:
        return -2 * radius * np.cross(self.driving_pin, self.on_driving_arm)

    def couple_on_driven_shaft(self, radius: float) -> Array:
        return -2 * radius * np.cross(self.driven_pin, self.on_driven_arm)


def unit(vector: Array) -> Array:
    return vector / float(np.linalg.norm(vector))


def cross_at(angle: float, drive_angle: float, torque: float, radius: float) -> Cross:
    """The driving shaft along x, the driven one leaning towards y; the first pin turned from y towards z."""
    before, after = X, np.cos(angle) * X + np.sin(angle) * Y
    driving_pin = np.cos(drive_angle) * Y + np.sin(drive_angle) * Z
    driven_pin = unit(np.cross(after, driving_pin))
    # An arm takes no force along itself and gives no moment about itself: two unknowns at each pair of arms.
    sides = [_square_to(driving_pin), _square_to(driven_pin)]
    arms = [driving_pin, driven_pin]
    moments = [2 * radius * np.cross(arm, side) for arm, pair in zip(arms, sides, strict=True) for side in pair]
    rows = np.vstack([np.array(moments).T, [moments[0] @ before, moments[1] @ before, 0.0, 0.0]])
    found = np.linalg.solve(rows, [0.0, 0.0, 0.0, torque])
    forces = [found[2 * k] * sides[k][0] + found[2 * k + 1] * sides[k][1] for k in (0, 1)]
    return Cross(before, after, driving_pin, driven_pin, forces[0], forces[1])


def _square_to(arm: Array) -> tuple[Array, Array]:
    first = unit(np.cross(arm, X if abs(arm[0]) < 0.9 else Y))
    return first, np.cross(arm, first)


def two_piece_line(
    torque: float, shafts: Array, pins: list[Array], front: float, overhang: float, rear: float
) -> tuple[Array, float]:
    """Force on the centre bearing and torque at the axle from the balance of both shafts as free bodies.

    Unknown: three moments along the crosses' normals, forces at joints 1 and 2, at joint 3 square to the rear
    shaft (the slip gives way), at the bearing square to the front shaft: 13 numbers, 13 equations.
    """
    normals = [np.cross(pin, np.cross(after, pin)) for pin, after in zip(pins, shafts[1:], strict=True)]
    u, v = shafts[1], shafts[2]
    front_sides, rear_sides = _square_to(u), _square_to(v)
    columns: list[Array] = []
    zero = np.zeros(3)

    def column(front_force: Array, front_moment: Array, rear_force: Array, rear_moment: Array, known: float) -> None:
        columns.append(np.concatenate([front_force, front_moment, rear_force, rear_moment, [known]]))

    column(zero, normals[0], zero, zero, float(normals[0] @ shafts[0]))
    column(zero, -normals[1], zero, normals[1], 0.0)
    column(zero, zero, zero, -normals[2], 0.0)
    for axis in np.eye(3):  # joint 1 on the front shaft, moments taken about joint 1
        column(axis, zero, zero, zero, 0.0)
    for side in front_sides:  # bearing on the front shaft
        column(side, front * np.cross(u, side), zero, zero, 0.0)
    for axis in np.eye(3):  # joint 2: on the rear shaft, and its reaction on the front one
        column(-axis, -(front + overhang) * np.cross(u, axis), axis, zero, 0.0)
    for side in rear_sides:  # joint 3 on the rear shaft, moments taken about joint 2
        column(zero, zero, side, rear * np.cross(v, side), 0.0)
    found = np.linalg.solve(np.array(columns).T, np.concatenate([np.zeros(12), [torque]]))
    on_shaft = found[6] * front_sides[0] + found[7] * front_sides[1]
    return -on_shaft, float(found[2] * normals[2] @ shafts[3])
