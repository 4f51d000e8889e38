"""A small cellar in the maker's own format, and the app over it with a clock that the test holds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import open_cellar
from fermtui.tui.app import Fermtui
from fermtui.tui.first import First
from fermtui.tui.session import Session

CELLAR_TOML = """\
timezone = "Europe/Vienna"
[[container]]
name = "Demijohn 1"
capacity_l = 5.0
[[container]]
name = "Demijohn 2"
capacity_l = 5.0
"""
DAMSON = """\
name = "Damson"
container = "Demijohn 1"
schedule = "fruit-when-dry"
[plan]
volume_l = 4.0
gravity = 1.095
temp_c = 19
fruit = { kind = "plum", mass_g = 500, treatment = "frozen" }
doses = { dap_g = 2.2, autolysate_g = 4.0 }
"""
DAMSON_BOOK = """\
20260301T173000000-aaaaaa = { at = 2026-03-01T18:30:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
20260301T173100000-aaaaab = { at = 2026-03-01T18:31:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
20260301T173200000-aaaaac = { at = 2026-03-01T18:32:00+01:00, did = "pitch", yeast_g = 2.0 }
20260302T173200000-aaaaad = { at = 2026-03-02T18:32:00+01:00, did = "aerate" }
20260303T173200000-aaaaae = { at = 2026-03-03T18:32:00+01:00, did = "aerate" }
20260303T183200000-aaaaaf = { at = 2026-03-03T19:32:00+01:00, did = "read", sg = 1.085, temp_c = 20 }
"""
HEATHER = """\
name = "Heather"
capacity_l = 5.0
schedule = "two-doses"
[plan]
volume_l = 4.2
gravity = 1.090
"""
HEATHER_BOOK = """\
20260201T173000000-bbbbba = { at = 2026-02-01T18:30:00+01:00, did = "mix", volume_l = 4.2, honey_g = 1200 }
20260201T173100000-bbbbbb = { at = 2026-02-01T18:31:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
20260201T173200000-bbbbbc = { at = 2026-02-01T18:32:00+01:00, did = "pitch", yeast_g = 2.0 }
20260203T173200000-bbbbbd = { at = 2026-02-03T18:32:00+01:00, did = "dose", dap_g = 1.0, task = "dose-1" }
20260206T173200000-bbbbbe = { at = 2026-02-06T18:32:00+01:00, did = "dose", dap_g = 1.0, task = "dose-2" }
20260212T173200000-bbbbbf = { at = 2026-02-12T18:32:00+01:00, did = "read", sg = 1.020, temp_c = 20 }
20260228T173200000-bbbbbg = { at = 2026-02-28T18:32:00+01:00, did = "read", sg = 1.001, temp_c = 20 }
"""
NOW = datetime(2026, 3, 4, 7, 30, tzinfo=UTC)


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def move(self, **span: float) -> None:
        """Let time pass."""
        self.now += timedelta(**span)


def write_vessel(cellar: Path, folder: str, head: str, book: str) -> Path:
    """A vessel's two files; the path of its daybook."""
    place = cellar / "vessels" / folder
    place.mkdir(parents=True)
    (place / "vessel.toml").write_text(head, "utf-8")
    (place / "daybook.toml").write_text(book, "utf-8")
    return place / "daybook.toml"


@pytest.fixture
def cellar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two vessels: one with a dose due, one whose readings are wanted."""
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    path = tmp_path / "cellar"
    write_vessel(path, "damson", DAMSON, DAMSON_BOOK)
    write_vessel(path, "heather", HEATHER, HEATHER_BOOK)
    (path / "cellar.toml").write_text(CELLAR_TOML, "utf-8")
    return path


@pytest.fixture
def clock() -> Clock:
    """Wednesday 4 March 2026, half past eight in the morning in Vienna."""
    return Clock(NOW)


@pytest.fixture
def house_of(cellar: Path, clock: Clock) -> Callable[[], Session]:
    """Opens the cellar."""

    def opens() -> Session:
        store = CellarStore(open_cellar(cellar), clock)
        return Session(store, lambda: clock().astimezone(store.settings.zone))

    return opens


@pytest.fixture
def app_of(house_of: Callable[[], Session]) -> Callable[..., Fermtui]:
    """Makes the app, opened or with a first picture."""

    def make(first: First | None = None) -> Fermtui:
        return Fermtui(house_of, first=first)

    return make
