"""Which bin is meant by a key, a name, or the beginning of one."""

from __future__ import annotations

from difflib import get_close_matches

from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError, UnclearError
from wormbin.records.bins import Bin


def find_bin(words: str, bins: tuple[Bin, ...]) -> Bin:
    """The bin meant. Raises RefusedError with near misses, UnclearError when several begin so."""
    plain = tidy(words).casefold()
    problem = Problem("bin", shown(words), "a bin of this store", bins[0].key if bins else "kitchen")
    for one in bins:
        if plain == one.key:
            return one
    for fits in (
        [one for one in bins if plain == tidy(one.name).casefold()],
        [one for one in bins if plain and (one.key.startswith(plain) or tidy(one.name).casefold().startswith(plain))],
    ):
        if len(fits) == 1:
            return fits[0]
        if fits:
            keys = tuple(one.key for one in fits)
            raise UnclearError(Problem("bin", shown(words), f"the key of one bin: {', '.join(keys)}", keys[0]), keys)
    if not bins:
        raise RefusedError(
            Problem(
                "bin",
                shown(words),
                "a bin of this store, and it has none yet",
                "wormbin start kitchen --length 60cm ...",
            )
        )
    near = get_close_matches(
        plain, [one.key for one in bins] + [tidy(one.name).casefold() for one in bins], n=3, cutoff=0.5
    )
    keys = tuple(
        dict.fromkeys(one.key for name in near for one in bins if name in (one.key, tidy(one.name).casefold()))
    )
    if keys:
        raise UnclearError(
            Problem("bin", shown(words), f"a bin of this store; did you mean {' or '.join(keys)}", keys[0]), keys
        )
    listed = ", ".join(one.key for one in bins[:12])
    raise RefusedError(Problem("bin", problem.read, f"a bin of this store: {listed}", problem.example))
