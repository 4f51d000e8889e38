"""`fermtui show`: one vessel whole, or all in a line each."""

from __future__ import annotations

from datetime import datetime, tzinfo
from typing import Any

from fermtui.cellar.store import VesselView
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import (
    SCHEMA_VERSION,
    file_of,
    folder_of,
    print_json,
    store_of,
    tell_problems,
    vessel_of,
    whole_view,
)
from fermtui.cli.files_out import print_lines
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.explain.explained import Explained, all_lines
from fermtui.explain.forecast_numbers import explain_forecast
from fermtui.explain.vessel_numbers import explain_vessel
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.window import Window
from fermtui.replay.stabilised import sulfur_dioxide
from fermtui.reports.json_parts import offset_json, problems_json, rounded, troubles_json
from fermtui.reports.vessel_text import cellar_lines, vessel_lines
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Print one vessel or all. A damaged vessel that was named exits 1, after all that is good was shown."""
    explained = "explain" in call.options
    if len(call.operands) > (2 if explained else 1) or call.pairs or (explained and not call.operands):
        raise WrongUsage("show takes one vessel or none; with --explain a vessel, and one of its numbers or none")
    if call.operands:
        return _one(call, call.operands[0])
    store, view = whole_view(call)
    if "json" in call.options:
        print_json({
            "schema_version": SCHEMA_VERSION,
            "on": view.now.isoformat(),
            "vessels": [vessel_json(vessel, file_of(store, vessel.vessel), store.settings) for vessel in view.vessels],
            "problems": problems_json(view.all_problems),
        })  # fmt: skip
    else:
        print_lines(cellar_lines(view))
    tell_problems(view.all_problems)
    store.save()
    return 0


def _one(call: Call, typed: str) -> int:
    store, now = store_of(call)
    name = folder_of(store, typed)
    loaded = vessel_of(store, name)
    if loaded.place == "vessels":
        store.prepare_forecasts([name])
        loaded = store.vessels[name]
    else:
        loaded = loaded._replace(forecast_reason="it has been put away", forecast_ready=True)
    vessel = store.see(loaded, now)
    file = file_of(store, name)
    if "explain" in call.options:
        _explain(vessel, call, store.settings, now)
    elif "json" in call.options:
        print_json({"schema_version": SCHEMA_VERSION, **vessel_json(vessel, file, store.settings)})
    else:
        print_lines(vessel_lines(vessel, file, store.settings, now))
    tell_problems(store.settings_problems + vessel.problems)
    store.save()
    return 1 if vessel.problems else 0


def _explain(vessel: VesselView, call: Call, settings: Settings, now: datetime) -> None:
    """Print where the numbers of a vessel come from, or the one that is named. Raises Refused."""
    steps = (
        *explain_vessel(vessel.facts, vessel.head.plan, vessel.present, settings, now),
        *explain_forecast(vessel.forecast, vessel.facts, vessel.head.plan, settings.zone),
    )
    if len(call.operands) == 2:
        wanted = call.operands[1].strip().casefold()
        found = [step for step in steps if step.name.casefold() == wanted]
        found = found or [step for step in steps if wanted in step.name.casefold()]
        if not found:
            names = ", ".join(dict.fromkeys(step.name for step in steps)) or "nothing is known of it yet"
            raise Refused(f"{vessel.vessel} has no number {plain(wanted, 40)!r}: {names}")
        steps = tuple(found)
    if "json" in call.options:
        print_json({"schema_version": SCHEMA_VERSION, "vessel": vessel.vessel, "numbers": list(map(step_json, steps))})
    else:
        print_lines(all_lines(steps, settings.units))


def step_json(step: Explained) -> dict[str, Any]:
    """One explained number as scripts read it."""
    inputs = [{"name": one.name, "value": one.value, "unit": one.unit} for one in step.inputs]
    return {"name": step.name, "value": step.value, "unit": step.unit, "formula": step.formula, "inputs": inputs,
            "source": step.source}  # fmt: skip


def vessel_json(vessel: VesselView, file: VesselFile, settings: Settings) -> dict[str, Any]:
    """One vessel as scripts read it. What is unknown is null; units stand in the keys."""
    return {
        "vessel": vessel.vessel,
        "name": vessel.name,
        "stage": vessel.stage,
        "trouble": vessel.trouble,
        "troubles": troubles_json(vessel, settings),
        "day": vessel.day,
        "container": vessel.facts.container,
        "volume_l": rounded(vessel.volume_l, 3),
        "headspace_l": rounded(vessel.headspace_l, 3),
        "gravity": rounded(vessel.gravity, 5),
        "gravity_from": vessel.facts.sg_from or None,
        "end_gravity": rounded(vessel.facts.end, 5),
        "original_gravity": rounded(vessel.facts.og, 5),
        "g0": rounded(vessel.facts.g0, 5),
        "abv_percent": rounded(vessel.abv_percent, 2),
        "abv_plus_minus": rounded(vessel.abv_plus_minus, 2),
        "sugar_spent_percent": rounded(vessel.sugar_spent_percent, 1),
        "refermentable_g_per_l": rounded(vessel.refermentable_g_per_l, 1),
        "refermentable_plus_minus": rounded(vessel.refermentable_plus_minus, 1),
        "speed_sg_per_day": rounded(vessel.speed_sg_per_day, 5),
        "so2": _so2_json(vessel),
        "readings": [
            {
                "at": r.at.isoformat(), "sg": rounded(r.sg, 5), "plus_minus": r.plus_minus, "temp_c": r.temp_c,
                "ph": r.ph, "free_so2_mg_per_l": r.free_so2_mg_per_l, "entry": r.key, "by": r.by,
            }
            for r in vessel.facts.readings
        ],
        "sensors": [offset_json(one) for one in vessel.facts.sensors],
        "entries": [entry_json(entry, file) for entry in file.entries],
        "forecast": forecast_json(vessel.forecast),
        "forecast_reason": vessel.forecast_reason,
        "notes": list(vessel.facts.notes),
        "problems": problems_json(vessel.problems),
    }  # fmt: skip


def _so2_json(vessel: VesselView) -> dict[str, Any] | None:
    """Free and total SO2 in mg/L; null where no sulfite went in. Not measured, the free is what is left at most."""
    found = sulfur_dioxide(vessel.facts)
    if found is None:
        return None
    return {
        "free_mg_per_l": round(found.free_mg_per_l, 1), "total_mg_per_l": round(found.total_mg_per_l, 1),
        "bound_percent": rounded(found.bound_percent, 1), "measured": found.measured,
    }  # fmt: skip


def entry_json(entry: Any, file: VesselFile) -> dict[str, Any]:
    """One entry as it is written, with its key and whether it was struck."""
    answers: dict[str, Any] = {"key": entry.key, "at": entry.at.isoformat()}
    for name, value in entry.written.items():
        if name != "at":
            answers[name] = value if isinstance(value, str | bool | int) else _plain_value(value)
    answers["struck"] = entry.key in file.struck
    return answers


def _plain_value(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else float(value)


def window_json(window: Window | None, zone: tzinfo | None) -> dict[str, str | None] | None:
    """Earliest, likely, latest; null where it never comes or has passed."""
    if window is None:
        return None
    return {name: None if at is None else at.astimezone(zone).isoformat() for name, at in window._asdict().items()}


def forecast_json(forecast: Forecast | None) -> dict[str, Any] | None:
    """The forecast as scripts read it."""
    if forecast is None:
        return None
    chances = forecast.chances
    zone = forecast.now.tzinfo
    best = forecast.best_reading()
    now_wide, without_own = (None if wide is None else round(wide, 2) for wide in forecast.days_wide())
    return {
        "finish": window_json(forecast.finish, zone),
        "crossings": {name: window_json(window, zone) for name, window in forecast.crossings().items()},
        "band": [
            {"at": row.at.astimezone(zone).isoformat(), "low": round(row.low, 5), "likely": round(row.likely, 5),
             "high": round(row.high, 5)}
            for row in forecast.band()
        ],
        "finished": round(chances.finished, 4),
        "stalled": round(chances.stalled, 4),
        "slow": round(chances.slow, 4),
        "not_started": round(chances.not_started, 4),
        "confidence": chances.confidence,
        "readings": chances.n_readings,
        "learned_from": round(chances.learned_from, 2),
        "behaves_like": {name: round(share, 4) for name, share in chances.worlds},
        "finish_days_wide": now_wide,
        "finish_days_wide_without_own": without_own,
        "best_reading": None if best is None else {
            "at": best.at.astimezone(zone).isoformat(), "finish_days_wide_now": best.days_wide_now,
            "finish_days_wide_after": best.days_wide_after, "of_use_from": best.use_from.astimezone(zone).isoformat(),
        },
    }  # fmt: skip
