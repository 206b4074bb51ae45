"""Reads the rows that the steps carry on: angles and speeds at one time, loads at it, the account of energy."""

from dataclasses import dataclass

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay import compiled
from beachmark.mechanics.replay.parameters import Draws
from beachmark.mechanics.replay.source import Program


def at_full_step(program: Program, state: FloatArray, step_s: float) -> FloatArray:
    """Angles, speeds and slip states at the full step, one row each; rows of the state may have any more axes."""
    rows, count, slips = program.rows, program.freedoms, len(program.sheet.slips)
    angles, half_speeds, accelerations = (state[rows[f"{letter}0"] :][:count] for letter in "qvb")
    slid = state[3 * count :][:slips]
    return np.concatenate((angles, half_speeds + 0.5 * step_s * accelerations, slid))


@dataclass(frozen=True)
class Account:
    """Energy held [J] and powers [W] (work done on the train, loss in springs and drags, in each slipping part)."""

    held_j: FloatArray
    powers_w: FloatArray


def account(program: Program, draws: Draws, constants: FloatArray, now: tuple[float, FloatArray]) -> Account:
    """Energy of motion and of springs of each draw, and the powers; now: the time and the full state."""
    time, full = now
    speeds = full[program.freedoms : 2 * program.freedoms]
    names = [f"{station.name}.inertia_kg_m2" for station in draws.layout.stations]
    names += [] if draws.layout.vehicle is None else [f"{draws.layout.vehicle.name}.mass_kg"]
    held = np.zeros(len(draws))
    for name, speed in zip(names, speeds, strict=True):
        held += 0.5 * draws[name] * speed**2
    _, stored, powers = compiled.look(program)(time, full, constants)
    return Account(held + stored, np.array([np.broadcast_to(power, held.shape) for power in powers]))


def loads_of(program: Program, constants: FloatArray, times_s: FloatArray, full: FloatArray) -> FloatArray:
    """Loads of one draw along times: loads by times. full: its full state, one row each, along the times."""
    loads, _, _ = compiled.look(program)(times_s, full, constants[:, None])
    return np.array([np.broadcast_to(load, times_s.shape) for load in loads])
