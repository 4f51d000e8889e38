"""What is acknowledged is on the disk; what is not says why."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from fermtui.daybook import append as appending
from fermtui.daybook.append import append, append_many, locked, missing_acknowledged
from fermtui.daybook.archive import move_to_past
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import line_of, read_lines
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar
from fermtui.daybook.vessel_file import read_vessel

VESSEL = "damson-26"


def daybook(cellar: Cellar) -> Path:
    return cellar.path / "vessels" / VESSEL / "daybook.toml"


def keys(cellar: Cellar) -> list[str]:
    return [entry.key for entry in read_vessel(cellar, VESSEL).entries]


@pytest.fixture
def note(at: datetime) -> Callable[[str], str]:
    return lambda key: line_of(key, "note", at, {"text": f"note {key}"})


def test_lines_stand_one_below_the_other(cellar: Cellar, note: Callable[[str], str]) -> None:
    assert append(cellar, VESSEL, note("a")) == "a"
    assert append(cellar, VESSEL, note("b")) == "b"
    assert daybook(cellar).read_text() == note("a") + note("b")


def test_one_write_and_one_fsync_whatever_the_size(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    daybook(cellar).write_text("".join(note(f"k{n}") for n in range(2000)))
    calls: list[str] = []
    for name in ("write", "fsync"):
        true = getattr(os, name)

        def counted(*args: Any, name: str = name, true: Callable[..., Any] = true) -> Any:
            calls.append(name)
            return true(*args)

        monkeypatch.setattr(os, name, counted)
    append(cellar, VESSEL, note("a"))
    assert calls == ["write", "fsync"]


def test_a_missing_line_end_is_mended_by_the_next_line(cellar: Cellar, note: Callable[[str], str]) -> None:
    daybook(cellar).write_text(note("a")[:-1])
    append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a", "b"]


def test_after_every_torn_tail_the_next_entry_is_whole(cellar: Cellar, note: Callable[[str], str]) -> None:
    torn = note("b").encode()
    for cut in range(len(torn)):
        daybook(cellar).write_bytes(note("a").encode() + torn[:cut])
        append(cellar, VESSEL, note("c"))
        expected = ["a", "b", "c"] if cut == len(torn) - 1 else ["a", "c"]
        assert keys(cellar) == expected, cut


@pytest.mark.parametrize("tail", [bytes(80), b"\xff" * 33, b'"""', b"[table]", b"{", bytes(5000)])
def test_after_a_tail_of_rubbish_the_next_entry_is_whole(
    tail: bytes, cellar: Cellar, note: Callable[[str], str]
) -> None:
    daybook(cellar).write_bytes(note("a").encode() + tail)
    append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a", "b"]
    assert [problem.line for problem in read_vessel(cellar, VESSEL).problems] == [2]


@pytest.mark.parametrize("line", ["", "words\n", "a = 1\n", 'a = { did = "note" }\n', "no line end"])
def test_what_is_no_entry_is_not_written(line: str, cellar: Cellar) -> None:
    with pytest.raises(Unfit):
        append(cellar, VESSEL, line)
    assert not daybook(cellar).exists()


# --- the disk -------------------------------------------------------------------------------------------------------


