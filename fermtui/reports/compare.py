"""Batches side by side: what went in, how it ran, what came out, how it tasted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Any

from fermtui.cellar.store import VesselView
from fermtui.daybook.kinds import Taste
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.replay.facts import Facts
from fermtui.replay.stability import END_SLACK_SG, ROUNDING_SG, at_end_now
from fermtui.reports.curves import LETTERS, BatchCurve, curve_lines
from fermtui.reports.document import WIDTH, Block, Pairs, Part, Points, Section, Table
from fermtui.reports.json_parts import rounded
from fermtui.units import Units, show_gravity, show_number
from fermtui.wording.fields import as_written
from fermtui.wording.plain import plain

PLOT_HEIGHT = 18
LEAST_DAYS = 21.0
BATCHES_MOST = len(LETTERS)
WORDS_MOST = 400


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch to compare. Days count from pitching; gravities are SG 20/20; None is not known."""

    letter: str
    vessel: str
    name: str
    pitched: date | None
    yeast: str | None
    og: float | None
    fg: float | None
    last_sg: float | None
    days_to_dry: float | None
    temp_mean_c: float | None
    abv_percent: float | None
    abv_plus_minus: float | None
    bottles: int
    scores: tuple[float, ...]
    notes: tuple[str, ...]
    curve: tuple[tuple[float, float], ...]


def batch_of(letter: str, view: VesselView, file: VesselFile, zone: tzinfo) -> Batch:
    """What is compared of one vessel."""
    facts = view.facts
    tastings = [entry for entry in file.live if isinstance(entry, Taste)]
    temps = [r.temp_c for r in facts.after_pitch if r.temp_c is not None]
    return Batch(
        letter=letter,
        vessel=view.vessel,
        name=view.name,
        pitched=None if facts.pitched_at is None else facts.pitched_at.astimezone(zone).date(),
        yeast=view.head.plan.yeast.name,
        og=facts.og,
        fg=facts.sg if facts.after_pitch and _is_over(view) else None,
        last_sg=facts.sg if facts.after_pitch else None,
        days_to_dry=days_to_dry(facts),
        temp_mean_c=sum(temps) / len(temps) if temps else None,
        abv_percent=view.abv_percent if facts.pitched_at is not None else None,
        abv_plus_minus=view.abv_plus_minus if facts.pitched_at is not None else None,
        bottles=sum(lot.bottles for lot in facts.lots),
        scores=tuple(entry.score for entry in tastings if entry.score is not None),
        notes=tuple(
            _tasting(entry, zone) for entry in tastings if entry.look or entry.smell or entry.taste or entry.text
        ),
        curve=_curve(facts),
    )


def _is_over(view: VesselView) -> bool:
    """Whether its gravity is its last one: at its planned end, or past fermenting."""
    return at_end_now(view.facts) or view.stage in ("clearing", "ageing", "bottled")


def days_to_dry(facts: Facts) -> float | None:
    """Days from pitching to the first reading at the plan's end (within 0.002), fruit or not; None when never read."""
    start = facts.pitched_at
    if start is None:
        return None
    low = facts.end + END_SLACK_SG + ROUNDING_SG
    dry = next((r.at for r in facts.after_pitch if r.sg is not None and r.sg <= low), None)
    return None if dry is None else _days(start, dry)


def _days(start: datetime, at: datetime) -> float:
    return (at - start).total_seconds() / 86_400.0


def _curve(facts: Facts) -> tuple[tuple[float, float], ...]:
    start = facts.pitched_at
    if start is None:
        return ()
    points = [(0.0, facts.og)] if facts.og is not None else []
    points += [(_days(start, r.at), r.sg) for r in facts.after_pitch if r.sg is not None]
    return tuple((day, sg) for day, sg in points if sg is not None)


def _tasting(entry: Taste, zone: tzinfo) -> str:
    parts = [part for part in (entry.look, entry.smell, entry.taste, entry.text) if part]
    return f"{entry.at.astimezone(zone):%Y-%m-%d}: {plain('; '.join(parts), WORDS_MOST)}"


