"""Starting a vessel: from what is wanted to honey, water, yeast, doses and dates, seen before anything is written."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from typing import Any

from fermtui.cellar.loaded import measures_of
from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import NAME, Unfit
from fermtui.daybook.head import DEFAULT_END, Head, Plan, PlannedFruit, PlannedPour, Yeast, head_from, head_table
from fermtui.daybook.lines import entry_of_line, line_of
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import past_names, slug
from fermtui.daybook.settings import Settings
from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.forecast import Forecast, doses_in
from fermtui.must.fruit import UnknownFruit, fruit_parts
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import DoseTotals, dose_totals, own_nitrogen_mg_per_l, yeast_g
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.schedule import library
from fermtui.schedule.amounts import FRUIT_G_PER_L
from fermtui.schedule.outcome import Outcome, outcome
from fermtui.schedule.planned_steps import for_plan
from fermtui.schedule.steps import Schedule
from fermtui.schedule.task import Task
from fermtui.schedule.tasks import tasks
from fermtui.units import Unreadable
from fermtui.wording.plain import plain
from fermtui.wording.problems import reason
from fermtui.writing.ingredients import ingredients
from fermtui.writing.plan_checks import FILL_SHARE_MOST, notes, too_much
from fermtui.writing.second_vessel import own_part_l, wanted_of
from fermtui.writing.wanted import PlanUnfit, Wanted

DEFAULT_SCHEDULE, FRUIT_SCHEDULE = "two-doses", "fruit-when-dry"
SMALL_ROOM_M3 = 30.0


# The fields that a plan and what is wanted have in common.
_SAME = tuple(name for name in Plan._fields if name in {one.name for one in fields(Wanted)} - {"yeast", "fruit"})


@dataclass(frozen=True, slots=True)
class Preview:
    """The plan as it would be written, and what follows from it. `notes` are sentences; `cautions` name moments.

    `gravity` is that of the must as it is mixed; `outcome` what it comes to with fruit, feeds and losses. Honey, water
    and juice are of the whole must; with a `second` vessel that is the must of both.
    """

    folder: str
    head: Head
    gravity: float
    outcome: Outcome
    honey_g: float
    water_l: float
    juice_l: float
    yeast_g: float
    doses: DoseTotals | None
    capacity_l: float | None
    tasks: tuple[Task, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    second: Preview | None = None

    @property
    def end_abv_percent(self) -> float:
        """The strength once it has fermented out, before any sweetening, in % vol."""
        return self.outcome.end.abv_percent

    @property
    def room_l(self) -> float | None:
        """What is left in the container once fruit and feeds are in; None where its size is not known."""
        return None if self.capacity_l is None else self.capacity_l - self.outcome.level_l


def preview(store: CellarStore, wanted: Wanted, now: datetime) -> Preview:
    """Work a plan out, of both vessels where one must is for two. Raises PlanUnfit with one sentence."""
    second = wanted.second
    if second is None:
        return _preview(store, wanted, now)
    if not second.name.strip() or second.name.strip().casefold() == wanted.name.strip().casefold():
        raise PlanUnfit("the second vessel needs a name of its own")
    try:
        own_l = own_part_l(wanted, second)
    except Unreadable as why:
        raise PlanUnfit(str(why)) from None
    share = own_l / wanted.volume_l
    juice_l = None if wanted.juice_l is None else wanted.juice_l * share
    own = _preview(store, replace(wanted, volume_l=own_l, juice_l=juice_l, second=None), now)
    other = _preview(store, wanted_of(wanted, second, own.gravity, fed=_is_fed(own)), now, beside=own.folder)
    container = own.head.container
    both = [] if container is None or container != other.head.container else [f"both stand in {plain(container, 40)}"]
    pour = PlannedPour(other.folder, other.head.plan.volume_l or 0.0)
    return replace(
        own,
        head=own.head._replace(plan=own.head.plan._replace(pour=pour)),
        honey_g=own.honey_g / share,
        water_l=own.water_l / share,
        juice_l=own.juice_l / share,
        notes=(*own.notes, *both),
        second=replace(other, head=other.head._replace(parent=own.folder)),
    )


def _is_fed(plan: Preview) -> bool:
    return any(added.do == "feed" for added in plan.outcome.additions)


def _preview(store: CellarStore, wanted: Wanted, now: datetime, beside: str | None = None) -> Preview:
    """The plan of one vessel; `beside` is a folder that is taken by the time it is written. Raises PlanUnfit."""
    settings = store.settings
    folder = _folder(store, wanted, beside)
    if wanted.volume_l <= 0.0:
        raise PlanUnfit("say how much it is to be, as in 4.2 L")
    wanted = _with_fruit(wanted)
    known = settings.yeast(wanted.yeast)
    if known is not None:
        wanted = replace(
            wanted,
            demand=wanted.demand or known.demand,
            tolerance_abv=wanted.tolerance_abv if wanted.tolerance_abv is not None else known.tolerance_abv,
        )
    name = wanted.schedule or (FRUIT_SCHEDULE if wanted.fruit else DEFAULT_SCHEDULE)
    schedule, problems = library.load(name, store.cellar.path / "schedules")
    if schedule is None:
        raise PlanUnfit(reason(problems[0]) if problems else f"there is no schedule {name[:60]!r}")
    try:
        must, honey_g, water_l, juice_l = ingredients(wanted, _plan(wanted), settings, schedule.by_do.get("feed", ()))
        refused = too_much(wanted.volume_l, must.sg, settings.units)
        if refused is not None:
            raise PlanUnfit(refused)
        _end_below(wanted, must.sg)
        _check_fruit(wanted)
        capacity_l = _capacity_l(wanted, settings)
        without_doses = _as_written(_head(wanted, name, must.sg, None))
        pitched = _pitched_now(without_doses, settings, now)
        order = tasks(pitched, schedule, without_doses.plan, None, now, settings.zone, folder)
        # The order of the steps is known without a forecast, and the doses must be known for one.
        doses = _doses(wanted, outcome(must, order, without_doses.plan, settings), settings)
        head = _as_written(_head(wanted, name, must.sg, doses))
        dated = _dated(store, head, schedule, pitched, now, folder)
        comes_to = outcome(must, dated, head.plan, settings)
    except OutOfRange as beyond:
        raise PlanUnfit(str(beyond)) from None
    if capacity_l is not None and wanted.volume_l > capacity_l:
        raise PlanUnfit(
            f"{wanted.volume_l:.4g} L do not fit into {capacity_l:.4g} L: "
            f"plan {FILL_SHARE_MOST * capacity_l:.3g} L at most, or take a larger vessel"
        )
    return Preview(
        folder=folder,
        head=head,
        gravity=must.sg,
        outcome=comes_to,
        honey_g=honey_g,
        water_l=water_l,
        juice_l=juice_l,
        yeast_g=yeast_g(wanted.volume_l, must.sg),
        doses=doses,
        capacity_l=capacity_l,
        tasks=dated,
        notes=tuple(notes(store, wanted, schedule, must.sg, comes_to, capacity_l)),
        cautions=_cautions(store, wanted),
    )


def _as_written(head: Head) -> Head:
    """The head as it is read back from its file. Raises PlanUnfit."""
    try:
        return head_from(head_table(head))
    except Unfit as bad:
        raise PlanUnfit(str(bad)) from None


def write_plan(store: CellarStore, plan: Preview) -> str:
    """Start the vessel, and the second one from its must; the folder name. Raises NotWritten, Unfit.

    The first is written first: a second that is lost on the way is started by the pouring itself.
    """
    for one in (plan, plan.second):
        if one is not None:
            start_vessel(store.cellar, one.folder, head_table(one.head))
            store.renew(one.folder)
    return plan.folder


def like(store: CellarStore, vessel: str) -> Wanted:
    """What was wanted of a vessel at work or put away, to want it again. Raises PlanUnfit."""
    loaded = store.load_one(vessel)
    if loaded is None:
        raise PlanUnfit(f"there is no vessel {vessel[:60]!r} to copy, at work or put away")
    head, plan = loaded.head, loaded.head.plan
    fruit = plan.fruit
    gravity = plan.gravity or loaded.facts.og
    plan = plan._replace(
        volume_l=plan.volume_l or loaded.facts.level_l or 0.0,
        gravity=gravity,
        abv_percent=plan.abv_percent if gravity is None or _feeds(loaded.schedule) else None,
    )
    return Wanted(
        **{name: getattr(plan, name) for name in _SAME},
        name=head.name,
        style=head.style,
        schedule=head.schedule,
        container=head.container,
        capacity_l=head.capacity_l,
        yeast=plan.yeast.name,
        demand=plan.yeast.demand,
        tolerance_abv=plan.yeast.tolerance_abv,
        fruit=fruit.kind if fruit else None,
        fruit_g=fruit.mass_g if fruit else None,
        treatment=fruit.treatment if fruit else None,
    )


def _feeds(schedule: Schedule | None) -> bool:
    return schedule is not None and "feed" in schedule.by_do


def _folder(store: CellarStore, wanted: Wanted, beside: str | None) -> str:
    if not wanted.name.strip():
        raise PlanUnfit("a vessel needs a name, as in Damson")
    taken = (*store.names(), *past_names(store.cellar), *([beside] if beside else []))
    if wanted.folder is None:
        return slug(wanted.name, taken)
    if not NAME.match(wanted.folder):
        raise PlanUnfit("a vessel's folder is named with letters a to z, digits, hyphens and underscores")
    if wanted.folder.lower() in {name.lower() for name in taken}:
        raise PlanUnfit(f"there is a vessel {wanted.folder} already, at work or put away: give another folder name")
    return wanted.folder


def _with_fruit(wanted: Wanted) -> Wanted:
    """The usual mass where fruit is wanted and not weighed. Raises PlanUnfit for a mass of no fruit."""
    if wanted.fruit:
        mass_g = wanted.fruit_g if wanted.fruit_g is not None else round(FRUIT_G_PER_L * wanted.volume_l)
        return replace(wanted, fruit_g=mass_g)
    if wanted.fruit_g is not None or wanted.treatment is not None:
        raise PlanUnfit("a mass or a treatment without the fruit: say which fruit, or leave it out")
    return wanted


def _end_below(wanted: Wanted, gravity: float) -> None:
    end = wanted.end if wanted.end is not None else 1.0
    if end >= gravity - 0.002:
        raise PlanUnfit(f"an end of {end:.3f} leaves nothing to ferment of {gravity:.3f}: it lies below it, as 1.000")
    if wanted.sweet_to is not None and wanted.sweet_to < end:
        raise PlanUnfit(f"sweetened to {wanted.sweet_to:.3f} it would be drier than its end of {end:.3f}: give more")


def _doses(wanted: Wanted, comes_to: Outcome, settings: Settings) -> DoseTotals | None:
    """Nutrient for all that ferments: held-back honey counts, and so does fruit that is in before the first dose."""
    nutrients, all_in = settings.nutrients, comes_to.all_in
    volume_l = all_in.volume_l
    own = own_nitrogen_mg_per_l(
        volume_l, min(volume_l, (wanted.juice_l or 0.0) + comes_to.juice_l),
        honey_mg_per_l=nutrients.honey_mg_per_l, juice_mg_per_l=nutrients.juice_mg_per_l,
    )  # fmt: skip
    demand = wanted.demand or "medium"
    return dose_totals(
        volume_l,
        all_in.extract_mass_percent,
        demand,
        factor=nutrients.demand_factor(demand),
        own_mg_per_l=own,
        inorganic_share=nutrients.inorganic_share,
        autolysate_n_percent=nutrients.autolysate_n_percent,
        autolysate_effect=nutrients.autolysate_effect,
    )


def _plan(wanted: Wanted) -> Plan:
    """What is wanted as a plan, before its gravity and its doses are known."""
    return Plan(**{name: getattr(wanted, name) for name in _SAME})._replace(
        volume_l=round(wanted.volume_l, 3),
        end=DEFAULT_END if wanted.end is None else wanted.end,
        yeast=Yeast(wanted.yeast, wanted.demand or "medium", wanted.tolerance_abv),
        fruit=PlannedFruit(wanted.fruit, wanted.fruit_g, wanted.treatment) if wanted.fruit else None,
        sweet=wanted.sweet or wanted.sweet_to is not None,
        sparkling=wanted.sparkling or wanted.co2_volumes is not None,
    )


def _head(wanted: Wanted, schedule: str, gravity: float, doses: DoseTotals | None) -> Head:
    grams = None if doses is None else {"dap_g": round(doses.dap_g, 2), "autolysate_g": round(doses.autolysate_g, 2)}
    return Head(
        name=wanted.name.strip(),
        container=wanted.container,
        capacity_l=wanted.capacity_l,
        schedule=schedule,
        style=wanted.style,
        plan=_plan(wanted)._replace(gravity=round(gravity, 4), doses=grams),
    )


def _capacity_l(wanted: Wanted, settings: Settings) -> float | None:
    if wanted.capacity_l is not None:
        return wanted.capacity_l
    if wanted.container is None:
        return None
    if wanted.container not in settings.capacities_l:
        names = ", ".join(plain(name, 40) for name in settings.capacities_l) or "none"
        wrong = f"container {wanted.container[:60]!r} is not in cellar.toml"
        raise PlanUnfit(f"{wrong}; there are: {names}; or give its size (capacity)")
    return settings.capacities_l[wanted.container]


def _check_fruit(wanted: Wanted) -> None:
    """Raises PlanUnfit for a fruit or a treatment that no table knows."""
    if not wanted.fruit or not wanted.fruit_g:
        return
    try:
        fruit_parts(wanted.fruit, wanted.fruit_g, wanted.treatment or "raw")
    except (UnknownFruit, OutOfRange) as unknown:
        raise PlanUnfit(str(unknown)) from None


def _cautions(store: CellarStore, wanted: Wanted) -> tuple[str, ...]:
    """The moments of which cautions are shown; the law is told at length at the first start only."""
    settings = store.settings
    started = bool(store.names() or past_names(store.cellar))
    moments = ["later_start" if started else "first_start", "plan"]
    if settings.room_m3 is None or settings.room_m3 < SMALL_ROOM_M3:
        moments.append("small_room")
    if wanted.co2_volumes is not None or wanted.sparkling:
        moments.append("sparkling")
    return tuple(moments)


def _pitched_now(head: Head, settings: Settings, now: datetime) -> Facts:
    """The facts as they would be if it were mixed, read and pitched now."""
    entries = [
        _entry("a", "mix", now - timedelta(minutes=2), {"volume_l": head.plan.volume_l or 1.0}),
        _entry("b", "read", now - timedelta(minutes=1), {"sg": round(head.plan.gravity or 1.0, 4)}),
        _entry("c", "pitch", now, {}),
    ]
    return replay(head, entries, measures_of(settings))


def _dated(
    store: CellarStore, head: Head, schedule: Schedule, facts: Facts, now: datetime, folder: str
) -> tuple[Task, ...]:
    """The tasks with the days that the forecast of such a must gives them."""
    from fermtui.forecast.from_facts import foretell  # with the model, 25 ms: only a plan makes one of nothing

    doses = doses_in(for_plan(schedule, head.plan).steps)
    answers = ForecastAnswers(dict, lambda: foretell(facts, head.plan, doses, store.history().priors()))
    forecast = Forecast(answers, now, now, facts.g0)
    if "forced_test" in schedule.by_do:  # what waits for it is dated as if it stopped at the planned end
        facts = facts._replace(forced_sg=head.plan.end)
    return tasks(facts, schedule, head.plan, forecast, now, store.settings.zone, folder)


def _entry(key: str, did: str, at: datetime, fields: dict[str, Any]) -> Entry:
    return entry_of_line(line_of(key, did, at, fields))
