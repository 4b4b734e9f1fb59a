"""Striking a line through and lifting the strike again, on its document; what happened before is kept beside it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime, timedelta
from typing import Any

Document = dict[str, Any]
ORDER = "order"
"""Which line of its book it is, as they were written down; two copies of one line may have counted differently."""
_AFTER = ("struck", "history", ORDER)


def is_struck(document: Mapping[str, Any]) -> bool:
    """Whether the line is struck through."""
    return document.get("struck") is not None


def _history(document: Mapping[str, Any]) -> list[Any]:
    history = document.get("history")
    return list(history) if isinstance(history, list) else []


def with_strike(document: Mapping[str, Any], why: str, by: str, at: datetime) -> Document:
    """The line, struck through."""
    return {**document, "struck": {"why": why, "by": by, "at": _later(document, at).isoformat()}}


def without_strike(document: Mapping[str, Any], by: str, at: datetime) -> Document:
    """The line, standing again; that it was struck, and who lifted it, goes into its history."""
    rest = {name: value for name, value in document.items() if name != "struck"}
    lifted = {"did": "lifted", "by": by, "at": _later(document, at).isoformat()}
    rest["history"] = [*_history(document), {"did": "struck", **document["struck"]}, lifted]
    return rest


def _later(document: Mapping[str, Any], at: datetime) -> datetime:
    """``at``, or just after what happened to the line last when the clock was set back: copies join in this order."""
    for event in reversed(_events(document)):
        with suppress(ValueError, TypeError):
            last = datetime.fromisoformat(str(event.get("at")))
            return at if at > last else last + timedelta(microseconds=1)
    return at


def last_reason(document: Mapping[str, Any]) -> str:
    """Why the line was struck the last time, for striking it again; empty when it never was."""
    for event in reversed(_history(document)):
        if isinstance(event, dict) and event.get("did") == "struck":
            return str(event.get("why", ""))
    return ""


def content(document: Mapping[str, Any]) -> Document:
    """What the line says, without whether it is struck and its place: this never changes once it is written."""
    return {name: value for name, value in document.items() if name not in _AFTER}


def order_of(document: Mapping[str, Any]) -> int:
    """Which line of its book it is; 0 when it has no place yet."""
    order = document.get(ORDER)
    return order if isinstance(order, int) and not isinstance(order, bool) and order > 0 else 0


def placed(document: Mapping[str, Any], order: int) -> Document:
    """The line with its place; without one for 0."""
    rest = {name: value for name, value in document.items() if name != ORDER}
    return {**rest, ORDER: order} if order else rest


def same(one: Document, other: Document) -> bool:
    """Whether two documents say the same, in whatever order their fields stand."""
    return json.dumps(content(one), sort_keys=True) == json.dumps(content(other), sort_keys=True)


def _events(document: Mapping[str, Any]) -> list[Document]:
    events = [event for event in _history(document) if isinstance(event, dict)]
    struck = document.get("struck")
    if isinstance(struck, dict):
        events.append({"did": "struck", **struck})
    return events


def _order(event: Mapping[str, Any]) -> tuple[float, str]:
    try:
        moment = datetime.fromisoformat(str(event.get("at"))).timestamp()
    except ValueError:
        moment = 0.0
    return moment, json.dumps(event, sort_keys=True, ensure_ascii=True)


def joined(ours: Mapping[str, Any], theirs: Mapping[str, Any]) -> Document:
    """One line from two copies that say the same: all that happened to either, in the order it happened.

    The result does not depend on which copy is called ours, nor on how many copies are joined in which order.
    """
    events = {json.dumps(event, sort_keys=True): event for event in (*_events(ours), *_events(theirs))}
    history = sorted(events.values(), key=_order)
    orders = [order for order in (order_of(ours), order_of(theirs)) if order]
    document = placed(content(ours), min(orders, default=0))
    if history and history[-1].get("did") == "struck":
        document["struck"] = {name: value for name, value in history.pop().items() if name != "did"}
    if history:
        document["history"] = history
    return document
