"""What a guard refuses is refused in the form too: a reason lifts what can hurt, nothing lifts what cannot be."""

from __future__ import annotations

import shlex
from datetime import datetime
from pathlib import Path

import pytest
from textual.widgets import Input

from fermtui.tui.screens.form import EntryForm
from looking import Make
from trips import SETTINGS, TRIPS, Trip, head_of, schedule_of

HARMFUL = tuple(trip for trip in TRIPS if trip.kind != "advice" and trip.did not in ("level", "open"))
DAYS = sorted({trip.at for trip in HARMFUL})


def put(cellar: Path, name: str, trip: Trip) -> Path:
    (cellar / "schedules").mkdir(exist_ok=True)
    (cellar / "schedules/one-kind.toml").write_text(schedule_of(trip), "utf-8")
    place = cellar / "vessels" / name
    place.mkdir(parents=True)
    (place / "vessel.toml").write_text(head_of(trip), "utf-8")
    lines = [line for line in trip.page.strip().splitlines() if line]
    (place / "daybook.toml").write_text("".join(f"e{at:03d} = {line}\n" for at, line in enumerate(lines)), "utf-8")
    return place / "daybook.toml"


@pytest.mark.parametrize("day", DAYS)
async def test_the_form_asks_for_a_reason_or_refuses(day: str, app_of: Make, cellar: Path, clock: object) -> None:
    trips = {f"v{at:02d}": trip for at, trip in enumerate(HARMFUL) if trip.at == day}
    books = {name: put(cellar, name, trip) for name, trip in trips.items()}
    (cellar / "cellar.toml").write_text(SETTINGS, "utf-8")
    clock.now = datetime.fromisoformat(day)  # type: ignore[attr-defined]  # the fixture's clock can be moved
    app = app_of()
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        for name, trip in trips.items():
            before = books[name].read_bytes()
            app.commands.form(name, trip.did)
            await pilot.pause()
            form = app.screen
            assert isinstance(form, EntryForm), trip
            given = dict(pair.split("=", 1) for pair in shlex.split(trip.trips.replace("rowan", name))[1:])
            for field in form.query(".field Input").results(Input):
                if field.id != "override":
                    field.value = given.get((field.id or "").removeprefix("field-"), "")
            await pilot.press("enter")
            assert app.screen is form, trip
            assert books[name].read_bytes() == before, trip
            form.query_one("#override", Input).value = "I know this one"
            await pilot.press("enter")
            await pilot.pause()
            if trip.kind == "refusal":
                assert app.screen is not form, trip
                assert 'override = "I know this one"' in books[name].read_text("utf-8"), trip
            else:
                assert books[name].read_bytes() == before, trip
                await pilot.press("escape")
