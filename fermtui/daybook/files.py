"""Files as other people leave them: read without hanging or leaving the cellar, and refusals in one sentence."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path

try:  # without the cryptography that hashlib loads first: 2 ms of every start
    from _blake2 import blake2b as blake2b
except ImportError:  # a Python that builds it otherwise
    from hashlib import blake2b as blake2b

_NO_SURPRISES = 0
for _flag in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_BINARY"):  # each system has some of them
    _NO_SURPRISES |= getattr(os, _flag, 0)
ASIDE = ".tmp"
"""How the name of a file ends that is still being written; it begins with a dot."""
_FULL = (errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC))
_READ_ONLY = (errno.EROFS, errno.EACCES, errno.EPERM)


class UnreadableFile(Exception):
    """A file that cannot be read; the text is one sentence without the file's name."""


class NotWritten(OSError):
    """Nothing was written, or not all of it; the text is one sentence that can be shown as it is.

    `written` holds what did reach the disk before the failure, as pairs of vessel and line.
    """

    def __init__(self, reason: str, written: tuple[tuple[str, str], ...] = ()) -> None:
        super().__init__(reason)
        self.written = written


def why_not(fault: OSError) -> str:
    """The reason of an OSError as the second half of a sentence."""
    if fault.errno in _FULL:
        return "the disk is full; make room and try again"
    if fault.errno in _READ_ONLY:
        return "the folder is read-only for you; change its permissions or use another cellar"
    return f"the system says: {fault.strerror or fault}"


def expanded(path: str | os.PathLike[str]) -> Path:
    """The path with its `~` or `~user` spelled out. Raises NotWritten where nobody bears that name."""
    try:
        return Path(path).expanduser()
    except RuntimeError:
        name = os.fspath(path).split("/", 1)[0]
        raise NotWritten(f"{name} is nobody's home on this computer: write the whole path") from None


def open_safely(path: Path, flags: int, mode: int = 0o666) -> int:
    """A descriptor of a regular file that is no symbolic link; a pipe or a device does not hang it.

    Raises FileNotFoundError when nothing is there, Unreadable for everything else that is no regular file.
    """
    if not hasattr(os, "O_NOFOLLOW") and path.is_symlink():
        raise UnreadableFile("this is a symbolic link; put the file itself here")
    try:
        fd = os.open(path, flags | _NO_SURPRISES, mode)
    except FileNotFoundError:
        raise
    except OSError as fault:
        raise UnreadableFile(_what_it_is(path) or why_not(fault)) from fault
    if not stat.S_ISREG(os.fstat(fd).st_mode):
        os.close(fd)
        raise UnreadableFile(_what_it_is(path) or "this is not a regular file")
    return fd


def _what_it_is(path: Path) -> str | None:
    try:
        mode = path.lstat().st_mode
    except OSError:
        return None
    if stat.S_ISLNK(mode):
        return "this is a symbolic link; put the file itself here"
    if stat.S_ISDIR(mode):
        return "this is a folder where a file should be"
    if not stat.S_ISREG(mode):
        return "this is a pipe, socket or device where a file should be"
    return None


def read_regular(path: Path, most: int) -> bytes:
    """The bytes of a regular file of at most `most` bytes.

    Raises FileNotFoundError when nothing is there, Unreadable with a sentence for anything else.
    """
    fd = open_safely(path, os.O_RDONLY)
    try:
        parts: list[bytes] = []
        left = most + 1
        while left > 0 and (part := os.read(fd, min(left, 1 << 20))):
            parts.append(part)
            left -= len(part)
    except OSError as fault:
        raise UnreadableFile(why_not(fault)) from fault
    finally:
        os.close(fd)
    if left <= 0:
        raise UnreadableFile(f"the file is larger than {most // 1024} kB, so it was not read")
    return b"".join(parts)


def sync_file(fd: int) -> None:
    """Wait until the bytes of `fd` are on the disk. Raises OSError."""
    os.fsync(fd)
    if sys.platform == "darwin":  # fsync stops at the drive's own cache there
        import fcntl

        with contextlib.suppress(OSError):  # network file systems do not know it
            fcntl.fcntl(fd, fcntl.F_FULLFSYNC)


def sync_folder(path: Path) -> None:
    """Wait until a new name in the folder is on the disk, where the system can do that (Windows cannot)."""
    if os.name == "nt":
        return
    fd = os.open(path, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)


def confirm(done: str, *folders: Path) -> None:
    """Wait until what was done to these folders is on the disk. Raises NotWritten, which says that it is done."""
    try:
        for folder in folders:
            sync_folder(folder)
    except OSError as fault:
        raise NotWritten(
            f"{done}, but the disk did not confirm it: {why_not(fault)}; look before you do it again"
        ) from fault


def write_new(path: Path, data: bytes, *, durable: bool = True) -> None:
    """Write a whole file that does not exist yet. Raises FileExistsError, OSError; then nothing is left of it."""
    _write_aside(path, data, _put_new, durable=durable)


def write_whole(path: Path, data: bytes, *, durable: bool = True) -> None:
    """Write a whole file, in the place of an older one. Raises OSError; then the older one stands as it was.

    Not `durable` is for what can be made again: a power cut may leave it empty.
    """
    _write_aside(path, data, os.replace, durable=durable)


def _write_aside(path: Path, data: bytes, put: Callable[[Path, Path], None], *, durable: bool) -> None:
    made = path.with_name(f".{os.urandom(8).hex()}{ASIDE}")
    fd = os.open(made, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_SURPRISES, 0o666)
    try:
        try:
            view = memoryview(data)
            while view:
                view = view[os.write(fd, view) :]
            if durable:
                sync_file(fd)
        finally:
            os.close(fd)
        put(made, path)
    finally:
        with contextlib.suppress(OSError):
            made.unlink(missing_ok=True)


def _put_new(made: Path, path: Path) -> None:
    try:
        os.link(made, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        os.rename(made, path)
