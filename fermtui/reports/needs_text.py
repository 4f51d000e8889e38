"""Needs as a shopping list and as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from fermtui.cellar.store import View
from fermtui.daybook.settings import Settings
from fermtui.reports.json_parts import problems_json, rounded
from fermtui.reports.needs import Need, Needs, words
from fermtui.units import show_mass, show_masses
from fermtui.wording.plain import plain

NAMED_MOST = 4


Kind = Literal["sentence", "title", "row", "gap"]


def needs_lines(found: Needs, view: View, days: int) -> list[tuple[Kind, str]]:
    """The list that goes to the shop: what is wanted, what is there, what to buy, and for which vessels."""
    settings = view.settings
    lines: list[tuple[Kind, str]] = [("sentence", f"needed for the next {days} days from {_day(view.now)}")]
    if found.dated:
        rows = [("", "wanted", "in stock", "missing", "for"), *(_row(need, settings) for need in found.dated)]
        widths = [max(len(row[at]) for row in rows) for at in range(4)]
        for at, row in enumerate(rows):
            cells = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=False))
            lines.append(("row" if at else "title", f"{cells}  {row[4]}".rstrip()))
    else:
        lines.append(("sentence", "nothing is used up by then"))
    if found.undated:
        parts = [f"{_amount(need.wanted, need, settings)} {_name(need, settings)}" for need in found.undated]
        lines += [("gap", ""), ("sentence", "later, on a day not known yet: " + ", ".join(parts))]
    return [*lines, *(("sentence", f"note: {plain(note, 200)}") for note in found.notes)]


def _row(need: Need, settings: Settings) -> tuple[str, str, str, str, str]:
    wanted, in_stock, missing = _amounts((need.wanted, need.in_stock or 0.0, need.missing or 0.0), need, settings)
    return (
        _name(need, settings),
        wanted,
        "not counted" if need.in_stock is None else in_stock,
        "?" if need.missing is None else missing if need.missing > 0.0 else "-",
        _vessels(need),
    )


def _amounts(values: tuple[float, ...], need: Need, settings: Settings) -> list[str]:
    """The amounts of one row, all in one unit, so that they can be taken from each other at sight."""
    if need.unit == "pieces":
        return [f"{value:.0f}" for value in values]
    shown = show_masses([*values], settings.units)
    return [text if value else "none" for text, value in zip(shown, values, strict=True)]


def _name(need: Need, settings: Settings) -> str:
    own = {
        "dap": settings.nutrients.dap_name, "autolysate": settings.nutrients.autolysate_name,
        "complex": settings.nutrients.complex_name,
    }.get(need.item.what)  # fmt: skip
    return plain(own or words(need.item), 40)


def _amount(value: float, need: Need, settings: Settings) -> str:
    if need.unit == "pieces":
        return f"{value:.0f}"
    return show_mass(value, settings.units) if value else "none"


def _vessels(need: Need) -> str:
    names = list(dict.fromkeys(plain(one.name, 24) for one in need.tasks))
    more = f" and {len(names) - NAMED_MOST} more" if len(names) > NAMED_MOST else ""
    return ", ".join(names[:NAMED_MOST]) + more


def needs_json(found: Needs, view: View, until: datetime) -> dict[str, Any]:
    """Needs as scripts read them: grams, or pieces; null where nobody counted."""
    return {
        "on": view.now.isoformat(),
        "until": until.isoformat(),
        "needs": [_as_json(need) for need in found.dated],
        "undated": [_as_json(need) for need in found.undated],
        "notes": list(found.notes),
        "problems": problems_json(view.all_problems),
    }


def _as_json(need: Need) -> dict[str, Any]:
    return {
        "item": f"bottle {need.item.kind}" if need.item.what == "bottle" else need.item.kind or need.item.what,
        "sort": need.item.what,
        "unit": need.unit,
        "wanted": round(need.wanted, 2),
        "in_stock": rounded(need.in_stock, 2),
        "missing": rounded(need.missing, 2),
        "for": [{"vessel": one.vessel, "task": one.task, "amount": round(one.amount, 2)} for one in need.tasks],
    }


def _day(at: datetime) -> str:
    return f"{at.day} {at:%b %Y}"
