"""The table that comes with the program: whole, sourced, within what a material can be, and found by everyday words."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest
from hypothesis import given, strategies as st

from wormbin.materials import Material, Pace, Role, carbon_bound, default_table, kg_of, read_portion
from wormbin.measures import parse_amount
from wormbin.problems import RefusedError, UnclearError

TABLE = default_table()
ROWS = tuple(TABLE)
IDS = [row.key for row in ROWS]
# A year of publication, a named body, or the honest words for having none.
NAMED = re.compile(
    r"\b(18|19|20)\d\d\b|SR28|NRAES-54|Cornell Composting|Extension|Oxford Companion|Current Science|"
    r"National Dairy Development Board|Alejo & Nicolas|from memory|common practice, no source|own measurement|"
    r"US EPA density factors|extension hand-out"
)


def test_there_are_more_than_ninety_rows_and_each_is_there_once() -> None:
    assert len(ROWS) >= 110
    assert len(set(IDS)) == len(ROWS)
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key) for key in IDS)


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_no_row_holds_more_carbon_than_its_ash_leaves_room_for(row: Material) -> None:
    assert row.carbon <= carbon_bound(row.ash) + 1e-9
    assert row.carbon <= (1 - row.ash) / 1.8 + 1e-9


@pytest.mark.parametrize("row", [row for row in ROWS if row.role is not Role.AMENDMENT], ids=lambda row: row.key)
def test_no_organic_matter_holds_less_carbon_than_sugar(row: Material) -> None:
    """Glucose C6H12O6 is 40.0 % carbon, by the formula; starch, fibre, protein and fat all hold more."""
    assert row.carbon >= 0.40 * (1 - row.ash)


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_every_value_of_a_row_says_where_it_comes_from(row: Material) -> None:
    values = {"nitrogen", "carbon", "ash", "moisture"}
    if row.bulk_density_kg_m3 is not None:
        values.add("bulk_density_kg_m3")
    if row.water_holding is not None:
        values.add("water_holding")
    assert set(row.sources) == values
    for name, source in row.sources.items():
        assert NAMED.search(source), (name, source)


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_every_row_is_something_that_can_be(row: Material) -> None:
    assert 0 <= row.nitrogen < 0.15
    assert 0 <= row.carbon <= 1 / 1.8
    assert 0 <= row.ash <= 1
    assert 0 <= row.moisture < 1
    # Nitrogen comes with organic matter: protein at 6.25 g per g and the ash fill the dry matter at most.
    assert row.nitrogen * 6.25 + row.ash <= 1 + 1e-9
    assert row.bulk_density_kg_m3 is None or 15 <= row.bulk_density_kg_m3 <= 1700
    assert row.name == row.name.strip() != ""


def test_every_bedding_says_how_much_water_it_holds() -> None:
    holding = [row.water_holding for row in ROWS if row.role is Role.BEDDING]
    assert len(holding) >= 30
    assert all(water is not None and 1 <= water <= 11 for water in holding)


def test_what_is_kept_out_says_why_and_nothing_else_does() -> None:
    for row in ROWS:
        assert (row.role is Role.KEEP_OUT) == bool(row.kept_out_because) == (row.kept_out is not None), row.key
        assert row.kept_out is None or (row.kept_out.do and row.kept_out.brings and row.kept_out.source), row.key


def test_only_sugary_and_starchy_rows_without_a_measurement_are_marked_as_overstated() -> None:
    marked = {row.key for row in ROWS if "overstates" in row.sources["carbon"]}
    assert {"apples", "carrots", "grapes"} <= marked
    assert not {"shredded-cardboard", "spinach", "fruit-scraps", "potatoes", "bread", "cooked-rice"} & marked


@pytest.mark.parametrize(
    ("key", "pace"),
    [
        ("melon-rind", Pace.QUICK),
        ("grass-clippings", Pace.QUICK),
        ("coffee-grounds", Pace.STEADY),
        ("bread", Pace.STEADY),
        ("orange-peel", Pace.STEADY),  # its oil keeps worms off; common practice, no source
        ("lemon-peel", Pace.STEADY),
        ("oranges", Pace.STEADY),
        ("potatoes", Pace.STEADY),  # whole roots sprout; common practice, no source
        ("sweet-potato", Pace.STEADY),
        ("carrots", Pace.STEADY),
        ("potato-peel", Pace.QUICK),
        ("brewers-grain", Pace.STEADY),
        ("corn-stalks", Pace.SLOW),
        ("corn-cobs", Pace.SLOW),
        ("fruit-stones", Pace.SLOW),
        ("nut-shells", Pace.SLOW),
        ("cattle-manure", Pace.AGED),
        ("finished-compost", Pace.AGED),
        ("vermicast", Pace.AGED),
        ("half-made-compost", Pace.AGED),
        ("shredded-cardboard", Pace.FIBRE),
        ("newspaper", Pace.FIBRE),
        ("wheat-straw", Pace.FIBRE),
        ("dry-leaves", Pace.FIBRE),
    ],
)
def test_materials_go_at_the_pace_of_their_kind(key: str, pace: Pace) -> None:
    assert TABLE.get(key).pace is pace


EVERYDAY = [
    ("coffee", "coffee-grounds"),
    ("coffee grounds", "coffee-grounds"),
    ("Coffee-Grounds", "coffee-grounds"),
    ("used coffee grounds", "coffee-grounds"),
    ("veg peelings", "vegetable-scraps"),
    ("vegetable scraps", "vegetable-scraps"),
    ("egg carton", "egg-cartons"),
    ("melon rind", "melon-rind"),
    ("melon rinds", "melon-rind"),
    ("shredded cardboard", "shredded-cardboard"),
    ("cardboard", "shredded-cardboard"),
    ("dry leaves", "dry-leaves"),
    ("leaves", "dry-leaves"),
    ("grass clippings", "grass-clippings"),
    ("fresh grass clippings", "grass-clippings"),
    ("cattle manure", "cattle-manure"),
    ("cow dung", "cattle-manure"),
    ("newspaper", "newspaper"),
    ("newspapers", "newspaper"),
    ("banana peels", "banana-peel"),
    ("chopped carrots", "carrots"),
    ("oranges", "oranges"),
    ("tea bags", "tea-leaves"),
    ("lettuce", "leaf-lettuce"),
    ("egg shells", "eggshell"),
    ("egg shells", "eggshell"),
    ("  MELON\trind ", "melon-rind"),
    ("melon\u200b rind\u202e", "melon-rind"),
    ("ｍｅｌｏｎ rind", "melon-rind"),
    ("spent grain!", "brewers-grain"),
    ("brewer’s spent grain", "brewers-grain"),
    ("coconut coir", "coir"),
    ("aged horse manure", "horse-manure"),
    ("toilet rolls", "shredded-cardboard"),
]


@pytest.mark.parametrize(("words", "key"), EVERYDAY)
def test_everyday_words_find_their_material(words: str, key: str) -> None:
    assert TABLE.find(words).key == key


def _meant(words: str) -> tuple[str, ...]:
    """The keys that words lead to: the one found, or those asked about."""
    try:
        return (TABLE.find(words, kept_out=True).key,)
    except UnclearError as asked:
        return asked.choices


def test_a_key_always_finds_its_own_row() -> None:
    assert [TABLE.find(key, kept_out=True).key for key in IDS] == IDS
    assert [TABLE.find(key.replace("-", " "), kept_out=True).key for key in IDS] == IDS


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_every_key_name_and_alias_leads_to_its_row_or_asks_with_it_among_the_choices(row: Material) -> None:
    for words in (row.key, row.name, *row.aliases):
        assert row.key in _meant(words), words


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("cofee grouns", "coffee-grounds"),
        ("carots", "carrots"),
        ("bananna peel", "banana-peel"),
        ("news paper", "newspaper"),
    ],
)
def test_a_misspelt_name_is_asked_about_with_the_right_one_first(words: str, first: str) -> None:
    with pytest.raises(UnclearError) as asked:
        TABLE.find(words)
    assert asked.value.choices[0] == first
    assert "Did you mean" in str(asked.value)


@pytest.mark.parametrize(
    ("words", "among"),
    [
        ("citrus", {"orange-peel", "oranges"}),
        ("banana", {"banana-peel", "bananas-flesh"}),
        ("manure", {"cattle-manure", "horse-manure"}),
        ("paper", {"office-paper", "mixed-paper"}),
    ],
)
def test_a_word_for_several_materials_is_asked_about(words: str, among: set[str]) -> None:
    with pytest.raises(UnclearError) as asked:
        TABLE.find(words)
    assert among <= set(asked.value.choices)


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ("meat", "rats"),
        ("cooked chicken", "rats"),
        ("salmon", "rats"),
        ("cheese", "turns sour"),
        ("milk", "turns sour"),
        ("olive oil", "rancid"),
        ("dog poo", "disease"),
        ("cat litter", "disease"),
        ("glossy magazine", "ink "),
        ("pressure-treated wood", "arsenic"),
        ("chicken manure", "ammonia"),
        ("poultry litter", "ammonia"),
        ("blighted tomato", "disease"),
        ("hydrated lime", "burns"),
        ("\u202eOIL", "rancid"),
    ],
)
def test_what_harms_a_bin_is_refused_with_the_reason(words: str, reason: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        TABLE.find(words, "feeding")
    assert not isinstance(refusal.value, UnclearError)
    assert reason in str(refusal.value)
    assert str(refusal.value).startswith("feeding: ")
    assert TABLE.find(words, kept_out=True).role is Role.KEEP_OUT


@pytest.mark.parametrize("words", ["", " ", "xyzzy", "[b]x[/b]", "kartoffel", "\x00", "😀", "٣", "q" * 5000])
def test_words_like_nothing_in_the_table_are_refused(words: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        TABLE.find(words)
    assert len(str(refusal.value)) < 300


@given(st.text(max_size=300))
def test_no_text_whatever_breaks_the_search(text: str) -> None:
    with suppress(RefusedError):
        assert TABLE.find(text).role is not Role.KEEP_OUT
    assert isinstance(TABLE.search(text), tuple)


def test_getting_takes_keys_only() -> None:
    assert TABLE.get("coir").key == "coir"
    assert TABLE.get("meat").role is Role.KEEP_OUT
    with pytest.raises(UnclearError) as asked:
        TABLE.get("coconut coir")
    assert asked.value.choices[0] == "coir"
    assert "coir" in TABLE
    assert "coconut coir" not in TABLE


def test_searching_a_word_lists_what_holds_it() -> None:
    assert {"cattle-manure", "horse-manure", "hen-manure"} <= {each.key for each in TABLE.search("manure")}
    assert {each.role for each in TABLE.search("keep out")} == {Role.KEEP_OUT}
    assert len(TABLE.search("")) == len(TABLE)
    assert TABLE.search("cofee")[0].key.startswith("coffee")
    assert TABLE.search("xyzzy") == ()


def test_the_default_table_is_read_once() -> None:
    assert default_table() is default_table()


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
        ("2 papayas", "2 at 40 g are 80 g", "80 g papayas"),
        ("4 pumpkins", "4 at 40 g are 160 g", "160 g pumpkins"),
        ("1 melon rind", "1 at 40 g are 40 g", "40 g melon rind"),
    ],
)
def test_a_number_of_things_is_refused_with_how_to_say_it(text: str, weighed: str, example: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        read_portion(text, default_table())
    said = str(refusal.value)
    assert f"Weigh one: {weighed}" in said
    assert said.endswith(f"Example: {example}")
    assert " kg" not in said, "nothing that nobody meant is offered"
    assert read_portion(example, default_table()).kg > 0


@pytest.mark.parametrize("text", ["2 melon rind", "300 banana peels", "1.5 scraps", "2 lemon grass"])
def test_an_amount_that_only_lost_its_unit_is_still_offered_with_units(text: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        read_portion(text, default_table())
    assert "Weigh one" not in str(refusal.value)
    assert len(refusal.value.choices) == 3


def test_a_bucket_of_a_size_that_is_not_known_is_taught_with_a_size_that_a_bucket_has() -> None:
    with pytest.raises(UnclearError, match="bucket 3 kg"):
        read_portion("1 bucket scraps", default_table())
    with pytest.raises(UnclearError, match="handful 40 g"):
        read_portion("1 handful scraps", default_table())
