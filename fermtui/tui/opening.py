"""How the command opens the screens: the cellar or an offer, the first picture, then the engine."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from datetime import UTC
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from fermtui import USUAL_GC, clock
from fermtui.daybook.places import Cellar, NoCellar, open_cellar
from fermtui.tui.app import Fermtui
from fermtui.tui.first import bare_first, keep_first, plain_terminal, read_first
from fermtui.wording.plain import plain

END_S = 2.0

if TYPE_CHECKING:
    from fermtui.tui.session import Session


def open_cellar_app(path: Path, *, on: str | None = None, theme: str | None = None) -> int:
    """Open the cellar at `path` until it is closed; the exit status. Where none is, offer to start one or the demo.

    `on` fixes the clock (a date or an RFC 3339 time); `theme` goes before the one in cellar.toml.
    Raises NotATime, NotWritten.
    """
    place = ""
    try:
        cellar = open_cellar(path)
    except NoCellar as why:
        from fermtui.tui.offer import offered  # only where there is no cellar yet

        found = offered(path, str(why), theme)
        if found is None:
            return 1
        cellar, place = found
    now = clock.now(UTC)
    # The picture that is kept of `yesterday` is another one tomorrow.
    loaded = None if on and not on[:4].isdigit() else read_first(cellar, now, on)
    first = loaded or bare_first(cellar, clock.read_when(on, UTC, now) if on else now)
    keeps = partial(keep_shelf, on=on)
    app = Fermtui(partial(open_house, cellar, on), first=first, keeps=keeps, place=place, theme=theme)
    mouse = first.mouse if first else app.session.view.settings.look.mouse
    app.run(mouse=mouse)
    if app.sync_thread is not None:
        app.sync_thread.join(END_S)  # it ends what it has started
    if app.typed_kept is not None:
        with contextlib.suppress(OSError):  # the terminal may have gone
            sys.stderr.write(f"fermtui: what was typed and not written stands in {plain(app.typed_kept, 400)}\n")
    if not app.return_code:
        keeps(app.session)
    return app.return_code or 0


def open_house(cellar: Cellar, on: str | None) -> Session:
    """Load the engine and read the cellar. Raises NotATime."""
    from fermtui.cellar.store import CellarStore  # the engine: the first picture does not wait for it
    from fermtui.tui.session import Session

    gc.set_threshold(*USUAL_GC)
    store = CellarStore(cellar, clock.stamp)
    zone = store.settings.zone
    fixed = clock.read_when(on, zone, clock.now(zone)).astimezone(zone) if on else None
    store.upto = fixed
    return Session(
        store,
        lambda: fixed or clock.now(store.settings.zone),
        ascii_only=store.settings.look.ascii or plain_terminal(),
        read_only=not os.access(cellar.path, os.W_OK),
    )


def keep_shelf(session: Session, on: str | None) -> None:
    """Keep the shelf as it stands for the next start, unless something in it is not told yet."""
    from fermtui.tui.row_builders import first_of  # the engine: the first picture does not wait for it

    if session.is_current():
        view = session.view
        began = clock.start_of(view.now.date(), view.settings.zone)
        keep_first(session.store.cellar, first_of(view), began, on)
