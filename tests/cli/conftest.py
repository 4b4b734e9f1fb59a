"""The made-up farm of the command line's tests."""

from __future__ import annotations

from tests.cli.running import a_store, store

__all__ = ["a_store", "store"]
