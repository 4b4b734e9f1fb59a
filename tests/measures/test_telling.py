from __future__ import annotations

import pytest

from wormbin.measures import told


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("layers of 2.5-4 cm at most (AG-473-18)", "layers of 1-1.5 in at most (AG-473-18)"),
        ("4 samples of 15 x 15 cm", "4 samples of 6 x 6 in"),
        ("share any lift over 20 kg; children do not", "share any lift over 45 lb; children do not"),
        ("start with 1.6-2.5 kg/m2", "start with 0.33-0.51 lb/ft2"),
        ("limits 4-30 C, 35 C is lethal", "limits 39-86 °F, 95 °F is lethal"),
        ("screen it at 3-6 mm", "screen it at 0.125-0.25 in"),
        ("C:N 25 to 30 and 12 oz, in 3 goes", "C:N 25 to 30 and 12 oz, in 3 goes"),
        ("samples of 225 cm2", "samples of 225 cm2"),
        ("7 CFR 205.203 and 3 C:N", "7 CFR 205.203 and 3 C:N"),
    ],
)
def test_fixed_texts_are_told_in_us_measures_and_left_alone_in_metric(text: str, us: str) -> None:
    assert told(text, "us") == us
    assert told(text, "metric") == text
    assert told(told(text, "us"), "us") == us
