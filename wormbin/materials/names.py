"""Finds the material that everyday words mean: by key, name or alias, with plurals, and near misses offered."""

from __future__ import annotations

import re
from collections.abc import Iterable

from wormbin.materials.material import Material
from wormbin.measures.words import LONGEST, tidy

# Words that say how a thing was prepared, not what it is.
_IDLE = frozenset({
    "a", "an", "the", "of", "some", "my", "our", "and", "with", "fresh", "raw", "chopped", "cut",
    "diced", "sliced", "minced", "grated", "frozen", "thawed", "cold", "rinsed", "bit", "piece", "leftover",
    "organic", "little", "used",
})  # fmt: skip
_APART = re.compile(r"[\W_]+")
_IRREGULAR = {
    "leaves": "leaf",
    "loaves": "loaf",
    "halves": "half",
    "knives": "knife",
    "moulds": "mould",
    "mold": "mould",
}


def _singular(word: str) -> str:
    """A plural word brought to one form; need not be English so long as it is always the same."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("oes", "shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1] if word.endswith("s") else word


def _spaced(words: str) -> str:
    """Words without case or punctuation, single-spaced."""
    plain = tidy(words[: LONGEST * 2])[:LONGEST].casefold().replace("'", "")
    return " ".join(_APART.sub(" ", plain).split())


def _level(spaced: str) -> str:
    return " ".join(map(_singular, spaced.split(" "))) if spaced else ""


def normal(words: str) -> str:
    """Words in the one form in which they are compared: no case, punctuation or plurals."""
    return _level(_spaced(words))


def without_idle(form: str) -> str:
    """A normal form without words of preparation; itself when nothing would be left."""
    return " ".join(word for word in form.split() if word not in _IDLE) or form


MISSPELT = 0.87
"""Likeness from which words are a misspelt name and nothing else (ours)."""
LONG = 4
"""Letters of a word that is looked for inside others: paper in newspaper."""


class Names:
    """All the names of some materials, looked up in one form."""

    def __init__(self, materials: Iterable[Material]) -> None:
        self._keys: dict[str, list[str]] = {}
        self._keyed: dict[str, str] = {}
        self._spelt: dict[str, tuple[str, ...]] = {}
        for material in materials:
            self._keyed[normal(material.key)] = material.key
            spelt = tuple(map(_spaced, (material.key, material.name, *material.aliases)))
            self._spelt[material.key] = spelt
            for name in spelt:
                keys = self._keys.setdefault(_level(name), [])
                if material.key not in keys:
                    keys.append(material.key)

    def exactly(self, words: str) -> tuple[str, ...]:
        """Keys that these words name; one if they are clear. A material's own key wins over another's alias."""
        form = normal(words)
        for each in (form, without_idle(form)):
            if each in self._keyed:
                return (self._keyed[each],)
            if each in self._keys:
                return tuple(self._keys[each])
        return ()

    def misspelt(self, words: str, most: int = 1, likeness: float = 0.8) -> list[str]:
        """The names that these words may be a slip of the pen for, by this likeness (ours) or more."""
        from difflib import get_close_matches

        return get_close_matches(without_idle(normal(words)), self._keys, most, likeness)

    def nearly(self, words: str, most: int = 5) -> tuple[str, ...]:
        """Keys that these words may have meant, likeliest first: a misspelling, or a part of a name."""
        # Only wanted when something was mistyped; not worth its time at every start.
        from difflib import get_close_matches

        form = without_idle(normal(words))
        if not form:
            return ()
        spelt = self.misspelt(form, most, MISSPELT)
        if spelt:
            # A slip of the pen: what only shares a word with it was not meant.
            return tuple(dict.fromkeys(key for near in spelt for key in self._keys[near]))[:most]
        found = [key for near in get_close_matches(form, self._keys, most, 0.75) for key in self._keys[near]]
        mine = set(form.split())
        shared = sorted(
            (-len(mine & theirs) / len(mine | theirs), place, key)
            for place, (name, keys) in enumerate(self._keys.items())
            if mine & (theirs := set(name.split())) or any(len(word) >= LONG and word in name for word in mine)
            for key in keys
        )
        return tuple(dict.fromkeys([*found, *(key for _, _, key in shared)]))[:most]

    def finished(self, begun: str) -> tuple[tuple[str, str], ...]:
        """Keys with the name of each that begins with these letters, its key before another name."""
        letters = _spaced(begun)
        found: list[tuple[int, str, str]] = []
        if len(letters) == len(begun):  # letter by letter, or what is added would not fit what is typed
            for key, names in self._spelt.items():
                if names[0].startswith(letters):
                    found.append((0, key, key))
                elif (name := next((each for each in names if each.startswith(letters)), None)) is not None:
                    found.append((1, key, name))
        return tuple((key, name) for _, key, name in sorted(found))
