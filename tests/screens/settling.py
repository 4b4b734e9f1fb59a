"""When a program that is driven by keys has settled: nothing left to run, and no question to the farm on its way."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from time import monotonic
from typing import Any

A_FRAME_S = 0.02
"""Longer than the time between two paintings of a screen."""
PATIENCE_S = 0.3
"""How long a question to the farm is waited for; whoever needs its answer waits for what it shows."""
_asked: list[object] = []


def counting(ask: Callable[..., Awaitable[Any]]) -> Callable[..., Awaitable[Any]]:
    """The desk's ``ask``, noted down as long as it has no answer."""

    async def _ask(*words: Any, **how: Any) -> Any:
        token = object()
        _asked.append(token)
        try:
            return await ask(*words, **how)
        finally:
            _asked.remove(token)

    return _ask


async def settled(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Wait a frame, and on until the loop has nothing else to run; at most ``max_sleep`` seconds."""
    loop = asyncio.get_running_loop()
    begun = monotonic()
    while True:
        await asyncio.sleep(A_FRAME_S)
        waited = monotonic() - begun
        asked = bool(_asked) and waited < PATIENCE_S
        ready = bool(getattr(loop, "_ready", ()))
        if waited >= max_sleep or (waited > min_sleep and not asked and not ready):
            return
