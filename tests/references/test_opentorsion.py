"""Torsional trains against opentorsion: stored results always, the library itself where it is installed.

The library was given the real elements with gear pairs; ours are reduced to one shaft.
"""

import importlib.util
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from beachmark.mechanics.torsional import TorsionalTrain, natural_frequencies, reduced_train
from beachmark.mechanics.torsional_response import TorsionalDamping, forced_response

ROOT = Path(__file__).parents[2]
STORED: dict[str, Any] = json.loads((ROOT / "tests/references/data/opentorsion.json").read_text(encoding="utf-8"))
TRAINS: dict[str, Any] = STORED["trains"]


def _train(given: dict[str, Any]) -> TorsionalTrain:
    return reduced_train(
        inertias_kg_m2=[one["inertia_kg_m2"] for one in given["stations"]],
        stiffnesses_nm_rad=[one["stiffness_nm_rad"] for one in given["springs"]],
        station_ratios=[one["ratio"] for one in given["stations"]],
        spring_ratios=[one["ratio"] for one in given["springs"]],
        joined=[(one["first"], one["second"]) for one in given["springs"]],
    )


@pytest.mark.parametrize("name", TRAINS)
def test_natural_frequencies_are_those_of_opentorsion(name: str) -> None:
    """Source: opentorsion (version in the data file), made by scripts/references/opentorsion_trains.py."""
    found = natural_frequencies(train=_train(TRAINS[name]["given"])).frequencies_rad_s
    assert found[0] == 0.0
    # The library squares the range of frequencies and inverts; 1e-6 is far above what that costs.
    assert found[1:] == pytest.approx(TRAINS[name]["found"]["natural_frequencies_rad_s"], rel=1e-6)


def test_the_stored_trains_hold_gears_a_branch_and_a_response() -> None:
    """Otherwise the comparison above would not reach what it is for."""
    ratios = {one["ratio"] for train in TRAINS.values() for one in train["given"]["stations"]}
    ends = [(one["first"], one["second"]) for one in TRAINS["pair of axles"]["given"]["springs"]]
    assert len(ratios) >= 3
    assert sum(3 in pair for pair in ends) == 3
    assert "angles_real_rad" in TRAINS["damped chain"]["found"]


def test_forced_response_is_that_of_opentorsion() -> None:
    """Source: opentorsion (version in the data file), made by scripts/references/opentorsion_trains.py."""
    given, stored = TRAINS["damped chain"]["given"], TRAINS["damped chain"]["found"]
    found = forced_response(
        train=_train(given),
        damping=TorsionalDamping(given["spring_time_s"], given["station_rate_per_s"]),
        excitation_nm=given["excitation_nm"],
        frequencies_rad_s=given["frequencies_rad_s"],
    ).angles_rad
    expected = np.array(stored["angles_real_rad"]) + 1j * np.array(stored["angles_imag_rad"])
    assert np.abs(found - expected).max() < 1e-6 * np.abs(expected).max()
    assert found == pytest.approx(expected, rel=1e-6)


def test_the_stored_results_are_what_opentorsion_gives_today() -> None:
    pytest.importorskip("opentorsion", reason="opentorsion is not installed; the stored results stand in for it")
    spec = importlib.util.spec_from_file_location("trains", ROOT / "scripts/references/opentorsion_trains.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    assert script.TRAINS.keys() == TRAINS.keys()
    for name, train in script.TRAINS.items():
        assert json.loads(json.dumps(train)) == TRAINS[name]["given"]
        for what, values in script.results(train).items():
            assert np.array(values) == pytest.approx(np.array(TRAINS[name]["found"][what]), rel=1e-7)
