"""The stored results of ross-rotordynamics are still what the library gives (run only where it is installed)."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from tests.references.lines import STORED

pytestmark = pytest.mark.skipif(
    importlib.util.find_spec("ross") is None,
    reason="ross-rotordynamics is not installed here (no dependency; it needs plotly < 6): only its stored results "
    "are compared, in test_whirl_stored_ross.py",
)
SCRIPT = Path(__file__).parents[2] / "scripts" / "references" / "ross_whirl.py"


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("ross_whirl", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", list(STORED["lines"]))
def test_the_library_gives_the_stored_speeds(name: str) -> None:
    script = _script()
    stored = STORED["lines"][name]
    given = {key: value for key, value in stored.items() if key != "ross"}
    assert given == script.LINES[name]
    model = script.rotor(given)
    forward, backward = script.speeds(model, given["spin_rad_s"])
    # Its iterative solver ends at a relative 1e-6 or better.
    assert script.still_speeds(model) == pytest.approx(stored["ross"]["still_rad_s"], rel=1e-5)
    assert forward == pytest.approx(stored["ross"]["forward_rad_s"], rel=1e-5)
    assert backward == pytest.approx(stored["ross"]["backward_rad_s"], rel=1e-5)
