"""Disks that fail, that kill, and that forget: in the place of the real one, at every single step."""

from __future__ import annotations

import os
import random
import signal
import stat
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from errno import EEXIST, EISDIR, ENOENT, ENOTDIR, ENOTEMPTY
from pathlib import Path

from wormbin.store.disk import Disk, Stamp

CHANGING = frozenset(
    ["create", "write", "sync", "close", "link", "replace", "unlink", "make_folder", "remove_folder", "sync_folder"]
)


class WatchedDisk(Disk):
    """Calls ``before`` with the name of each step, then lets an inner disk do it. ``before`` may raise, or kill."""

    def __init__(self, inner: Disk, before: Callable[[str], None]) -> None:
        self.inner = inner
        self.before = before

    def read(self, path: Path) -> tuple[bytes, Stamp]:
        self.before("read")
        return self.inner.read(path)

    def stamp(self, path: Path) -> Stamp | None:
        self.before("stamp")
        return self.inner.stamp(path)

    def folder_stamp(self, path: Path) -> Stamp | None:
        self.before("folder_stamp")
        return self.inner.folder_stamp(path)

    def names(self, folder: Path) -> tuple[str, ...]:
        self.before("names")
        return self.inner.names(folder)

    def create(self, path: Path, mode: int) -> int:
        self.before("create")
        return self.inner.create(path, mode)

    def write(self, handle: int, data: bytes | memoryview) -> int:
        # Half goes through first, so that a step that fails or kills here leaves half a file.
        half = len(data) // 2
        if half:
            self.inner.write(handle, data[:half])
        self.before("write")
        return half + self.inner.write(handle, data[half:])

    def sync(self, handle: int) -> None:
        self.before("sync")
        self.inner.sync(handle)

    def close(self, handle: int) -> None:
        # The handle goes in any case, as it does in a real system.
        self.inner.close(handle)
        self.before("close")

    def link(self, old: Path, new: Path) -> None:
        self.before("link")
        self.inner.link(old, new)

    def replace(self, old: Path, new: Path) -> None:
        self.before("replace")
        self.inner.replace(old, new)

    def unlink(self, path: Path) -> None:
        self.before("unlink")
        self.inner.unlink(path)

    def make_folder(self, path: Path, mode: int) -> None:
        self.before("make_folder")
        self.inner.make_folder(path, mode)

    def remove_folder(self, path: Path) -> None:
        self.before("remove_folder")
        self.inner.remove_folder(path)

    def sync_folder(self, path: Path) -> None:
        self.before("sync_folder")
        self.inner.sync_folder(path)

    def try_lock(self, path: Path, *, create: bool) -> int | None:
        self.before("try_lock")
        return self.inner.try_lock(path, create=create)

    def unlock(self, handle: int) -> None:
        self.inner.unlock(handle)

    def read_note(self, handle: int) -> bytes:
        return self.inner.read_note(handle)

    def write_note(self, handle: int, note: bytes) -> None:
        self.inner.write_note(handle, note)


@dataclass
class FailAt:
    """Raise an error at the N-th step (1-based), once or from there on; counts the steps."""

    at: int
    number: int
    for_ever: bool = False
    only: frozenset[str] | None = None
    steps: int = 0
    failed: Counter[str] = field(default_factory=Counter)
    on: bool = True

    def __call__(self, step: str) -> None:
        if not self.on or (self.only is not None and step not in self.only):
            return
        self.steps += 1
        if self.steps == self.at or (self.for_ever and self.steps > self.at):
            self.failed[step] += 1
            raise OSError(self.number, os.strerror(self.number))


class CrashError(BaseException):
    """The machine stopped; nothing may catch this on the way out but what cleans up, and that must not matter."""


@dataclass
class CrashAt:
    """Stop the machine at the N-th changing step: from there on nothing reaches the disk."""

    at: int
    steps: int = 0
    where: str = ""

    def __call__(self, step: str) -> None:
        if step in CHANGING:
            self.steps += 1
            if self.steps >= self.at:
                self.where = self.where or step
                raise CrashError(step)


@dataclass
class KillAt:
    """Kill this process at the N-th changing step, after saying on a pipe which step it was."""

    at: int
    pipe: int
    steps: int = 0

    def __call__(self, step: str) -> None:
        if step in CHANGING:
            self.steps += 1
            if self.steps == self.at:
                os.write(self.pipe, f"killed {step}\n".encode())
                os.kill(os.getpid(), signal.SIGKILL)


