"""Text for the label of a lot of bottles: what is in it, how strong, how old, how long it keeps."""

from __future__ import annotations

from typing import Any

from fermtui.cellar.store import VesselView
from fermtui.daybook.settings import Settings
from fermtui.replay.facts import Lot
from fermtui.reports.json_parts import rounded
from fermtui.reports.lots import best_by, contains_sulfites, lot_name, sulfite_added_mg_per_l
from fermtui.units import show_number
from fermtui.wording.plain import plain

LAW = (
    "Labels for home use: what must stand on a label, and whether mead may be given or sold at all, is for your local "
    "law to say; strength is reckoned, not measured by a laboratory."
)
SULFITE = (
    "Yeast makes some sulfite by itself: below 10 mg/L given, the bottle may hold more than that, and only a "
    "measurement tells."
)


def label_lines(view: VesselView, lot: Lot, settings: Settings) -> list[str]:
    """One label, a line each: name, kind, strength with its uncertainty, size, day, lot, keeping, sulfites."""
    fruit = list(dict.fromkeys(plain(one.kind, 30) for one in view.facts.fruit))
    sparkling = lot.glass == "sparkling" or lot.priming_g > 0.0
    kind = ("sparkling " if sparkling else "") + ("mead" if not fruit else f"mead with {' and '.join(fruit)}")
    lines = [plain(view.name, 60), kind]
    if view.abv_percent is not None:
        near = show_number(view.abv_plus_minus or 0.0, 1, settings.units)
        lines.append(f"{show_number(view.abv_percent, 1, settings.units)} ± {near} % vol")
    lines += [f"{lot.size_ml:g} mL", f"bottled {lot.at.astimezone(settings.zone):%Y-%m-%d}"]
    lines.append(f"lot {lot_name(view, lot, settings.zone)}")
    by = best_by(lot, settings.zone)
    if by is not None:
        lines.append(f"best by {by:%Y-%m-%d}")
    if contains_sulfites(view.facts, lot):
        lines.append("contains sulfites")
    if sparkling:
        lines.append("under pressure: keep cool, open away from faces")
    return lines


def boxed(lines: list[str]) -> list[str]:
    """Lines in a frame to cut along."""
    wide = max(len(line) for line in lines)
    edge = f"+{'-' * (wide + 2)}+"
    return [edge, *(f"| {line:^{wide}} |" for line in lines), edge]


def label_json(view: VesselView, lot: Lot, settings: Settings) -> dict[str, Any]:
    """The same as scripts read it."""
    by = best_by(lot, settings.zone)
    return {
        "vessel": view.vessel,
        "name": view.name,
        "lot": lot_name(view, lot, settings.zone),
        "bottled": lot.at.astimezone(settings.zone).date().isoformat(),
        "abv_percent": rounded(view.abv_percent, 2),
        "abv_plus_minus": rounded(view.abv_plus_minus, 2),
        "size_ml": lot.size_ml,
        "bottles": lot.bottles,
        "fruit": list(dict.fromkeys(one.kind for one in view.facts.fruit)),
        "closure": lot.closure,
        "best_by": None if by is None else by.isoformat(),
        "sulfite_added_mg_per_l": round(sulfite_added_mg_per_l(view.facts, lot), 1),
        "contains_sulfites": contains_sulfites(view.facts, lot),
        "text": label_lines(view, lot, settings),
    }
