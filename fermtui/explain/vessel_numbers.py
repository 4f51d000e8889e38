"""Every computed number of one vessel, explained: what a screen opens when a number is asked where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.explain import planned
from fermtui.explain import strength as how
from fermtui.explain.explained import Explained, Input
from fermtui.must.composition import EXTRACT_PER_ETHANOL
from fermtui.must.final_gravity import PAST_TOLERANCE_ABV, UNFERMENTABLE_SHARE
from fermtui.must.limits import OutOfRange
from fermtui.must.strength import OG_NOT_READ_SD
from fermtui.replay.facts import Facts
from fermtui.replay.present import Present, speed_pair
from fermtui.replay.refermentable import refermentable
from fermtui.replay.stability import PROVEN

Part = Callable[[Facts, Plan, Present, Settings, datetime], Iterator[Explained]]


def explain_vessel(
    facts: Facts, plan: Plan, present: Present, settings: Settings, now: datetime
) -> tuple[Explained, ...]:
    """All that is computed of a vessel at a clock, in the order of its screen; what is not known is left out."""
    found: list[Explained] = []
    for part in _PARTS:
        try:
            found += part(facts, plan, present, settings, now)
        except OutOfRange:
            continue  # a number that cannot be reckoned is not on the screen either
    return tuple(found)


def _volume(facts: Facts, _plan: Plan, present: Present, _settings: Settings, _now: datetime) -> Iterator[Explained]:
    if present.level_l is None:
        return
    must, liquid_l = present.must, present.must.volume_l if present.must is not None else None
    inputs = [Input("liquid at 20 °C", liquid_l, "L")]
    if must is not None:
        inputs += [
            Input("water", must.water_g, "g"), Input("sugar", must.sugar_g, "g"), Input("alcohol", must.ethanol_g, "g"),
        ]  # fmt: skip
    if facts.fruit_in and liquid_l is not None:
        inputs.append(Input("fruit and the juice still in it", max(0.0, present.level_l - liquid_l), "L"))
    yield Explained(
        "volume",
        present.level_l,
        "L",
        "all that went in less what was taken out, each with its own water, sugar and alcohol; fruit counts for the "
        "level and not for the strength",
        tuple(inputs),
        how.DENSITY,
    )
    if present.headspace_l is not None:
        yield Explained(
            "headspace",
            present.headspace_l,
            "L",
            "size of the container - volume",
            (Input("container", facts.capacity_l, "L"), Input("volume", present.level_l, "L")),
            "the size is what cellar.toml or the vessel's head says",
        )


def _gravity(facts: Facts, _plan: Plan, present: Present, settings: Settings, _now: datetime) -> Iterator[Explained]:
    if present.sg is None:
        return
    read = [reading for reading in facts.readings if reading.sg is not None]
    if facts.sg_from == "reading" and read and not facts.pending:
        newest = read[-1]
        by = f"sensor {newest.by}" if newest.by else "refractometer" if newest.by_refractometer else (
            "hydrometer"
        )  # fmt: skip
        yield Explained(
            "gravity",
            present.sg,
            "SG",
            f"the newest reading by {by}, brought to 20 °C with the sugar and alcohol that the ledger knows",
            (
                Input("read on", f"{newest.at:%Y-%m-%d}"),
                Input("sample", newest.temp_c, "°C"),
                Input("calibration", settings.hydrometer.calibrated_c, "°C"),
                Input("shows too much", settings.hydrometer.offset_sg),
                Input("give or take", newest.plus_minus),
            ),
            f"{how.DENSITY}; {how.GLASS}",
        )
    elif present.must is not None:
        yield how.mixture("gravity", present.sg, "SG", present.must)
    if facts.g0 is not None:
        yield Explained(
            "G0",
            facts.g0,
            "SG",
            "the gravity of all water and sugar that is in it, fruit and feeding included, as if nothing had fermented"
            + ("; frozen when it was sweetened" if facts.sweetened_g else ""),
            (
                Input("original gravity", facts.og, "SG"),
                Input("water", facts.water_g + sum(part.water_g for part in facts.pending), "g"),
                Input("sugar, fermented or not", facts.extract_g + sum(part.sugar_g for part in facts.pending), "g"),
            ),
            how.DENSITY,
        )


def _strength(facts: Facts, _plan: Plan, present: Present, _settings: Settings, _now: datetime) -> Iterator[Explained]:
    must = present.must
    if must is None or present.abv_percent is None:
        return
    yield how.strength(must)
    of_spirit_g = facts.fortified_g / EXTRACT_PER_ETHANOL
    fermented = how.alcohol(must, facts.fermented_g - facts.fortified_g, from_sg=facts.g0)
    if of_spirit_g:
        yield fermented._replace(name="alcohol of the ferment", value=must.ethanol_g - of_spirit_g)
        yield how.fortified(of_spirit_g, must)
    else:
        yield fermented
    if present.abv_plus_minus:
        read = facts.pitched_at is not None and any(
            reading.sg is not None and reading.at <= facts.pitched_at for reading in facts.readings
        )
        fruit_sugar_g = sum(lot.sugar_g for lot in facts.fruit)
        yield how.plus_minus(
            present.abv_plus_minus, og_sd=0.001 if read else OG_NOT_READ_SD, fruit_sugar_g=fruit_sugar_g
        )


def _progress(facts: Facts, _plan: Plan, present: Present, _settings: Settings, _now: datetime) -> Iterator[Explained]:
    if present.sugar_spent_percent is not None and facts.g0 is not None and present.sg is not None:
        if facts.spent_frozen_percent is not None:
            yield Explained("sugar spent", present.sugar_spent_percent, "%", "as it stood when it was sweetened", (),
                            "the trade's measure: (G0 - gravity) / (G0 - 1)")  # fmt: skip
        else:
            yield how.sugar_spent(present.sugar_spent_percent, facts.g0, present.sg)
    if facts.g0 is not None and facts.g0 > 1.001:
        yield Explained(
            "third break",
            1.0 + 2.0 / 3.0 * (facts.g0 - 1.0),
            "SG",
            "1 + 2/3 x (G0 - 1): a third of the sugar is spent",
            (Input("G0", facts.g0, "SG"),),
            "common practice; after it yeast takes up ammonium badly (UC Davis)",
        )
    if present.speed_sg_per_day is not None:
        pair = speed_pair(facts)
        assert pair is not None  # there is a speed
        earlier, newest = pair
        days = (newest.at - earlier.at).total_seconds() / 86_400
        yield Explained(
            "speed",
            present.speed_sg_per_day,
            "SG a day",
            "(earlier gravity - newest gravity) / days between; readings since the last addition, half a day apart, "
            "of a sensor a day and a half",
            (
                Input("earlier", earlier.sg, "SG"),
                Input("newest", newest.sg, "SG"),
                Input("days between", f"{days:.1f}"),
            ),
            "arithmetic",
        )


def _refermentable(
    facts: Facts, _plan: Plan, present: Present, _settings: Settings, now: datetime
) -> Iterator[Explained]:
    left = refermentable(facts, now)
    if left is None:
        return
    yield Explained(
        "sugar that could ferment again",
        left.g_per_l,
        "g/L",
        f"extract in it - {100 * UNFERMENTABLE_SHARE:g} % of all extract that went in, no more than the tolerance of "
        f"the yeast + {PAST_TOLERANCE_ABV:g} % vol allows; sugar added since counts whole; nothing where it was "
        f"stabilised, or has been calm for {PROVEN.days} days at 15 °C or more with nothing added",
        (
            Input("extract in it", present.must.sugar_g if present.must is not None else None, "g"),
            Input("all extract that went in", facts.extract_g, "g"),
            Input("added since it stopped", facts.sweetened_g, "g"),
            Input("volume", present.must.volume_l if present.must is not None else None, "L"),
            Input("gravity", present.sg, "SG"),
            Input("lowest plausible end", left.end_sg, "SG"),
            Input("tolerance", facts.tolerance_abv, "% vol"),
            Input("±", left.sd_g_per_l, "g/L"),
        ),
        "US honeys, survey of 1980 (no yeast takes 1.8 to 5.9 % of the extract); Balling; the rest common practice",
    )


_PARTS: tuple[Part, ...] = (
    _volume,
    _gravity,
    _strength,
    _progress,
    _refermentable,
    planned.fruit_loss,
    planned.nitrogen,
    planned.sulfur_dioxide,
    planned.sulfite,
    planned.sorbate,
    planned.honey,
    planned.bottles,
    planned.priming,
    planned.pressure,
)
