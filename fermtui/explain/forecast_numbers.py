"""The forecast explained: what its dates and chances count, and what they are drawn from."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from fermtui.daybook.head import Plan
from fermtui.explain.explained import Explained, Input
from fermtui.forecast.alarms import STALL_ABOVE_SG
from fermtui.forecast.forecast import Forecast
from fermtui.forecast.posterior import NEAR_END, Posterior
from fermtui.forecast.readoff import HARDLY_MOVES_SG, SOON_DAYS
from fermtui.replay.facts import Facts
from fermtui.wording.dates import short_day

KINDS = {
    "own": "like your own", "fed": "fed and warm", "late": "fed, slow to start", "neglected": "left to itself",
}  # fmt: skip
HALTS = "halts above its end"
COURSE = (
    "possible courses of the gravity, each a lag, a fall that slows down and a tail, in days at 20 °C; each counts as "
    "well as the readings fit it, and goes on after the last one at a pace of its own"
)
SOURCE = (
    "our own model; pace and temperature after Coleman, Fish and Block 2007 (second hand), all else judgement, scored "
    "by tests/bench against recorded ferments"
)


def explain_forecast(forecast: Forecast | None, facts: Facts, plan: Plan, zone: tzinfo) -> tuple[Explained, ...]:
    """Finish and chances as the vessel's page shows them; nothing where there is no forecast."""
    return () if forecast is None else tuple(_all(forecast, facts, plan, zone))


def _all(forecast: Forecast, facts: Facts, plan: Plan, zone: tzinfo) -> Iterator[Explained]:
    chances, known = forecast.chances, forecast.answers.posterior
    yield Explained(
        "readings to go by",
        float(len(known.readings)),
        "readings",
        f"the forecast counts {sum(draw.count for draw in known.draws)} {COURSE}",
        _drawn_from(known, facts, plan),
        SOURCE,
    )
    if chances.finish is not None and forecast.finish is not None:
        today = forecast.now.astimezone(zone).date()
        window, days = forecast.finish, chances.finish
        dates = [
            (name, None if at is None else f"{short_day(at.astimezone(zone).date(), today)}, day {day:.0f}")
            for name, at, day in (
                ("earliest, one in ten", window.earliest, days.earliest_day),
                ("likely, five in ten", window.likely, days.likely_day),
                ("latest, nine in ten", window.latest, days.latest_day),
            )
        ]
        yield Explained(
            "finish",
            days.likely_day,
            "days",
            f"days after pitching by which half of the courses have come within {NEAR_END:g} of where they end",
            tuple(Input(name, text or "not in sight") for name, text in dates),
            SOURCE,
        )
    best = forecast.best_reading()
    if best is not None:
        yield Explained(
            "best day for the next reading",
            (best.at - forecast.start).total_seconds() / 86_400.0,
            "days",
            "days after pitching; the courses weighed anew by readings that they foretell for days after the last one, "
            "and the first day that narrows the finish nearly as much as the best",
            (
                Input("finish is known to within", best.days_wide_now, "days"),
                Input("and after that reading", best.days_wide_after, "days"),
                Input("a reading is of no use before day", (best.use_from - forecast.start).total_seconds() / 86_400.0),
            ),
            SOURCE,
        )
    yield Explained(
        "has stopped",
        100.0 * chances.finished,
        "%",
        f"share of the courses that are within {NEAR_END:g} of their end by now, dry or not",
        (Input("today is day", f"{forecast.now_day:.1f}"),),
        SOURCE,
    )
    yield Explained(
        "ends high",
        100.0 * chances.stalled,
        "%",
        f"share of the courses that fall less than {HARDLY_MOVES_SG:g} in {SOON_DAYS:g} days while they stand more "
        f"than {STALL_ABOVE_SG:g} above where a healthy one ends",
        (Input("a healthy one ends at", known.expected_end, "SG"),),
        SOURCE,
    )
    yield Explained(
        "slow",
        100.0 * chances.slow,
        "%",
        "chance that it fell less at its last readings than the slowest tenth of healthy musts from the same share of "
        "sugar in the same thermal time; below two thirds spent, and held over two readings before it is called slow",
        (Input("the slowest tenth ferments, of the sugar left at 20 °C", 100.0 * known.healthy.k, "% a day"),),
        SOURCE,
    )


def _drawn_from(known: Posterior, facts: Facts, plan: Plan) -> tuple[Input, ...]:
    taken = sum(1 for reading in facts.readings if reading.temp_c is not None)
    warmth = "measured" if taken else "planned" if plan.temp_c is not None else "not known: 20 °C"
    shares: dict[str, float] = {}
    for name, weight in zip(known.worlds, known.weights, strict=True):
        world, halting = name.partition(", ")[::2]
        shares[KINDS[world]] = shares.get(KINDS[world], 0.0) + weight
        if halting:
            shares[HALTS] = shares.get(HALTS, 0.0) + weight
    return (
        Input("original gravity", facts.og, "SG"),
        Input("temperature", warmth),
        Input("you say that it is", facts.fed or "nothing"),
        *(Input(name, 100.0 * share, "%") for name, share in shares.items()),
        Input("your own vessels behind it", f"{known.learned_from:.1f}" if known.learned_from else "none"),
    )
