"""What is in a vessel at a clock, as masses: the ledger of its entries with the fruit juice that has come in since."""

from datetime import datetime

from fermtui.must.composition import EXTRACT_PER_ETHANOL, Must
from fermtui.must.limits import OutOfRange
from fermtui.replay.facts import Facts


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
