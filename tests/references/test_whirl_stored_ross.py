"""Whirl speeds against stored results of ross-rotordynamics 2.3.0, a general rotordynamics library.

The library is no dependency; scripts/references/ross_whirl.py says how its results are made again. It builds the
same lines by its own elements (six motions a node), its own shear coefficient and its own solver.
"""

import numpy as np
import pytest

from beachmark.mechanics.beam import critical_speeds, half_critical, speed_diagram, whirl_modes
from tests.references.lines import STORED, line_of

NAMES = list(STORED["lines"])
# A driveline turns with less than 600 rad/s; a speed above this is no use, and the default mesh is coarse for it.
OF_USE_RAD_S = 3000.0


def _stored(name: str, what: str) -> np.ndarray:
    return np.array(STORED["lines"][name]["ross"][f"{what}_rad_s"])


def _own(name: str, elements: int) -> dict[str, np.ndarray]:
    line, spin = line_of(name, elements), STORED["lines"][name]["spin_rad_s"]
    count = len(_stored(name, "still"))
    return {
        "still": whirl_modes(line=line, count=count).speeds_rad_s,
        "forward": whirl_modes(line=line, spin_rad_s=spin, count=count).speeds_rad_s,
        "backward": whirl_modes(line=line, spin_rad_s=spin, count=count, forward=False).speeds_rad_s,
        "critical": critical_speeds(line=line, count=len(_stored(name, "critical"))).spins_rad_s,
    }


def test_enough_lines_and_speeds_are_stored() -> None:
    supported = [name for name in NAMES if STORED["lines"][name]["supports"]]
    assert len(supported) >= 8
    assert sum(len(STORED["lines"][name]["shafts"]) > 1 for name in NAMES) >= 2
    assert all(_stored(name, "still").size == 4 and _stored(name, "critical").size == 2 for name in NAMES)
    assert STORED["made_with"]["ross-rotordynamics"] == "2.3.0"


@pytest.mark.parametrize("name", NAMES)
def test_the_same_mesh_gives_the_same_speeds(name: str) -> None:
    """24 elements a shaft on both sides. The library's joint is a stiff spring of 1e11 N/m: 0.01 % is left for it."""
    for what, speeds in _own(name, 24).items():
        assert speeds == pytest.approx(_stored(name, what), rel=1e-4), what


@pytest.mark.parametrize("name", NAMES)
def test_the_default_mesh_gives_the_speeds_of_use_within_a_thousandth(name: str) -> None:
    for what, speeds in _own(name, 12).items():
        stored = _stored(name, what)
        low = stored < OF_USE_RAD_S
        assert low.any()
        assert speeds[low] == pytest.approx(stored[low], rel=1e-3), what


@pytest.mark.parametrize("name", NAMES)
def test_the_diagram_holds_the_stored_columns(name: str) -> None:
    spin = STORED["lines"][name]["spin_rad_s"]
    diagram = speed_diagram(line=line_of(name, 24), spins_rad_s=[0.0, spin], count=4)
    for row, (forward, backward) in enumerate((("still", "still"), ("forward", "backward"))):
        assert diagram.forward_rad_s[row] == pytest.approx(_stored(name, forward), rel=1e-4)
        assert diagram.backward_rad_s[row] == pytest.approx(_stored(name, backward), rel=1e-4)


def test_half_critical_lies_just_below_half_the_critical_speed() -> None:
    """At half the spin there is less gyroscopic action: between the library's still and critical speed, halved."""
    for name in NAMES:
        half = half_critical(line=line_of(name, 24), count=1).spins_rad_s[0]
        assert _stored(name, "still")[0] / 2 * (1 - 1e-4) < half < _stored(name, "critical")[0] / 2 * (1 + 1e-4)
