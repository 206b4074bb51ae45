from collections.abc import Callable
from dataclasses import replace

import pytest

from beachmark.cases.case import Case
from beachmark.findings.replay.record import Record
from beachmark.findings.replay.running import Order, replay_case
from beachmark.knowledge.model import Knowledge
from tests.replay_vehicles import VEHICLES


@pytest.fixture(scope="session")
def vehicle_case(case_of: Callable[..., Case]) -> Callable[[str], Case]:
    return lambda name: case_of(VEHICLES[name], title=name)


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> str:
    """One folder of compiled equations for all tests of this folder."""
    return str(tmp_path_factory.mktemp("compiled"))


@pytest.fixture(scope="session")
def record(knowledge: Knowledge, vehicle_case: Callable[[str], Case], compiled: str) -> Record:
    """The plain two-piece tipper in all its events."""
    case = vehicle_case("plain two-piece")
    order = Order(draws=256, seed=3)
    return replay_case(knowledge, case.vehicle, case.installed(), order=order, cache_folder=compiled, threads=1)


@pytest.fixture(scope="session")
def weak(record: Record) -> Record:
    """The same with parts that bear a third: as if the loads had met another driveline."""
    parts = tuple(replace(part, yields_nm=part.yields_nm / 3, breaks_nm=part.breaks_nm / 3) for part in record.parts)
    return replace(record, parts=parts)
