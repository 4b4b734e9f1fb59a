"""The made-up farm of the command line's tests."""

from __future__ import annotations

import pytest

from tests.cli.running import a_store, store

__all__ = ["a_store", "store"]


@pytest.fixture(autouse=True)
def _no_width_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Text is as wide as it is without a terminal, whatever the shell of the tests says."""
    monkeypatch.delenv("COLUMNS", raising=False)
