"""One folder for compiled kernels, shared by all tests of a run."""

import pytest


@pytest.fixture(scope="session")
def kernels(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("kernels"))
