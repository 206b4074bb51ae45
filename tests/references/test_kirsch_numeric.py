"""Stress around a hole against a boundary value problem of the Airy function, solved by scipy."""

import numpy as np
import pytest
from scipy.integrate import solve_bvp  # type: ignore[import-untyped]

from beachmark.mechanics import hole_mouth

FAR = 200.0  # radii of the hole; what the hole does has died out as 1/r^2


def _hoop_of_second_harmonic() -> float:
    """Hoop stress at the hole's edge of the cos 2t part of a unit pull, by collocation.

    Airy function f(r) cos 2t with (d2/dr2 + 1/r d/dr - 4/r2)^2 f = 0; free edge at r = 1; far away radial
    stress 1/2 cos 2t and shear -1/2 sin 2t. Unknown over log r, so that the mesh is even.
    """

    def slopes(s: np.ndarray, y: np.ndarray) -> np.ndarray:
        # With r = e^s and D = d/ds the equation is ((D - 2)^2 - 4)(D^2 - 4) f = 0: D^4 - 4 D^3 - 4 D^2 + 16 D = 0.
        return np.stack([y[1], y[2], y[3], 4 * y[3] + 4 * y[2] - 16 * y[1]])

    def ends(near: np.ndarray, far: np.ndarray) -> np.ndarray:
        radial = [(y[1] - 4 * y[0]) / r**2 for y, r in ((near, 1.0), (far, FAR))]
        shear = [2 * (y[1] - y[0]) / r**2 for y, r in ((near, 1.0), (far, FAR))]
        return np.array([radial[0], shear[0], radial[1] - 0.5, shear[1] + 0.5])

    mesh = np.linspace(0, np.log(FAR), 400)
    found = solve_bvp(slopes, ends, mesh, np.zeros((4, mesh.size)), tol=1e-8, max_nodes=100_000)
    assert found.success
    f = found.sol(0.0)
    return float(f[2] - f[1])  # r^2 f'' = (D^2 - D) f


def test_kirsch_from_a_numerical_boundary_value_problem() -> None:
    """Source: scipy.integrate.solve_bvp for the second harmonic; Lame's ring (2 s at the edge) for the even part."""
    harmonic = _hoop_of_second_harmonic()
    for first, second in ((1.0, 0.0), (1.0, -1.0), (0.3, 0.8), (-2.0, 0.5)):
        for around in np.linspace(0, np.pi, 9):
            expected = 2 * (first + second) / 2 + (first - second) * harmonic * np.cos(2 * around)
            found = hole_mouth.stress_around_hole_pa(first_pa=first, second_pa=second, around_rad=float(around))
            assert found == pytest.approx(expected, abs=1e-3 * (abs(first) + abs(second)))
