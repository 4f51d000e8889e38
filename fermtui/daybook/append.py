"""Adding to a daybook: an entry that was acknowledged is on the disk, whole, in the file that stands there."""

from __future__ import annotations

import contextlib
import errno
import os
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path

from fermtui.daybook.files import NotWritten, UnreadableFile, confirm, open_safely, sync_file, why_not
from fermtui.daybook.lines import entry_of_line
from fermtui.daybook.places import DAYBOOK, PAST, VESSELS, Cellar, real_place
from fermtui.daybook.vessel_bytes import DAYBOOK_MOST, vessel_folder

LOCK = ".lock"
LOCK_WAIT_S = 10.0
TRIES = 5
_NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, getattr(errno, "EOPNOTSUPP", errno.ENOSYS))


@contextlib.contextmanager
def locked(cellar: Cellar, wait_s: float = LOCK_WAIT_S) -> Iterator[None]:
    """Hold the cellar's lock, which all programs that write there take. Raises NotWritten after `wait_s` seconds."""
    from filelock import FileLock, Timeout  # 10 ms that a process which only reads does not pay

    if not cellar.path.is_dir():  # the lock would make the folder anew
        raise NotWritten(f"nothing was written: the cellar is no longer at {cellar.path}")
    path = cellar.path / LOCK
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise NotWritten(f"nothing was written: {path} is a link or no file; remove it")
    lock = FileLock(path)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of a file system without flock: a file that is there is the lock then
            lock.acquire(timeout=wait_s, poll_interval=0.005)
    except Timeout:
        raise NotWritten(
            f"nothing was written: another program has held {LOCK} for {wait_s:g} seconds; "
            f"if no fermtui is running on any computer, remove {path}"
        ) from None
    except (NotImplementedError, OSError) as fault:
        raise NotWritten(f"nothing was written: {_why_no_lock(path, fault)}") from fault
    try:
        yield
    finally:
        lock.release()


def _why_no_lock(path: Path, fault: Exception) -> str:
    if isinstance(fault, OSError) and fault.errno not in _NO_LOCKS:
        mine = not path.exists() or os.access(path, os.R_OK | os.W_OK)
        return why_not(fault) if mine else f"{path} belongs to somebody else; remove it, or change its permissions"
    return "this file system knows no locks; move the cellar to a local disk, or mount it with locking"


def append(cellar: Cellar, vessel: str, line: str) -> str:
    """Add one line, as `line_of` makes it, to a vessel's daybook, and return its key once it is safe on the disk.

    Raises NotWritten with a sentence (full disk, read-only folder, lock held, vessel put away), and Unfit when the line
    is no entry. Takes one lock, one write and one fsync, whatever the size of the daybook.
    """
    return append_many(cellar, [(vessel, line)])[0]


def append_many(cellar: Cellar, lines: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Add lines to daybooks, in the order given, under one lock: pairs of vessel and line. Returns their keys.

    Lines of one vessel that stand together go in one write: all of them, or none on a full disk.
    Raises as `append` does; NotWritten.written then says which of them are on the disk already.
    """
    with locked(cellar):
        return append_held(cellar, lines)


def append_held(cellar: Cellar, lines: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Do the same while the caller holds the lock."""
    keys = tuple(entry_of_line(line).key for _, line in lines)
    written: list[tuple[str, str]] = []
    for vessel, together in groupby(lines, key=lambda pair: pair[0]):
        block = list(together)
        try:
            _append(_daybook(cellar, vessel), "".join(line for _, line in block).encode())
        except NotWritten as fault:
            fault.written = tuple(written)
            raise
        written += block
    return keys


def missing_acknowledged(acknowledged: Mapping[str, str], keys: Iterable[str]) -> tuple[str, ...]:
    """The lines, by key in `acknowledged`, that a fresh read of the daybook with these `keys` lacks.

    That happens when an editor saves a copy which it had opened before the entry was written. They can be added again
    as they are: a line that stands twice counts once.
    """
    there = set(keys)
    return tuple(line for key, line in acknowledged.items() if key not in there)


def _daybook(cellar: Cellar, vessel: str) -> Path:
    try:
        real_place(cellar, VESSELS)
        return vessel_folder(cellar, vessel) / DAYBOOK
    except UnreadableFile as fault:
        if (cellar.path / PAST / vessel).is_dir():
            raise NotWritten(f"nothing was written: {vessel} is put away; bring it back first") from fault
        raise NotWritten(f"nothing was written to {vessel}: {fault}") from fault


def _append(path: Path, line: bytes) -> None:
    for _ in range(TRIES):
        fd, created = _open(path)
        try:
            data = _write_whole(fd, line)
            if created:
                confirm(f"the entry stands in {path.parent.name}/{path.name}", path.parent)
            if _stands(fd, path, data):
                return
        except NotWritten:
            raise
        except OSError as fault:
            raise NotWritten(
                f"the entry was written to {path.parent.name}/{path.name}, but cannot be read back: {why_not(fault)}; "
                "look before you write it again"
            ) from fault
        finally:
            os.close(fd)
    raise NotWritten(f"not written for sure: another program keeps replacing {path.name}; close it and try again")


def _open(path: Path) -> tuple[int, bool]:
    flags = os.O_RDWR | os.O_APPEND
    try:
        try:
            return open_safely(path, flags), False
        except FileNotFoundError:
            return open_safely(path, flags | os.O_CREAT), True
    except (UnreadableFile, FileNotFoundError) as fault:
        reason = str(fault) if isinstance(fault, UnreadableFile) else "its folder has gone"
        raise NotWritten(f"nothing was written to {path.parent.name}/{path.name}: {reason}") from fault


def _write_whole(fd: int, line: bytes) -> bytes:
    try:
        size = os.lseek(fd, 0, os.SEEK_END)
        if size:
            os.lseek(fd, size - 1, os.SEEK_SET)
            if os.read(fd, 1) != b"\n":  # a torn last line stays by itself
                line = b"\n" + line
    except OSError as fault:
        raise NotWritten(f"nothing was written: {why_not(fault)}") from fault
    if size + len(line) > DAYBOOK_MOST:
        raise NotWritten("nothing was written: the daybook has reached its largest size")
    count = 0
    try:
        count = os.write(fd, line)
        if count == len(line):
            sync_file(fd)
            return line
    except OSError as fault:
        raise NotWritten(f"{_cut_back(fd, size, count)}: {why_not(fault)}") from fault
    # A full disk takes a part without an error.
    raise NotWritten(f"{_cut_back(fd, size, count)}: the disk is full; make room and try again")


def _cut_back(fd: int, size: int, count: int) -> str:
    """Take back what was written of a line, and return what to say of it."""
    # A program that takes no lock may have added something meanwhile: then the torn line stays, and readers report it.
    with contextlib.suppress(OSError):
        if os.fstat(fd).st_size == size + count:
            os.ftruncate(fd, size)
            with contextlib.suppress(OSError):
                sync_file(fd)
            return "nothing was written"
    return "the entry may stand in the daybook, in part or whole, so look before you write it again"


def _stands(fd: int, path: Path, data: bytes) -> bool:
    """Whether `data` is where the write ended, on a line of its own, and the file still is the one at `path`."""
    start = os.lseek(fd, 0, os.SEEK_CUR) - len(data)
    before = min(start, 1)
    os.lseek(fd, start - before, os.SEEK_SET)
    back = os.read(fd, before + len(data))
    alone = before == 0 or back[:1] == b"\n" or data[:1] == b"\n"
    try:
        there = path.lstat()
    except FileNotFoundError:
        return False
    return alone and back[before:] == data and os.path.samestat(there, os.fstat(fd))
