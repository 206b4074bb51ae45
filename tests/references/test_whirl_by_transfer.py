"""Whirl of lines drawn at random against transfer along the shaft, which knows no elements."""

import dataclasses

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from beachmark.mechanics.beam import BeamLine, critical_speeds, whirl_modes
from tests.mechanics.test_beam_identities import lines
from tests.references.beam_by_transfer import speeds_by_transfer


@settings(max_examples=25, deadline=None)
@given(line=lines(), gyroscopic=st.sampled_from([0.0, 1.0, 0.5]))
def test_any_line_is_as_fast_as_by_transfer_along_it(line: BeamLine, gyroscopic: float) -> None:
    fine = dataclasses.replace(line, elements_per_shaft=24)
    if gyroscopic:
        speeds = critical_speeds(line=fine, order=1 / gyroscopic, count=3).modes.speeds_rad_s
    else:
        speeds = whirl_modes(line=fine, count=3).speeds_rad_s
    # The search along the speed sees each change of sign: two speeds nearer than its step would hide each other.
    assume((np.diff(speeds) > 0.05 * speeds[:-1]).all())
    by_transfer = speeds_by_transfer(line, 0.5 * speeds[0], 1.02 * speeds[1], gyroscopic)
    assert by_transfer == pytest.approx(speeds[:2].tolist(), rel=1e-3)
