"""What is in a vessel at a clock, as masses: the ledger of its entries with the fruit juice that has come in since."""

from collections.abc import Iterable
from datetime import datetime

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import LEACH, Facts, Pending


def must_at(facts: Facts, now: datetime) -> Must | None:
    """What is in the vessel at the clock, fruit juice that has come in by then included; None when nothing is known."""
    if facts.water_g + facts.extract_g < 1.0:
        return None
    water_g, extract_g = facts.water_g, facts.extract_g
    for part in facts.pending:
        span = part.until - part.since
        share = 1.0 if now >= part.until else max(0.0, (now - part.since) / span)
        water_g += part.water_g * share
        extract_g += part.sugar_g * share
    return Must(water_g, extract_g - facts.fermented_g, facts.fermented_g / EXTRACT_PER_ETHANOL)


def juice_bounds(must: Must, pending: Iterable[Pending]) -> tuple[Must, Must]:
    """The same must with all juice of the fruit that still gives some, and with none of it: how fast it really comes
    out nobody knows. What has come in is taken back by the even pace over `LEACH`.
    """
    in_water_g = in_sugar_g = out_water_g = out_sugar_g = 0.0
    for part in pending:
        came = max(0.0, LEACH / (part.until - part.since) - 1.0)
        in_water_g, in_sugar_g = in_water_g + part.water_g, in_sugar_g + part.sugar_g
        out_water_g, out_sugar_g = out_water_g + part.water_g * came, out_sugar_g + part.sugar_g * came
    return (
        Must(must.water_g + in_water_g, must.sugar_g + in_sugar_g, must.ethanol_g),
        Must(max(0.0, must.water_g - out_water_g), max(0.0, must.sugar_g - out_sugar_g), must.ethanol_g),
    )


def highest_sg(facts: Facts) -> float | None:
    """The highest gravity (SG 20/20) that the must can show with nothing fermented, while its fruit gives juice or
    afterwards; None where nothing is known to be in it."""
    if facts.water_g + facts.extract_g < 1.0:
        return None
    extract_g = max(0.0, facts.extract_g - facts.fortified_g)
    must = Must(facts.water_g, extract_g, facts.fortified_g / EXTRACT_PER_ETHANOL)
    return max(one.sg for one in juice_bounds(must, facts.pending))


def ledger_must(facts: Facts) -> Must | None:
    """What is in the vessel after the last entry; None where nothing is, or nothing that could be."""
    try:
        sugar_g = max(0.0, facts.extract_g - facts.fermented_g)
        must = Must(facts.water_g, sugar_g, facts.fermented_g / EXTRACT_PER_ETHANOL)
    except OutOfRange:
        return None
    return None if must.is_empty else must


def abv_percent(facts: Facts) -> float | None:
    """Strength by the ledger in % vol after the last entry, or None without one."""
    must = ledger_must(facts)
    return None if must is None else must.abv_percent
