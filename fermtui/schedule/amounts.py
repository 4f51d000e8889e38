"""Compute what a task asks for: grams, litres, bottles, by the field names of its entry."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import BottleKind, Settings
from fermtui.must.bottles import Priming, bottle_count, most_volumes, priming
from fermtui.must.composition import Must
from fermtui.must.honey import (
    USUAL_JUICE_SG,
    honey_to_sweeten,
    recipe,
    recipe_for_strength,
    recipe_with_juice,
)
from fermtui.must.limits import OutOfRange
from fermtui.must.preservatives import SorbateDose, must_sulfite_g, sorbate_dose, sulfite_dose
from fermtui.must.starter import starter
from fermtui.replay.contents import must_at
from fermtui.replay.facts import Facts
from fermtui.replay.fruit_lots import clinging_l
from fermtui.replay.keeping import BATH_C, BATH_H, KEEP_TASK, USUAL_CHORE
from fermtui.replay.stabilised import dosing_temp_c
from fermtui.schedule.doses import dose_amounts
from fermtui.schedule.feeding import feed_at_sg, feed_honey_g, feeds_left
from fermtui.schedule.rounding import Amounts, grams, litres
from fermtui.schedule.task import Task

FRUIT_G_PER_L = 120.0  # about a pound to the US gallon: common practice, no source
ALL_IN = datetime(2300, 1, 1, tzinfo=UTC)
ROUNDING_VOLUMES = 0.02  # what rounding the sugar to the scale may add
USUAL_BOTTLE = BottleKind(750.0)
OWN_GAS = "own gas"
"""`what` of a step that bottles a mead with sugar of its own left, into glass made for pressure."""
REFRIGERATOR_C = 4.0
NOT_FIELDS = frozenset({"only_if_slow"})


def amounts(task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    """Return the amounts of an open task by the field names of its entry, rounded as they can be weighed.

    Empty for what needs none, and where something is not known that the sum needs (the volume, the pH, how sweet).
    A dose may carry `only_if_slow`, which is no field of an entry: see `entry_fields`. Never raises.
    """
    if not task.is_open:
        return {}
    make = _MAKE.get(task.do)
    if make is None:
        return {}
    try:
        return make(task, facts, plan, settings)
    except OutOfRange:
        return {}


def entry_fields(of_task: Amounts) -> Amounts:
    """Keep the amounts of a task that are written into its entry."""
    return {name: value for name, value in of_task.items() if name not in NOT_FIELDS}


def _mix(_task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    """Return honey, water and juice of the whole must, what is poured into a second vessel included."""
    if plan.volume_l is None or facts.mixed_at is not None:
        return {}
    moisture = plan.honey_moisture_percent or settings.honey_moisture_percent
    gravity = plan.gravity
    if gravity is None:
        if plan.abv_percent is None:
            return {}
        gravity = recipe_for_strength(plan.volume_l, plan.abv_percent, plan.end, moisture).must.sg
    volume_l = plan.volume_l + (plan.pour.volume_l if plan.pour is not None else 0.0)
    if plan.juice_l:
        juice_sg = plan.juice_sg or USUAL_JUICE_SG
        made = recipe_with_juice(volume_l, gravity, juice_sg, plan.juice_l * volume_l / plan.volume_l, moisture)
        wanted: Amounts = {"honey_g": grams(made.honey_g), "juice_l": litres(made.juice_l), "juice_sg": juice_sg}
        return {**wanted, "water_l": litres(made.water_l)} if made.water_l >= 0.005 else wanted
    made = recipe(volume_l, gravity, moisture)
    return {"honey_g": grams(made.honey_g), "water_l": litres(made.water_l)}


def _pour(_task: Task, _facts: Facts, plan: Plan, _settings: Settings) -> Amounts:
    return {} if plan.pour is None else {"into": plan.pour.into, "volume_l": litres(plan.pour.volume_l)}


def _pitch(task: Task, facts: Facts, plan: Plan, _settings: Settings) -> Amounts:
    """Return the yeast of the plan; for a restart the grams of its starter, for which another yeast may be better."""
    must = must_in_all(facts)
    if task.trouble is not None:
        return {} if must is None else {"yeast_g": grams(starter(must.volume_l).yeast_g)}
    return {"yeast": plan.yeast.name} if plan.yeast.name else {}


def _end(_task: Task, facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    return {} if facts.sg is None else {"sg": round(facts.sg, 4)}


def _fruit(task: Task, facts: Facts, plan: Plan, _settings: Settings) -> Amounts:
    fruit = plan.fruit
    kind = task.what or (None if fruit is None else fruit.kind)
    if kind is None:
        return {}
    planned = fruit if fruit is not None and fruit.kind == kind else None
    wanted: Amounts = {"kind": kind}
    volume_l = plan.volume_l or facts.level_l
    if planned is not None and planned.mass_g is not None:
        wanted["mass_g"] = grams(planned.mass_g)
    elif volume_l is not None:
        wanted["mass_g"] = grams(volume_l * FRUIT_G_PER_L)
    if planned is not None and planned.treatment is not None:
        wanted["treatment"] = planned.treatment
    return wanted


def _feed(task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    """Return the honey of this feed: its part of what the wanted strength still needs; see `feeding`."""
    must = must_in_all(facts)
    if must is None:
        return {}
    moisture = plan.honey_moisture_percent or settings.honey_moisture_percent
    honey_g = feed_honey_g(must, plan, feeds_left(task, facts), moisture, feed_at_sg(task.step))
    return {"honey_g": grams(honey_g)} if honey_g >= 1.0 else {}


def _rack(_task: Task, facts: Facts, _plan: Plan, settings: Settings) -> Amounts:
    must = must_in_all(facts)
    if must is None:
        return {}
    left_l = must.volume_l * (1.0 - settings.rack_loss_percent / 100.0)
    if facts.fruit_in:  # racking off the fruit leaves what clings to it
        left_l = max(0.0, left_l - clinging_l(facts.fruit))
    return {"volume_l": litres(left_l)}


def _sulfite(_task: Task, facts: Facts, _plan: Plan, settings: Settings) -> Amounts:
    must = must_in_all(facts)
    if must is None:
        return {}
    salt: Amounts = {"salt": settings.sulfite.salt}
    if facts.pitched_at is None:
        return {"metabisulfite_g": grams(must_sulfite_g(must.volume_l, salt=settings.sulfite.salt)), **salt}
    if facts.ph is None:
        return {}
    dose = sulfite_dose(
        must.volume_l,
        facts.ph,
        must.abv_percent,
        dosing_temp_c(facts),
        molecular_mg_per_l=settings.sulfite.molecular_mg_per_l,
        free_mg_per_l=measured_free_so2_mg_per_l(facts),
        salt=settings.sulfite.salt,
    )
    return {"metabisulfite_g": grams(dose.metabisulfite_g), **salt} if dose.metabisulfite_g >= 0.005 else {}


def measured_free_so2_mg_per_l(facts: Facts) -> float:
    """Return the free SO2 measured since the last sulfite, mg/L; a dose not measured counts as bound or faded."""
    last = facts.sulfite[-1].at if facts.sulfite else None
    measured = [
        reading.free_so2_mg_per_l
        for reading in facts.readings
        if reading.free_so2_mg_per_l is not None and (last is None or reading.at > last)
    ]
    return measured[-1] if measured else 0.0


def _sorbate(_task: Task, facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    must = must_in_all(facts)
    if must is None or facts.ph is None:
        return {}
    dose = sorbate_dose(must.volume_l, facts.ph, must.abv_percent, malolactic=facts.malolactic)
    return {"sorbate_g": grams(dose.potassium_sorbate_g)} if isinstance(dose, SorbateDose) else {}


def _sweeten(_task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    must = must_in_all(facts)
    if must is None or plan.sweet_to is None:
        return {}
    moisture = plan.honey_moisture_percent or settings.honey_moisture_percent
    honey_g = honey_to_sweeten(must, max(plan.sweet_to, must.sg), moisture)
    return {"honey_g": grams(honey_g)} if honey_g >= 1.0 else {}


def _bottle(task: Task, facts: Facts, plan: Plan, settings: Settings) -> Amounts:
    must = must_in_all(facts)
    volume_l = facts.left_l if facts.lots and facts.left_l else None if must is None else must.volume_l
    if volume_l is None:
        return {}
    if task.what == OWN_GAS:
        plan = plan._replace(sparkling=True, co2_volumes=None)  # its own sugar is the priming
        settings = settings._replace(bottles=tuple(one for one in settings.bottles if one.glass == "sparkling"))
    if facts.keep == "heat":
        plan = plan._replace(sparkling=False, co2_volumes=None)  # what is heated holds no gas
    sparkling, kind = bottles_for(plan, settings)
    size_ml = USUAL_BOTTLE.size_ml if kind is None else kind.size_ml
    wanted: Amounts = {"count": bottle_count(volume_l, size_ml).count, "size_ml": size_ml}
    if not wanted["count"]:
        return {}
    if sparkling:
        wanted["glass"] = "sparkling" if kind is None else kind.glass
        if plan.co2_volumes is not None:
            wanted.update(_priming(volume_l, plan.co2_volumes, facts, plan, str(wanted["glass"])))
    return wanted


def bottles_for(plan: Plan, settings: Settings) -> tuple[bool, BottleKind | None]:
    """Tell whether it is to sparkle, and return the first of the maker's bottles made for that, or None."""
    sparkling = plan.sparkling or plan.co2_volumes is not None
    fits = ("sparkling", "beer") if sparkling else ("still",)
    return sparkling, next((one for one in settings.bottles if one.glass in fits), None)


