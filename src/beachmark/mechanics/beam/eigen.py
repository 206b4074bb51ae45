"""The lowest solutions of K q = w^2 N q, and how the spin of the shafts moves them."""

import numpy as np

from beachmark.mechanics._domain import FloatArray

_SHIFT = 1e-6  # of the softest motion taken alone; beside the first bending mode that is little
_FREE = 1e-7  # of the shift: a square of a speed below it is rounding, the line moves as a rigid body


def lowest(stiffness: FloatArray, mass: FloatArray, inertia: FloatArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Return the lowest speeds [rad/s] with K q = w^2 N q, and the motions q as columns.

    N may be indefinite (mass less gyroscopic action): solutions without a real speed are left out. K may be
    singular: a small part of N is added before the Cholesky factor is taken, and taken off the result exactly.
    """
    shift = _SHIFT * float(np.min(stiffness.diagonal() / mass.diagonal()))
    try:
        factor = np.linalg.cholesky(stiffness + shift * inertia)
    except np.linalg.LinAlgError as cause:
        raise ValueError("supports is too loose; it must hold the line so that a critical speed exists.") from cause
    half = np.linalg.solve(factor, inertia)
    values, vectors = np.linalg.eigh(np.linalg.solve(factor, half.T))
    chosen = np.flatnonzero(values > 0)[::-1][:count]
    squares = 1 / values[chosen] - shift
    squares[squares < _FREE * shift] = 0.0
    motions: FloatArray = np.linalg.solve(factor.T, vectors[:, chosen])
    return np.sqrt(squares), motions


def with_spin(speeds: FloatArray, gyroscopic: FloatArray, spins: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the signed whirl speeds at each spin, rising, and the shares of the still modes in them.

    Round supports let both planes be one complex motion: w^2 p = W^2 p + w spin G p over the still modes p,
    W their speeds. With r = W p / w that is one symmetric matrix: half of its values belong to forward whirl.
    """
    size = len(speeds)
    matrix = np.zeros((len(spins), 2 * size, 2 * size))
    matrix[:, :size, :size] = spins[:, None, None] * gyroscopic
    matrix[:, :size, size:] = matrix[:, size:, :size] = np.diag(speeds)
    values, vectors = np.linalg.eigh(matrix)
    return values, vectors[:, :size]
