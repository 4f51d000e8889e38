"""The same values, in the same order, whatever runs them: one process, several, or one that dies."""

from __future__ import annotations

import os
import threading

import pytest

from fermtui.cellar.side_by_side import MOST_AT_ONCE, each

THINGS = list(range(23))


def made(thing: int) -> list[object]:
    return [thing / 7, f"damson {thing}", None]


def test_the_values_come_in_the_order_of_the_things() -> None:
    assert each(made, THINGS) == [made(thing) for thing in THINGS]
    assert each(made, THINGS[:1]) == [made(0)]
    assert each(made, []) == []


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system splits no process")
def test_a_process_that_dies_costs_only_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fermtui.cellar.side_by_side._processors", lambda: MOST_AT_ONCE)
    here = os.getpid()

    def dies_elsewhere(thing: int) -> list[object]:
        if os.getpid() != here:
            os._exit(9)
        return made(thing)

    assert each(dies_elsewhere, THINGS) == [made(thing) for thing in THINGS]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system splits no process")
def test_what_fails_fails_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fermtui.cellar.side_by_side._processors", lambda: 2)
    with pytest.raises(ZeroDivisionError):
        each(lambda thing: 1 / (thing - 5), THINGS)


def test_beside_another_thread_no_process_is_split() -> None:
    stop = threading.Event()
    other = threading.Thread(target=stop.wait)
    other.start()
    try:
        assert set(each(lambda _thing: os.getpid(), THINGS)) == {os.getpid()}
    finally:
        stop.set()
        other.join()
