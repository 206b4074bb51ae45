"""The events as they are written, followed on usual vehicles: the right sense of torque, and nothing cut off.

Which sense an event loads follows from energy: what is faster than it should be drives. A flywheel overruns wheels
that brakes stop (drive); a rolling vehicle overruns an engine below its speed, a retarder or a jammed power take-off
(overrun); in reverse the pull itself has the other sign. No number is compared with an earlier one of our own.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from beachmark.cases.codec import read_case
from beachmark.findings.replay.driving import driven
from beachmark.findings.replay.vehicle import Plant, plant_of
from beachmark.knowledge.model import Knowledge
from beachmark.mechanics.replay import replay
from beachmark.workflow.packaged import knowledge as packaged_knowledge

VEHICLES = (("tipper", False), ("bus", True))
DRAWS = 64
ONE_SENSE = {
    "full_throttle_launch": 1, "clutch_dropped": 1, "rolling_back_engaged": 1, "spin_then_grip": 1, "steady_pull": 1,
    "hard_brake_engaged": 1, "kerb_or_rut": 1, "converter_stall_launch": 1,
    "overspeed_downshift": -1, "reverse_dropped": -1, "power_take_off_shock": -1, "retarder_shock": -1,
}  # fmt: skip


@cache
def _plant(kind: str, converter: bool) -> Plant:
    text = (
        f"beachmark_case: 1\ntitle: any\nvehicle: {{kind: {kind}, gearbox: {{converter: {str(converter).lower()}, "
        "retarder_torque: 2500 N m, power_take_off: true}}\ndriveline: {shafts: [{}, {}]}\n"
    )
    case = read_case(text, name="any.yaml", knowledge=packaged_knowledge())
    return plant_of(packaged_knowledge(), case.vehicle, case.installed())


@pytest.fixture(scope="module")
def kernels(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("kernels"))


@pytest.mark.parametrize(("kind", "converter"), VEHICLES)
def test_every_event_loads_the_shaft_in_its_sense_and_is_followed_long_enough(
    kind: str, converter: bool, knowledge: Knowledge, kernels: str
) -> None:
    plant = _plant(kind, converter)
    followed = [event for event in knowledge.events.values() if set(event.needs) <= plant.has]
    assert len(followed) >= 9
    for event in followed:
        drawn = driven(plant, event, count=DRAWS, seed=1).draws
        found = replay(draws=drawn, duration_s=event.duration_s, cache_folder=kernels)
        assert found.sound.all(), event.id
        number = found.loads.index("joint 1")
        peaks = found.peak[:, number]
        if event.id in ONE_SENSE:
            pulls = found.greatest[:, number] >= -found.least[:, number]
            assert np.mean(pulls == (ONE_SENSE[event.id] > 0)) > 0.85, event.id
        if event.repeat is None:  # a repeated one would only be rocked once more
            longer = replay(draws=drawn, duration_s=1.5 * event.duration_s, cache_folder=kernels)
            assert np.mean(longer.peak[:, number] > 1.2 * peaks) < 0.05, event.id
