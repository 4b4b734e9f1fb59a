"""A bin as believed at one midnight: all that is needed to go on from there, as plain JSON."""

from __future__ import annotations

import json
import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass
from datetime import date
from functools import lru_cache
from hashlib import blake2b
from typing import Any

import numpy as np

from wormbin.process.ensemble import Doubts
from wormbin.process.parameters import Parameters
from wormbin.process.pools import Array, Materials
from wormbin.process.run import Bias, Ledger, Run
from wormbin.process.version import VERSION
from wormbin.process.warmth import Warmth
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry


@dataclass(frozen=True, slots=True)
class Belief:
    """The morning of ``on`` with every entry before it taken in. Opaque: resume from it, or keep it as JSON."""

    on: date
    mark: str
    held: str

    @classmethod
    def of(cls, run: Run, on: date, seen: Fingerprint, silent: Iterable[date]) -> Belief:
        """The belief of a run on the morning of ``on``, when so many lines were ``seen``.

        ``silent`` are the days of which nobody knows; a silence is only told after some days, and by later notes.
        """
        return cls(on, _mark(run.bin, seen, silent, on, run.p), json.dumps(_dump(run), separators=(",", ":")))

    def fits(self, bin_: Bin, lines: Sequence[Entry], silent: Iterable[date], parameters: Parameters) -> bool:
        """Whether the log up to here, and what is silent in it, is still what this belief came from."""
        seen = Fingerprint(entry for entry in lines if entry.when.date() < self.on)
        return self.mark == _mark(bin_, seen, silent, self.on, parameters)

    def run(self, bin_: Bin, table: Materials, parameters: Parameters, doubts: Doubts) -> Run:
        """A run that goes on from here."""
        return _load(json.loads(self.held), bin_, table, parameters, doubts)

    def to_json(self) -> str:
        """As one JSON document, for a cache that may be thrown away at any time."""
        return json.dumps({"version": VERSION, "on": self.on.isoformat(), "mark": self.mark, "held": self.held})

    @classmethod
    def from_json(cls, text: str) -> Belief | None:
        """A belief from a cache; None when it is damaged or from another version, and the log must be replayed."""
        try:
            read = json.loads(text)
            if read["version"] != VERSION:
                return None
            return cls(date.fromisoformat(read["on"]), str(read["mark"]), str(read["held"]))
        except (ValueError, KeyError, TypeError):
            return None


class Fingerprint:
    """A fingerprint of the standing lines so far, to which more can be added."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self._digest = blake2b(digest_size=16)
        self.add(entries)

    def add(self, entries: Iterable[Entry]) -> None:
        """Add the lines that come next: what of them a belief rests on."""
        for entry in entries:
            self._digest.update(_print(entry))

    def __str__(self) -> str:
        return self._digest.hexdigest()


@lru_cache(maxsize=32768)
def _print(entry: Entry) -> bytes:
    """What of one entry a belief rests on; the same lines are asked for again each evening."""
    return repr((entry.id, entry.when.isoformat(), entry.compartment, entry.what)).encode()


def _mark(bin_: Bin, seen: Fingerprint, silent: Iterable[date], on: date, parameters: Parameters) -> str:
    """A fingerprint of everything that a belief of the morning of ``on`` rests on."""
    hushed = sorted(day.toordinal() for day in silent if day < on)
    return blake2b(repr((VERSION, bin_, parameters, hushed, str(seen))).encode(), digest_size=16).hexdigest()


_ARRAYS = ("c", "own", "usual", "usual_bedding")
_PLAIN = ("log_bulk", "bulk_var", "t", "active", "last_feed", "because", "last_survey", "used", "unaged")
_BY_QUANTITY = ("surprises", "scores")


def _dump(run: Run) -> dict[str, Any]:
    return {
        **{name: getattr(run, name) for name in (*_PLAIN, *_BY_QUANTITY)},
        **{name: _packed(getattr(run, name)) for name in _ARRAYS},
        "warmth": astuple(run.warmth),
        "biases": {key: astuple(bias) for key, bias in run.biases.items()},
        "ledger": astuple(run.ledger),
        "days": [day and day.toordinal() for day in (*run.crossed, run.rested)],
    }


def _load(held: dict[str, Any], bin_: Bin, table: Materials, p: Parameters, doubts: Doubts) -> Run:
    run = Run.begin(bin_, table, date.min, p, doubts)
    for name in (*_PLAIN, *_BY_QUANTITY):
        setattr(run, name, held[name])
    for name in _ARRAYS:
        setattr(run, name, _unpacked(held[name]))
    run.warmth, run.ledger = Warmth(*held["warmth"]), Ledger(*held["ledger"])
    run.biases = {key: Bias(*each) for key, each in held["biases"].items()}
    *run.crossed, run.rested = (day and date.fromordinal(day) for day in held["days"])
    return run


def _packed(array: Array) -> list[Any]:
    """An array as its shape and its bytes in letters, to the last digit."""
    return [array.shape, b64encode(zlib.compress(np.ascontiguousarray(array).tobytes(), 1)).decode()]


def _unpacked(held: Any) -> Array:
    shape, letters = held
    return np.frombuffer(zlib.decompress(b64decode(letters))).reshape(shape).copy()
