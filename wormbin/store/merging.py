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
from wormbin.store.change import Change
from wormbin.store.errors import StoreError
from wormbin.store.farmfile import FarmFile
from wormbin.store.files import read_part
from wormbin.store.lines import Document, is_struck, joined, laid_out, same
from wormbin.store.place import Place, copies, place_of_copy
from wormbin.store.reading import Reading, stamp_of
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


def _farms(ours: Farm, theirs: Farm) -> tuple[Merging, Farm]:
    bins = {each.key: each for each in ours.bins}
    materials = {each.key: each for each in ours.materials}
    new_bins = tuple(each for each in theirs.bins if each.key not in bins)
    new_materials = tuple(each for each in theirs.materials if each.key not in materials)
    new_keepers = tuple(each for each in theirs.keepers if each not in ours.keepers)
    differing = [f"bin {each.key}" for each in theirs.bins if bins.get(each.key, each) != each]
    differing += [f"material {each.key}" for each in theirs.materials if materials.get(each.key, each) != each]
    settings, otherwise = _settings(ours.settings, theirs.settings)
    merging = Merging(
        differing=(*differing, *otherwise),
        settings=settings != ours.settings,
        bins=tuple(each.key for each in new_bins),
        materials=tuple(each.key for each in new_materials),
        keepers=new_keepers,
    )
    farm = replace(
        ours,
        bins=(*ours.bins, *new_bins),
        materials=(*ours.materials, *new_materials),
        keepers=(*ours.keepers, *new_keepers),
        settings=settings,
    )
    return merging, farm


def _both(lines: Merging, farms: Merging, copies: tuple[Path, ...] = ()) -> Merging:
    return Merging(
        lines.new,
        lines.joined,
        (*lines.differing, *farms.differing),
        farms.bins,
        farms.materials,
        farms.keepers,
        copies,
        farms.settings,
    )


def _worked_out(store: Writing, other: Reading) -> tuple[Merging, dict[Place, dict[str, Document]], Farm]:
    ours = {str(document["id"]): (place, document) for place, document in _lines(store)}
    lines, changed = _weigh(ours, _lines(other))
    farms, farm = _farms(store.farm(), other.farm())
    return _both(lines, farms), changed, farm


def _other(store: Writing, folder: Path) -> Reading:
    found = stamp_of(store.disk, folder, "read the other store")
    if found is None or not found.is_folder:
        raise StoreError("there is no store here to merge", "Give the folder of the other copy.", path=folder)
    # Read as it stands: the other copy is not tidied, and nothing is written to it.
    return Reading(folder, store.disk, store.clock)


def plan(store: Writing, folder: Path) -> Merging:
    """What merging the store in ``folder`` into this one would do, without doing it."""
    return _worked_out(store, _other(store, folder))[0]


def merge(store: Writing, folder: Path) -> Merging:
    """Take over what the store in ``folder`` has and this one has not; the other store stays as it is."""
    done: list[Merging] = []

    def act(number: int) -> None:
        merging, changed, farm = _worked_out(store, _other(store, folder))
        _commit(store, number, merging, changed, farm)
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
    struck, lifted = _turned(store, merging, changed)
    change = Change(number, "merged", "", store.clock(), wrote=merging.new, struck=struck, lifted=lifted)
    new_farm = farm if farm != store.farm() else None
    if changed or new_farm is not None:
        store.commit(changed, change if change.ids else None, farm=new_farm, ask=False, short=True)


def _turned(
    store: Writing, merging: Merging, changed: dict[Place, dict[str, Document]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The ids of our own lines that a merge strikes, and of those that it lets stand again."""
    struck: list[str] = []
    lifted: list[str] = []
    for place, lines in changed.items():
        ours = store.book(place, short=True).documents
        for key in lines.keys() & set(merging.joined):
            if is_struck(lines[key]) != is_struck(ours[key]):
                (struck if is_struck(lines[key]) else lifted).append(key)
    return tuple(sorted(struck)), tuple(sorted(lifted))


def _from_copies(store: Writing) -> tuple[Merging, dict[Place, dict[str, Document]], Farm]:
    found = copies(store.disk, store.folder)
    theirs: list[tuple[Place, Document]] = []
    farm, farms = store.farm(), Merging()
    for path in found:
        if path.parent == store.folder:
            if path.name.startswith("books"):  # what it says of the books is seen by looking at them
                continue
            farms, farm = _farms(farm, FarmFile.load(store.disk, store.folder, path.name).farm)
            continue
        place = place_of_copy(store.folder, path)
        part = read_part(store.disk, path, place)
        theirs += [(place, document) for document in part.documents.values()] if part is not None else []
    ours = {str(document["id"]): (place, document) for place, document in _lines(store)}
    lines, changed = _weigh(ours, theirs)
    return _both(lines, farms, found), changed, farm


def plan_copies(store: Writing) -> Merging:
    """What merging the copies beside the store's files would do."""
    return _from_copies(store)[0]


def merge_copies(store: Writing) -> Merging:
    """Take over what the copies beside the store's files have, and move the copies to ``set-aside``."""
    done: list[Merging] = []

    def act(number: int) -> None:
        merging, changed, farm = _from_copies(store)
        _commit(store, number, merging, changed, farm)
        for path in merging.copies:
            set_aside(store.disk, store.folder, path, store.clock())
        done.append(merging)

    store.again(act)
    return done[-1]
