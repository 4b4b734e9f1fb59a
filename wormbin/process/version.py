"""The version of the model, on its own so that a cache can be held against it without loading the model."""

from __future__ import annotations

VERSION = 20
"""Raised whenever the model changes, so that an old cache is never gone on from."""
