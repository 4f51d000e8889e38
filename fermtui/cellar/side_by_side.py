"""The same long piece of work for many things, on several processors where the system can split a process cheaply."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

T = TypeVar("T")
FEWEST = 4
"""things for each process: to split one costs as long as half a forecast"""
MOST_AT_ONCE = 4


def each(work: Callable[[T], Any], things: Sequence[T]) -> list[Any]:
    """`work` of every thing, in their order: values that JSON can hold. What `work` changes besides may be lost."""
    count = min(_processors(), len(things) // FEWEST)
    if count < 2:
        return [work(thing) for thing in things]
    pipes = [_begin(work, things[share::count]) for share in range(1, count)]
    done: list[list[Any] | None] = [[work(thing) for thing in things[::count]]]
    done += [None if pipe is None else _end(*pipe) for pipe in pipes]
    found: list[Any] = [None] * len(things)
    for share, values in enumerate(done):
        mine = things[share::count]
        whole = values if values is not None and len(values) == len(mine) else [work(thing) for thing in mine]
        found[share::count] = whole
    return found


def _processors() -> int:
    """How many may be used: one where another thread runs, for a process that is split keeps only this one."""
    if sys.platform != "linux":  # elsewhere a split is slow, missing, or upsets what the system itself runs
        return 1
    import threading

    return min(len(os.sched_getaffinity(0)), MOST_AT_ONCE) if threading.active_count() == 1 else 1


def _begin(work: Callable[[T], Any], things: Sequence[T]) -> tuple[int, int] | None:
    """A process at work on these, and the pipe that it writes to; None where there can be no further one."""
    read, write = os.pipe()
    try:
        pid = os.fork()
    except OSError:
        os.close(read)
        os.close(write)
        return None
    if pid == 0:
        try:  # whatever goes wrong here, the one that waits does this share itself and meets the same
            with open(write, "wb") as pipe:
                pipe.write(json.dumps([work(thing) for thing in things]).encode())
        finally:
            os._exit(0)
    os.close(write)
    return pid, read


def _end(pid: int, read: int) -> list[Any] | None:
    """What that process made, or None when it did not come to an end."""
    with open(read, "rb") as pipe:
        text = pipe.read()
    os.waitpid(pid, 0)
    try:
        values: list[Any] = json.loads(text)
    except ValueError:
        return None
    return values
