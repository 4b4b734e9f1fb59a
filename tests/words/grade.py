"""How hard some words are to read: the Flesch-Kincaid grade (Kincaid et al. 1975) and the longest sentence."""

from __future__ import annotations

import re

_END = re.compile(r"(?<=[.!?])\s+|\n+")
_WORD = re.compile(r"[^\s/]+")
_VOWELS = re.compile(r"[aeiouy]+")
_SILENT = re.compile(
    r"(?<![aeiouyl])e$|(?<=[aeiouy][lr])e$|(?<=[^aeiouytd])ed$|(?<=[^aeiouycgszxh])es$|e(?=ly$|times$|where$)"
)
"""An e that is not heard: "take", "while", "mixed", "makes", "likely"; "table" keeps it."""


def sentences(text: str) -> list[str]:
    """The sentences of a text, by their full stops, question marks and line ends; "p.m." and "2.5" end none."""
    return [each for each in _END.split(text.strip()) if re.search(r"\w", each)]


def words(text: str) -> list[str]:
    """The words of a text; a figure with its unit is one, as it is one to the eye."""
    joined = re.sub(r"(?<=\d) (?=(?:kg|g|L|mL|cm|m2?|in|ft|lb|oz|°[CF]|%)(?![\w]))", "", text)
    return [each for each in _WORD.findall(joined) if re.search(r"\w", each)]


def syllables(word: str) -> int:
    """How many syllables a word has; a figure, a name of a unit or a key is read as one."""
    letters = re.sub(r"[^a-z]", "", word.lower())
    if not letters or re.search(r"[\d_]", word):
        return 1
    return max(1, len(_VOWELS.findall(_SILENT.sub("", letters))))


def grade(text: str) -> float:
    """0.39 words a sentence + 11.8 syllables a word - 15.59: the school year in which it is read with ease."""
    told = [each for each in map(words, sentences(text)) if each]
    count = sum(map(len, told))
    if not count:
        return 0.0
    heard = sum(syllables(word) for each in told for word in each)
    return 0.39 * count / len(told) + 11.8 * heard / count - 15.59


def longest(text: str) -> int:
    """The number of words in the longest sentence."""
    return max((len(words(each)) for each in sentences(text)), default=0)
