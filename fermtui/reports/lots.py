"""The bottles of a batch, lot by lot: what the lot is called, how many are left, until when its closure is trusted."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, tzinfo

from fermtui.cellar.store import VesselView
from fermtui.daybook.settings import Settings
from fermtui.must.bottles import Closure, closures
from fermtui.must.csv_tables import limit
from fermtui.replay.facts import Facts, Lot
from fermtui.wording.plain import plain


def lot_name(view: VesselView, lot: Lot, zone: tzinfo) -> str:
    """The folder and the day of bottling; a second lot of that day has a number behind it."""
    day = lot.at.astimezone(zone).date()
    same_day = [one.key for one in view.facts.lots if one.at.astimezone(zone).date() == day]
    number = same_day.index(lot.key) + 1
    return f"{view.vessel}-{day:%Y%m%d}" + (f"-{number}" if number > 1 else "")


def closure_of(lot: Lot) -> Closure | None:
    """The closure of the table that was written down, however it is spelled; None for another one."""
    if lot.closure is None:
        return None
    key = "_".join(lot.closure.casefold().replace("-", " ").replace("_", " ").split())
    return next((one for one in closures() if one.key == key), None)


def best_by(lot: Lot, zone: tzinfo) -> date | None:
    """The day up to which the closure is trusted, by the shorter of its spans; None where it is not known.

    Years of closures are common practice, no source.
    """
    closure = closure_of(lot)
    if closure is None:
        return None
    return months_after(lot.at.astimezone(zone).date(), round(12 * closure.years_low))


def months_after(day: date, months: int) -> date:
    """The same day of the month so many months later, or the last one of that month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def sulfite_added_mg_per_l(facts: Facts, lot: Lot) -> float:
    """SO2 given before the lot was bottled, mg/L. What yeast makes by itself comes on top and is not known."""
    return sum(dose.so2_mg_per_l for dose in facts.sulfite if dose.at <= lot.at)


def contains_sulfites(facts: Facts, lot: Lot) -> bool:
    """Whether so much was given that a label says it: 10 mg/L (21 CFR 130.9)."""
    return sulfite_added_mg_per_l(facts, lot) >= limit("so2_label")


def bottle_rows(view: VesselView, settings: Settings) -> list[tuple[str, str]]:
    """Lot and what is known of it."""
    rows = []
    for lot in view.facts.lots:
        parts = [f"{lot.bottles - lot.opened} of {lot.bottles} left", f"{lot.size_ml:g} mL"]
        if lot.glass != "still":
            parts.append(f"{lot.glass} glass")
        if lot.closure:
            parts.append(plain(lot.closure.replace("_", " "), 40))
        if lot.place:
            parts.append(plain(lot.place, 40))
        by = best_by(lot, settings.zone)
        if by is not None:
            parts.append(f"drink by {by:%Y-%m-%d}")
        if lot.burst:
            parts.append(f"{lot.burst} BURST: chill the others, cover them and open them with eyes and hands protected")
        rows.append((lot_name(view, lot, settings.zone), ", ".join(parts)))
    return rows
