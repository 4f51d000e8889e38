"""The pieces of a vessel's screen: what stands where, and that nothing that matters is cut off."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.tui.app import Fermtui
from fermtui.tui.pages import by_time
from fermtui.tui.screens.vessel import VesselScreen
from fermtui.tui.widgets.cells import Cells

SIZE = (80, 24)
Make = Callable[..., Fermtui]


def shown(app: Fermtui, name: str) -> str:
    return "\n".join(app.screen.query_one(f"#{name}", Cells).text())


async def test_the_steps_stand_in_the_order_of_time(app_of: Make) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        await app.workers.wait_for_complete()
        for vessel in ("damson", "heather"):
            app.open_vessel(vessel)
            await pilot.pause()
            screen = app.screen
            assert isinstance(screen, VesselScreen)
            seen = app.house.vessel(vessel)
            assert seen is not None
            over = [task for task in by_time(seen) if task.state in ("done", "dropped")]
            days = [task.likely for task in by_time(seen) if task.is_open and task.likely is not None]
            assert [item.key for item in screen.steps.items][: len(over)] == [task.key for task in over]
            assert days == sorted(days)
            assert len(screen.steps.items) == len(seen.tasks)
            chosen = seen.task(screen.steps.chosen or "")
            assert chosen is not None
            assert chosen.state in ("late", "due")
