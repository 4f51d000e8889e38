"""Say what the forecast of a vessel leans on, and which reading would tell it more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fermtui.wording.dates import narrows, short_day
from fermtui.wording.step_names import counted

if TYPE_CHECKING:
    from datetime import datetime, tzinfo

    from fermtui.forecast.forecast import Forecast

OWN, FED, ALONE = "your own batches", "a well fed must", "a must left to itself"
"""The three that a must is held to be like; the last two can be said by the maker (see `daybook.head.FEEDINGS`)."""
_LIKE = {"own": OWN, "fed": FED, "late": FED, "neglected": ALONE}


def likeness(forecast: Forecast) -> tuple[str, float]:
    """What the must behaves like most, and the chance of it."""
    shares: dict[str, float] = {}
    for name, share in forecast.chances.worlds:
        like = _LIKE[name.partition(",")[0]]
        shares[like] = shares.get(like, 0.0) + share
    return max(shares.items(), key=lambda row: row[1])


def likeness_text(forecast: Forecast) -> str:
    """`behaves like a well fed must, 70 %`; before the first reading `taken for` one."""
    like, share = likeness(forecast)
    begins = "behaves like" if forecast.chances.n_readings else "taken for" if like != OWN else "taken to be like"
    return f"{begins} {like}, {100.0 * share:.0f} %"


def own_batches_text(forecast: Forecast) -> str:
    """`from eight of your own batches: 31 days wide instead of 49`; empty where none speaks for it."""
    count = round(forecast.chances.learned_from)
    if count < 1:
        return ""
    first = "from one of your own batches" if count == 1 else f"from {counted(count, 'of your own batches')}"
    now, without = forecast.days_wide()
    if now is None or without is None:
        return first
    return f"{first}: {now:.0f} days wide instead of {without:.0f}"


def next_reading_text(forecast: Forecast, now: datetime, zone: tzinfo | None) -> str:
    """Which reading narrows the finish, and until when one is of no use; empty before the first reading and where it
    has likely stopped."""
    chances = forecast.chances
    if chances.n_readings == 0 or chances.finished >= 0.5:
        return ""
    best = forecast.best_reading()
    if best is None:
        return "one more, within two weeks of the last, is no use for the finish"
    today = now.astimezone(zone).date()
    day, use_from = (at.astimezone(zone).date() for at in (best.at, best.use_from))
    gain = narrows(best.days_wide_now, best.days_wide_after)
    if day <= today:
        return f"one now {gain}"
    text = f"{short_day(day, today)}: {gain}"
    return text if use_from <= today else f"{text}; no use before {short_day(use_from, today)}"
