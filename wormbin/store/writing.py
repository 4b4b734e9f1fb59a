"""Writing to a store: every change under the lock, on what is on the disk now, durable before it is acknowledged."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from dataclasses import replace
from datetime import date, datetime
from typing import TypeVar

from wormbin.problems import Problem, RefusedError
from wormbin.records.codec import UnknownKindError, farm_to_json, line_to_json, lot_line_from_json
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.records.lots import Line, LotLine, lots_in_order
from wormbin.store import backup, redo
from wormbin.store.change import Change
from wormbin.store.disk import held
from wormbin.store.errors import ChangedError, DamagedError, DiskError, StoreError, told
from wormbin.store.files import FORMAT
from wormbin.store.finding import Finding
from wormbin.store.lines import (
    Document,
    by_place,
    documents_of,
    is_struck,
    joined,
    laid_out,
    order_of,
    place_new,
    place_of,
    placed,
    same,
    with_strike,
    without_strike,
)
from wormbin.store.place import Place
from wormbin.store.reading import LOCK
from wormbin.store.whole import make_folder

_AGAIN = 4
A = TypeVar("A", bound=Line)
LotsHold = Callable[[tuple[LotLine, ...], tuple[LotLine, ...]], None]
"""Given the castings book before and after a change; raises RefusedError when the change must not be."""


def _anything(_before: tuple[LotLine, ...], _after: tuple[LotLine, ...]) -> None:
    """Lets every change of the castings book pass."""


class Writing(Finding):
    """What can be changed in a store. See ``Store``."""

    _backed_up: date | None = None
    spared: str = ""
    """The backup that is being brought back: no new one may thin it out."""
    lots_hold: LotsHold = staticmethod(_anything)
    """Asked under the lock about every change of the castings book that a keeper makes (not a merge or an import)."""
    watched: Callable[[], AbstractContextManager[None]] = staticmethod(nullcontext)
    """Entered under the lock around every change, so that whoever watches can tell own changes from others'."""

    @contextmanager
    def writing(self) -> Iterator[int]:
        """The lock held, what a crash left completed; yields the number for the change."""
        with self._alone:
            with told(self.folder, "make the store's folder"):
                make_folder(self.disk, self.folder)
            with held(self.disk, self.folder / LOCK) as lock:
                self._complete()
                self._daily_backup()
                with suppress(OSError, ValueError):
                    self._last_number = max(self._last_number, int(self.disk.read_note(lock) or b"0"))
                number = self._last_number = max(self._last_number + 1, int(self.clock().timestamp() * 1000))
                with suppress(OSError):
                    self.disk.write_note(lock, b"%020d" % number)
                with self.watched():
                    try:
                        yield number
                    finally:
                        if self._came_far:
                            self._say_how_far()

    def again(self, act: Callable[[int], None]) -> None:
        """Do ``act`` under the lock; when an editor changed a file meanwhile, once more on what is there now."""
        for left in reversed(range(_AGAIN)):
            try:
                with told(self.folder, "use the store"), self.writing() as number:
                    act(number)
                return
            except ChangedError:
                if not left:
                    raise

    def commit(
        self,
        changed: Mapping[Place, Mapping[str, Document]],
        change: Change | None,
        farm: Farm | None = None,
        *,
        ask: bool = True,
        short: bool = False,
        listed: Mapping[Place, Change] | None = None,
    ) -> None:
        """Put lines into their books, and a farm into its file, all or nothing. Call it inside ``writing``.

        With ``ask`` a change of the castings book is held to ``lots_hold`` first. ``short`` lets lines into a book of
        which some are missing. ``listed`` are the books' own parts of a change that is listed already: taken back, or
        done again.
        """
        if ask:
            self._ask(changed)
        books = {place: self.book(place, short=short) for place in {**changed, **(listed or {})}}
        parts_of = dict(listed or {})
        if change is not None:
            # The clock may have been set back, and the hint in the lock file may be lost.
            least = max((book.last_number for book in books.values()), default=0) + 1
            change = replace(change, number=max(change.number, least), parts=len(books))
            self._last_number = max(self._last_number, change.number)
            parts_of = {place: change.within(changed[place]) for place in books}
        if any(book.storage.was_format < FORMAT for book in books.values()):
            self._before_upgrade()
        file = self._fresh_farm()
        if farm is None and file.stamp is None:
            farm = file.farm  # from its first line on a store has a farm file, so that a missing one is noticed
        if len(books) == 1 and farm is None:
            ((place, book),) = books.items()
            self._save(book, changed.get(place, {}), parts_of.get(place), whole=False)
        elif not books and farm is not None:
            self._save_farm(farm)
        elif books:
            parts = tuple(
                redo.Part(place, book.seq + 1, changed.get(place, {}), parts_of.get(place))
                for place, book in books.items()
            )
            plain = None if farm is None else farm_to_json(farm)
            self._commit_note(redo.Note(parts, plain, 0 if farm is None else file.seq + 1))

    def _ask(self, changed: Mapping[Place, Mapping[str, Document]]) -> None:
        documents = {key: each for place, lines in changed.items() if not place.bin for key, each in lines.items()}
        if not documents:
            return
        before = self.lot_lines()
        after = {line.id: line for line in before}
        for key, document in documents.items():
            with suppress(UnknownKindError):
                after[key] = lot_line_from_json(document)
        self.lots_hold(before, lots_in_order(list(after.values())))

    def _save_farm(self, farm: Farm) -> None:
        file = self._fresh_farm()
        if file.was_format < FORMAT:
            self._before_upgrade()
        file.save(farm)

    def replace_books(self, wanted: Mapping[Place, Mapping[str, Document]], change: Change, farm: Farm | None) -> None:
        """Make these all that the books hold, and this the farm, all or nothing; damaged files are moved aside."""
        parts = []
        for place, documents in wanted.items():
            try:
                seq = self.book(place, short=True).seq + 1
            except DamagedError:
                known = self._books.get(place)
                seq = 1 if known is None else known.seq + 1
            parts.append(redo.Part(place, seq, documents, change, whole=True))
        plain = None if farm is None else farm_to_json(farm)
        farm_seq = 1
        with suppress(DamagedError):
            farm_seq = self._farm_on_disk().seq + 1
        # First, as the register says how many lines must be there; a crash in between only lets it say less.
        self._fresh_register().say(dict.fromkeys(wanted))
        self._commit_note(redo.Note(tuple(parts), plain, farm_seq, over_damage=True))

    def _commit_note(self, note: redo.Note) -> None:
        redo.write(self.disk, self.folder, note)
        try:
            self._complete(note)
        except StoreError as error:
            # The note is on the disk: the change is done, readers see it, and the next writer completes it.
            self._notice(error)

    def _before_upgrade(self) -> None:
        why = f"before-format-{FORMAT}"
        if not any(name.endswith(why) for name in backup.names(self.disk, self.folder)):
            backup.make(self.disk, self.folder, self.clock(), why, self.spared)

    def _daily_backup(self) -> None:
        """One backup on the first change of a day, of how things stood before it. A failure never stops the change."""
        now = self.clock()
        if self._backed_up == now.date():
            return
        try:
            if not backup.already_on(self.disk, self.folder, now):
                backup.make(self.disk, self.folder, now, "daily", self.spared)
            self._backed_up = now.date()
        except OSError as error:
            self._notice(DiskError(error, self.folder / backup.FOLDER, "make the backup of the day"))
        except StoreError as error:
            self._notice(error)

    def change_farm(self, change: Callable[[Farm], Farm]) -> Farm:
        """Replace the farm by ``change(farm)``, called under the lock with what is on the disk now; the new farm.

        ``change`` must be quick and do nothing else, as it may be called again.
        """
        saved: list[Farm] = []

        def act(_number: int) -> None:
            file = self._fresh_farm()
            farm = change(file.farm)
            _check_farm(farm)
            if farm != file.farm or file.stamp is None:
                self._save_farm(farm)
            saved.append(farm)

        self.again(act)
        return saved[-1]

    def record(
        self,
        entries: Sequence[A],
        *,
        did: str = "recorded",
        farm: Callable[[Farm], Farm] | None = None,
        joins: Sequence[Line] = (),
        ask: bool = True,
    ) -> tuple[A, ...]:
        """Write lines, all or nothing, also across bins and years; those that were not there yet.

        ``farm`` changes the farm with them (a new bin and its first lines), as in ``change_farm``. ``joins`` are other
        copies of lines that are there: what happened to either (struck, lifted) is put together in the same step.

        A line that is there already, word for word, is passed over, so that doing it again after an error or a second
        import is safe. Raises RefusedError when an id stands for another line, or when the other half of a move or of a
        harvest into a lot is missing; with ``ask`` also what ``lots_hold`` says.
        """
        documents = documents_of(entries)
        written: list[A] = []

        def act(number: int) -> None:
            written.clear()
            changed: dict[Place, dict[str, Document]] = {}
            books = {place: self.book(place) for place in dict.fromkeys(place_of(entry) for entry in entries)}
            for entry in entries:
                place = place_of(entry)
                there = books[place].documents.get(entry.id)
                if there is None:
                    written.append(entry)
                elif placed(there, 0) != placed(documents[entry.id], 0):
                    raise RefusedError(Problem("entry", entry.id, "an id that no other line has"))
            for place, lines in by_place(written).items():
                changed[place] = place_new(documents, lines, books[place].last_order)
            struck, lifted = self._join(joins, changed)
            before = self._fresh_farm().farm
            after = farm(before) if farm is not None else before
            if after != before:
                _check_farm(after)
            if changed or after != before:
                ids = tuple(entry.id for entry in written)
                by = next((entry.by for entry in (*written, *joins)), "")
                touched = ids or struck or lifted
                pairs = [(was, now) for was in before.bins for now in after.bins if was.key == now.key and was != now]
                was, now = zip(*pairs, strict=True) if pairs else ((), ())
                at = self.clock()
                change = Change(number, did, by, at, ids, struck, lifted, was=was, now=now) if touched else None
                self.commit(changed, change, after if after != before else None, ask=ask)

        self.again(act)
        return tuple(written)

    def _join(
        self, joins: Sequence[Line], changed: dict[Place, dict[str, Document]]
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Put other copies of lines together with ours, into ``changed``; the ids that are struck by it, and lifted."""
        found: dict[str, tuple[Place, Document, Document]] = {}
        for theirs in joins:
            place, ours = self._line(theirs.id)
            document = line_to_json(theirs)
            if not same(ours, document) or place.bin != place_of(theirs).bin:
                raise RefusedError(Problem("entry", theirs.id, "an id that no other line has"))
            found[theirs.id] = (place, ours, joined(ours, document))
        for entry_id, (_, ours, both) in list(found.items()):
            if is_struck(both) and not is_struck(ours):  # both halves of a pair go together
                for other, (place, half) in self._halves(entry_id).items():
                    if other not in found and not is_struck(half):
                        by = both["struck"]
                        found[other] = (place, half, {**half, "struck": dict(by)})
        for entry_id, (place, ours, both) in found.items():
            if both != ours:
                changed.setdefault(place, {})[entry_id] = both
        struck = tuple(key for key, (_, ours, both) in found.items() if is_struck(both) and not is_struck(ours))
        lifted = tuple(key for key, (_, ours, both) in found.items() if is_struck(ours) and not is_struck(both))
        return struck, lifted

    def strike(self, entry_id: str, why: str, by: str, at: datetime) -> None:
        """Strike a line through; it stays, with the reason, who and when. Both halves of a pair go together."""

        def act(number: int) -> None:
            lines = self._halves(entry_id)
            if all(is_struck(document) for _, document in lines.values()):
                raise RefusedError(Problem("entry", entry_id, "a line that is not struck through yet"))
            struck = {key: line for key, line in lines.items() if not is_struck(line[1])}
            change = Change(number, "struck", by, at, struck=tuple(struck))
            self.commit(laid_out((place, with_strike(line, why, by, at)) for place, line in struck.values()), change)

        self.again(act)

    def lift(self, entry_id: str, by: str, at: datetime) -> None:
        """Let a struck line stand again; that it was struck stays in its history."""

        def act(number: int) -> None:
            struck = {key: line for key, line in self._halves(entry_id).items() if is_struck(line[1])}
            if not struck:
                raise RefusedError(Problem("entry", entry_id, "a line that is struck through"))
            change = Change(number, "lifted", by, at, lifted=tuple(struck))
            self.commit(laid_out((place, without_strike(line, by, at)) for place, line in struck.values()), change)

        self.again(act)

    def amend(self, old_id: str, new: A | Sequence[A], by: str = "", at: datetime | None = None) -> tuple[A, ...]:
        """Write a right line for a wrong one; the lines as written, each saying what it ``replaces``.

        The wrong line stays and no longer counts. When the right one belongs to another bin, the wrong one is struck,
        and so are the lines that it had amended itself.
        A move and a harvest into a lot are amended by both of their halves, or by a line of another kind.
        """
        news: tuple[A, ...] = (new,) if isinstance(new, Entry | LotLine) else tuple(new)
        written: list[A] = []

        def act(number: int) -> None:
            written.clear()
            moment = at or self.clock()
            olds = self._halves(old_id)
            if all(is_struck(line) for _, line in olds.values()):
                raise RefusedError(Problem("entry", old_id, "a line that is not struck through"))
            for key, (place, _) in olds.items():
                if right := self._right_of(key, place.bin):
                    whole = f"The line {key} was put right by {right} already: put {right} right instead."
                    raise RefusedError(Problem("entry", old_id, right, whole=whole))
            left = {key: line for key, line in olds.items() if not is_struck(line[1])}
            for entry in news:
                same = next((key for key, (place, _) in left.items() if place.bin == place_of(entry).bin), None)
                if same is not None:
                    del left[same]
                written.append(replace(entry, replaces=same or ""))
            left |= self._amended_by(left)
            documents = documents_of(written)
            changed = laid_out(
                (place, with_strike(line, f"amended by {news[0].id}", by or news[0].by, moment))
                for place, line in left.values()
            )
            for entry in written:
                if entry.id in self.book(place_of(entry)).documents:
                    raise RefusedError(Problem("entry", entry.id, "an id that no other line has"))
                old = olds[entry.replaces][1] if entry.replaces else {}
                if old.get("when") == documents[entry.id]["when"]:  # it stands where the wrong one stood
                    documents[entry.id] = placed(documents[entry.id], order_of(old))
            for place, lines in by_place(written).items():
                changed.setdefault(place, {}).update(place_new(documents, lines, self.book(place).last_order))
            ids = tuple(entry.id for entry in written)
            self.commit(changed, Change(number, "amended", by or news[0].by, moment, wrote=ids, struck=tuple(left)))

        self.again(act)
        return tuple(written)


def _check_farm(farm: Farm) -> None:
    keys = [each.key for each in farm.bins]
    problems = [Problem("bin", key, KEY_RULE, "kitchen") for key in keys if not is_key(key)]
    problems += [
        Problem("bin", key, "a name in commands that no other bin has") for key in set(keys) if keys.count(key) > 1
    ]
    if problems:
        raise RefusedError(problems)
