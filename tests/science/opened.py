"""Opens a working as a reader would: the shown inputs put into the shown formula."""

from __future__ import annotations

import math

from wormbin.figures import Working

_ALLOWED = {"min": min, "max": max, "exp": math.exp, "log": math.log, "sqrt": math.sqrt}


def recomputed(working: Working) -> float:
    """The value of the formula with the displayed inputs; only what a working may use is known to it."""
    names: dict[str, object] = {quantity.name: quantity.value for quantity in working.inputs}
    assert len(names) == len(working.inputs), "two inputs share a name"
    return float(eval(working.formula, {"__builtins__": {}}, {**_ALLOWED, **names}))
