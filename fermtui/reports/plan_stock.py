"""What a plan asks for that is not in stock."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.daybook.settings import Settings
from fermtui.reports.needs import words
from fermtui.reports.stock_use import StockItem, fruit_item
from fermtui.units import show_mass
from fermtui.writing.planning import Preview

ENOUGH_G = 0.05  # below what a kitchen scale shows nothing is missing


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
