"""What nearly every command begins with: the cellar, its settings and the clock of the call."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from fermtui import clock
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.daybook.places import SETTINGS, VESSELS, Cellar, NoCellar, create, default_path, open_cellar
from fermtui.daybook.problem import Problem
from fermtui.wording.problems import problem_text


def watched_of(call: Call, *, may_lack: bool = False) -> tuple[CellarStore, datetime]:
    """The opened cellar and the clock: `--on`, or now. Entries later than an explicit `--on` are left out.

    With `may_lack`, a place where a cellar can be made is an empty one. Raises NoCellar, NotATime, WrongUsage.
    """
    cellar = _opened(call, may_lack=may_lack)
    store = CellarStore(cellar, clock.stamp)
    zone = store.settings.zone
    if "on" in call.options:
        now = clock.read_when(call.options["on"], zone, clock.now(zone)).astimezone(zone)
        store.upto = now
    else:
        now = clock.now(zone)
    return store, now


def _opened(call: Call, *, may_lack: bool) -> Cellar:
    given = call.options.get("cellar")
    if given is not None and not given.strip():
        raise WrongUsage("--cellar is empty: name the folder of a cellar, or leave it out")
    try:
        return open_cellar(given)
    except NoCellar as none:
        path = Path(os.path.abspath(Path(given).expanduser() if given else default_path()))
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise
        if may_lack:
            return Cellar(path)
        offer = "`fermtui start NAME` makes one and its first vessel, `fermtui demo` shows one"
        raise NoCellar(f"{none}: {offer}") from None


def make_lacking(store: CellarStore) -> None:
    """Make the cellar where `watched_of` found that it may be made. Raises NotWritten."""
    if (store.cellar.path / SETTINGS).exists() or (store.cellar.path / VESSELS).exists():
        return
    from fermtui.daybook.settings_text import default_text

    create(store.cellar.path, default_text())
    print(f"fermtui: made a new cellar at {store.cellar.path}", file=sys.stderr)
    store.reload_settings()


def at_of(call: Call, store: CellarStore, now: datetime) -> datetime:
    """When the act happened: `--at`, or the clock. `yesterday` is this hour of yesterday. Raises NotATime."""
    given = call.options.get("at")
    return now if given is None else clock.read_when(given, store.settings.zone, now)


def print_json(value: Any) -> None:
    """One JSON document on stdout."""
    from fermtui.wording.plain import json_text

    print(json_text(value))


def tell_problems(problems: Iterable[Problem]) -> None:
    """Problems on stderr, a line each."""
    from fermtui.wording.plain import plain

    for problem in problems:
        print(f"fermtui: {plain(problem_text(problem), 400)}", file=sys.stderr)
