"""What the reading line asks about, and what is not asked for twice."""

from __future__ import annotations

from pathlib import Path

from looking import SIZE, Make, shown


async def test_a_gravity_in_two_pieces_is_asked_about(app_of: Make, cellar: Path) -> None:
    app = app_of()
    book = cellar / "vessels" / "damson" / "daybook.toml"
    before = book.read_text("utf-8")
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("tab", "r", *"1.07 8", "enter")
        assert "was that 1.078, in one piece?" in shown(app, "foot-says")
        assert book.read_text("utf-8") == before
        await pilot.press("escape", "r", *"1.078 8", "enter")
        assert "sg = 1.078, temp_c = 8" in book.read_text("utf-8"), "three decimals and a cold sample are meant"
