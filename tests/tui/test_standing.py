"""What stands against a vessel by its entries: first on the shelf and on its own page, until it is answered."""

from __future__ import annotations

from pathlib import Path

from looking import SIZE, Make, shown

from .conftest import write_vessel

ROWAN = """\
name = "Rowan"
capacity_l = 5.0
[plan]
volume_l = 3.84
gravity = 1.095
end = 0.996
yeast = { tolerance_abv = 14 }
"""
BOOK = """\
mix = { at = 2025-11-10T10:00:00+01:00, did = "mix", volume_l = 3.84, honey_g = 1150 }
og = { at = 2025-11-10T10:30:00+01:00, did = "read", sg = 1.095, temp_c = 20 }
pitch = { at = 2025-11-10T11:00:00+01:00, did = "pitch" }
r1 = { at = 2026-01-08T18:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
r2 = { at = 2026-01-20T18:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
r3 = { at = 2026-02-12T08:00:00+01:00, did = "read", sg = 0.994, temp_c = 20 }
honey = { at = 2026-02-12T18:00:00+01:00, did = "sweeten", honey_g = 280 }
glass = { at = 2026-02-13T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750, left_l = 0 }
"""


async def test_live_bottles_are_the_first_row_and_stand_on_their_page(app_of: Make, cellar: Path) -> None:
    write_vessel(cellar, "rowan", ROWAN, BOOK)
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        rows = shown(app, "due").splitlines()
        assert "CHECK" in rows[0]
        assert "Rowan" in rows[0]
        assert "bottles may burst" in rows[0]
        assert not any("CHECK" in row for row in rows[1:])
        assert "1 to check" in shown(app, "head")
        assert "chill the rest" in shown(app, "detail")
        assert "bar at 20 °C" in " ".join(shown(app, "detail").split())
        await pilot.press("space")
        assert "chill the rest" in shown(app, "message")
        await pilot.press("enter")
        await pilot.pause()
        assert "bottles may burst" in shown(app, "facts") or "chill the rest" in shown(app, "facts")


async def test_once_they_are_chilled_the_row_has_gone(app_of: Make, cellar: Path) -> None:
    book = write_vessel(cellar, "rowan", ROWAN, BOOK)
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        with book.open("a", encoding="utf-8") as file:
            file.write('cold = { at = 2026-03-04T08:00:00+01:00, did = "chill", temp_c = 4 }\n')
        assert app.session.follow()
        app.screen.draw()  # type: ignore[attr-defined]
        await pilot.pause()
        assert "CHECK" not in shown(app, "due")
        assert "to check" not in shown(app, "head")
