"""`fermtui start NAME ...`: a new vessel, its plan shown as it is written."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import nullcontext
from dataclasses import replace
from datetime import datetime
from typing import Any

from fermtui import units
from fermtui.cellar.store import CellarStore
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import folder_of, make_cellar, print_json, store_of
from fermtui.cli.files_out import telling
from fermtui.daybook.fields import Unfit
from fermtui.daybook.settings import Settings
from fermtui.replay.stabilised import USUAL_PH
from fermtui.reports.came_out import came_out, came_out_json
from fermtui.reports.needs import in_stock
from fermtui.reports.plan_page import keeping_dose, missing_lines, plan_lines
from fermtui.units import Units, Unreadable
from fermtui.wording.said import in_units
from fermtui.writing.planning import Preview, like, preview, write_plan
from fermtui.writing.refused import Refused
from fermtui.writing.second_vessel import read_second
from fermtui.writing.wanted import PlanUnfit, Wanted, read_strength, read_sweetness


def run(call: Call) -> int:
    """Start the vessel, or with --dry-run only show what it would be. Raises Refused."""
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage("start takes a name: `fermtui start Damson --volume 4L --gravity 1.095`")
    store, now = store_of(call, may_lack=True)
    store.load()
    try:
        wanted = _wanted(call, _base(call, store), store.settings.units)
        plan = preview(store, wanted, now)
        if "dry-run" not in call.options:
            make_cellar(store)
            write_plan(store, plan)
    except (PlanUnfit, Unreadable, Unfit) as bad:
        raise Refused(in_units(str(bad), store.settings.units)) from None
    missing = _missing(store, plan, now)
    before = came_out(store, folder_of(store, call.options["like"]), now) if "like" in call.options else None
    with nullcontext() if "dry-run" in call.options else telling(f"vessel {plan.folder} is started"):
        if "json" in call.options:
            last_time = None if before is None else came_out_json(before)
            print_json({**plan_json(plan, store.settings), "missing": missing, "last_time": last_time})
        else:
            lines = plan_lines(plan, store.settings, now, before)
            print("\n".join([*lines, *(f"  ! {line}" for line in missing)]))
    store.save()
    return 0


def _missing(store: CellarStore, plan: Preview, now: datetime) -> list[str]:
    view = store.at(now)
    return missing_lines(plan, in_stock(store.cellar, view)[0], view.settings)


def _base(call: Call, store: CellarStore) -> Wanted:
    name = call.operands[0]
    copied = call.options.get("like")
    if copied is not None:
        return replace(like(store, folder_of(store, copied)), name=name)
    if "volume" not in call.options:
        raise WrongUsage("start needs --volume, as in --volume 4L, or --like a past vessel")
    return Wanted(name=name, volume_l=0.0)


def _wanted(call: Call, wanted: Wanted, known: Units) -> Wanted:
    volume: Callable[[str], float] = lambda text: units.volume_l(text, known)  # noqa: E731 - one line of a table
    reads: dict[str, tuple[str, Callable[[str], Any]]] = {
        "volume": ("volume_l", volume),
        "abv": ("abv_percent", units.percent),
        "end": ("end", lambda text: units.gravity_sg(text, known)),
        "schedule": ("schedule", str),
        "container": ("container", str),
        "capacity": ("capacity_l", volume),
        "yeast": ("yeast", str),
        "demand": ("demand", str),
        "tolerance": ("tolerance_abv", units.percent),
        "temp": ("temp_c", lambda text: units.temp_c(text, known)),
        "fruit": ("fruit", str),
        "mass": ("fruit_g", lambda text: units.mass_g(text, known)),
        "treatment": ("treatment", str),
        "sparkling": ("co2_volumes", units.number),
        "spice": ("spice", str),
        "style": ("style", str),
        "juice": ("juice_l", volume),
        "juice-sg": ("juice_sg", lambda text: units.gravity_sg(text, known)),
        "moisture": ("honey_moisture_percent", units.percent),
        "folder": ("folder", str),
        "and": ("second", lambda text: read_second(text, known)),
    }
    empty = next(
        (name for name in ("gravity", "sweet", *reads) if name in call.options and not call.options[name].strip()), None
    )
    if empty is not None:
        raise WrongUsage(f"--{empty} is empty: give it a value or leave it out")
    found = {field: read(call.options[name]) for name, (field, read) in reads.items() if name in call.options}
    if "sweet" in call.options:
        found["sweet_to"], found["keep"] = read_sweetness(call.options["sweet"], known)
    if "malolactic" in call.options:
        found["malolactic"] = True
    if "abv" in call.options:
        found["gravity"] = None
    if "gravity" in call.options:
        meant = read_strength(call.options["gravity"], known)
        if "abv" in call.options and meant.abv_percent is not None:
            raise WrongUsage("--gravity names a strength already: leave --abv out")
        found["gravity"] = meant.gravity
        found["abv_percent"] = found.get("abv_percent", meant.abv_percent)
    return replace(wanted, **found)


def plan_json(plan: Preview, settings: Settings) -> dict[str, Any]:
    """The plan as scripts read it."""
    doses, kept = plan.doses, keeping_dose(plan, settings)
    return {
        "vessel": plan.folder,
        "name": plan.head.name,
        "schedule": plan.head.schedule,
        "volume_l": plan.head.plan.volume_l,
        "gravity": round(plan.gravity, 4),
        "abv_percent_at_end": round(plan.end_abv_percent, 2),
        "abv_percent_bottled": round(plan.outcome.final.abv_percent, 2),
        "volume_at_end_l": round(plan.outcome.final.volume_l, 3),
        "honey_g": round(plan.honey_g, 1),
        "water_l": round(plan.water_l, 3),
        "juice_l": round(plan.juice_l, 3),
        "yeast_g": round(plan.yeast_g, 1),
        "doses": None
        if doses is None
        else {"dap_g": round(doses.dap_g, 2), "autolysate_g": round(doses.autolysate_g, 2)},
        "additions": [
            {
                "task": one.task,
                "do": one.do,
                "what": one.what,
                "mass_g": round(one.mass_g, 1),
                "from_sg": round(one.from_sg, 4),
                "to_sg": round(one.to_sg, 4),
                "volume_l": round(one.volume_l, 3),
                "abv_percent": round(one.abv_percent, 2),
            }
            for one in plan.outcome.additions
        ],
        "keeping": None
        if kept is None
        else {
            "ph": USUAL_PH,
            "metabisulfite_g": round(kept.sulfite.metabisulfite_g, 2),
            "sorbate_g": None if kept.sorbate_g is None else round(kept.sorbate_g, 2),
            "free_so2_mg_per_l": round(kept.sulfite.free_after_mg_per_l, 1),
            "total_so2_mg_per_l": round(kept.sulfite.total_after_mg_per_l, 1),
            "bound_percent": round(kept.sulfite.bound_percent, 1),
        },
        "second": None if plan.second is None else plan_json(plan.second, settings),
        "room_l": None if plan.room_l is None else round(plan.room_l, 3),
        "tasks": [
            {
                "task": task.key,
                "do": task.do,
                "earliest": _day(task.earliest),
                "likely": _day(task.likely),
                "latest": _day(task.latest),
            }
            for task in plan.tasks
        ],
        "notes": list(plan.notes),
    }


def _day(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