def warmest_c(facts: Facts, plan: Plan) -> float:
    """Return the warmest that it was read since the last addition, °C, else the plan's temperature, else 20: gas that
    left it then is not in it any more, however cold it stands now.
    """
    temps = [reading.temp_c for reading in facts.since_addition if reading.temp_c is not None]
    return max(temps, default=plan.temp_c if plan.temp_c is not None else 20.0)


def priming_for(volume_l: float, co2_volumes: float, facts: Facts, plan: Plan, glass: str) -> Priming:
    """Return the sugar for the planned volumes of CO2, or for as many as the glass bears in a warm room."""
    wanted = min(co2_volumes, most_volumes(glass) - ROUNDING_VOLUMES)
    return priming(volume_l, wanted, warmest_c(facts, plan))


def _priming(volume_l: float, co2_volumes: float, facts: Facts, plan: Plan, glass: str) -> Amounts:
    made = priming_for(volume_l, co2_volumes, facts, plan, glass)
    return {"priming_g": grams(made.sugar_g), "priming_kind": "sucrose"} if made.sugar_g >= 0.05 else {}


def must_in_all(facts: Facts) -> Must | None:
    """Return the must once the fruit has given up all its juice; None where the volume is not known."""
    if not facts.volume_known:
        return None
    must = must_at(facts, ALL_IN)
    return None if must is None or must.is_empty else must


