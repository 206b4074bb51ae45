"""Natural frequencies of a train, its lash closed, and the bound on them that sets the time step.

The train is taken as linear: springs, clutches and brakes that stick, tyres that do not slip. Joints are either left
out (frequencies) or taken at their greatest ratio (bound).
"""

from collections.abc import Collection, Iterator

import numpy as np

from beachmark.mechanics._domain import FloatArray
from beachmark.mechanics.replay.parameters import Draws

GREATEST_STEP_S = 1.5e-4
GREATEST_STEP_ANGLE_RAD = 0.45
"""Greatest step times stiffest frequency; the step goes astray at 1.3 to 2, by damping."""


def frequencies(draws: Draws, *, holding: Collection[str] = ()) -> FloatArray:
    """Undamped natural frequencies [rad/s], rising, one row for each draw; motions without spring are 0.

    holding: the clutches and brakes (also the vehicle, for its brake) that hold and are springs then.

    Formula: (K - w^2 J) phi = 0 as singular values of sqrt(k) B / sqrt(J), B the twists for unit motions.
    Source: Thomson, Theory of Vibration with Applications, ch. 6 (from memory).
    """
    twists, springs = _twists(draws, holding)
    scaled = np.sqrt(springs)[..., None] * twists / np.sqrt(_inertias(draws))[:, None, :]
    found = np.linalg.svd(scaled, compute_uv=False)
    padded = np.zeros((len(draws), scaled.shape[-1]))
    padded[:, : found.shape[-1]] = found[:, : scaled.shape[-1]]
    padded.sort(axis=-1)
    return padded


def frequency_bound(draws: Draws) -> FloatArray:
    """Bound [rad/s] above the stiffest natural frequency of each draw.

    Formula: w^2 <= greatest row sum of |K| / J, or of |K| / sqrt(J J'), whichever is less.
    Source: Gershgorin's circle theorem, e.g. Golub & Van Loan, Matrix Computations, sec. 7.2 (from memory).
    """
    twists, springs = _twists(draws)
    return np.sqrt(_row_bound(draws, twists, springs))


def safe_steps_s(draws: Draws) -> FloatArray:
    """Time step [s] of each of these draws: by stiffness, by damping and by the slip springs' own rates."""
    twists, springs = _twists(draws)
    fastest = [np.ones(len(draws)), np.sqrt(_row_bound(draws, twists, springs))]
    fastest.append(_row_bound(draws, twists, _dampings(draws, springs)))
    fastest += [draws[stiffness] / draws[damping] for stiffness, damping in _slider_names(draws)]
    steps: FloatArray = np.minimum(GREATEST_STEP_S, GREATEST_STEP_ANGLE_RAD / np.maximum.reduce(fastest))
    return steps


def safe_step_s(draws: Draws) -> float:
    """Time step [s] that serves all these draws."""
    return float(np.min(safe_steps_s(draws), initial=GREATEST_STEP_S))


def _row_bound(draws: Draws, twists: FloatArray, springs: FloatArray) -> FloatArray:
    """Return the bound on the greatest eigenvalue of J^-1 B^T k B."""
    stiffness = np.abs(np.einsum("nsi,ns,nsj->nij", twists, springs, twists))
    inertias = _inertias(draws)
    plain = (stiffness.sum(axis=-1) / inertias).max(axis=-1)
    roots = np.sqrt(inertias)
    even: FloatArray = (stiffness / (roots[:, :, None] * roots[:, None, :])).sum(axis=-1).max(axis=-1)
    bound: FloatArray = np.minimum(plain, even)
    return bound


def _inertias(draws: Draws) -> FloatArray:
    """Inertias of all freedoms, one row for each draw."""
    columns = [draws[f"{station.name}.inertia_kg_m2"] for station in draws.layout.stations]
    if draws.layout.vehicle is not None:
        columns.append(draws[f"{draws.layout.vehicle.name}.mass_kg"])
    return np.array(columns).T


def _slider_names(draws: Draws) -> list[tuple[str, str]]:
    """Names of stiffness and damping of every friction pair."""
    names = [(f"{part.name}.stiffness_nm_rad", f"{part.name}.damping_nm_s_rad") for part in draws.layout.clutches]
    vehicle = draws.layout.vehicle
    if vehicle is not None and vehicle.braked:
        names.append((f"{vehicle.name}.brake_stiffness_n_m", f"{vehicle.name}.brake_damping_n_s_m"))
    return names


def _dampings(draws: Draws, springs: FloatArray) -> FloatArray:
    """Damping of every spring, in the order of the springs."""
    columns = [springs[:, n] * draws[f"{part.name}.spring_time_s"] for n, part in enumerate(draws.layout.couplings)]
    columns += [draws[damping] for _, damping in _slider_names(draws)]
    columns += [draws[f"{tyre.name}.load_n"] * draws[f"{tyre.name}.damping_s_m"] for tyre in draws.layout.tyres]
    return np.array(columns).T.reshape(len(draws), len(columns))


_Spring = tuple[FloatArray, dict[str, FloatArray]]


def _twists(draws: Draws, holding: Collection[str] | None = None) -> tuple[FloatArray, FloatArray]:
    """Return the twists of the springs for unit motions of the freedoms, and the springs; one set for each draw.

    Without a choice of what holds: the stiffest case, all holding and all joints at their greatest ratio.
    """
    sliders = [spring for name, spring in _sliders(draws) if holding is None or name in holding]
    springs = [*_couplings(draws, holding is None), *sliders, *_tyres(draws)]
    matrix = np.zeros((len(draws), len(springs), len(draws.layout.freedoms)))
    for row, (_, motions) in enumerate(springs):
        for name, twist in motions.items():
            matrix[:, row, draws.layout.place[name]] = twist
    return matrix, np.array([stiffness for stiffness, _ in springs]).T.reshape(len(draws), len(springs))


def _couplings(draws: Draws, steepest: bool) -> Iterator[_Spring]:
    """Yield the springs of the couplings."""
    one = np.ones(len(draws))
    for part in draws.layout.couplings:
        ratio = 1.0 / draws[f"{part.name}.ratio"] if part.geared else one
        if part.jointed and steepest:
            ratio = ratio / np.cos(draws[f"{part.name}.angle_rad"])
        share = draws[f"{part.name}.first_share"] if len(part.driven) == 2 else one
        driven = dict(zip(part.driven, (-share, share - 1.0), strict=False))
        yield draws[f"{part.name}.stiffness_nm_rad"], {part.driving: ratio, **driven}


def _sliders(draws: Draws) -> Iterator[tuple[str, _Spring]]:
    """Yield the springs of clutches and brakes, with their names."""
    one, layout = np.ones(len(draws)), draws.layout
    for part in layout.clutches:
        driven = {} if part.driven is None else {part.driven: -one}
        yield part.name, (draws[f"{part.name}.stiffness_nm_rad"], {part.driving: one, **driven})
    if layout.vehicle is not None and layout.vehicle.braked:
        name = layout.vehicle.name
        yield name, (draws[f"{name}.brake_stiffness_n_m"], {name: one})


def _tyres(draws: Draws) -> Iterator[_Spring]:
    """Yield the springs of the tyres, between wheel and vehicle."""
    vehicle = draws.layout.vehicle
    if vehicle is None:
        return
    for part in draws.layout.tyres:
        motions = {part.wheel: draws[f"{part.name}.radius_m"], vehicle.name: -np.ones(len(draws))}
        yield draws[f"{part.name}.load_n"] * draws[f"{part.name}.stiffness_per_m"], motions
