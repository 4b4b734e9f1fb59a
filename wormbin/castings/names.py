"""Which lot is meant by a name, or by the beginning of one."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from wormbin.castings.lot import Lot
from wormbin.problems import Problem, RefusedError, UnclearError
from wormbin.records.lots import lot_key


def find_lot(words: str, known: Sequence[Lot]) -> Lot:
    """The lot meant. Raises RefusedError with those there are, UnclearError when several may be meant."""
    key = lot_key(words)
    by_key = {lot_key(lot.name): lot for lot in known}
    if key in by_key:
        return by_key[key]
    begins = [lot.name for name, lot in by_key.items() if key and name.startswith(key)]
    if len(begins) == 1:
        return by_key[lot_key(begins[0])]
    if begins:
        raise UnclearError(Problem("lot", words[:60], f"the name of one lot: {', '.join(begins)}", begins[0]), begins)
    if not known:
        allowed = "a lot, and there is none yet: harvest into one"
        raise RefusedError(Problem("lot", words[:60], allowed, 'wormbin harvest kitchen "4.5 kg" --lot spring'))
    near = [by_key[name].name for name in get_close_matches(key, list(by_key), n=3, cutoff=0.6)]
    if near:
        raise UnclearError(Problem("lot", words[:60], f"a lot; did you mean {' or '.join(near)}", near[0]), near)
    names = [lot.name for lot in known][-12:]
    raise RefusedError(Problem("lot", words[:60], f"one of your lots: {', '.join(names)}", names[-1]))
