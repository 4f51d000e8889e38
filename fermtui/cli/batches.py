"""`fermtui bottles` and `fermtui past`: what is left to drink, by when, and the vessels put away with their scores."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from fermtui.cellar.store import CellarStore, VesselView
from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import file_of, print_json, store_of, tell_problems
from fermtui.daybook.kinds import Taste
from fermtui.daybook.places import PAST, past_names
from fermtui.replay.stage import bottles_left
from fermtui.reports.json_parts import rounded
from fermtui.reports.lots import best_by, bottle_rows, lot_name
from fermtui.units import show_number
from fermtui.wording.plain import plain


class Batch(NamedTuple):
    """One vessel that was bottled or put away; `scores` of its tastings, the oldest first, out of 20."""

    view: VesselView
    away: bool
    scores: tuple[float, ...]


def run(call: Call) -> int:
    """Print the bottles, or the vessels put away. Problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage(f"{call.command} takes no operands: `fermtui {call.command}`")
    store, now = store_of(call)
    store.load()
    batches = sorted(_batches(store, now), key=_bottled_last, reverse=True)
    if call.command == "bottles":
        batches = [one for one in batches if bottles_left(one.view.facts)]
        told, empty = "batches", "no bottle is left"
    else:
        batches = [one for one in batches if one.away]
        told, empty = "vessels", "no vessel has been put away"
    if "json" in call.options:
        print_json({"on": now.isoformat(), told: [_as_json(one, store) for one in batches]})
    else:
        lines = [line for one in batches for line in (_lines(one, store) if told == "batches" else [_line(one, store)])]
        print("\n".join(lines or [empty]))
    tell_problems(store.settings_problems)
    store.save()
    return 0


def _batches(store: CellarStore, now: Any) -> Iterator[Batch]:
    for loaded in store.vessels.values():
        if loaded.facts.lots:
            yield _batch(store, store.see(loaded, now), away=False)
    for name in past_names(store.cellar):
        yield _batch(store, store.see(store.keep_one(name, PAST), now), away=True)


def _batch(store: CellarStore, view: VesselView, *, away: bool) -> Batch:
    tastings = [entry for entry in file_of(store, view.vessel).live if isinstance(entry, Taste)]
    return Batch(view, away, tuple(float(one.score) for one in tastings if one.score is not None))


def _bottled_last(batch: Batch) -> tuple[float, str]:
    facts = batch.view.facts
    at = facts.lots[-1].at if facts.lots else facts.last_at
    return (0.0 if at is None else at.timestamp(), batch.view.vessel)


def _mean(batch: Batch) -> float | None:
    return sum(batch.scores) / len(batch.scores) if batch.scores else None


def _scored(batch: Batch) -> str:
    mean, count = _mean(batch), len(batch.scores)
    if mean is None:
        return "not tasted"
    return f"{show_number(mean, 1)} of 20" + (f" in {count} tastings" if count > 1 else "")


def _lines(batch: Batch, store: CellarStore) -> list[str]:
    """The batch, then each of its lots."""
    rows = bottle_rows(batch.view, store.settings)
    wide = max(len(name) for name, _ in rows)
    left = bottles_left(batch.view.facts)
    head = f"{plain(batch.view.name, 40)}: {left} bottle{'' if left == 1 else 's'} left, {_scored(batch)}"
    return [head, *(f"  {name:<{wide}}  {said}" for name, said in rows)]


def _line(batch: Batch, store: CellarStore) -> str:
    view, facts = batch.view, batch.view.facts
    parts = []
    if facts.pitched_at is not None:
        parts.append(f"pitched {facts.pitched_at.astimezone(store.settings.zone):%Y-%m-%d}")
    if view.abv_percent is not None:
        parts.append(f"{view.abv_percent:.1f} % vol")
    left = bottles_left(facts)
    parts += [f"{left or 'no'} bottle{'' if left == 1 else 's'} left", _scored(batch)]
    return f"{view.vessel:<24} {plain(view.name, 24):<24} {', '.join(parts)}"


def _as_json(batch: Batch, store: CellarStore) -> dict[str, Any]:
    view, zone = batch.view, store.settings.zone
    return {
        "vessel": view.vessel,
        "name": view.name,
        "put_away": batch.away,
        "abv_percent": rounded(view.abv_percent, 1),
        "abv_plus_minus": rounded(view.abv_plus_minus, 1),
        "bottles_left": bottles_left(view.facts),
        "scores": list(batch.scores),
        "score_mean": rounded(_mean(batch), 1),
        "lots": [
            {
                "lot": lot_name(view, lot, zone), "at": lot.at.isoformat(), "bottles": lot.bottles,
                "opened": lot.opened, "burst": lot.burst, "size_ml": lot.size_ml, "glass": lot.glass,
                "closure": lot.closure, "place": lot.place,
                "drink_by": None if (by := best_by(lot, zone)) is None else by.isoformat(),
            }
            for lot in view.facts.lots
        ],
    }  # fmt: skip
