"""Natural frequencies of trains in the replay against opentorsion: the step rests on them.

The library was given the real elements with gear pairs (scripts/references/opentorsion_trains.py; it is held against
the stored results in test_opentorsion.py where it is installed). Here the same numbers are a layout of the replay:
stations, couplings behind gears, a clutch that holds, tyres that do not slip, and the vehicle.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from beachmark.mechanics.replay import (
    Coupling,
    Draws,
    FrictionClutch,
    Layout,
    Run,
    Station,
    Tyre,
    Vehicle,
    draws,
    frequencies,
    frequency_bound,
    safe_step_s,
    safe_steps_s,
)

STORED: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "tests/references/data/opentorsion.json").read_text(encoding="utf-8")
)
TRAINS: dict[str, Any] = {**STORED["trains"], **STORED["rings"]}
ON_THE_ROAD = ("tipper in a low gear", "two axles to the road")
NAMES = (*ON_THE_ROAD, "pair of axles")
RADIUS_M, LOAD_N = 0.5, 1e5


def _replayed(name: str) -> Draws:
    """A stored train as one draw. Its springs act at their own speed; ours at that of their driven side."""
    given = TRAINS[name]["given"]
    stations, road = given["stations"], name in ON_THE_ROAD
    values: dict[str, Any] = {}
    last = len(stations) - 1 if road else len(stations)
    for number, one in enumerate(stations[:last]):
        values[f"station {number}.inertia_kg_m2"] = one["inertia_kg_m2"]
    parts: dict[str, list[Any]] = {"couplings": [], "clutches": [], "tyres": []}
    for number, one in enumerate(given["springs"]):
        driving, driven = stations[one["first"]]["ratio"], stations[one["second"]]["ratio"]
        names = [f"station {one[end]}" for end in ("first", "second")]
        stiffness = one["stiffness_nm_rad"] * (one["ratio"] / driven) ** 2
        if one["second"] == last:
            parts["tyres"].append(Tyre(name=f"tyre {number}", wheel=names[0]))
            values |= _tyre(f"tyre {number}", stiffness)
        elif number == 0 and road:
            parts["clutches"].append(FrictionClutch(name="clutch", driving=names[0], driven=names[1]))
            values |= {"clutch.stiffness_nm_rad": stiffness, "clutch.damping_nm_s_rad": 30.0, "clutch.capacity_nm": 1e6}
        else:
            part = Coupling(name=f"spring {number}", driving=names[0], driven=(names[1],), geared=True)
            parts["couplings"].append(part)
            values |= {f"{part.name}.stiffness_nm_rad": stiffness, f"{part.name}.ratio": driving / driven}
    if road:
        values["vehicle.mass_kg"] = stations[last]["inertia_kg_m2"] / RADIUS_M**2
    layout = Layout(
        stations=tuple(Station(name=f"station {number}") for number in range(last)),
        vehicle=Vehicle() if road else None,
        **{kind: tuple(found) for kind, found in parts.items()},
    )
    return draws(layout=layout, values=values, count=1)


def _tyre(name: str, stiffness_nm_rad: float) -> dict[str, float]:
    """Values of a tyre that gives as a spring at the wheel does."""
    given = {"load_n": LOAD_N, "radius_m": RADIUS_M, "stiffness_per_m": stiffness_nm_rad / (LOAD_N * RADIUS_M**2)}
    return {
        f"{name}.{what}": value
        for what, value in {**given, "damping_s_m": 0, "rolling_per_m": 0, "friction": 1}.items()
    }


def test_the_trains_hold_what_they_are_for() -> None:
    """A clutch, two gears, two axles, and two ways to the road: otherwise the comparison would not reach them."""
    layouts = {name: _replayed(name).layout for name in NAMES}
    assert len(layouts["two axles to the road"].tyres) == 2
    assert all(layouts[name].clutches for name in ON_THE_ROAD)
    assert all(len({one["ratio"] for one in TRAINS[name]["given"]["stations"]}) >= 3 for name in NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_frequencies_are_those_of_opentorsion(name: str) -> None:
    """Source: opentorsion (version in the data file). It squares the range of frequencies; 1e-6 is above that."""
    found = frequencies(_replayed(name), holding=("clutch",))[0]
    assert found[0] < 1e-3
    assert found[1:] == pytest.approx(TRAINS[name]["found"]["natural_frequencies_rad_s"], rel=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_bound_and_the_step_keep_their_distance_from_the_stiffest_frequency(name: str) -> None:
    """Leapfrog is stable while step times frequency is below 2 (Hairer, Lubich & Wanner); the step is below 0.5."""
    stiffest = TRAINS[name]["found"]["natural_frequencies_rad_s"][-1]
    these = _replayed(name)
    assert stiffest < frequency_bound(these)[0] < 1.3 * stiffest
    assert 0 < safe_step_s(these) * stiffest <= 0.5
    assert safe_steps_s(these).tolist() == [safe_step_s(these)]


@pytest.mark.parametrize("name", ["two axles to the road"])
def test_a_step_beyond_the_limit_goes_astray_and_the_safe_one_does_not(name: str) -> None:
    """The stiffest train, with the frequency of opentorsion: 2.2 over it grows without end, the safe step does not."""
    these = _replayed(name)
    stiffest = TRAINS[name]["found"]["natural_frequencies_rad_s"][-1]
    wheel = next(place for place, known in enumerate(these.names) if known == "vehicle.start_speed_m_s")
    these.rows[0, wheel] = 0.01
    greatest = []
    for step in (safe_step_s(these), 2.2 / stiffest):
        run = Run(draws=these, step_s=step, plain=True)
        run.advance(300)
        outcome = run.outcome()
        greatest.append(float(outcome.peak.max()) if outcome.sound[0] else np.inf)
    assert greatest[0] < 1e4
    assert greatest[1] > 1e6 * greatest[0]
