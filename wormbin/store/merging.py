"""Joining two copies of a log: by the ids of their lines, exactly, whichever copy is called ours."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, fields, replace
from datetime import datetime
from operator import attrgetter
from pathlib import Path
from typing import Any

from wormbin.records.farms import Farm, Settings
from wormbin.store import StoreError
from wormbin.store.beside import FarmFile
from wormbin.store.disk import stamp_of
from wormbin.store.documents import Change, Document, joined, laid_out, same, turned
from wormbin.store.file import read_part
from wormbin.store.place import Place, copies, place_of_copy
from wormbin.store.reading import Reading
from wormbin.store.whole import set_aside
from wormbin.store.writing import Writing


@dataclass(frozen=True, slots=True)
class Merging:
    """What a merge does, or would do.

    ``new`` are ids that only the other copy has; ``joined`` are ids whose strikes are put together; ``differing`` are
    ids (or bins, materials, settings) that say something else in the two copies: ours stays, the other copy is kept.
    ``settings`` is whether settings that only the other copy has are taken over.
    """

    new: tuple[str, ...] = ()
    joined: tuple[str, ...] = ()
    differing: tuple[str, ...] = ()
    bins: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    keepers: tuple[str, ...] = ()
    copies: tuple[Path, ...] = ()
    settings: bool = False

    @property
    def changes_anything(self) -> bool:
        """Whether our copy changes at all."""
        return bool(self.new or self.joined or self.bins or self.materials or self.keepers or self.settings)


def _own_place(document: Document, place: Place) -> Place:
    with suppress(ValueError, TypeError):
        return Place(place.bin, datetime.fromisoformat(str(document.get("when"))).year)
    return place


def _weigh(
    ours: dict[str, tuple[Place, Document]], theirs: Iterable[tuple[Place, Document]]
) -> tuple[Merging, dict[Place, dict[str, Document]]]:
    new: dict[str, tuple[Place, Document]] = {}
    put_together: dict[str, tuple[Place, Document]] = {}
    differing: list[str] = []
    for place, document in theirs:
        key = str(document["id"])
        known = put_together.get(key) or new.get(key) or ours.get(key)
        if known is None:
            new[key] = (_own_place(document, place), document)
        elif not same(known[1], document) or known[0].bin != place.bin:
            differing.append(key)
        else:
            both = joined(known[1], document)
            if both != joined(known[1], known[1]):
                (new if key in new else put_together)[key] = (known[0], both)
    changed = laid_out([*new.values(), *put_together.values()])
    return Merging(tuple(new), tuple(put_together), tuple(dict.fromkeys(differing))), changed


def _lines(store: Reading) -> Iterator[tuple[Place, Document]]:
    for place in store.all_places():
        for document in store.book(place, short=True).documents.values():
            yield place, document


def _settings(ours: Settings, theirs: Settings) -> tuple[Settings, tuple[str, ...]]:
    """Our settings with what only theirs say, and the names of those that both say otherwise: ours stay."""
    changed: dict[str, Any] = {}
    differing = []
    for each in fields(Settings):
        mine, other = getattr(ours, each.name), getattr(theirs, each.name)
        if mine == other or other == each.default:
            continue
        if mine == each.default:
            changed[each.name] = other
        elif isinstance(mine, Mapping):
            changed[each.name] = {**other, **mine}
            differing += [f"{each.name} {key}" for key in other if mine.get(key, other[key]) != other[key]]
        elif each.name in _BY_NAME:
            name = attrgetter(_BY_NAME[each.name])
            known = {name(one): one for one in mine}
            changed[each.name] = (*mine, *(one for one in other if name(one) not in known))
            differing += [f"{each.name} {name(one)}" for one in other if known.get(name(one), one) != one]
        elif each.name == "away":
            changed[each.name] = tuple(dict.fromkeys((*mine, *other)))
        else:
            differing.append(each.name)
    return replace(ours, **changed), tuple(f"setting {name.replace('_', ' ')}" for name in differing)


_BY_NAME = {"on_hand": "material", "buckets": "name"}


def _farms(ours: Farm, theirs: Farm) -> tuple[Farm, list[str]]:
    """Our farm with what only theirs has, and what both say otherwise: ours stays."""
    bins = {each.key: each for each in ours.bins}
    materials = {each.key: each for each in ours.materials}
    differing = [f"bin {each.key}" for each in theirs.bins if bins.get(each.key, each) != each]
    differing += [f"material {each.key}" for each in theirs.materials if materials.get(each.key, each) != each]
    settings, otherwise = _settings(ours.settings, theirs.settings)
    farm = replace(
        ours,
        bins=(*ours.bins, *(each for each in theirs.bins if each.key not in bins)),
        materials=(*ours.materials, *(each for each in theirs.materials if each.key not in materials)),
        keepers=(*ours.keepers, *(each for each in theirs.keepers if each not in ours.keepers)),
        settings=settings,
    )
    return farm, [*differing, *otherwise]


_Lines = Iterable[tuple[Place, Document]]


def _of_store(store: Writing, folder: Path) -> tuple[list[Farm], _Lines]:
    found = stamp_of(store.disk, folder, "read the other store")
    if found is None or not found.is_folder:
        raise StoreError("there is no store here to merge", "Give the folder of the other copy.", path=folder)
    # Read as it stands: the other copy is not tidied, and nothing is written to it.
    other = Reading(folder, store.disk, store.clock)
    return [other.farm()], _lines(other)


def _of_copies(store: Writing, found: tuple[Path, ...]) -> tuple[list[Farm], _Lines]:
    farms: list[Farm] = []
    lines: list[tuple[Place, Document]] = []
    for path in found:
        if path.parent != store.folder:
            place = place_of_copy(store.folder, path)
            part = read_part(store.disk, path, place)
            lines += [(place, document) for document in part.documents.values()] if part is not None else []
        elif not path.name.startswith("books"):  # what it says of the books is seen by looking at them
            farms.append(FarmFile.load(store.disk, store.folder, path.name).farm)
    return farms, lines


def _worked_out(store: Writing, folder: Path | None) -> tuple[Merging, dict[Place, dict[str, Document]], Farm]:
    found = copies(store.disk, store.folder) if folder is None else ()
    farms, theirs = _of_copies(store, found) if folder is None else _of_store(store, folder)
    ours = {str(document["id"]): (place, document) for place, document in _lines(store)}
    merging, changed = _weigh(ours, theirs)
    mine = farm = store.farm()
    differing: list[str] = []
    for other in farms:
        farm, otherwise = _farms(farm, other)
        differing += otherwise
    merging = replace(
        merging,
        differing=(*merging.differing, *dict.fromkeys(differing)),
        settings=farm.settings != mine.settings,
        bins=tuple(each.key for each in farm.bins[len(mine.bins) :]),
        materials=tuple(each.key for each in farm.materials[len(mine.materials) :]),
        keepers=farm.keepers[len(mine.keepers) :],
        copies=found,
    )
    return merging, changed, farm


def plan(store: Writing, folder: Path | None) -> Merging:
    """What ``merge`` would do, without doing it."""
    return _worked_out(store, folder)[0]


def merge(store: Writing, folder: Path | None) -> Merging:
    """Take over what the store in ``folder`` has and this one has not; the other store stays as it is.

    With None it is the copies beside the store's files; they are moved to ``set-aside``.
    """
    done: list[Merging] = []

    def act(number: int) -> None:
        merging, changed, farm = _worked_out(store, folder)
        _commit(store, number, merging, changed, farm)
        for path in merging.copies:
            set_aside(store.disk, store.folder, path, store.clock())
        done.append(merging)

    store.again(act)
    return done[-1]


def _commit(
    store: Writing, number: int, merging: Merging, changed: dict[Place, dict[str, Document]], farm: Farm
) -> None:
    for place in store.all_places():
        book = store.book(place, short=True)
        if book.kept_up or book.storage.apart:  # not in the book on the disk yet, as a copy that is moved away may be
            changed.setdefault(place, {})
    known, both = {place: store.book(place, short=True).documents for place in changed}, set(merging.joined)
    struck, lifted = turned((known[at][key], changed[at][key]) for at in changed for key in both & changed[at].keys())
    change = Change(number, "merged", "", store.clock(), wrote=merging.new, struck=struck, lifted=lifted)
    new_farm = farm if farm != store.farm() else None
    if new_farm is not None:  # it is put together with what the other copy came to
        store.came_to({}, 0)
    if changed or new_farm is not None:
        store.commit(changed, change if change.ids else None, farm=new_farm, ask=False, short=True)
