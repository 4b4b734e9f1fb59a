"""The made-up farm of the command line's tests."""

from __future__ import annotations

import pytest

from tests.cli.running import store

__all__ = ["store"]


@pytest.fixture(autouse=True)
def _no_width_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Text is as wide as it is without a terminal, whatever the shell of the tests says."""
    monkeypatch.delenv("COLUMNS", raising=False)
