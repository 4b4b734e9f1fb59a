"""What keepers write is read into SI, or asked about, or refused in one sentence; it is never guessed."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from wormbin.measures import Dimension, parse_amount, parse_amount_of, parse_percent
from wormbin.measures.units import UNCLEAR, UNITS
from wormbin.problems import RefusedError, UnclearError

LB, OZ, CUP, IN = 0.45359237, 0.028349523125, 0.2365882365, 0.0254

READ = [
    ("350 g", Dimension.MASS, 0.35),
    ("1.5kg", Dimension.MASS, 1.5),
    ("1,5 kg", Dimension.MASS, 1.5),
    ("0,250 kg", Dimension.MASS, 0.25),
    ("0.250 kg", Dimension.MASS, 0.25),
    ("1,234.5 g", Dimension.MASS, 1.2345),
    ("1.234,5 g", Dimension.MASS, 1.2345),
    ("1.234.567 g", Dimension.MASS, 1234.567),
    ("1234.567 g", Dimension.MASS, 1.234567),
    (".5 kg", Dimension.MASS, 0.5),
    ("+2 kg", Dimension.MASS, 2.0),
    ("1/2 lb", Dimension.MASS, LB / 2),
    ("1 1/2 lb", Dimension.MASS, LB * 1.5),
    ("1-1/2 lb", Dimension.MASS, LB * 1.5),
    ("1½ lb", Dimension.MASS, LB * 1.5),
    ("2 lb 3 oz", Dimension.MASS, 2 * LB + 3 * OZ),
    ("2lb3oz", Dimension.MASS, 2 * LB + 3 * OZ),
    ("2 lb. 3 oz.", Dimension.MASS, 2 * LB + 3 * OZ),
    ("1 kg 200 g", Dimension.MASS, 1.2),
    ("half a pound", Dimension.MASS, LB / 2),
    ("5 lbs", Dimension.MASS, 5 * LB),
    ("2 cups", Dimension.VOLUME, 2 * CUP),
    ("½ cup", Dimension.VOLUME, CUP / 2),
    ("a cup", Dimension.VOLUME, CUP),
    ("Two Cups", Dimension.VOLUME, 2 * CUP),
    ("about 2 cups", Dimension.VOLUME, 2 * CUP),
    ("3 qt", Dimension.VOLUME, 12 * CUP),
    ("5 gal", Dimension.VOLUME, 80 * CUP),
    ("2 tbsp", Dimension.VOLUME, CUP / 8),
    ("8 fl oz", Dimension.VOLUME, CUP),
    ("2 L", Dimension.VOLUME, 2.0),
    ("500 mL", Dimension.VOLUME, 0.5),
    ("2 ℓ", Dimension.VOLUME, 2.0),
    ("18 cm", Dimension.LENGTH, 0.18),
    ("60cm", Dimension.LENGTH, 0.6),
    ("7 in", Dimension.LENGTH, 7 * IN),
    ("5'3\"", Dimension.LENGTH, 63 * IN),
    ("1 ft 6 in", Dimension.LENGTH, 18 * IN),
    ("225 cm2", Dimension.AREA, 0.0225),
    ("225 cm²", Dimension.AREA, 0.0225),
    ("3 sq ft", Dimension.AREA, 3 * 144 * IN**2),
    ("72F", Dimension.TEMPERATURE, 22.2222222222222),
    ("72 °F", Dimension.TEMPERATURE, 22.2222222222222),
    ("72 ℉", Dimension.TEMPERATURE, 22.2222222222222),
    ("-4 F", Dimension.TEMPERATURE, -20.0),
    ("21C", Dimension.TEMPERATURE, 21.0),
    ("21 degrees C", Dimension.TEMPERATURE, 21.0),
    ("−5 °C", Dimension.TEMPERATURE, -5.0),
    ("30%", Dimension.FRACTION, 0.3),
    ("30 percent", Dimension.FRACTION, 0.3),
    ("1,000 worms", Dimension.COUNT, 1000.0),
    ("10 worms", Dimension.COUNT, 10.0),
    ("5d", Dimension.TIME, 5.0),
    ("2 weeks", Dimension.TIME, 14.0),
    ("36 h", Dimension.TIME, 1.5),
]


@pytest.mark.parametrize(("text", "dimension", "si"), READ)
def test_common_ways_of_writing_are_read_into_si(text: str, dimension: Dimension, si: float) -> None:
    amount = parse_amount(text)
    assert amount.dimension is dimension
    assert amount.si == pytest.approx(si, rel=1e-12)


def test_the_words_of_the_keeper_are_kept() -> None:
    assert parse_amount(" 1 1/2  lb ").said == "1 1/2 lb"
    assert parse_amount_of("2 cups of coffee grounds")[0].said == "2 cups"


ASKED = [
    ("1.500 kg", ("1.5 kg", "1500 kg")),
    ("1,500 kg", ("1500 kg", "1.5 kg")),
    ("2-3 cups", ("2 cups", "2.5 cups", "3 cups")),
    ("2 to 3 cups", ("2 cups", "2.5 cups", "3 cups")),
    ("2 c", ("2 °C", "2 cups")),
    ("5 t", ("5 tonne", "5 tbsp", "5 tsp")),
    ("2 Mg", ("2 mg", "2 tonne")),
    ("70 degrees", ("70 °C", "70 °F")),
    ("12", ("12 g", "12 kg", "12 oz", "12 lb", "12 mL")),
    ("3 bananas", ("3 g", "3 kg", "3 oz", "3 lb", "3 mL")),
    ("a handful", ()),
    ("2 buckets", ()),
    ("1.000 worms", ("1 worms", "1000 worms")),
]


@pytest.mark.parametrize(("text", "choices"), ASKED)
def test_what_may_mean_two_things_is_asked_about_with_the_clear_ways_offered(
    text: str, choices: tuple[str, ...]
) -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_amount(text, "feeding")
    assert refusal.value.choices == choices
    assert str(refusal.value).startswith("feeding: ")


@pytest.mark.parametrize(("text", "choices"), [case for case in ASKED if case[1]])
def test_every_way_offered_can_be_read_back(text: str, choices: tuple[str, ...]) -> None:
    for choice in choices:
        assert parse_amount(choice).said == choice


REFUSED = [
    "", "   ", "kg", "nan kg", "inf g", "1e999 kg", "1e3 g", "-3 kg", "-1", "٣ kg", "１２ kg", "5² kg", "③ kg",
    "1/0 kg",
    "1.2.3 g", "1,23,4 g", "2 000 kg", "1/2/3 g", "9" * 50 + " kg", "200 t kg", "101%", "-1%", "1.5 worms", "200 C",
    "-100 F", "3 kg 2 cups", "2 oz 3 lb", "2 kg kg", "1" * 300 + " g", "1000000000 worms", "2 .. g", "NaN", "0x10 g",
]  # fmt: skip


@pytest.mark.parametrize("text", REFUSED)
def test_what_cannot_be_an_amount_is_refused_in_one_short_sentence(text: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        parse_amount(text, "feeding")
    [problem] = refusal.value.problems
    assert problem.field == "feeding"
    assert problem.allowed
    assert problem.example
    assert len(problem.sentence()) < 400
    assert "\n" not in problem.sentence()


def test_a_weight_given_as_a_temperature_is_told_what_a_temperature_looks_like() -> None:
    with pytest.raises(RefusedError) as refusal:
        parse_amount("5 lbs", "temperature", expect=Dimension.TEMPERATURE)
    assert not isinstance(refusal.value, UnclearError)
    assert str(refusal.value) == (
        "temperature: “5 lbs” does not fit. Write a temperature from -60 to 100 °C, with its C or F. Example: 21C"
    )


def test_a_bare_temperature_is_asked_for_its_letter() -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_amount("21", "temperature", expect=Dimension.TEMPERATURE)
    assert refusal.value.choices == ("21 °C", "21 °F")


def test_a_letter_with_two_meanings_is_settled_by_what_is_asked_for() -> None:
    assert parse_amount("21c", expect=Dimension.TEMPERATURE).celsius() == 21.0
    assert parse_amount("2 c", expect=(Dimension.MASS, Dimension.VOLUME)).litres() == pytest.approx(2 * CUP)


def test_a_bare_nought_is_nought_of_what_is_asked_for() -> None:
    assert parse_amount("0", expect=Dimension.MASS).kg() == 0.0
    with pytest.raises(UnclearError):
        parse_amount("0", expect=Dimension.TEMPERATURE)
    with pytest.raises(UnclearError):
        parse_amount("0")


def test_a_handful_is_what_the_keeper_says_it_is() -> None:
    assert parse_amount("3 handfuls", usual={"Handful": "40 g"}).kg() == pytest.approx(0.12)
    assert parse_amount("half a blue tub", usual={"blue tub": "3 L"}).litres() == pytest.approx(1.5)
    amount, words = parse_amount_of("a handful of dry leaves", usual={"handful": "40 g"})
    assert amount.kg() == pytest.approx(0.04)
    assert (amount.said, words) == ("a handful", "dry leaves")


def test_an_own_measure_of_doubtful_size_is_asked_about() -> None:
    with pytest.raises(UnclearError):
        parse_amount("2 tubs", usual={"tub": "1,500 g"})


def test_an_amount_asked_for_in_another_dimension_is_refused() -> None:
    amount = parse_amount("2 cups")
    for wrong in (amount.kg, amount.metres, amount.m2, amount.celsius, amount.worms, amount.days):
        with pytest.raises(RefusedError):
            wrong()


OF = [
    ("2 cups coffee grounds", "2 cups", "coffee grounds"),
    ("2 cups of coffee grounds", "2 cups", "coffee grounds"),
    ("coffee grounds 2 cups", "2 cups", "coffee grounds"),
    ("coffee grounds: 300g", "300g", "coffee grounds"),
    ("1 lb 2 oz banana peel", "1 lb 2 oz", "banana peel"),
    ("350g grass-clippings", "350g", "grass-clippings"),
    ("½ cup tea", "1/2 cup", "tea"),
    ("2 L 3-grain mash", "2 L", "3-grain mash"),
]


@pytest.mark.parametrize(("text", "said", "words"), OF)
def test_an_amount_of_something_is_parted_into_amount_and_name(text: str, said: str, words: str) -> None:
    amount, name = parse_amount_of(text)
    assert (amount.said, name) == (said, words)


@pytest.mark.parametrize(
    "text", ["300 g", "melon rind", "300 g melon rind 200 g", "200 g melon rind 1 lb", "of", "-2 g tea"]
)
def test_an_amount_of_nothing_or_of_two_things_is_refused(text: str) -> None:
    with pytest.raises(RefusedError):
        parse_amount_of(text, "feeding")


@pytest.mark.parametrize(
    ("text", "fraction"), [("82", 0.82), ("82%", 0.82), ("82 %", 0.82), ("0", 0.0), ("100", 1.0), ("0.5%", 0.005)]
)
def test_a_share_may_leave_out_its_percent_sign(text: str, fraction: float) -> None:
    assert parse_percent(text, "moisture") == pytest.approx(fraction)


@pytest.mark.parametrize("text", ["0.82", "1", ",5"])
def test_a_share_that_may_be_a_fraction_is_asked_about(text: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_percent(text, "moisture")
    assert all(choice.endswith("%") for choice in refusal.value.choices)


@pytest.mark.parametrize("text", ["101", "-1", "abc", "", "80 g", "nan", "50% wet", "٥٠"])
def test_a_share_out_of_range_or_reason_is_refused(text: str) -> None:
    with pytest.raises(RefusedError):
        parse_percent(text, "moisture")


@given(st.text(max_size=250))
def test_no_text_whatever_breaks_the_reading(text: str) -> None:
    for read in (parse_amount, parse_amount_of, parse_percent):
        try:
            read(text, "field")
        except RefusedError as refusal:
            assert "\n" not in str(refusal)  # noqa: PT017


@given(
    st.sampled_from(["1.5", "1,500", "½", "1/2", "", "-", "9", "1e9", "a", "half a"]),
    st.sampled_from([" ", "", "  ", "\u202e", "\t", "\u00a0"]),
    st.sampled_from([*UNITS, *UNCLEAR, "handful", "x", "[b]"]),
    st.sampled_from(["", " tea", " 3 oz", "\x00", "²", " of", "-"]),
)
def test_no_mixture_of_parts_breaks_the_reading(number: str, gap: str, unit: str, tail: str) -> None:
    for read in (parse_amount, parse_amount_of):
        try:
            amount = read(f"{number}{gap}{unit}{tail}", "field")
        except RefusedError:
            continue
        assert amount


@given(st.integers(1, 999), st.integers(0, 999), st.sampled_from([",", "."]))
def test_three_digits_after_one_sign_are_never_taken_for_either_reading(whole: int, part: int, sign: str) -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_amount(f"{whole}{sign}{part:03d} g")
    readings = sorted(parse_amount(choice).si for choice in refusal.value.choices)
    assert readings == pytest.approx([float(f"{whole}.{part:03d}") / 1000, int(f"{whole}{part:03d}") / 1000])
