"""How much may be fed today, opened: the shown inputs in the shown formula give the figure."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.farm import bins
from wormbin.farm.recording.lines import record_feeding


@pytest.mark.parametrize("extra", ["", "6 kg melon rind"], ids=["may be fed", "held"])
def test_the_ration_comes_out_of_what_is_shown(tmp_path: Path, extra: str) -> None:
    farm = kitchen(tmp_path)
    if extra:
        record_feeding(farm, "kitchen", [extra], anyway=True)
    opened = bins.working(farm, "kitchen", "feed_up_to")
    values = {each.name: each.value for each in opened.inputs}
    made = float(eval(opened.formula, {"__builtins__": {}}, {"max": max, **values}))
    assert made == pytest.approx(bins.look(farm, "kitchen").feed_up_to_kg, abs=1e-9)
    assert made == pytest.approx(opened.value, abs=1e-9)
    assert opened.plain
    assert (made == 0) == bool(extra)
