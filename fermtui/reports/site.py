"""The pages of a cellar in a folder: written anew, and those of vessels that have gone taken away."""

from __future__ import annotations

import contextlib
from datetime import datetime
from pathlib import Path

from fermtui.cellar.store import CellarStore, View
from fermtui.daybook.files import NotWritten, expanded, why_not, write_whole
from fermtui.daybook.vessel_file import read_vessel
from fermtui.reports.page import link_to, site
from fermtui.wording.plain import plain

OURS = b'<meta name="generator" content="fermtui '
HEAD_MOST = 1024


def write_site(store: CellarStore, view: View, folder: Path) -> int:
    """Write all pages into this folder and return how many; each in one rename. Raises NotWritten.

    A page of a vessel that is at work no longer is removed, where this program wrote it.
    """
    title = f"Mead: {plain(store.cellar.path.resolve().name, 60)}"
    written: set[str] = set()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for page in site(view, title, lambda name: read_vessel(store.cellar, name)):
            write_whole(folder / page.name, page.text.encode(), durable=False)
            written.add(page.name)
        for old in folder.glob(link_to("*")):
            if old.name not in written and _is_ours(old):
                old.unlink(missing_ok=True)
    except OSError as fault:
        raise NotWritten(f"the pages could not be written into {folder}: {why_not(fault)}") from fault
    return len(written)


def renew_site(store: CellarStore, now: datetime) -> None:
    """Write the pages anew where cellar.toml names a folder for them. Raises NotWritten."""
    if store.settings.page.out:
        store.load_missing()
        store.prepare_forecasts()
        write_site(store, store.at(now), expanded(store.settings.page.out))


def _is_ours(path: Path) -> bool:
    with contextlib.suppress(OSError), path.open("rb") as page:
        return OURS in page.read(HEAD_MOST)
    return False
