"""One stage for all tests here, so that a bin that many begin with is brought in once."""

from __future__ import annotations

import pytest

from tests.situations.playing import Stage


@pytest.fixture(scope="session")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Stage:
    return Stage(tmp_path_factory.mktemp("situations"))
