"""Proposes parameters by least squares over the published rows: ``python -m tests.published.fit [NAME ...]``.

Residuals are how far ours lies outside a row's range, in half ranges (soft rows at half weight), with a weak pull to
the middle of the range and a pull of each parameter to where it stands (a factor of ``LOOSE``). Without names every
parameter that some row holds is free. Nothing is written: the proposal is printed, with the rows before and after, and
the parameters that no row holds.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from math import exp, log
from typing import Any

import numpy as np
from scipy.optimize import least_squares

from tests.published.outcomes import ROWS, Answers, Row
from wormbin.process.parameters import DEFAULT, Parameters

PULL, LOOSE, STEP, HELD, FAR = 0.08, 0.5, 0.05, 0.02, 6.0
"""Weights of middle and prior; step of a parameter in logarithms; the change of a row that counts as being held."""


def residual(row: Row, ours: float) -> float:
    """How far ours lies outside a row's range, in half ranges, and a little of how far from its middle."""
    half = 0.5 * (row.high - row.low)
    beyond = (max(0.0, ours - row.high) - max(0.0, row.low - ours)) / half
    middle = (ours - 0.5 * (row.high + row.low)) / half
    weight = 0.5 if row.soft else 1.0
    return weight * (max(-FAR, min(FAR, beyond)) + PULL * max(-FAR, min(FAR, middle)))


def every(parameters: Parameters) -> Any:
    """The residuals of all rows."""
    answers = Answers(parameters)
    return np.array([residual(row, answers.ours(row)) for row in ROWS])


def positive() -> list[str]:
    """The names of the parameters that can be changed by a factor."""
    return [each.name for each in fields(Parameters) if getattr(DEFAULT, each.name) > 0]


def at(names: Sequence[str], logs: Sequence[float], base: Parameters = DEFAULT) -> Parameters:
    """The set with these parameters changed by factors ``exp(logs)``, kept within their ranges."""
    allowed = {each.name: (each.metadata["low"], each.metadata["high"]) for each in fields(Parameters)}
    new = {
        name: min(max(getattr(base, name) * exp(by), allowed[name][0]), allowed[name][1])
        for name, by in zip(names, logs, strict=True)
    }
    return replace(base, **new)


def held(names: Sequence[str], say: Callable[[str], None] = print) -> list[str]:
    """Which of the parameters move some row by more than ``HELD`` half ranges when they change by a tenth."""
    before, found = every(DEFAULT), []
    for name in names:
        moved = np.abs(every(at([name], [log(1.1)])) - before)
        if moved.max() > HELD:
            found.append(name)
            say(f"  {name}: most by {ROWS[int(moved.argmax())].id} ({moved.max():.2f})")
    return found


def fit(names: Sequence[str], rounds: int) -> tuple[Parameters, Any]:
    """The proposed set and its residuals over the rows."""

    def cost(shifted: Any) -> Any:
        # One is added, since a step is a share of the value.
        return np.concatenate([every(at(names, list(shifted - 1.0))), 0.2 * (shifted - 1.0) / LOOSE])

    found = least_squares(cost, np.ones(len(names)), diff_step=[STEP], max_nfev=rounds, bounds=(-0.5, 2.5))
    best = at(names, list(found.x - 1.0))
    return best, every(best)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run it from the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.published.fit", description=__doc__.splitlines()[0])
    parser.add_argument("names", nargs="*", help="parameters that are free (all that a row holds)")
    parser.add_argument("--rounds", type=int, default=12, help="rounds of least squares")
    parser.add_argument("--held", action="store_true", help="only say which parameters the rows hold")
    asked = parser.parse_args(arguments)
    names = asked.names or positive()
    if asked.held or not asked.names:
        print("Held by a row:")
        some = held(names)
        print("Held by no row: " + (", ".join(name for name in names if name not in some) or "none") + ".")
        if asked.held:
            return
        names = some
    before = Answers(DEFAULT)
    best, _ = fit(names, asked.rounds)
    after = Answers(best)
    print("\n".join(f"{name}: {getattr(DEFAULT, name):g} -> {getattr(best, name):.4g}" for name in names))
    for row in ROWS:
        was, now = before.ours(row), after.ours(row)
        mark = " " if not row.outside(now) else "!"
        print(f"{mark} {row.id:18} {row.low:8.3g}-{row.high:<8.3g} {was:9.3g} -> {now:9.3g}")


if __name__ == "__main__":
    main()