@dataclass
class _Node:
    number: int
    data: bytes = b""
    synced: bytes = b""
    mode: int = 0o600
    modified: int = 0
    changed: int = 0


_Operation = tuple[str, str, str, int]


class MemoryDisk(Disk):
    """A file system in memory that holds writes back: what was not synced may be lost, in part, in any order.

    Bytes last once their file was synced; a name in a folder lasts once that folder was synced. ``after_crash`` gives
    one of the disks that may be found after the power was cut.
    """

    def __init__(self, *folders: Path) -> None:
        self._clock = 1
        self._nodes: dict[int, _Node] = {}
        self._names: dict[str, int] = {}
        self._lasting: dict[str, int] = {}
        self._pending: list[_Operation] = []
        self._handles: dict[int, int] = {}
        self._next = 10
        self._locked: set[str] = set()
        self._lock_handles: dict[int, str] = {}
        self._notes: dict[str, bytes] = {}
        for folder in folders:
            for each in (*reversed(folder.parents), folder):
                if str(each) not in self._names:
                    self._add(str(each), self._new(stat.S_IFDIR | 0o700))
        self._lasting, self._pending = dict(self._names), []

    def _tick(self) -> int:
        self._clock += 1
        return self._clock

    def _new(self, mode: int) -> int:
        self._next += 1
        self._nodes[self._next] = _Node(self._next, mode=mode, modified=self._tick(), changed=self._tick())
        return self._next

    def _add(self, name: str, node: int) -> None:
        self._names[name] = node
        self._pending.append(("add", name, "", node))

    def _node(self, path: Path) -> _Node:
        node = self._names.get(str(path))
        if node is None:
            raise FileNotFoundError(ENOENT, os.strerror(ENOENT), str(path))
        return self._nodes[node]

    def _folder_of(self, path: Path) -> None:
        if not stat.S_ISDIR(self._node(path.parent).mode):
            raise NotADirectoryError(ENOTDIR, os.strerror(ENOTDIR), str(path))

    def _stamp(self, node: _Node) -> Stamp:
        return Stamp(1, node.number, len(node.data), node.modified, node.changed, node.mode)

    def read(self, path: Path) -> tuple[bytes, Stamp]:
        node = self._node(path)
        if stat.S_ISDIR(node.mode):
            raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
        return node.data, self._stamp(node)

    def stamp(self, path: Path) -> Stamp | None:
        try:
            return self._stamp(self._node(path))
        except FileNotFoundError:
            return None

    def folder_stamp(self, path: Path) -> Stamp | None:
        return self.stamp(path)

    def names(self, folder: Path) -> tuple[str, ...]:
        begin = f"{folder}/"
        return tuple(sorted(n[len(begin) :] for n in self._names if n.startswith(begin) and "/" not in n[len(begin) :]))

    def create(self, path: Path, mode: int) -> int:
        self._folder_of(path)
        if str(path) in self._names:
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(path))
        node = self._new(stat.S_IFREG | mode)
        self._add(str(path), node)
        self._next += 1
        self._handles[self._next] = node
        return self._next

    def write(self, handle: int, data: bytes | memoryview) -> int:
        node = self._nodes[self._handles[handle]]
        node.data += bytes(data)
        node.modified = node.changed = self._tick()
        return len(data)

    def sync(self, handle: int) -> None:
        node = self._nodes[self._handles[handle]]
        node.synced = node.data

    def close(self, handle: int) -> None:
        del self._handles[handle]

    def link(self, old: Path, new: Path) -> None:
        node = self._node(old)
        if str(new) in self._names:
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(new))
        node.changed = self._tick()
        self._add(str(new), node.number)

    def replace(self, old: Path, new: Path) -> None:
        node = self._node(old)
        self._folder_of(new)
        node.changed = self._tick()
        for name in [n for n in self._names if n == str(old) or n.startswith(f"{old}/")]:
            self._names[str(new) + name[len(str(old)) :]] = self._names.pop(name)
        self._pending.append(("rename", str(old), str(new), node.number))

    def unlink(self, path: Path) -> None:
        self._node(path)
        del self._names[str(path)]
        self._pending.append(("del", str(path), "", 0))

    def make_folder(self, path: Path, mode: int) -> None:
        self._folder_of(path)
        if str(path) in self._names:
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(path))
        self._add(str(path), self._new(stat.S_IFDIR | mode))

    def remove_folder(self, path: Path) -> None:
        if self.names(path):
            raise OSError(ENOTEMPTY, os.strerror(ENOTEMPTY), str(path))
        self.unlink(path)

    def sync_folder(self, path: Path) -> None:
        self._node(path)
        mine = [each for each in self._pending if path in (Path(each[1]).parent, Path(each[2] or "/").parent)]
        for each in mine:
            _apply(self._lasting, each)
            self._pending.remove(each)

    def try_lock(self, path: Path, *, create: bool) -> int | None:
        if str(path) not in self._notes:
            if not create:
                raise FileNotFoundError(ENOENT, os.strerror(ENOENT), str(path))
            self._folder_of(path)
            self._notes[str(path)] = b""
        if str(path) in self._locked:
            return None
        self._locked.add(str(path))
        self._next += 1
        self._lock_handles[self._next] = str(path)
        return self._next

    def unlock(self, handle: int) -> None:
        self._locked.discard(self._lock_handles.pop(handle))

    def read_note(self, handle: int) -> bytes:
        return self._notes[self._lock_handles[handle]]

    def write_note(self, handle: int, note: bytes) -> None:
        self._notes[self._lock_handles[handle]] = note

    def copy(self) -> MemoryDisk:
        """The same disk as it looks to a running program, all of it lasting."""
        return self._with(dict(self._names), {number: node.data for number, node in self._nodes.items()})

    def after_crash(self, dice: random.Random) -> MemoryDisk:
        """What may be found after the power was cut now: held-back writes kept, dropped, or out of order."""
        names = dict(self._lasting)
        style = dice.choice(["none", "first", "any", "all"])
        pending = list(self._pending)
        if style == "none":
            pending = []
        elif style == "first":
            pending = pending[: dice.randint(0, len(pending))]
        elif style == "any":
            pending = [each for each in pending if dice.random() < 0.5]
        for each in pending:
            _apply(names, each)
        # A name whose folder did not last is gone with it.
        names = {name: node for name, node in names.items() if all(str(p) in names for p in Path(name).parents)}
        return self._with(names, {number: _held_back(node, dice) for number, node in self._nodes.items()})

    def _with(self, names: dict[str, int], data: dict[int, bytes]) -> MemoryDisk:
        other = MemoryDisk()
        other._clock, other._next = self._clock + 100, self._next
        other._names = names
        for number in set(names.values()):
            node = self._nodes[number]
            other._nodes[number] = _Node(number, data[number], data[number], node.mode, node.modified, node.changed)
        other._lasting = dict(names)
        other._notes = {name: note for name, note in self._notes.items() if str(Path(name).parent) in names}
        return other

    def damage(self, path: Path, data: bytes) -> None:
        """Change a file behind the program's back."""
        node = self._node(path)
        node.data = node.synced = data
        node.modified = node.changed = self._tick()

    def put(self, path: Path, data: bytes) -> None:
        """Lay a file down behind the program's back."""
        if str(path) not in self._names:
            self._add(str(path), self._new(stat.S_IFREG | 0o600))
        self.damage(path, data)
        self._lasting[str(path)] = self._names[str(path)]

    def files(self) -> dict[str, bytes]:
        """Every file and its bytes."""
        return {n: self._nodes[i].data for n, i in self._names.items() if stat.S_ISREG(self._nodes[i].mode)}


def _apply(names: dict[str, int], operation: _Operation) -> None:
    what, one, two, node = operation
    if what == "add":
        names[one] = node
    elif what == "del":
        names.pop(one, None)
    else:
        for name in [n for n in names if n == one or n.startswith(f"{one}/")]:
            names[two + name[len(one) :]] = names.pop(name)
        names[two] = node


def _held_back(node: _Node, dice: random.Random) -> bytes:
    if node.data == node.synced:
        return node.data
    choice = dice.randrange(4)
    if choice == 0:
        return node.synced
    if choice == 1:
        return node.data[: dice.randint(0, len(node.data))]
    if choice == 2:
        return bytes(len(node.data))
    return node.data
