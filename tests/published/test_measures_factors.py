"""Units against their published exact definitions: NIST Handbook 44 Appendix C and NIST SP 811 (2008) Appendix B."""

from __future__ import annotations

import pytest

from wormbin.measures import parse_amount

# As printed there; "exactly" in the source unless a digit count is given by the tolerance.
PRINTED = [
    ("1 lb", 0.45359237, 0.0),
    ("1 oz", 0.028349523125, 0.0),
    ("16 oz", 0.45359237, 0.0),
    ("1 gal", 3.785411784, 0.0),
    ("1 qt", 0.946352946, 0.0),
    ("1 pt", 0.473176473, 0.0),
    ("1 cup", 0.2365882365, 0.0),
    ("1 fl oz", 0.0295735295625, 0.0),
    ("1 tbsp", 0.01478676478125, 0.0),
    ("1 tsp", 0.00492892159375, 0.0),
    ("1 in", 0.0254, 0.0),
    ("1 ft", 0.3048, 0.0),
    ("1 yd", 0.9144, 0.0),
    ("1 sq in", 0.00064516, 0.0),
    ("1 sq ft", 0.09290304, 0.0),
    ("1 cubic foot", 28.316846592, 0.0),
    ("1 cubic yard", 764.554857984, 0.0),
    ("32 F", 0.0, 0.0),
    ("212 F", 100.0, 0.0),
    ("98.6 F", 37.0, 0.0),
    ("-40 F", -40.0, 0.0),
]


@pytest.mark.parametrize(("text", "si", "tolerance"), PRINTED)
def test_a_unit_is_worth_what_its_definition_says(text: str, si: float, tolerance: float) -> None:
    assert parse_amount(text).si == pytest.approx(si, rel=1e-14, abs=tolerance)


def test_a_gallon_is_231_cubic_inches() -> None:
    assert parse_amount("1 gal").litres() == pytest.approx(231 * 2.54**3 / 1000, rel=1e-14)
