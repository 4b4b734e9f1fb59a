"""Made-up records for property tests: anything that the types allow, likely or not."""

from __future__ import annotations

import dataclasses
import typing
from datetime import date, datetime, timedelta, timezone
from enum import StrEnum
from typing import Any

from hypothesis import strategies as st

from wormbin.records.bins import Bin, Cover, Method, Species
from wormbin.records.entries import LOG_KINDS, Entry, Strike
from wormbin.records.farms import Away, Bucket, Farm, OnHand, OwnMaterial, Settings, Units
from wormbin.records.ids import content_id
from wormbin.records.lots import LOT_KINDS, LotLine

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBER = st.floats(allow_nan=False, allow_infinity=False)
MOMENTS = st.datetimes(
    min_value=datetime(1990, 1, 2),  # noqa: DTZ001 - hypothesis wants bounds without an offset
    max_value=datetime(2090, 1, 1),  # noqa: DTZ001
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes))),
)
LOOSE = st.dictionaries(
    st.text(st.characters(categories=["Ll"]), min_size=1, max_size=6).map(lambda name: f"x{name}"),
    st.recursive(st.none() | st.booleans() | NUMBER | TEXT, lambda inner: st.lists(inner, max_size=2), max_leaves=4),
    max_size=2,
)
KEYS = st.sampled_from(["kitchen", "attic", "cellar-2"])


def of_hint(hint: Any) -> st.SearchStrategy[Any]:
    """Values for a field of a record, by its type hint."""
    simple: dict[Any, st.SearchStrategy[Any]] = {
        str: TEXT,
        float: NUMBER,
        int: st.integers(0, 10**6),
        bool: st.booleans(),
        date: st.dates(),
        type(None): st.none(),
    }
    if hint in simple:
        return simple[hint]
    inside = typing.get_args(hint)
    if typing.get_origin(hint) is tuple:
        return st.lists(of_hint(inside[0]), max_size=3).map(tuple)
    if inside:
        return st.one_of([of_hint(each) for each in inside])
    if issubclass(hint, StrEnum):
        return st.sampled_from(hint)
    hints = typing.get_type_hints(hint)
    return st.builds(hint, **{each.name: of_hint(hints[each.name]) for each in dataclasses.fields(hint)})


WHATS = st.one_of([of_hint(kind) for kind in LOG_KINDS])
ENTRIES = st.builds(
    Entry,
    st.uuids().map(lambda each: content_id({"id": each}, 0)),
    KEYS,
    MOMENTS,
    WHATS,
    TEXT,
    TEXT,
    st.integers(0, 5),
    st.sampled_from(["", "abc"]),
    st.none() | st.builds(Strike, TEXT, TEXT, MOMENTS),
    LOOSE,
)
LOT_LINES = st.builds(
    LotLine,
    st.uuids().map(lambda each: content_id({"id": each}, 0)),
    TEXT,
    MOMENTS,
    st.one_of([of_hint(kind) for kind in LOT_KINDS]),
    TEXT,
    TEXT,
    st.sampled_from(["", "abc"]),
    st.none() | st.builds(Strike, TEXT, TEXT, MOMENTS),
    LOOSE,
)
BINS = st.builds(
    Bin, KEYS, TEXT, st.none() | NUMBER, st.none() | NUMBER, NUMBER, st.dates(), st.none() | NUMBER, st.integers(1, 5),
    st.booleans(), st.sampled_from(Cover), st.sampled_from(Species), NUMBER, st.sampled_from(Method),
    st.none() | NUMBER, TEXT, st.none() | st.dates(), NUMBER, *[st.lists(KEYS, max_size=2).map(tuple)] * 3, LOOSE,
)  # fmt: skip
MATERIALS = st.builds(OwnMaterial, KEYS, TEXT, st.dictionaries(TEXT, NUMBER | TEXT, max_size=3), TEXT, LOOSE)
SETTINGS = st.builds(
    Settings, st.sampled_from(Units), NUMBER, NUMBER, st.lists(TEXT, max_size=3).map(tuple), st.integers(),
    st.lists(st.builds(Away, st.dates(), st.dates(), TEXT, KEYS), max_size=2).map(tuple),
    st.lists(st.builds(OnHand, KEYS, NUMBER, NUMBER), max_size=2).map(tuple),
    st.lists(st.builds(Bucket, TEXT, st.lists(TEXT, max_size=2).map(tuple)), max_size=2).map(tuple),
    st.dictionaries(TEXT, NUMBER, max_size=2), TEXT, LOOSE,
)  # fmt: skip
FARMS = st.builds(
    Farm, st.lists(BINS, max_size=2).map(tuple), st.lists(TEXT, max_size=2).map(tuple),
    st.lists(MATERIALS, max_size=2).map(tuple), SETTINGS, LOOSE,
)  # fmt: skip
