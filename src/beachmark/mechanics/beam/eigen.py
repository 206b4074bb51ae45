"""The lowest solutions of K q = w^2 N q, and how the spin of the shafts moves them."""

import numpy as np

from beachmark.mechanics._domain import FloatArray

_SHIFT = 1e-6  # of the softest motion taken alone; beside the first mode that is little
_FREE = 1e-7  # of the shift: below it a square of a speed is rounding, the line moves as a rigid body


def lowest(stiffness: FloatArray, mass: FloatArray, inertia: FloatArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Return the lowest speeds [rad/s] with K q = w^2 N q, and the motions q as columns.

    N may be indefinite (mass less gyroscopic action); solutions without a real speed are left out. K may be
    singular: adding a small part of N keeps the Cholesky factor, and is taken off the result exactly.
    """
    shift = _SHIFT * float(np.min(np.diag(stiffness).clip(min=0.0)[mass.diagonal() > 0] / mass.diagonal()))
    try:
        factor = np.linalg.cholesky(stiffness + shift * inertia)
    except np.linalg.LinAlgError as cause:
        raise ValueError("supports hold the line too loosely; it must be held so that it has a critical speed.") from cause
    half = np.linalg.solve(factor, inertia)
    values, vectors = np.linalg.eigh(np.linalg.solve(factor, half.T))
    chosen = np.flatnonzero(values > 0)[::-1][:count]
    squares = 1 / values[chosen] - shift
    squares[squares < _FREE * shift] = 0.0
    return np.sqrt(squares), np.linalg.solve(factor.T, vectors[:, chosen])
