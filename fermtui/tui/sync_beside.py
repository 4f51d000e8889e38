"""Sync beside the work: git is run in a thread, and what came of it is said when it is done."""

from __future__ import annotations

from functools import partial
from threading import Thread
from typing import TYPE_CHECKING

from fermtui.sync.exchange import Patience, sync
from fermtui.sync.git import NotSynced
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text

if TYPE_CHECKING:
    from fermtui.tui.cellar_app import CellarApp


def start_sync(app: CellarApp) -> None:
    """Begin, unless one is under way. The thread ends with the app: it asks `app.leaving`."""
    if app.sync_thread is not None:
        app.say("a sync is under way already", "quiet")
        return
    app.say("syncing beside your work ..", "quiet")
    app.sync_thread = Thread(target=_run, args=(app,), daemon=True)
    app.sync_thread.start()


def _run(app: CellarApp) -> None:
    tell = partial(_tell, app)
    try:
        patience = Patience(waits=lambda said: tell(plain(said, 300), "quiet"), stopped=app.leaving.is_set)
        done = sync(app.session.store.cellar, patience)
    except NotSynced as why:
        tell(plain(why, 400), "warn", done=True)
        return
    notes = (*done.notes, *map(problem_text, done.waiting))
    more = f" (and {len(notes) - 1} more: `fermtui sync` and `fermtui check`)" if len(notes) > 1 else ""
    said = f"{done.line}. {notes[0]}{more}" if notes else done.line
    tell(plain(said, 500), "warn" if notes else "accent", done=True)


def _tell(app: CellarApp, said: str, role: str, *, done: bool = False) -> None:
    """Have it said on the app's own thread, after what came is shown."""
    if not app.leaving.is_set():
        app.call_later(_say, app, said, role, done)


def _say(app: CellarApp, said: str, role: str, done: bool) -> None:  # noqa: FBT001 - called by the loop
    if done:
        app.sync_thread = None
        app.follow()
    app.say(said, role)
