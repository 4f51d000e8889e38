"""What nearly every command begins with: the cellar, its settings and the clock of the call."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from fermtui import clock
from fermtui.cli.args import Call
from fermtui.daybook.cellar import Cellar, NoCellar, create, default_path, open_cellar
from fermtui.daybook.problem import Problem
from fermtui.view import Watched


def watched_of(call: Call, *, make: bool = False) -> tuple[Watched, datetime]:
    """The opened cellar and the clock: `--on`, or now. Entries later than an explicit `--on` are left out.

    With `make`, a cellar is made where nothing stands yet. Raises NoCellar, NotATime, NotWritten.
    """
    cellar = _made_or_opened(call) if make else open_cellar(call.options.get("cellar"))
    watched = Watched(cellar, clock.stamp)
    zone = watched.settings.zone
    if "on" in call.options:
        now = clock.read_when(call.options["on"], zone).astimezone(zone)
        watched.upto = now
    else:
        now = clock.now(zone)
    return watched, now


def _made_or_opened(call: Call) -> Cellar:
    try:
        return open_cellar(call.options.get("cellar"))
    except NoCellar:
        given = call.options.get("cellar")
        path = Path(given).expanduser() if given else default_path()
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise
        from fermtui.daybook.settings_text import default_text

        print(f"fermtui: made a new cellar at {path}", file=sys.stderr)
        return create(path, default_text())


def at_of(call: Call, watched: Watched, now: datetime) -> datetime:
    """When the act happened: `--at`, or the clock. `yesterday` is this hour of yesterday. Raises NotATime."""
    given = call.options.get("at")
    if given is None:
        return now
    if given.strip().lower() in ("yesterday", "today"):
        return datetime.combine(clock.read_day(given, now.date()), now.timetz())
    return clock.read_when(given, watched.settings.zone)


def print_json(value: Any) -> None:
    """One JSON document on stdout."""
    import json

    print(json.dumps(value, ensure_ascii=False, allow_nan=False))


def tell_problems(problems: Iterable[Problem]) -> None:
    """Problems on stderr, a line each."""
    from fermtui.wording.plain import plain

    for problem in problems:
        print(f"fermtui: {plain(problem, 400)}", file=sys.stderr)
