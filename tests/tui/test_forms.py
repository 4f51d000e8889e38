"""Forms: an example looks unlike what is taken, a number keeps its unit beside it, a list follows what is typed."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from fermtui.tui.screens.new_vessel_screen import StartScreen
from fermtui.tui.widgets.lines import whole_sentences
from fermtui.tui.widgets.painted_lines import PaintedLines
from looking import SIZE, Make, shown


async def test_the_hints_of_a_new_vessel_tell_what_is_taken_from_an_example(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a")

        def hint(name: str) -> str:
            return app.screen.query_one(f"#want-{name}", Input).placeholder

        def used(name: str) -> bool:
            return app.screen.query_one(f"#want-{name}", Input).has_class("-taken")

        assert hint("name") == "e.g. Damson"
        assert hint("container").startswith("e.g. ")
        assert (hint("end"), hint("schedule")) == ("= 1.000", "= two-doses")
        for name, text in (("name", "Sloe"), ("volume_l", "4"), ("strength", "12%"), ("fruit", "plum")):
            assert not used(name) or name == "fruit"
            app.screen.query_one(f"#want-{name}", Input).value = text
            await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        assert app.screen.plan is not None
        assert hint("schedule") == f"= {app.screen.plan.head.schedule}" == "= fruit-when-dry"
        assert hint("fruit_g") == "= 480 g"
        assert used("fruit_g")
        await pilot.press("enter")
        assert "no honey for" in shown(app, "choices")
        app.screen.query_one("#want-like", Input).value = "heather"
        app.screen.query_one("#want-fruit", Input).value = ""
        app.screen.query_one("#want-volume_l", Input).value = ""
        await pilot.pause()
        assert hint("volume_l") == "= 4.2 L"
        assert hint("schedule") == "= two-doses"


async def test_a_form_keeps_the_unit_beside_what_is_typed(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        for did, labels in (
            ("fruit", ("pitted mass, g", "kind", "treatment")),
            ("bottle", ("bottle size, mL", "left over, L", "priming sugar, g")),
            ("pitch", ("temperature, °C", "yeast, g")),
            ("mix", ("honey's moisture, %", "water, L")),
            ("filter", ("pad, µm", "lost with it, L")),
        ):
            app.commands.form("damson", did)
            await pilot.pause()
            beside = ["".join(label.text()).strip() for label in app.screen.query(".label").results(PaintedLines)]
            assert set(labels) <= set(beside)
            for field in app.screen.query(".field Input").results(Input):
                assert field.id == "override" or field.placeholder[:5] in ("", "e.g. ") or field.placeholder[0] == "="
            await pilot.press("escape")


async def test_fields_and_hints_are_in_the_makers_units(app_of: Make, cellar: Path) -> None:
    units = '[units]\nvolume = "gal"\nmass = "lb"\ntemp = "F"\ngravity = "brix"\ndecimal_comma = true\n'
    (cellar / "cellar.toml").write_text(f'timezone = "Europe/Vienna"\n{units}')
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a")
        hints = {one.id: one.placeholder for one in app.screen.query(Input) if one.id}
        # ASBC: 1.095 is 22.7 °P, 1.012 is 3.1 °P (from memory).
        assert hints["want-strength"] == "e.g. 22,7 °Bx or 12%"
        assert hints["want-volume_l"] == "e.g. 1,11"
        assert hints["want-fruit_g"] == "e.g. 1 lb 1,6 oz"
        await pilot.press("escape", "r")
        assert app.screen.query_one("#foot-input", Input).placeholder.startswith("10,5 70    1042 @ 21C")
        await pilot.press("escape")
        app.commands.form("damson", "chill")
        await pilot.pause()
        beside = ["".join(label.text()).strip() for label in app.screen.query(".label").results(PaintedLines)]
        assert "temperature, °F" in beside
        assert app.screen.query_one("#field-temp_c", Input).placeholder == "e.g. 68, or 20C"
        app.screen.query_one("#field-temp_c", Input).value = "41"
        app.screen.query_one("#field-hours", Input).value = "1"
        await pilot.press("enter")
        await pilot.pause()
    assert 'did = "chill"' in (cellar / "vessels/damson/daybook.toml").read_text("utf-8").splitlines()[-1]
    assert "temp_c = 5" in (cellar / "vessels/damson/daybook.toml").read_text("utf-8").splitlines()[-1]


async def test_the_choices_of_a_field_follow_what_is_typed(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.form("damson", "fruit")
        await pilot.pause()
        app.screen.query_one("#field-kind", Input).focus()
        app.screen.query_one("#field-kind", Input).value = ""
        await pilot.pause()
        assert "more: type on" in shown(app, "foot-says")
        await pilot.press("r")
        assert "raspberry" in shown(app, "foot-says")
        assert "plum," not in shown(app, "foot-says")


def test_a_sentence_is_shown_whole_or_not_at_all() -> None:
    text = "Weigh it, pour it back slowly: it foams over easily. Then an airlock, never a tight lid."

    def said(width: int, lines: int) -> str:
        return " ".join(run[0].strip() for line in whole_sentences(text, "quiet", width, lines) for run in line)

    assert said(80, 2) == text
    assert said(80, 1) == "Weigh it, pour it back slowly: it foams over easily."
    assert said(30, 1).endswith("..")
    assert said(80, 0) == ""


async def test_the_reading_line_never_cuts_what_follows(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.commands.read("damson")
        await pilot.pause()
        await pilot.press(*"1.050 21")
        says = " ".join(shown(app, "foot-says").split())
        assert "third break passed" in says
        assert ".." not in says


@pytest.mark.parametrize("key", ["escape", "5", "backspace"])
async def test_enter_once_more_is_said_only_as_long_as_it_is_true(app_of: Make, key: str) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a", *"Sloe", "down", *"4", "down", *"1.090", "enter")
        await pilot.pause()
        assert "Enter once more starts Sloe" in shown(app, "message")
        await pilot.press(key)
        await pilot.pause()
        assert isinstance(app.screen, StartScreen) is (key != "escape")
        assert "once more" not in shown(app, "message")
        assert "once more" not in "".join(app.screen_stack[0].query_one("#message", PaintedLines).text())


async def test_a_form_takes_away_only_what_it_said_itself(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("a", *"Sloe", "enter")
        assert "not whole yet" in shown(app, "message")
        app.say("an editor saved over a line", "warn")
        await pilot.press("x", "escape")
        await pilot.pause()
        assert "an editor saved over a line" in shown(app, "message")
