"""A plan as a page: what to weigh, what it will be, when what is due, what is not in stock, and the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from fermtui.daybook.head import PlannedFruit
from fermtui.daybook.settings import Settings
from fermtui.must.bottles import bottle_count
from fermtui.must.fruit import UnknownFruit, fruit_parts
from fermtui.must.limits import OutOfRange
from fermtui.must.preservatives import SorbateDose, SulfiteDose, sorbate_dose, sulfite_dose
from fermtui.replay.stabilised import USUAL_PH
from fermtui.reports.came_out import CameOut, came_out_rows
from fermtui.reports.needs import words
from fermtui.reports.stock_use import StockItem, fruit_item
from fermtui.schedule.amounts import USUAL_BOTTLE, bottles_for
from fermtui.schedule.task import Task
from fermtui.units import show_gravity, show_mass, show_number, show_volume
from fermtui.wording.amounts import sulfite_text
from fermtui.wording.cautions import caution_lines
from fermtui.wording.dates import short_day, short_window
from fermtui.wording.plain import plain
from fermtui.wording.tasks import reason_text, task_text

if TYPE_CHECKING:
    from fermtui.schedule.outcome import Addition
    from fermtui.writing.planning import Preview

REFUSE_SHOWN_PERCENT = 2.0  # less than a kitchen scale and a kitchen knife are worth
OF_THE_MUST = frozenset({"honey", "water", "juice", "gravity"})
ENOUGH_G = 0.05  # below what a kitchen scale shows nothing is missing


def plan_rows(plan: Preview, settings: Settings) -> list[tuple[str, str]]:
    """Label and value, the sums of the plan."""
    units = settings.units
    head = plan.head.plan
    feeds = [added for added in plan.outcome.additions if added.do == "feed"]
    rows = [("honey", show_mass(plan.honey_g, units)), ("water", show_volume(plan.water_l, units))]
    if plan.juice_l:
        rows.append(("juice", show_volume(plan.juice_l, units)))
    rows.append(("gravity", show_gravity(plan.gravity, units)))
    if feeds:
        rows.append(("feeds", _feeds_text(feeds, settings)))
    rows += [("strength", _strength_text(plan, settings)), ("makes", _volume_text(plan, settings))]
    if plan.room_l is not None and plan.capacity_l is not None:
        rows.append(("room", f"{show_volume(plan.room_l, units)} free of {show_volume(plan.capacity_l, units)}"))
    if head.fruit is not None:
        rows.append(("fruit", _fruit_text(head.fruit, settings)))
    sweet = next((added for added in plan.outcome.additions if added.do == "sweeten"), None)
    if sweet is not None:
        amount = show_mass(sweet.mass_g, units)
        rows.append(("sweeten", f"about {amount} honey, to {show_gravity(sweet.to_sg, units)}"))
    kept = keeping_dose(plan, settings)
    if kept is not None:
        rows.append(("sulfite", _sulfite_text(kept, settings)))
    rows.append(("yeast", f"{show_mass(plan.yeast_g, units)} {plain(head.yeast.name or '', 40)}".rstrip()))
    if plan.doses is not None:
        dose = plan.doses
        text = f"{show_mass(dose.dap_g, units)} DAP, {show_mass(dose.autolysate_g, units)} autolysate in all"
        rows.append(("nutrient", f"{text}, for {dose.yan_mg_per_l:.0f} mg/L of nitrogen"))
    rows.append(("schedule", plain(plan.head.schedule or "none", 40)))
    return rows


def second_title(plan: Preview, settings: Settings) -> str:
    """`and 4.0 L of the same must: Sloe`, with its folder; empty where there is one vessel only."""
    other = plan.second
    if other is None:
        return ""
    litres = show_volume(other.head.plan.volume_l or 0.0, settings.units)
    return f"and {litres} of the same must: {plain(other.head.name, 60)} ({other.folder})"


def second_rows(plan: Preview, settings: Settings) -> list[tuple[str, str]]:
    """The sums of the second vessel, without those of the must that both share."""
    other = plan.second
    return [] if other is None else [row for row in plan_rows(other, settings) if row[0] not in OF_THE_MUST]


def all_notes(plan: Preview) -> tuple[str, ...]:
    """What is odd about the plan, and about that of the second vessel, with its name."""
    other = plan.second
    named = [] if other is None else [f"{plain(other.head.name, 40)}: {note}" for note in other.notes]
    return (*plan.notes, *named)


def _second_lines(plan: Preview, settings: Settings, now: datetime) -> list[str]:
    if plan.second is None:
        return []
    when = when_text(plan.second, settings, now)
    rows = [*second_rows(plan, settings), *([("when", when)] if when else [])]
    side = f"  side by side afterwards: fermtui compare {plan.folder} {plan.second.folder}"
    return ["", f"  {second_title(plan, settings)}", *(f"  {label:<10} {value}" for label, value in rows), "", side]


def _feeds_text(feeds: Sequence[Addition], settings: Settings) -> str:
    """`1.55 kg honey held back: 773 g, 773 g, each at 1.030, to 1.041`; with its own gravities each where
    they differ."""
    units = settings.units
    whole = f"{show_mass(sum(added.mass_g for added in feeds), units)} honey held back"
    masses = [show_mass(added.mass_g, units) for added in feeds]
    lifts = [f"at {show_gravity(added.from_sg, units)}, to {show_gravity(added.to_sg, units)}" for added in feeds]
    if len(set(lifts)) > 1:
        return f"{whole}: " + "; ".join(f"{mass} {lift}" for mass, lift in zip(masses, lifts, strict=True))
    return f"{whole}: {', '.join(masses)}, {'each ' if len(feeds) > 1 else ''}{lifts[0]}"


class Keeping(NamedTuple):
    """What keeps a sweet mead from fermenting again, reckoned at the usual pH; no sorbate where none can hold it."""

    sulfite: SulfiteDose
    sorbate_g: float | None


def keeping_dose(plan: Preview, settings: Settings) -> Keeping | None:
    """Sulfite and sorbate of the plan, for what is there at its end; None where it has no such step."""
    if not any(task.do == "sulfite" and task.is_open for task in plan.tasks):
        return None
    litres, abv = plan.outcome.final.volume_l, min(25.0, plan.end_abv_percent)
    kind, temp_c = settings.sulfite, plan.head.plan.temp_c
    try:
        dose = sulfite_dose(
            litres, USUAL_PH, abv, 20.0 if temp_c is None else temp_c,
            molecular_mg_per_l=kind.molecular_mg_per_l, salt=kind.salt,
        )  # fmt: skip
    except OutOfRange:
        return None
    sorbate = sorbate_dose(litres, USUAL_PH, abv, malolactic=plan.head.plan.malolactic)
    return Keeping(dose, sorbate.potassium_sorbate_g if isinstance(sorbate, SorbateDose) else None)


def _sulfite_text(kept: Keeping, settings: Settings) -> str:
    dose, units = kept.sulfite, settings.units
    so2 = sulfite_text(dose.free_after_mg_per_l, dose.total_after_mg_per_l)
    beside = "" if kept.sorbate_g is None else f", and {show_mass(kept.sorbate_g, units)} sorbate"
    return f"about {show_mass(dose.metabisulfite_g, units)} at pH {USUAL_PH:g} ({so2}){beside}; read the pH first"


def _strength_text(plan: Preview, settings: Settings) -> str:
    units, outcome = settings.units, plan.outcome
    text = f"{show_number(plan.end_abv_percent, 1, units)} % vol at {show_gravity(outcome.end.sg, units)}"
    if any(added.do == "sweeten" for added in outcome.additions):
        text += f", {show_number(outcome.final.abv_percent, 1, units)} once sweetened"
    tolerance = plan.head.plan.yeast.tolerance_abv
    return text if tolerance is None else f"{text}; the yeast takes {show_number(tolerance, 1, units)}"


def _volume_text(plan: Preview, settings: Settings) -> str:
    size_ml = (bottles_for(plan.head.plan, settings)[1] or USUAL_BOTTLE).size_ml
    litres = plan.outcome.final.volume_l
    count = bottle_count(litres, size_ml).count
    left = "lees and fruit" if plan.head.plan.fruit is not None else "lees"
    bottles = "1 bottle" if count == 1 else f"{count} bottles"
    return f"about {show_volume(litres, settings.units)} after {left}: {bottles} of {size_ml:g} mL"


def _fruit_text(fruit: PlannedFruit, settings: Settings) -> str:
    """The fruit as it is weighed in, and how much of it that is as bought where stones or stems come off."""
    if not fruit.mass_g:
        return plain(fruit.kind, 40)
    amount = show_mass(fruit.mass_g, settings.units)
    text = f"{amount} {plain(fruit.kind, 40)} {plain(fruit.treatment or '', 20)}".rstrip()
    try:
        kind = fruit_parts(fruit.kind, fruit.mass_g, fruit.treatment or "raw").fruit
    except (UnknownFruit, OutOfRange):
        return text
    if kind.refuse_percent < REFUSE_SHOWN_PERCENT:
        return text
    bought_g = fruit.mass_g / (1.0 - kind.refuse_percent / 100.0)
    ready = "pitted" if kind.has_stones else "cleaned"
    return f"{text}, {ready}: about {show_mass(bought_g, settings.units)} as bought"


def when_text(plan: Preview, settings: Settings, now: datetime) -> str:
    """The days that a maker asks for first, as in 'fruit about 19 Jan, bottles about 6 Mar, first taste about 6 Jun';
    empty where none is known."""
    coming = [task for task in plan.tasks if task.is_open and task.window is not None]
    bottled = _first(task for task in coming if task.do == "bottle")
    found = [
        ("fruit", _first(task for task in coming if task.do == "fruit" and plan.head.plan.fruit is not None)),
        ("bottles", bottled),
        # What is tasted before it is bottled is oak or spice, and not the mead.
        ("first taste", _first(task for task in coming if task.do == "taste" and not _is_before(task, bottled))),
    ]
    return ", ".join(f"{name} {about(task, settings, now)}" for name, task in found if task is not None)


def _first(tasks: Iterable[Task]) -> Task | None:
    return min(tasks, key=_likely, default=None)


def _likely(task: Task) -> float:
    return task.likely.timestamp() if task.likely is not None else float("inf")


def _is_before(task: Task, other: Task | None) -> bool:
    return other is not None and _likely(task) < _likely(other)


def about(task: Task, settings: Settings, now: datetime) -> str:
    """When a task is likely to come: `Thu`, `about 19 Jan`; `later` where no day is known."""
    if task.likely is None:
        return "later"
    zone = settings.zone
    day = short_day(task.likely.astimezone(zone).date(), now.astimezone(zone).date())
    return f"about {day}" if not is_firm(task, settings) else day


def is_firm(task: Task, settings: Settings) -> bool:
    """Whether a task has one day and no range of days."""
    zone, window = settings.zone, task.window
    if window is None or window.latest is None:
        return False
    return window.earliest.astimezone(zone).date() == window.latest.astimezone(zone).date()


def plan_lines(plan: Preview, settings: Settings, now: datetime, before: CameOut | None = None) -> list[str]:
    """The whole page as text; `before` is the batch that it copies."""
    lines = [f"{plain(plan.head.name, 60)} ({plan.folder})", ""]
    lines += [f"  {label:<10} {value}" for label, value in plan_rows(plan, settings)]
    if before is not None:
        lines += ["", *(f"  {label:<10} {value}" for label, value in came_out_rows(before, settings))]
    when = when_text(plan, settings, now)
    lines += ["", f"  if it is pitched today{': ' + when if when else ':'}"]
    dates = date_rows(plan, settings, now)
    wide = max([14, *(len(row.when) for row in dates)])
    lines += [f"  {row.when:<{wide}} {row.what:<26} {row.why}" for row in dates]
    lines += _second_lines(plan, settings, now)
    for note in all_notes(plan):
        lines += ["", f"  ! {note}"]
    lines += [""] + [f"  {line}" for line in caution_lines(plan.cautions, settings.units)]
    return lines


class DateRow(NamedTuple):
    """A step to come: the likely day, what to do with how much, between which days, and why then."""

    when: str
    what: str
    span: str
    why: str


def date_rows(plan: Preview, settings: Settings, now: datetime) -> list[DateRow]:
    """The steps that are still to come, in the order of their likely days."""
    amounts = {added.task: added.mass_g for added in plan.outcome.additions}
    rows = []
    for task in sorted(plan.tasks, key=_likely):
        if not task.is_open:
            continue
        mass_g = amounts.get(task.key)
        what = task_text(task) if mass_g is None else f"{task_text(task)}, {show_mass(mass_g, settings.units)}"
        window = task.window
        span = "" if window is None or is_firm(task, settings) else short_window(window, now, settings.zone)
        rows.append(DateRow(about(task, settings, now), what, span, reason_text(task, settings, now)))
    return rows


def missing_lines(plan: Preview, stock: Mapping[StockItem, float], settings: Settings) -> list[str]:
    """A line for each thing of which there is too little, honey for feeds and for sweetening included; what nobody
    counted is left out.

    `stock` is what there is now, from `needs.in_stock`, in grams.
    """
    wanted: dict[StockItem, float] = {}
    for one in (plan, plan.second):
        for item, grams in [] if one is None else _uses(one, settings):
            wanted[item] = wanted.get(item, 0.0) + grams
    if plan.second is not None:  # the honey of the must is counted whole with the first
        wanted[StockItem("honey")] -= plan.second.honey_g
    return [
        f"{show_mass(grams - stock[item], settings.units)} {words(item)} missing: "
        f"{show_mass(stock[item], settings.units) if stock[item] > 0.0 else 'none'} in stock"
        for item, grams in wanted.items()
        if item in stock and grams - stock[item] > ENOUGH_G
    ]


def _uses(plan: Preview, settings: Settings) -> list[tuple[StockItem, float]]:
    """What one vessel takes, in grams."""
    later_g = sum(added.mass_g for added in plan.outcome.additions if added.do in ("feed", "sweeten"))
    uses = [(StockItem("honey"), plan.honey_g + later_g), (StockItem("yeast"), plan.yeast_g)]
    if plan.doses is not None:
        uses += [(StockItem("dap"), plan.doses.dap_g), (StockItem("autolysate"), plan.doses.autolysate_g)]
    kept = keeping_dose(plan, settings)
    if kept is not None:
        uses.append((StockItem("metabisulfite"), kept.sulfite.metabisulfite_g))
        uses.append((StockItem("sorbate"), kept.sorbate_g or 0.0))
    uses += [(fruit_item(added.what or ""), added.mass_g) for added in plan.outcome.additions if added.do == "fruit"]
    return uses
