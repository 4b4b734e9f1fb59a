from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.screens.settling import counting, settled
from wormbin.farm import rounds
from wormbin.farm.samples import SampleFarm, copy_sample
from wormbin.farm.session import Session
from wormbin.tui.desk import Desk

Take = Callable[[str], Session]


@pytest.fixture(autouse=True, scope="session")
def _quick_to_settle() -> Iterator[None]:
    """Textual's driver waits for a processor at rest, which a farm at work never is; ours asks what there is to do."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("textual.app.wait_for_idle", settled)
        patch.setattr("textual.pilot.wait_for_idle", settled)
        patch.setattr(Desk, "ask", counting(Desk.ask))
        yield


@pytest.fixture(scope="session")
def samples(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], SampleFarm]:
    """A sample log, imported and worked out once for all tests."""
    made: dict[str, SampleFarm] = {}

    def sample(name: str) -> SampleFarm:
        if name not in made:
            made[name] = copy_sample(name, tmp_path_factory.mktemp(name) / "store")
            list(rounds.rows(made[name].session()))
        return made[name]

    return sample


@pytest.fixture
def take(samples: Callable[[str], SampleFarm], tmp_path: Path) -> Take:
    """A copy of a sample log that a test may write in."""

    def taken(name: str) -> Session:
        sample = samples(name)
        folder = tmp_path / name
        shutil.copytree(sample.folder, folder)
        return Session(folder, clock=sample.clock)

    return taken


@pytest.fixture
def empty(tmp_path: Path) -> Session:
    """A store that is not there yet."""
    return Session(tmp_path / "new", clock=lambda: datetime(2026, 3, 2, 18, 0, tzinfo=UTC))