def test_a_write_made_short_is_cut_back_and_said(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    before = daybook(cellar).read_bytes()
    true = os.write
    monkeypatch.setattr(os, "write", lambda fd, data: true(fd, data[:20]))
    with pytest.raises(NotWritten, match="the disk is full; make room"):
        append(cellar, VESSEL, note("b"))
    assert daybook(cellar).read_bytes() == before
    monkeypatch.undo()
    append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a", "b"]


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork and limits")
@pytest.mark.parametrize("room", [0, 1, 20, 60])
def test_a_file_that_may_not_grow_stays_whole(room: int, cellar: Cellar, note: Callable[[str], str]) -> None:
    import resource

    append(cellar, VESSEL, note("a"))
    before = daybook(cellar).read_bytes()
    child = os.fork()
    if child == 0:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        most = len(before) + room
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
        try:
            append(cellar, VESSEL, note("b"))
        except NotWritten as fault:
            os._exit(7 if "disk is full" in str(fault) else 8)
        os._exit(9)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 7
    assert daybook(cellar).read_bytes() == before


@pytest.mark.parametrize(("number", "said"), [(errno.ENOSPC, "disk is full"), (errno.EIO, "the system says")])
def test_an_fsync_that_fails_is_no_acknowledgement(
    number: int, said: str, cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    before = daybook(cellar).read_bytes()

    def failing(_fd: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(appending, "sync_file", failing)
    with pytest.raises(NotWritten, match=said):
        append(cellar, VESSEL, note("b"))
    assert daybook(cellar).read_bytes() == before


def test_a_read_only_folder_is_said_and_nothing_is_written(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    before = daybook(cellar).read_bytes()
    true = os.open

    def read_only(path: Any, flags: int, *rest: Any, **more: Any) -> int:
        if flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
            raise OSError(errno.EROFS, os.strerror(errno.EROFS), path)
        return true(path, flags, *rest, **more)

    monkeypatch.setattr(os, "open", read_only)
    with pytest.raises(NotWritten, match="read-only"):
        append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a"]
    assert daybook(cellar).read_bytes() == before


def test_a_lock_that_is_held_is_said_after_a_while(cellar: Cellar, note: Callable[[str], str]) -> None:
    with locked(cellar), pytest.raises(NotWritten, match=r"held \.lock for 0.05 seconds"), locked(cellar, 0.05):
        pass
    append(cellar, VESSEL, note("a"))


# --- other programs -------------------------------------------------------------------------------------------------


def test_an_editor_that_renames_between_open_and_write_swallows_nothing(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    true = os.write
    saves = 0

    def write_after_an_editor(fd: int, data: bytes) -> int:
        nonlocal saves
        if saves < 2:
            saves += 1
            copy = daybook(cellar).with_suffix(".new")
            copy.write_text(note("a") + "# an editor was here")
            copy.replace(daybook(cellar))
        return true(fd, data)

    monkeypatch.setattr(os, "write", write_after_an_editor)
    append(cellar, VESSEL, note("b"))
    assert saves == 2
    assert keys(cellar) == ["a", "b"]
    assert "# an editor was here" in daybook(cellar).read_text()


def test_a_daybook_that_is_replaced_for_ever_is_said(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    true = os.write

    def write_after_an_editor(fd: int, data: bytes) -> int:
        daybook(cellar).unlink()
        daybook(cellar).write_text("")
        return true(fd, data)

    monkeypatch.setattr(os, "write", write_after_an_editor)
    with pytest.raises(NotWritten, match="not written for sure"):
        append(cellar, VESSEL, note("b"))


def test_a_writer_without_a_lock_that_leaves_a_torn_line_before_ours_costs_nothing(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    true = os.write
    torn = [b"half a li"]

    def write_after_another(fd: int, data: bytes) -> int:
        if torn:
            true(fd, torn.pop())
        return true(fd, data)

    monkeypatch.setattr(os, "write", write_after_another)
    append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a", "b"]


def test_entries_that_an_editor_overwrote_with_an_old_copy_are_offered_again(
    cellar: Cellar, note: Callable[[str], str]
) -> None:
    append(cellar, VESSEL, note("a"))
    old = daybook(cellar).read_text()
    append(cellar, VESSEL, note("b"))
    acknowledged = {"a": note("a"), "b": note("b")}
    daybook(cellar).write_text(old)
    lost = missing_acknowledged(acknowledged, keys(cellar))
    assert lost == (note("b"),)
    append(cellar, VESSEL, lost[0])
    assert missing_acknowledged(acknowledged, keys(cellar)) == ()


# --- places ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["nobody", "../damson-26", "..", "", "a/b", "a\0b", "/etc"])
def test_nothing_is_written_outside_a_vessel(name: str, cellar: Cellar, note: Callable[[str], str]) -> None:
    with pytest.raises((NotWritten, ValueError)):
        append(cellar, name, note("a"))
    assert not list(cellar.path.parent.rglob("daybook.toml"))


def test_a_cellar_that_was_moved_away_is_not_made_anew(cellar: Cellar, note: Callable[[str], str]) -> None:
    cellar.path.rename(cellar.path.with_name("moved"))
    for act in (lambda: append(cellar, VESSEL, note("a")), lambda: start_vessel(cellar, "x", {"name": "X"})):
        with pytest.raises(NotWritten, match="no longer at"):
            act()
    assert not cellar.path.exists()


def test_a_vessel_put_away_takes_no_entry(cellar: Cellar, note: Callable[[str], str]) -> None:
    move_to_past(cellar, VESSEL)
    with pytest.raises(NotWritten, match="put away; bring it back first"):
        append(cellar, VESSEL, note("a"))


def test_a_pair_is_written_in_its_order_and_a_half_is_told(
    cellar: Cellar, note: Callable[[str], str], at: datetime
) -> None:
    start_vessel(cellar, "damson-26-b", {"name": "Damson, half"})
    split = line_of("s", "split", at, {"into": "damson-26-b", "volume_l": 2.0})
    took = line_of(
        "r", "receive", at, {"from": VESSEL, "entry": "s", "water_g": 1700.0, "sugar_g": 100.0, "ethanol_g": 160.0}
    )
    assert append_many(cellar, [(VESSEL, split), ("damson-26-b", took)]) == ("s", "r")
    assert read_vessel(cellar, "damson-26-b").entries[0].did == "receive"
    with pytest.raises(NotWritten) as half:
        append_many(cellar, [(VESSEL, note("x")), ("nobody", note("y"))])
    assert half.value.written == ((VESSEL, note("x")),)
    assert keys(cellar) == ["s", "x"]


@pytest.mark.parametrize("kind", ["folder", "link", "pipe"])
def test_what_is_no_file_is_not_written_to(
    kind: str, cellar: Cellar, note: Callable[[str], str], tmp_path: Path
) -> None:
    outside = tmp_path / "outside"
    outside.write_bytes(b"mine")
    if kind == "folder":
        daybook(cellar).mkdir()
    elif kind == "link":
        daybook(cellar).symlink_to(outside)
    else:
        os.mkfifo(daybook(cellar))
    with pytest.raises(NotWritten, match="symbolic link" if kind == "link" else kind):
        append(cellar, VESSEL, note("a"))
    assert outside.read_bytes() == b"mine"


def test_a_daybook_at_its_largest_size_says_so(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(cellar, VESSEL, note("a"))
    monkeypatch.setattr(appending, "DAYBOOK_MOST", 100)
    with pytest.raises(NotWritten, match="largest size"):
        append(cellar, VESSEL, note("b"))
    assert read_lines(daybook(cellar).read_bytes(), "")[1] == ()


# --- the lock -------------------------------------------------------------------------------------------------------


def test_a_lock_that_is_a_link_is_not_followed(cellar: Cellar, note: Callable[[str], str], tmp_path: Path) -> None:
    (cellar.path / ".lock").unlink()
    (cellar.path / ".lock").symlink_to(tmp_path / "target")
    with pytest.raises(NotWritten, match=r"\.lock is a link or no file; remove it"):
        append(cellar, VESSEL, note("a"))
    assert not (tmp_path / "target").exists()


def test_the_filelock_that_is_asked_for_refuses_links_by_itself(tmp_path: Path) -> None:
    """filelock 3.20.1 opens with O_NOFOLLOW, 3.20.3 does so in its soft lock (its own release notes)."""
    import tomllib

    import filelock

    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text("utf-8"))["project"]
    floor = next(one for one in project["dependencies"] if one.startswith("filelock"))
    assert tuple(map(int, floor.partition(">=")[2].split("."))) >= (3, 20, 3)
    for number, kind in enumerate((filelock.FileLock, filelock.SoftFileLock)):
        link = tmp_path / f"link-{number}"
        link.symlink_to(tmp_path / f"target-{number}")
        with pytest.raises((OSError, filelock.Timeout)):
            kind(link).acquire(timeout=0.1)
        assert not (tmp_path / f"target-{number}").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="flock is of POSIX systems")
@pytest.mark.parametrize("code", [errno.ENOLCK, errno.EOPNOTSUPP])
def test_a_file_system_that_refuses_locks_is_one_sentence(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    import fcntl

    def refused(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(fcntl, "flock", refused)
    with pytest.raises(NotWritten, match="knows no locks; move the cellar to a local disk, or mount it with locking"):
        append(cellar, VESSEL, note("a"))


@pytest.mark.skipif(sys.platform == "win32", reason="flock is of POSIX systems")
@pytest.mark.filterwarnings("error")
def test_without_flock_an_old_lock_names_the_way_out_and_none_is_made_quietly(
    cellar: Cellar, note: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl

    def missing(*_: object) -> None:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))

    monkeypatch.setattr(fcntl, "flock", missing)
    monkeypatch.setattr(appending, "LOCK_WAIT_S", 0.2)
    (cellar.path / ".lock").unlink()
    append(cellar, VESSEL, note("a"))
    (cellar.path / ".lock").write_text("1\nanother-computer\n")  # as another system left it
    way_out = r"if no fermtui is running on any computer, remove .*\.lock"
    with pytest.raises(NotWritten, match=way_out), locked(cellar, 0.2):
        pass
    (cellar.path / ".lock").unlink()
    append(cellar, VESSEL, note("b"))
    assert keys(cellar) == ["a", "b"]
