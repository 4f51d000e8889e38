"""`fermtui sync`: the maker's own git brings the cellar's computers together."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from fermtui import clock
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import print_json
from fermtui.cli.files_out import telling
from fermtui.daybook.places import Cellar, open_cellar
from fermtui.sync.exchange import WAIT_S, Patience, sync
from fermtui.sync.git import NotSynced
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.vessels import standing_text
from fermtui.writing.refused import Refused

WAIT_MOST_S = 3600


def run(call: Call) -> int:
    """Say in one line what came and what went; what is for the maker to settle goes to stderr."""
    if call.operands or call.pairs:
        raise WrongUsage("sync takes no operands: the remote is the one of the cellar's own git repository")
    cellar, wait_s = open_cellar(call.options.get("cellar")), _wait_s(call)
    try:
        with ended_by_signals():
            done = sync(cellar, Patience(wait_s, lambda said: print(f"fermtui: {plain(said, 400)}", file=sys.stderr)))
    except NotSynced as fault:
        raise Refused(plain(fault, 400)) from None
    notes = (*done.notes, *map(problem_text, done.waiting), *_standing(cellar))
    with telling(done.line):
        if "json" in call.options:
            print_json({
                "came": done.came, "went": done.went, "files_came": done.files_came, "files_went": done.files_went,
                "lost": done.lost, "remote": done.remote, "notes": list(notes),
            })  # fmt: skip
        else:
            print(plain(done.line, 400))
        for note in notes:
            print(f"fermtui: {plain(note, 600)}", file=sys.stderr)
    return 0


def _wait_s(call: Call) -> float:
    """The seconds that the other side may say nothing. Raises WrongUsage."""
    given = call.options.get("wait")
    if given is None:
        return WAIT_S
    if not (given.isascii() and given.isdigit()) or not 1 <= int(given[:6]) <= WAIT_MOST_S:
        raise WrongUsage(f"--wait takes a whole number of seconds from 1 to {WAIT_MOST_S}, as in --wait 60")
    return float(given)


@contextmanager
def ended_by_signals() -> Iterator[None]:
    """Within it a signal that ends the process ends it as an exception does: what was started is ended with it."""

    def leave(number: int, _frame: object) -> None:
        raise SystemExit(128 + number)

    numbers = [number for name in ("SIGTERM", "SIGHUP") if (number := getattr(signal, name, None)) is not None]
    before = {number: signal.signal(number, leave) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _standing(cellar: Cellar) -> Iterator[str]:
    """What guards refuse, now that the entries of several computers stand together."""
    store = CellarStore(cellar, clock.stamp)
    store.load()
    for name, loaded in sorted(store.vessels.items()):
        for one in store.standing_of(loaded):
            yield f"{name}: {standing_text(one, store.settings.units)}"
    store.save()
