"""What the farm shows and is told: frozen views, plain enough that a screen or a command only has to lay them out."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

View = TypeVar("View")


def shown_as(kind: type[View], record: object, **more: Any) -> View:
    """A record as a view of this kind, which adds ``more`` to its fields or says some of them otherwise."""
    names = (each.name for each in fields(kind) if hasattr(record, each.name))  # type: ignore[arg-type]
    return kind(**({name: getattr(record, name) for name in names} | more))
