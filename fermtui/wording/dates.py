"""Write dates in words, in the cellar's zone."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fermtui.forecast.window import Window

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
FAR_DAYS = 183  # a day of another year that is farther away bears its year


def day_text(day: date, *, year: bool = False) -> str:
    """`Wed 25 Nov`, with the year when asked."""
    return f"{DAYS[day.weekday()]} {day_month(day)}" + (f" {day.year}" if year else "")


def day_month(day: date) -> str:
    """`25 Nov`."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def narrows(now_days: float, after_days: float) -> str:
    """`narrows the finish to 18 days, from 31`: how wide its window is, before and after a reading."""
    return f"narrows the finish to {after_days:.0f} days, from {now_days:.0f}"


def short_day(day: date, today: date) -> str:
    """`today`, `tomorrow`, `Fri`, `12 Mar`, `12 Mar 2027`."""
    away = (day - today).days
    if away in (-1, 0, 1):
        return {-1: "yesterday", 0: "today", 1: "tomorrow"}[away]
    if 1 < away < 7:
        return f"{day:%a}"
    return f"{day.day} {day:%b}{_year(day, today)}"


def short_window(window: Window | None, now: datetime, zone: tzinfo) -> str:
    """`Fri`, `12 Mar`, `12-19 Mar`, `from 12 Mar` for a window; `?` without one."""
    if window is None:
        return "?"
    today = now.astimezone(zone).date()
    first = window.earliest.astimezone(zone).date()
    if window.latest is None:
        return f"from {short_day(first, today)}"
    last = window.latest.astimezone(zone).date()
    if first == last:
        return short_day(first, today)
    if first.month == last.month and first.year == last.year:
        return f"{first.day}-{last.day} {last:%b}{_year(last, today)}"
    begun = f"{first.day} {first:%b}{_year(first, today) if first.year != last.year else ''}"
    return f"{begun}-{last.day} {last:%b}{_year(last, today)}"


def _year(day: date, today: date) -> str:
    return f" {day.year}" if bears_year(day, today) else ""


def bears_year(day: date, today: date) -> bool:
    """Tell whether a day needs its year, or it would be taken for one of this year."""
    return day.year != today.year and abs((day - today).days) >= FAR_DAYS


def days_since(then: datetime, now: datetime, zone: tzinfo) -> int:
    """Count the calendar days from then to now; below 0 for what is still to come."""
    return (now.astimezone(zone).date() - then.astimezone(zone).date()).days


def ago(then: datetime, now: datetime, zone: tzinfo) -> str:
    """`today`, `yesterday`, `4 days ago`; `tomorrow` and `in 4 days` for what is dated ahead of the clock."""
    days = days_since(then, now, zone)
    if abs(days) <= 1:
        return ("today", "yesterday", "tomorrow")[days]
    return f"{days} days ago" if days > 0 else f"in {-days} days"
