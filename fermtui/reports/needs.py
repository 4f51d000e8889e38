"""Needs: what the tasks of the next days use up, less what is in stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import NamedTuple

from fermtui.cellar.agenda import amounts_of
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.places import Cellar
from fermtui.daybook.settings import Settings, Stock
from fermtui.must.nutrients import yeast_g
from fermtui.reports.stock_use import (
    ANY_CLOSURE,
    StockItem,
    Use,
    bottle_item,
    closure_item,
    fruit_item,
    used_since,
    uses,
)
from fermtui.schedule.task import Task

PIECES = frozenset({"bottle", "closure"})
ORDER = ("honey", "yeast", "dap", "autolysate", "complex", "fruit", "metabisulfite", "sorbate", "bottle", "closure")
SMALLEST = 1e-9


class For(NamedTuple):
    """One task that uses an item up: the vessel's folder and name, the step, and how much."""

    vessel: str
    name: str
    task: str
    amount: float


@dataclass(frozen=True, slots=True)
class Need:
    """One item. `unit` is g or pieces; `in_stock` and `missing` are None where nobody counted it."""

    item: StockItem
    unit: str
    wanted: float
    in_stock: float | None
    tasks: tuple[For, ...]

    @property
    def missing(self) -> float | None:
        """What is to be bought; None where nobody knows what is there."""
        return None if self.in_stock is None else max(0.0, self.wanted - self.in_stock)


@dataclass(frozen=True, slots=True)
class Needs:
    """`dated` is needed within the span; `undated` belongs to tasks that have no date yet. `notes` are sentences."""

    dated: tuple[Need, ...]
    undated: tuple[Need, ...]
    notes: tuple[str, ...]


def needs(cellar: Cellar, view: View, within: timedelta) -> Needs:
    """What the tasks that may come due within the span use up, of every vessel at work.

    A task counts from its earliest date on: what might be wanted should lie ready. Stock is what was counted, less
    what all vessels, past ones too, have used since that day.
    """
    stock, notes = in_stock(cellar, view)
    dated: dict[StockItem, list[For]] = {}
    undated: dict[StockItem, list[For]] = {}
    for vessel in view.vessels:
        for task in vessel.tasks:
            if not task.is_open:
                continue
            if task.window is None:
                into = undated
            elif task.window.earliest <= view.now + within:
                into = dated
            else:
                continue
            for item, amount in task_uses(vessel, task, view.settings):
                into.setdefault(item, []).append(For(vessel.vessel, vessel.name, task.key, amount))
    known = tuple(_need(item, found, stock) for item, found in _ordered(dated))
    later = tuple(_need(item, found, {}) for item, found in _ordered(undated))
    return Needs(known, later, tuple(notes))


def task_uses(vessel: VesselView, task: Task, settings: Settings) -> Iterator[Use]:
    """What one open task would take off the shelf."""
    if task.do == "pitch" and task.trouble is None:
        # A packet's worth is no amount of the schedule: the rule is that of the plan.
        litres = vessel.volume_l or vessel.head.plan.volume_l
        if litres:
            yield Use(StockItem("yeast"), yeast_g(litres, vessel.facts.g0 or vessel.head.plan.gravity))
        return
    yield from uses(task.do, amounts_of(vessel, task, settings))


def in_stock(cellar: Cellar, view: View) -> tuple[Mapping[StockItem, float], list[str]]:
    """What is there now by item (what nobody counted is left out), and what the maker should know about it."""
    settings, notes = view.settings, []
    counted = settings.stock.counted
    shelf = counted_items(settings)
    if not shelf:
        return {}, ["nothing is counted under [stock] in cellar.toml, so what is missing is not known"]
    if counted is None:
        return shelf, ["[stock] in cellar.toml has no date (counted = 2026-03-01), so use since then is not taken off"]
    used = used_since(cellar, counted, view.now, settings.zone)
    left: dict[StockItem, float] = {}
    for item, amount in shelf.items():
        left[item] = amount - used.get(item, 0.0)
        if left[item] < -SMALLEST:
            notes.append(f"more {words(item)} was used since {counted} than was counted: count again")
            left[item] = 0.0
    return left, notes


def counted_items(settings: Settings) -> dict[StockItem, float]:
    """The shelf as cellar.toml has it, by item."""
    stock = settings.stock
    shelf = {StockItem(name.removesuffix("_g")): grams for name, grams in _masses(stock) if grams is not None}
    for kind, grams in stock.fruit.items():
        item = fruit_item(kind)
        shelf[item] = shelf.get(item, 0.0) + grams
    for kind, count in stock.closures.items():
        item = closure_item(kind)
        shelf[item] = shelf.get(item, 0.0) + count
    for bottle in settings.bottles:
        if bottle.empties is not None:
            item = bottle_item(bottle.size_ml, bottle.glass)
            shelf[item] = shelf.get(item, 0.0) + bottle.empties
    return shelf


def _masses(stock: Stock) -> Iterator[tuple[str, float | None]]:
    for name in ("honey_g", "yeast_g", "dap_g", "autolysate_g", "complex_g", "metabisulfite_g", "sorbate_g"):
        yield name, getattr(stock, name)


def _need(item: StockItem, tasks: list[For], stock: Mapping[StockItem, float]) -> Need:
    unit = "pieces" if item.what in PIECES else "g"
    return Need(item, unit, sum(one.amount for one in tasks), _there(item, stock), tuple(tasks))


def _there(item: StockItem, stock: Mapping[StockItem, float]) -> float | None:
    if item == ANY_CLOSURE:
        kinds = [amount for one, amount in stock.items() if one.what == "closure"]
        return sum(kinds) if kinds else None
    if item in stock:
        return stock[item]
    # Whoever lists plums and no cherries has no cherries; whoever lists no fruit has not looked.
    return 0.0 if item.kind and any(one.what == item.what for one in stock) else None


def _ordered(found: Mapping[StockItem, list[For]]) -> list[tuple[StockItem, list[For]]]:
    return sorted(found.items(), key=lambda pair: (ORDER.index(pair[0].what), pair[0].kind))


def words(item: StockItem) -> str:
    """An item in words: `honey`, `plum`, `bottles of 750 mL`, `screw cap`."""
    if item.what == "bottle":
        return f"bottles of {item.kind}"
    if item.what == "closure":
        return item.kind.replace("_", " ") or "closures"
    return item.kind or {"dap": "DAP", "complex": "complex nutrient"}.get(item.what, item.what)
