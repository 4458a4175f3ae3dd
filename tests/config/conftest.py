"""A data folder that was made ready once, for the tests that only look at it or serve from it."""

import pytest

from tests.config.running import manage


@pytest.fixture(scope="session")
def ready(tmp_path_factory):
    """The data folder of a shop that nobody has opened yet."""
    data = tmp_path_factory.mktemp("shop") / "var"
    said = manage("prepare", GRAINGLASS_DATA=str(data))
    assert said.returncode == 0, said.stderr
    return data
