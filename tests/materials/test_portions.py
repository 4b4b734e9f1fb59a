"""A volume becomes kilograms by the material's own bulk density, and is asked about where there is none."""

from __future__ import annotations

import pytest

from wormbin.materials import default_table, kg_of, read_portion
from wormbin.measures import parse_amount
from wormbin.problems import RefusedError, UnclearError


def test_two_cups_of_coffee_grounds_weigh_what_their_bulk_density_says() -> None:
    portion = read_portion("2 cups coffee grounds", TABLE)
    assert portion.material == "coffee-grounds"
    assert portion.kg == pytest.approx(2 * 0.2365882365 * 0.415)
    assert portion.said == "2 cups"


def test_a_weight_needs_no_density() -> None:
    assert read_portion("300 g melon rind", TABLE).kg == pytest.approx(0.3)
    assert kg_of(parse_amount("1/2 lb"), TABLE.get("sheep-manure")) == pytest.approx(0.226796185)


def test_a_cup_of_carrots_is_the_household_weight_of_the_food_table() -> None:
    # USDA SR28 11124: 1 cup chopped = 128 g.
    assert read_portion("1 cup carrots", TABLE).kg == pytest.approx(0.128, abs=0.0005)


def test_a_cup_without_a_density_asks_for_a_weight() -> None:
    assert TABLE.get("sheep-manure").bulk_density_kg_m3 is None
    with pytest.raises(UnclearError) as asked:
        read_portion("1 cup sheep manure", TABLE, "feeding")
    assert "a weight of Sheep manure in g" in str(asked.value)
    assert asked.value.problems[0].field == "feeding"


def test_shredded_board_is_counted_loose_and_flat_board_denser() -> None:
    loose, flat = TABLE.get("shredded-cardboard"), TABLE.get("flattened-cardboard")
    assert loose.bulk_density_kg_m3 == 40
    assert flat.bulk_density_kg_m3 is not None
    assert loose.bulk_density_kg_m3 < flat.bulk_density_kg_m3 < 154


def test_a_handful_is_the_keepers_own() -> None:
    portion = read_portion("2 handfuls dry leaves", TABLE, usual={"handful": "15 g"})
    assert (portion.material, portion.said) == ("dry-leaves", "2 handfuls")
    assert portion.kg == pytest.approx(0.03)
    with pytest.raises(UnclearError):
        read_portion("2 handfuls dry leaves", TABLE)


@pytest.mark.parametrize("text", ["300 g meat", "300 cm tea", "21F tea", "tea", "300 g", "-3 g tea", "1e999 g tea", ""])
def test_what_is_no_portion_is_refused(text: str) -> None:
    with pytest.raises(RefusedError):
        read_portion(text, TABLE, "feeding")


def test_a_length_of_a_material_is_asked_for_as_a_weight() -> None:
    with pytest.raises(UnclearError):
        kg_of(parse_amount("18 cm"), TABLE.get("coir"))


@pytest.mark.parametrize(
    ("key", "word"),
    [
        ("grass-hay", "mask"),
        ("coir", "mask"),
        ("peat", "Legionella"),
        ("horse-manure", "wormers"),
        ("horse-manure", "weedkillers"),
        ("grass-hay", "weedkillers"),
        ("grass-clippings", "weedkillers"),
        ("grass-clippings", "Heats"),
        ("seaweed", "salty"),
        ("orange-peel", "Sour"),
        ("ground-limestone", "never slaked"),
        ("sawdust", "Untreated"),
        ("shredded-cardboard", "tape"),
    ],
)
def test_what_can_hurt_is_said_with_the_material(key: str, word: str) -> None:
    assert any(word in caution for caution in TABLE.get(key).cautions)


def test_sour_and_rich_feeds_are_marked() -> None:
    assert all(TABLE.get(key).acid for key in ("orange-peel", "lemon-peel", "pineapple", "tomatoes"))
    assert all(TABLE.get(key).rich for key in ("grass-clippings", "brewers-grain", "cattle-manure"))
    assert not TABLE.get("shredded-cardboard").acid
    assert not TABLE.get("carrots").rich


@pytest.mark.parametrize(
    ("text", "weighed", "example"),
    [
        ("2 banana peels", "2 at 40 g are 80 g", "80 g banana peels"),
        ("4 tea bags", "4 at 40 g are 160 g", "160 g tea bags"),
        ("12 egg shells", "12 at 40 g are 480 g", "480 g egg shells"),
    ],
)
def test_a_number_of_things_is_refused_with_how_to_say_it(text: str, weighed: str, example: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        read_portion(text, default_table())
    said = str(refusal.value)
    assert f"weigh one once: {weighed}" in said
    assert said.endswith(f"Example: {example}")
    assert " kg" not in said, "nothing that nobody meant is offered"
    assert read_portion(example, default_table()).kg > 0


@pytest.mark.parametrize("text", ["2 melon rind", "300 banana peels", "1.5 scraps", "2 lemon grass"])
def test_an_amount_that_only_lost_its_unit_is_still_offered_with_units(text: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        read_portion(text, default_table())
    assert "weigh one once" not in str(refusal.value)
    assert len(refusal.value.choices) == 3


def test_a_bucket_of_a_size_that_is_not_known_is_taught_with_a_size_that_a_bucket_has() -> None:
    with pytest.raises(UnclearError, match="bucket 3 kg"):
        read_portion("1 bucket scraps", default_table())
    with pytest.raises(UnclearError, match="handful 40 g"):
        read_portion("1 handful scraps", default_table())
