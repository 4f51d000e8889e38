"""A plan as a page: what to weigh, what it will be, when what is due, what is not in stock, and the cautions."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.daybook.settings import Settings
from fermtui.reports.needs import words
from fermtui.reports.stock_use import StockItem, fruit_item
from fermtui.units import show_gravity, show_mass, show_number, show_volume
from fermtui.wording.cautions import caution_lines
from fermtui.wording.dates import short_window
from fermtui.wording.plain import plain
from fermtui.wording.tasks import reason_text, task_text

if TYPE_CHECKING:
    from fermtui.writing.planning import Preview

ENOUGH_G = 0.05  # below what a kitchen scale shows nothing is missing


def plan_rows(plan: Preview, settings: Settings) -> list[tuple[str, str]]:
    """Label and value, the sums of the plan."""
    units = settings.units
    head = plan.head.plan
    rows = [
        ("honey", show_mass(plan.honey_g, units)),
        ("water", show_volume(plan.water_l, units)),
    ]
    if plan.juice_l:
        rows.append(("juice", show_volume(plan.juice_l, units)))
    rows += [
        ("gravity", show_gravity(plan.gravity, units)),
        ("strength", f"{show_number(plan.end_abv_percent, 1, units)} % vol at {show_gravity(head.end, units)}"),
        ("yeast", f"{show_mass(plan.yeast_g, units)} {plain(head.yeast.name or '', 40)}".rstrip()),
    ]
    if plan.doses is not None:
        dose = plan.doses
        text = f"{show_mass(dose.dap_g, units)} DAP, {show_mass(dose.autolysate_g, units)} autolysate in all"
        rows.append(("nutrient", f"{text}, for {dose.yan_mg_per_l:.0f} mg/L of nitrogen"))
    if head.fruit is not None:
        grams = show_mass(head.fruit.mass_g, units) if head.fruit.mass_g else "some"
        rows.append(("fruit", f"{grams} {plain(head.fruit.kind, 40)} {plain(head.fruit.treatment or '', 20)}".rstrip()))
    if plan.room_l is not None and plan.capacity_l is not None:
        rows.append(("room", f"{show_volume(plan.room_l, units)} free of {show_volume(plan.capacity_l, units)}"))
    rows.append(("schedule", plain(plan.head.schedule or "none", 40)))
    return rows


def plan_lines(plan: Preview, settings: Settings, now: datetime) -> list[str]:
    """The whole page as text."""
    lines = [f"{plain(plan.head.name, 60)} ({plan.folder})", ""]
    lines += [f"  {label:<10} {value}" for label, value in plan_rows(plan, settings)]
    lines += ["", "  if it is pitched today:"]
    dates = date_rows(plan, settings, now)
    wide = max([14, *(len(when) for when, *_ in dates)])
    lines += [f"  {when:<{wide}} {what:<26} {why}" for when, what, why in dates]
    for note in plan.notes:
        lines += ["", f"  ! {note}"]
    lines += [""] + [f"  {line}" for line in caution_lines(plan.cautions)]
    return lines


def date_rows(plan: Preview, settings: Settings, now: datetime) -> list[tuple[str, str, str]]:
    """When, what and why for the steps that are still to come."""
    rows = []
    for task in sorted(plan.tasks, key=lambda task: task.likely.timestamp() if task.likely else float("inf")):
        if task.is_open:
            when = short_window(task.window, now, settings.zone) if task.window else "later"
            rows.append((when, task_text(task), reason_text(task, settings, now)))
    return rows


def missing_lines(plan: Preview, stock: Mapping[StockItem, float], settings: Settings) -> list[str]:
    """A line for each thing of which there is too little; what nobody counted is left out.

    `stock` is what there is now, from `needs.in_stock`, in grams.
    """
    wanted: list[tuple[StockItem, float]] = [(StockItem("honey"), plan.honey_g), (StockItem("yeast"), plan.yeast_g)]
    if plan.doses is not None:
        wanted += [(StockItem("dap"), plan.doses.dap_g), (StockItem("autolysate"), plan.doses.autolysate_g)]
    fruit = plan.head.plan.fruit
    if fruit is not None and fruit.mass_g:
        wanted.append((fruit_item(fruit.kind), fruit.mass_g))
    return [
        f"{show_mass(grams - stock[item], settings.units)} {words(item)} missing: "
        f"{show_mass(stock[item], settings.units) if stock[item] > 0.0 else 'none'} in stock"
        for item, grams in wanted
        if item in stock and grams - stock[item] > ENOUGH_G
    ]