def comparison(batches: Sequence[Batch], settings: Settings) -> Iterator[Section]:
    """Who is who, a row of numbers for each, the curves, and what was tasted."""
    reach = max((_settles(batch.curve) for batch in batches), default=0.0)
    curves = [BatchCurve(batch.letter, [point for point in batch.curve if point[0] <= reach]) for batch in batches]
    drawn = curve_lines(curves, WIDTH - 2, PLOT_HEIGHT, settings.units)
    parts: list[tuple[str, Part]] = [
        ("Batches", Pairs([(batch.letter, _who(batch)) for batch in batches])),
        ("Numbers", Table(_HEAD, [_row(batch, settings) for batch in batches])),
    ]
    if drawn:
        parts.append(("Gravity from the day of pitching", Block(drawn)))
    parts += [
        (f"{batch.letter}: {plain(batch.name, 40)}, as tasted", Points(batch.notes)) for batch in batches if batch.notes
    ]
    for title, part in parts:
        yield Section(title, part)


def _settles(curve: Sequence[tuple[float, float]]) -> float:
    """The day up to which a curve is worth drawing: some time after the last one off its end by more than 0.003."""
    moving = [day for day, sg in curve if abs(sg - curve[-1][1]) > 0.003]
    return max(LEAST_DAYS, 1.2 * moving[-1] + 3.0) if moving else LEAST_DAYS


def _who(batch: Batch) -> str:
    pitched = "not pitched" if batch.pitched is None else f"pitched {batch.pitched}"
    return ", ".join(part for part in (plain(batch.name, 60), pitched, plain(batch.yeast or "", 40)) if part)


_HEAD = ("", "OG", "FG", "% vol", "days to dry", "mean temp", "bottles", "score of 20")


def _row(batch: Batch, settings: Settings) -> tuple[str, ...]:
    units = settings.units
    strength = ""
    if batch.abv_percent is not None:
        near = show_number(batch.abv_plus_minus or 0.0, 1, units)
        strength = f"{show_number(batch.abv_percent, 1, units)} ± {near}"
    return (
        batch.letter,
        "" if batch.og is None else show_gravity(batch.og, units),
        _last(batch, units),
        strength,
        "" if batch.days_to_dry is None else f"{batch.days_to_dry:.0f}",
        "" if batch.temp_mean_c is None else _degrees(batch.temp_mean_c, settings),
        str(batch.bottles) if batch.bottles else "",
        ", ".join(as_written(score, units) for score in batch.scores),
    )


def _last(batch: Batch, units: Units) -> str:
    """The final gravity; of a live ferment the last reading, and called so."""
    if batch.fg is not None:
        return show_gravity(batch.fg, units)
    return "" if batch.last_sg is None else f"last {show_gravity(batch.last_sg, units)}"


def _degrees(celsius: float, settings: Settings) -> str:
    if settings.units.temp == "F":
        return f"{celsius * 1.8 + 32:.0f} °F"
    return f"{show_number(celsius, 1, settings.units)} °C"


def as_json(batch: Batch) -> dict[str, Any]:
    """One batch as scripts read it."""
    return {
        "vessel": batch.vessel,
        "name": batch.name,
        "pitched": None if batch.pitched is None else batch.pitched.isoformat(),
        "yeast": batch.yeast,
        "original_gravity": rounded(batch.og, 5),
        "final_gravity": rounded(batch.fg, 5),
        "last_gravity": rounded(batch.last_sg, 5),
        "days_to_dry": rounded(batch.days_to_dry, 2),
        "temp_mean_c": rounded(batch.temp_mean_c, 2),
        "abv_percent": rounded(batch.abv_percent, 3),
        "abv_plus_minus": rounded(batch.abv_plus_minus, 3),
        "bottles": batch.bottles,
        "score": batch.scores[-1] if batch.scores else None,
        "scores": list(batch.scores),
        "notes": list(batch.notes),
        "curve": [{"day": round(day, 3), "sg": round(sg, 5)} for day, sg in batch.curve],
    }