def _pull(task: Task, facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    """Return what is pulled, and of fruit the mead that is going to leave with it, by its mass."""
    wanted: Amounts = {} if task.what is None else {"what": task.what}
    if task.what in (None, "fruit") and facts.fruit_in and facts.volume_known:
        wanted["loss_l"] = litres(clinging_l(facts.fruit))
    return wanted


def _what(task: Task, _facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    return {} if task.what is None else {"what": task.what}


def _chore(task: Task, _facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    return {"what": USUAL_CHORE} if task.key == KEEP_TASK else {} if task.what is None else {"what": task.what}


def _heat(_task: Task, facts: Facts, _plan: Plan, _settings: Settings) -> Amounts:
    return {"temp_c": BATH_C, "hours": BATH_H} if facts.lots else {}


_MAKE: dict[str, Callable[[Task, Facts, Plan, Settings], Amounts]] = {
    "mix": _mix,
    "pitch": _pitch,
    "dose": dose_amounts,
    "fruit": _fruit,
    "pull": _pull,
    "add": _what,
    "chore": _chore,
    "heat": _heat,
    "chill": lambda *_: {"temp_c": REFRIGERATOR_C},
    "feed": _feed,
    "rack": _rack,
    "split": _pour,
    "sulfite": _sulfite,
    "sorbate": _sorbate,
    "sweeten": _sweeten,
    "bottle": _bottle,
    "open": lambda *_: {"count": 1},
    "end": _end,
}
