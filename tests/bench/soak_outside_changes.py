"""An editor saves its old copy at any moment after an entry was written on the screens: it is told, and shown.

python tests/bench/soak_outside_changes.py [TIMES] [SEED]
"""

from __future__ import annotations

import asyncio
import os
import random
import sys
import tempfile
from collections import Counter
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar, open_cellar
from fermtui.tui.app import FOLLOW_S, Fermtui
from fermtui.tui.opening import keep_shelf
from fermtui.tui.session import Session
from fermtui.tui.widgets.painted_lines import PaintedText

NOW = datetime(2026, 3, 4, 7, 30, tzinfo=UTC)
HEAD = 'name = "Damson"\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.095\n'
BOOK = """\
20260301T173000000-aaaaaa = { at = 2026-03-01T18:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
20260301T173200000-aaaaac = { at = 2026-03-01T18:32:00+01:00, did = "pitch", yeast_g = 2.0 }
20260303T183200000-aaaaaf = { at = 2026-03-03T19:32:00+01:00, did = "read", sg = 1.085, temp_c = 20 }
"""


def _shown(app: Fermtui, name: str) -> str:
    return "\n".join(run[0] for line in app.screen.query_one(f"#{name}", PaintedText).lines() for run in line)


def _opened(cellar: Cellar) -> Session:
    return Session(CellarStore(cellar, lambda: NOW), lambda: NOW)


async def run(folder: Path, times: int, seed: int = 1) -> Counter[str]:
    """The figures: how often it was told within two looks, and how often the old gravity still stood then."""
    chance = random.Random(seed)
    figures: Counter[str] = Counter()
    for number in range(times):
        place = folder / str(number) / "vessels/damson"
        place.mkdir(parents=True)
        (place / "vessel.toml").write_text(HEAD)
        (place / "daybook.toml").write_text(BOOK)
        app = Fermtui(partial(_opened, open_cellar(folder / str(number))), keeps=partial(keep_shelf, on=None))
        async with app.run_test(size=(100, 30)) as pilot:
            await app.workers.wait_for_complete()
            app.commands.read("damson")
            await pilot.pause()
            await pilot.press(*"1.077 20", "enter")
            await pilot.pause(chance.random() * 2.2)
            (place / "daybook.toml").write_text(BOOK)
            await pilot.pause(FOLLOW_S * 2.2)
            figures["told"] += "an editor saved over" in _shown(app, "message")
            vessel = app.session.vessel("damson")
            figures["old value stands"] += vessel is not None and any(
                abs((reading.sg or 0.0) - 1.077) < 0.0005 for reading in vessel.facts.readings
            )
        figures["times"] += 1
    return figures


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        os.environ["FERMTUI_CACHE"] = f"{made}/cache"
        amount, chosen = [*map(int, sys.argv[1:]), *(24, 1)[len(sys.argv) - 1 :]]
        print(dict(asyncio.run(run(Path(made), amount, chosen))))
