"""Cases that the model itself made come back: the reading is right. It validates nothing."""

import math

import numpy as np
import pytest
from scripts import replay_study

from beachmark.findings.replay.record import Record


def test_simulated_cases_come_back_better_than_by_chance(record: Record, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(replay_study, "CASES", 150)
    right, lost, pairs = replay_study.recovered(record, record)
    whole = math.log2(len(record.events))
    assert right["everything"] > 4 / len(record.events)
    assert lost["everything"] < 0.7 * whole
    assert lost["everything"] < lost["the parts"] < whole + 0.1
    told = np.array([share for share, _ in pairs])
    so = np.array([was for _, was in pairs])
    sure = told > 0.6
    assert so[sure].mean() == pytest.approx(told[sure].mean(), abs=0.2)
