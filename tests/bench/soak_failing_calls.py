"""Let each call to the system fail, or die at it, in every act that writes: what is said to have failed was not done.

python tests/bench/soak_failing_calls.py

For every act the calls of a run without faults are counted; then the act is run once for each call and fault. An error
must leave everything as it was, unless its sentence says what stands; a death (as by SIGKILL) leaves the state of
before or of after, or a pouring whose other half can be written.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fermtui.cellar.cache import Cache
from fermtui.cellar.store import CellarStore
from fermtui.cli.files_out import put_out
from fermtui.daybook.append import append
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import line_of
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import PAST, VESSELS, Cellar, create, past_names, vessel_names
from fermtui.daybook.vessel_file import read_vessel
from fermtui.writing import archive, door
from fermtui.writing.refused import Refused
from fermtui.writing.schedule_copy import copy_schedule

AT = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
CALLS = ("open", "write", "fsync", "mkdir", "rename", "replace", "link", "unlink", "ftruncate", "read", "lseek")
FAULTS = (errno.ENOSPC, errno.EIO, errno.EROFS)
SAYS_IT_STANDS = re.compile(r"(?<!nothing )was written|was moved|was started|a cellar was made|stands in")
MADE_OF = {"mix": {"volume_l": 4.0, "honey_g": 1200}, "pitch": {}, "read": {"sg": 1.05, "temp_c": 20}}


def made(folder: Path) -> Cellar:
    """A cellar with a vessel that ferments, one that is empty and one put away."""
    cellar = create(folder / "cellar", "\n")
    for name in ("damson", "rowan", "old"):
        start_vessel(cellar, name, {"name": name.title(), "plan": {"volume_l": 4.0, "gravity": 1.09}})
    for number, (did, fields) in enumerate(MADE_OF.items()):
        append(cellar, "damson", line_of(f"a{number}", did, AT, fields))
    (cellar.path / VESSELS / "old").rename(cellar.path / PAST / "old")
    return cellar


def store_of(cellar: Cellar) -> CellarStore:
    store = CellarStore(cellar, lambda: AT, Cache(cellar.path.parent / "cache.json"))
    store.load()
    return store


def _write(did: str, vessel: str = "damson", **fields: Any) -> Callable[[Cellar], object]:
    return lambda cellar: door.write(store_of(cellar), vessel, did, fields, at=AT, now=AT)


ACTS: dict[str, Callable[[Cellar], object]] = {
    "note": _write("note", text="x"),
    "first note": _write("note", "rowan", text="x"),
    "strike": _write("strike"),
    "split into a new one": _write("split", into="half", volume_l=1.0),
    "split into one that stands": _write("split", into="rowan", volume_l=1.0),
    "put away": lambda cellar: archive.put_away(store_of(cellar), "rowan"),
    "bring back": lambda cellar: archive.restore_from_past(store_of(cellar), "old"),
    "start": lambda cellar: start_vessel(cellar, "linden", {"name": "Linden"}),
    "copy a schedule": lambda cellar: copy_schedule(store_of(cellar), "two-doses", "mine"),
    "new cellar": lambda cellar: create(cellar.path / "inner", "\n"),
    "--out": lambda cellar: put_out(b"new" * 9000, os.fspath(cellar.path / "out.csv")),
}
State = dict[str, bytes]


def state(cellar: Cellar) -> State:
    """Every file that people see, and every folder; not the lock and what begins with a dot."""
    found: State = {}
    for path in sorted(cellar.path.rglob("*")):
        name = path.relative_to(cellar.path).as_posix()
        if not any(part.startswith(".") for part in name.split("/")):
            found[name] = path.read_bytes() if path.is_file() else b"a folder"
    return found


def leftovers(cellar: Cellar) -> list[str]:
    return [path.name for path in cellar.path.rglob(".*") if path.name not in (".lock", ".gitattributes")]


@contextmanager
def faulty(wanted: str, number: int, fault: Callable[[], None]) -> Iterator[Counter[str]]:
    """Within it the `number`-th call (from 1) to os.`wanted` meets the fault; the counts of all calls so far."""
    seen: Counter[str] = Counter()
    true = {name: getattr(os, name) for name in CALLS}

    def through(name: str) -> Callable[..., Any]:
        def call(*args: Any, **more: Any) -> Any:
            seen[name] += 1
            if name == wanted and seen[name] == number:
                fault()
            return true[name](*args, **more)

        return call

    for name in CALLS:
        setattr(os, name, through(name))
    try:
        yield seen
    finally:
        for name, call in true.items():
            setattr(os, name, call)


def _raiser(code: int) -> Callable[[], None]:
    def fault() -> None:
        raise OSError(code, os.strerror(code))

    return fault


def _is_whole(cellar: Cellar, before: State, after: State) -> str:
    """What is wrong after a death, or nothing."""
    store = store_of(cellar)
    for name in (*vessel_names(cellar), *past_names(cellar)):
        place = VESSELS if name in vessel_names(cellar) else PAST
        vessel = read_vessel(cellar, name, place)
        if vessel.problems or vessel.head is None:
            return f"{name}: {vessel.problems}"
        if vessel.head.parent and not vessel.entries:
            return f"{name} is a vessel that nothing was poured into"
    for giver in list(store.vessels):
        for problem in store.problems_of(store.vessels[giver]):
            if problem.kind != "no_receive":
                return f"{giver}: {problem}"
            _, other, key = map(str, problem.values[:3])
            door.write(store, other, "receive", {"from": giver, "entry": key}, at=AT, now=AT)
    if any(store.problems_of(loaded) for loaded in store.vessels.values()):
        return "a half that cannot be written"
    now = state(cellar)
    lost = [name for name in before if name not in now and name in after]
    torn = [name for name, data in now.items() if name.endswith(".toml") and data and not data.endswith(b"\n")]
    changed = [name for name, data in before.items() if name in now and not now[name].startswith(data)]
    wrong = {"lost": lost, "torn": torn, "changed": [name for name in changed if name in after and name != "out.csv"]}
    return str(wrong) if any(wrong.values()) else ""


def run(acts: tuple[str, ...], folder: Path, faults: tuple[int, ...] = FAULTS) -> Counter[str]:
    """The figures of these acts, with deaths where a process can fork. Raises AssertionError."""
    figures: Counter[str] = Counter()
    template = made(folder / "template").path
    (template.parent / "cache").mkdir()
    for act in acts:
        cellar = _fresh(template, folder)
        before = state(cellar)
        with faulty("", 0, lambda: None) as counts:
            ACTS[act](cellar)
        after = state(cellar)
        assert after != before, act
        for call, number in ((name, n) for name in CALLS for n in range(1, counts[name] + 1)):
            for code in faults:
                _one_error(act, call, number, code, _fresh(template, folder), before, figures)
            if hasattr(os, "fork"):
                _one_death(act, call, number, _fresh(template, folder), before, after, figures)
    return figures


def _fresh(template: Path, folder: Path) -> Cellar:
    shutil.rmtree(folder / "now", ignore_errors=True)
    shutil.copytree(template.parent, folder / "now")
    return Cellar(folder / "now" / "cellar")


def _one_error(
    act: str, call: str, number: int, code: int, cellar: Cellar, before: State, figures: Counter[str]
) -> None:
    where = f"{act}: {errno.errorcode[code]} at {call} {number}"
    figures["errors"] += 1
    said = None
    with faulty(call, number, _raiser(code)):
        try:
            ACTS[act](cellar)
        except (Refused, NotWritten) as fault:
            said = str(fault)
        except OSError as fault:  # the commands say it as the system's word
            said = f"the system says: {fault}"
    now = state(cellar)
    if said is None:
        figures["went on"] += 1
        assert now != before, f"{where}: said to be done, and nothing is"
    elif "may stand" in said:
        figures["said that it may stand"] += 1
    elif SAYS_IT_STANDS.search(said):
        figures["said that it stands"] += 1
        assert now != before, f"{where}: {said}"
    else:
        figures["refused"] += 1
        changed = {name for name in before.keys() | now.keys() if before.get(name) != now.get(name)}
        changed -= {name for name in changed if name.endswith("daybook.toml") and now.get(name) == b""}
        assert not changed, f"{where}: {said!r}, and yet {changed}"
        assert call == "unlink" or not leftovers(cellar), f"{where}: left {leftovers(cellar)}"


def _one_death(
    act: str, call: str, number: int, cellar: Cellar, before: State, after: State, figures: Counter[str]
) -> None:
    figures["deaths"] += 1
    child = os.fork()
    if child == 0:
        with suppress(BaseException), faulty(call, number, lambda: os._exit(9)):
            ACTS[act](cellar)
        os._exit(0)
    os.waitpid(child, 0)
    wrong = _is_whole(cellar, before, after)
    assert not wrong, f"{act}: death at {call} {number}: {wrong}"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        os.environ["FERMTUI_CACHE"] = place
        print(dict(run(tuple(sys.argv[1:]) or tuple(ACTS), Path(place))))
