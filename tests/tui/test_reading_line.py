"""What a key on the reading line costs: the vessel is read and replayed once for each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from fermtui.daybook import lines, vessel_file
from fermtui.replay import replay as replaying
from fermtui.replay import state
from fermtui.tui.session import Session
from looking import SIZE, Make, shown


def counting(count: Counter[str], name: str, work: Callable[..., Any]) -> Callable[..., Any]:
    def counted(*args: Any, **more: Any) -> Any:
        count[name] += 1
        return work(*args, **more)

    return counted


async def test_a_key_replays_once_and_enter_only_goes_on(app_of: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    app = app_of()
    async with app.run_test(size=SIZE) as pilot:
        app.session.store.make_forecasts()
        monkeypatch.setattr(Session, "follow", lambda _: False)  # the look for what others wrote comes by the clock
        await pilot.press("r", *"1.07")
        count: Counter[str] = Counter()
        monkeypatch.setattr(vessel_file, "read_lines", counting(count, "read", lines.read_lines))
        monkeypatch.setattr(replaying, "State", counting(count, "replay", state.State))
        await pilot.press("8")
        assert count == {"read": 1, "replay": 1}
        assert "1.0780" in shown(app, "foot-says")
        count.clear()
        await pilot.press("enter")
        assert count == {}  # one line was added: nothing is read or replayed from the beginning
        assert "1.078" in shown(app, "line")
