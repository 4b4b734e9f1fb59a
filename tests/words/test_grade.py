"""The measure itself: a published example, what counts as a sentence, and what counts as a word."""

from __future__ import annotations

import pytest

from tests.words.grade import grade, longest, sentences, syllables


def test_the_grade_is_that_of_a_worked_example() -> None:
    """The sentence about the platypus that is used to explain the measure: grade 11.3, 24 syllables in 13 words."""
    said = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert grade(said) == pytest.approx(11.3, abs=0.05)


@pytest.mark.parametrize(
    ("word", "count"),
    [("feed", 1), ("makes", 1), ("table", 2), ("likely", 2), ("moisture", 2), ("castings", 2), ("temperature", 4)],
)
def test_syllables_are_counted_by_ear(word: str, count: int) -> None:
    assert syllables(word) == count


def test_a_figure_is_one_word_and_ends_no_sentence() -> None:
    assert sentences("Add 2.5 kg of leaves. Then wait.") == ["Add 2.5 kg of leaves.", "Then wait."]
    assert longest("Add 2.5 kg of leaves. Then wait.") == 4
