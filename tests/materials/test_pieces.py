"""Things told by number: what one weighs, held to a published table of portions, and how it may be said."""

from __future__ import annotations

import pytest

from wormbin.materials.table import default_table, pieces, read_portion
from wormbin.problems import MissingError, RefusedError, UnclearError

TABLE = default_table()


def whole(edible: float, refuse: float) -> float:
    return edible / (1 - refuse)


@pytest.mark.parametrize(
    ("key", "edible", "refuse", "waste"),
    [
        # Portions of USDA National Nutrient Database SR28 (bananas 09040, apples with skin 09003, whole egg 01123,
        # white bread 18069): small, medium and large. Refuse as printed with them: from memory.
        ("banana-peel", (81, 118, 152), 0.36, True),
        ("apple-cores", (101, 182, None), 0.10, True),
        ("eggshell", (38, 50, 63), 0.12, True),
        ("apples", (101, 182, 223), 0.10, False),
        ("bananas-flesh", (81, 118, 152), 0.0, False),
    ],
)
def test_what_one_weighs_is_what_published_portions_leave(
    key: str, edible: tuple[float | None, ...], refuse: float, waste: bool
) -> None:
    one = pieces()["piece", key]
    for ours, grams in zip((one.low, one.grams, one.high), edible, strict=True):
        if grams is not None:
            assert ours == pytest.approx(whole(grams, refuse) - (grams if waste else 0), rel=0.03)


def test_every_piece_is_of_a_material_and_has_a_range_and_a_source() -> None:
    for (measure, key), one in pieces().items():
        assert key in TABLE
        assert measure in ("piece", "slice")
        assert 0 < one.low < one.grams < one.high
        assert one.source


@pytest.mark.parametrize(
    ("text", "key", "grams", "said"),
    [
        ("1 banana peel", "banana-peel", 66, "1 piece"),
        ("a banana peel", "banana-peel", 66, "1 piece"),
        ("2 apple cores", "apple-cores", 40, "2 pieces"),
        ("about 5 tea bags", "tea-leaves", 45, "5 pieces"),
        ("3 eggshells", "eggshell", 20.4, "3 pieces"),
        ("half a cucumber", "cucumber", 150.5, "0.5 pieces"),
        ("19 tea bags", "tea-leaves", 171, "19 pieces"),
        ("25 pieces of tea bags", "tea-leaves", 225, "25 pieces"),
        ("2 slices of bread", "bread", 58, "2 slices"),
        ("2 c coffee grounds", "coffee-grounds", None, "2 c"),
    ],
)
def test_a_number_of_things_is_read(text: str, key: str, grams: float | None, said: str) -> None:
    portion = read_portion(text, TABLE)
    assert (portion.material, portion.said) == (key, said)
    assert grams is None or portion.kg == pytest.approx(grams / 1000)
    again = read_portion(f"{portion.said} {portion.material}", TABLE)
    assert again == portion


@pytest.mark.parametrize("text", ["20 tea bags", "2 banana peel", "1.5 banana peels", "1 banana peels"])
def test_what_may_have_lost_its_unit_is_asked_about(text: str) -> None:
    with pytest.raises(UnclearError):
        read_portion(text, TABLE)


def test_what_one_of_them_weighs_for_this_keeper_comes_first() -> None:
    assert read_portion("2 banana peels", TABLE, usual={"piece": "60 g"}).kg == pytest.approx(0.12)
    with pytest.raises(MissingError) as missing:
        read_portion("3 pumpkins", TABLE)
    assert (missing.value.what, missing.value.name) == ("measure", "piece pumpkin")


def test_what_is_kept_out_is_refused_for_that_and_not_for_its_weight() -> None:
    with pytest.raises(RefusedError, match="it rots, smells"):
        read_portion("2 eggs", TABLE)
