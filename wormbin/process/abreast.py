"""Many bins carried forward side by side: all their steps are one step of one array."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import TypeVar

import numpy as np

from wormbin.process.run import Run
from wormbin.process.step import step

T = TypeVar("T")


def gone(goings: Sequence[Generator[Run, None, T]]) -> list[T]:
    """Go all steps that are asked for (each a yielded run with its ``dt``), and hand back what each ends with.

    Whoever asks may do as it likes with its run between steps; nobody else's changes for it.
    """
    ended: dict[int, T] = {}
    asking: dict[int, Run] = {}
    side_by_side: list[int] = []
    waiting = list(range(len(goings)))
    while True:
        for number in waiting:
            try:
                asking[number] = next(goings[number])
            except StopIteration as end:
                asking.pop(number, None)
                ended[number] = end.value
        if not asking:
            return [ended[number] for number in range(len(goings))]
        if len(asking) == 1:
            ((_, run),) = asking.items()
            c, k = (each.reshape(len(each), -1) for each in (run.c, run.k))  # views: two axes go faster than three
            step(c, np.array(run.dt), k, run.p)
        else:
            if side_by_side != list(asking):
                side_by_side, columns = list(asking), _laid_side_by_side(list(asking.values()))
            dt = np.repeat([run.dt for run in asking.values()], [run.c[0].size for run in asking.values()])
            step(columns[0], dt, columns[1], next(iter(asking.values())).p)
        waiting = list(asking)


def _laid_side_by_side(runs: Sequence[Run]) -> tuple[np.ndarray, np.ndarray]:
    """One array of what is in all of them, and one of what is settled; each run holds a view of its columns."""
    found = []
    for name in ("c", "k"):
        whole = np.concatenate([getattr(run, name).reshape(len(getattr(run, name)), -1) for run in runs], axis=1)
        at = 0
        for run in runs:
            rows, parts, courses = getattr(run, name).shape
            setattr(run, name, whole[:, at : at + parts * courses].reshape(rows, parts, courses))
            at += parts * courses
        found.append(whole)
    return found[0], found[1]
